"""A drawing at its true size that is larger than a page: parts that overlap, marks by which they are laid together.

Every line is cut at the edge of its part. A text is never cut: it stands whole on every part that holds it, and where
none does it is moved into the nearest, unless the same is said elsewhere.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple

from planner.paper.ground.drawing import CHAIN, Drawing, Mark, Point, Stroke, Words, box, line, moved, proof_bar

OVERLAP = 10.0  # mm that two neighbours share
BAND = 12.0  # beside or below a part: the bar that proves the printer, and what the page is
_CROSS = 4.0
_DUST = 1e-6
#: Widths of letters by their size, on the safe side for the fonts that are embedded.
_WIDE, _WIDE_BOLD, _CAPITALS = 0.62, 0.70, 0.10


class Tile(NamedTuple):
    """One part: its number from 1, and what it shows of the drawing, mm."""

    number: int
    column: int
    row: int
    x: float
    y: float
    width: float
    height: float


class Layout(NamedTuple):
    """A drawing as it is laid on pages: turned by a quarter or not, and its parts."""

    drawing: Drawing
    tiles: tuple[Tile, ...]
    beside: bool  # the band stands beside the parts, not below them
    columns: int
    rows: int


def turned(drawing: Drawing) -> Drawing:
    """The same, a quarter turn clockwise: never a mirror image.

    >>> turned(Drawing(10.0, 4.0, (line((0.0, 0.0), (10.0, 0.0)),))).marks[0].points
    ((4.0, 0.0), (4.0, 10.0))
    """
    return Drawing(drawing.height, drawing.width, turned_marks(drawing.marks, drawing.height))


def turned_marks(marks: Iterable[Mark], height: float) -> tuple[Mark, ...]:
    """Marks of a drawing so high, after a quarter turn clockwise."""
    return tuple(
        mark._replace(x=height - mark.y, y=mark.x, angle=mark.angle - 90.0)
        if isinstance(mark, Words)
        else mark._replace(points=tuple((height - y, x) for x, y in mark.points))
        for mark in marks
    )


def laid_out(drawing: Drawing, frame: tuple[float, float]) -> Layout:
    """The drawing on as few pages as it takes, as it stands or a quarter turned, the band below or beside."""
    width, height = frame
    found = []
    for each in (drawing, turned(drawing)):
        for beside in (False, True):
            room = (width - BAND, height) if beside else (width, height - BAND)
            columns, rows = _count(each.width, room[0]), _count(each.height, room[1])
            found.append(Layout(each, _tiles(each, room, columns, rows), beside, columns, rows))
    return min(found, key=lambda layout: len(layout.tiles))


def _count(length: float, room: float) -> int:
    return max(1, math.ceil((length - OVERLAP) / (room - OVERLAP) - 1e-9))


def _tiles(drawing: Drawing, room: tuple[float, float], columns: int, rows: int) -> tuple[Tile, ...]:
    """Parts row by row, all of one size."""
    width = min(room[0], (drawing.width + (columns - 1) * OVERLAP) / columns)
    height = min(room[1], (drawing.height + (rows - 1) * OVERLAP) / rows)
    return tuple(
        Tile(
            row * columns + column + 1, column, row, column * (width - OVERLAP), row * (height - OVERLAP), width, height
        )
        for row in range(rows)
        for column in range(columns)
    )


def pages(layout: Layout, frame: tuple[float, float], says: Sequence[str]) -> tuple[Drawing, ...]:
    """One drawing a page, as large as the frame: a part, its marks, the bar, and ``says`` with the part's number."""
    texts = _homes(layout)
    joints = tuple(_joints(layout))
    made = []
    for tile in layout.tiles:
        shown: list[Mark] = [*clipped(layout.drawing.marks, tile), *texts[tile.number], *clipped(joints, tile)]
        shown += [mark for mark in joints if isinstance(mark, Words) and _whole(mark, tile)]
        marks = moved(shown, (-tile.x, -tile.y))
        heads = (f"part {tile.number} of {len(layout.tiles)}", *says)
        made.append(Drawing(frame[0], frame[1], (*marks, *_band(frame, layout.beside, heads))))
    return tuple(made)


def _band(frame: tuple[float, float], beside: bool, says: Sequence[str]) -> tuple[Mark, ...]:
    """The bar of 100 mm and what the page is, in a strip along the foot or, turned, along the right edge."""
    length = frame[1] if beside else frame[0]
    marks: list[Mark] = list(proof_bar((1.0, 2.0)))
    room = length - 106.0
    for index, text in enumerate(says[:3]):
        wide = text_width(Words(0, 0, text, 1.0, bold=index == 0))
        size = min(3.2, room / wide) if wide else 3.2
        marks.append(Words(105.0, 4.2 + 3.6 * index, text, size, bold=index == 0))
    if beside:
        return moved(turned_marks(marks, BAND), (frame[0] - BAND, 0.0))
    return moved(marks, (0.0, frame[1] - BAND))


def _joints(layout: Layout) -> Iterator[Mark]:
    """Where neighbours are laid together: a line in the middle of what they share, with crosses and a letter."""
    letter = 0
    for tile in layout.tiles:
        if tile.column + 1 < layout.columns:
            x = tile.x + tile.width - OVERLAP / 2
            yield from _joint((x, tile.y), (x, tile.y + tile.height), _letter(letter))
            letter += 1
        if tile.row + 1 < layout.rows:
            y = tile.y + tile.height - OVERLAP / 2
            yield from _joint((tile.x, y), (tile.x + tile.width, y), _letter(letter))
            letter += 1


def _letter(index: int) -> str:
    return chr(65 + index % 26) + (str(index // 26) if index >= 26 else "")


def _joint(start: Point, end: Point, letter: str) -> Iterator[Mark]:
    yield line(start, end, dash=CHAIN)
    upright = start[0] == end[0]
    length = end[1] - start[1] if upright else end[0] - start[0]
    for at in (min(15.0, length / 4), length / 2, length - min(15.0, length / 4)):
        x, y = (start[0], start[1] + at) if upright else (start[0] + at, start[1])
        yield line((x - _CROSS, y), (x + _CROSS, y), 0.35)
        yield line((x, y - _CROSS), (x, y + _CROSS), 0.35)
        yield Words(x + 1.0, y - 1.0, letter, 3.0, bold=True)


def key_plan(layout: Layout, frame: tuple[float, float]) -> Drawing:
    """The whole drawing small, with its parts and their numbers: how they are laid together. It is not to scale."""
    scale = min(1.0, frame[0] / layout.drawing.width, frame[1] / layout.drawing.height)
    lines = [
        mark._replace(points=tuple((x * scale, y * scale) for x, y in mark.points), mm=0.1, dash="solid")
        for mark in layout.drawing.marks
        if isinstance(mark, Stroke) and mark.mm > 0.3
    ]
    parts: list[Mark] = []
    for tile in layout.tiles:
        parts.append(box(tile.x * scale, tile.y * scale, tile.width * scale, tile.height * scale, 0.35))
        middle = ((tile.x + tile.width / 2) * scale, (tile.y + tile.height / 2) * scale)
        parts.append(Words(middle[0], middle[1] + 2.5, str(tile.number), 7.0, bold=True, at="middle"))
    return Drawing(layout.drawing.width * scale, layout.drawing.height * scale, (*lines, *parts))


def _homes(layout: Layout) -> dict[int, list[Words]]:
    """Every text where it stands whole; one that does so nowhere, nor is said elsewhere, is moved into the nearest."""
    found: dict[int, list[Words]] = {tile.number: [] for tile in layout.tiles}
    words = [mark for mark in layout.drawing.marks if isinstance(mark, Words)]
    said = {mark.text for mark in words if any(_whole(mark, tile) for tile in layout.tiles)}
    for mark in words:
        whole = [tile for tile in layout.tiles if _whole(mark, tile)]
        for tile in whole:
            found[tile.number].append(mark)
        if not whole and mark.text not in said:
            home = min(layout.tiles, key=lambda tile: _away(mark, tile))
            found[home.number].append(_moved_into(mark, home))
    return found


def text_width(words: Words) -> float:
    """About how long a text comes out, on the safe side, mm."""
    capitals = sum(char.isupper() for char in words.text)
    return words.mm * ((_WIDE_BOLD if words.bold else _WIDE) * len(words.text) + _CAPITALS * capitals)


def text_box(words: Words) -> tuple[float, float, float, float]:
    """What a text covers: left, top, right, bottom."""
    wide = text_width(words)
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[words.at]
    turn = math.radians(words.angle)
    cos, sin = math.cos(turn), math.sin(turn)
    corners = [(x, y) for x in (left, left + wide) for y in (-0.8 * words.mm, 0.25 * words.mm)]
    xs = [words.x + x * cos + y * sin for x, y in corners]
    ys = [words.y - x * sin + y * cos for x, y in corners]
    return min(xs), min(ys), max(xs), max(ys)


def _whole(words: Words, tile: Tile) -> bool:
    left, top, right, bottom = text_box(words)
    edges = _edges_of(tile)
    return left >= edges[0] and top >= edges[1] and right <= edges[2] and bottom <= edges[3]


def _away(words: Words, tile: Tile) -> float:
    moved_to = _moved_into(words, tile)
    return math.hypot(moved_to.x - words.x, moved_to.y - words.y)


def _moved_into(words: Words, tile: Tile) -> Words:
    left, top, right, bottom = text_box(words)
    across = max(0.0, tile.x - left) - max(0.0, right - tile.x - tile.width)
    down = max(0.0, tile.y - top) - max(0.0, bottom - tile.y - tile.height)
    return words._replace(x=words.x + across, y=words.y + down)


def clipped(marks: Iterable[Mark], tile: Tile) -> Iterator[Stroke]:
    """The lines of a part, cut at its edges; a shape that is filled is there whole or not at all."""
    for mark in marks:
        if isinstance(mark, Words):
            continue
        chain = [*mark.points, mark.points[0]] if mark.closed else list(mark.points)
        if all(_inside(point, tile) for point in chain):
            yield mark
        elif not mark.filled:
            for points in _runs(chain, tile):
                yield mark._replace(points=points, closed=False)


def _inside(point: Point, tile: Tile) -> bool:
    left, top, right, bottom = _edges_of(tile)
    return left <= point[0] <= right and top <= point[1] <= bottom


def _edges_of(tile: Tile) -> tuple[float, float, float, float]:
    """Left, top, right, bottom, so that what lies along an edge is not lost to binary dust."""
    return tile.x - _DUST, tile.y - _DUST, tile.x + tile.width + _DUST, tile.y + tile.height + _DUST


def _runs(chain: Sequence[Point], tile: Tile) -> Iterator[tuple[Point, ...]]:
    run: list[Point] = []
    for start, end in itertools.pairwise(chain):
        part = within(start, end, _edges_of(tile))
        if part is None:
            if len(run) > 1:
                yield tuple(run)
            run = []
            continue
        if run and run[-1] == part[0]:
            run.append(part[1])
        else:
            if len(run) > 1:
                yield tuple(run)
            run = list(part)
    if len(run) > 1:
        yield tuple(run)


def within(start: Point, end: Point, edges: tuple[float, float, float, float]) -> tuple[Point, Point] | None:
    """What of a straight line lies within left, top, right, bottom; None where nothing does (Liang and Barsky 1984).

    >>> within((-1.0, 1.0), (3.0, 1.0), (0.0, 0.0, 2.0, 2.0))
    ((0.0, 1.0), (2.0, 1.0))
    """
    (x, y), (dx, dy) = start, (end[0] - start[0], end[1] - start[1])
    low, high = 0.0, 1.0
    for step, room in ((-dx, x - edges[0]), (dx, edges[2] - x), (-dy, y - edges[1]), (dy, edges[3] - y)):
        if step == 0.0:
            if room < 0.0:
                return None
            continue
        at = room / step
        if step < 0.0:
            low = max(low, at)
        else:
            high = min(high, at)
    if low >= high:
        return None
    return (
        start if low == 0.0 else (x + dx * low, y + dy * low),
        end if high == 1.0 else (x + dx * high, y + dy * high),
    )


def spared(strokes: Iterable[Stroke], texts: Sequence[Words], clear: float = 0.6) -> Iterator[Stroke]:
    """Lines that stop short of texts, so that these can be read."""
    boxes = [text_box(each) for each in texts]
    boxes = [(left - clear, top - clear, right + clear, bottom + clear) for left, top, right, bottom in boxes]
    for stroke in strokes:
        parts = list(zip(stroke.points, stroke.points[1:], strict=False))
        for edges in boxes:
            parts = [rest for start, end in parts for rest in _without(start, end, edges)]
        yield from (stroke._replace(points=part) for part in parts)


def _without(start: Point, end: Point, edges: tuple[float, float, float, float]) -> Iterator[tuple[Point, Point]]:
    inner = within(start, end, edges)
    if inner is None:
        yield start, end
        return
    if inner[0] != start:
        yield start, inner[0]
    if inner[1] != end:
        yield inner[1], end
