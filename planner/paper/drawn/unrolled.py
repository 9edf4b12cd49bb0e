"""The outside of a tube laid flat, drawn at its true size to be wrapped round the tube, printed face outward.

On the drawing ``round`` runs to the right and ``along`` runs up: facing the end that is cut the clock then runs
clockwise on the tube. A quarter turn changes nothing of that; a mirror image would.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from planner.numbers.shapes.unrolled import BESIDE, END, FIRST, Line, Place, Unrolled
from planner.paper.ground.drawing import (
    CHAIN,
    DASHED,
    DOTTED,
    THICK,
    THIN,
    Drawing,
    Mark,
    Point,
    Stroke,
    Words,
    circle,
    hatch,
    line,
)
from planner.paper.ground.tiling import spared, text_width

TAB = 12.0  # mm that the paper overlaps itself by
TWELVE = 0.35  # the line at twelve o'clock
BAR = 1.0  # a tack or a bead along the line
_RING, _LETTERS = 2.7, 3.0
_TACKS, _BEADS = 4.8, 10.8  # from a line to the middles of the numbers, into what stays
_EVERY = 85.0  # mm round between words that are said again


class Told(NamedTuple):
    """What is written on it: for each line what it is and where, which end, what stands in the way."""

    lines: dict[str, str]
    end: str  # toward which end the outer edge lies
    inner: str
    waste: str
    keep_outs: tuple[str, ...]
    tab: str
    way: str  # which way the clock runs
    twelve: str


def drawn(tube: Unrolled, told: Told) -> Drawing:
    """The drawing, its corner at twelve o'clock on its inner edge; as wide as once round and the tab."""
    height = tube.far - tube.near

    def at(x: float, along: float) -> Point:
        return x, tube.far - along

    texts = [*_edges(tube, told, height), *_line_texts(tube, told, at), *_keep_out_texts(tube, told, at)]
    texts += [*_waste_texts(tube, told, at), *_tab_text(tube, told, height)]
    places = [*_places(tube, tube.tacks, _TACKS, "", at), *_places(tube, tube.beads, _BEADS, "b", at)]
    texts += [mark for mark in places if isinstance(mark, Words)]
    fine = [*_hours(tube, height), *hatch([at(*point) for point in tube.waste], 5.0, 45.0), *_keep_out_lines(tube, at)]
    marks: list[Mark] = [*_outline(tube, height), *spared(fine, texts)]
    for each in tube.lines:
        marks += _cut(each, at)
    marks += [mark for mark in places if isinstance(mark, Stroke)]
    return Drawing(tube.around + TAB, height, (*marks, *texts))


def _outline(tube: Unrolled, height: float) -> Iterator[Stroke]:
    """Cut out along these; the two lines at twelve o'clock come to lie on each other."""
    wide = tube.around + TAB
    yield line((0.0, 0.0), (wide, 0.0))
    yield line((0.0, height), (wide, height))
    yield line((wide, 0.0), (wide, height))
    yield line((0.0, 0.0), (0.0, height), TWELVE)
    yield line((tube.around, 0.0), (tube.around, height), TWELVE)


def _hours(tube: Unrolled, height: float) -> Iterator[Stroke]:
    for hour in range(1, 12):
        x = tube.around * hour / 12
        yield line((x, 0.0), (x, height), THIN, CHAIN if hour % 3 == 0 else DOTTED)


def _hour_texts(tube: Unrolled, y: float) -> Iterator[Words]:
    apart = tube.around / 12
    size = min(_LETTERS, apart / 2.2)
    for hour in range(13):
        if apart < 5 and hour % 3:
            continue
        at = {0: "start", 12: "end"}.get(hour, "middle")
        x = tube.around * hour / 12 + {0: 0.8, 12: -0.8}.get(hour, 0.0)
        yield Words(x, y, "12" if hour in (0, 12) else str(hour), size, bold=hour % 12 == 0, at=at)


def _edges(tube: Unrolled, told: Told, height: float) -> Iterator[Words]:
    """The hours at both edges, which edge is which, and which way the clock runs."""
    yield from _hour_texts(tube, 3.6)
    yield from _hour_texts(tube, height - 1.0)
    yield from _again(tube, told.inner, 8.0, bold=True)
    yield from _again(tube, told.end, height - 5.4, bold=True, most=0.62)
    yield from _again(tube, told.way, height - 5.4, between=True, most=0.34)
    kept = tube.lines[-1].points[0][1] if tube.lines[0].name == END else None
    middle = height / 2 if kept is None else max(13.0 + (tube.far - kept - 18.0) / 2, 13.0)
    wide = text_width(Words(0, 0, told.twelve, 1.0, bold=True))
    size = _LETTERS if kept is None else min(_LETTERS, (tube.far - kept - 18.0) / wide)
    yield Words(4.2, middle, told.twelve, size, bold=True, at="middle", angle=90.0)


def _again(
    tube: Unrolled, text: str, y: float, *, bold: bool = False, between: bool = False, most: float = 1.0
) -> Iterator[Words]:
    """A text said again all round, in letters that fit that share of the way from one to the next.

    ``between``: where the others leave room, half a way on.
    """
    if not text:
        return
    wide = text_width(Words(0, 0, text, 1.0, bold))
    count = max(1, int(tube.around / _EVERY))
    apart = tube.around / count
    size = min(_LETTERS, (apart * most - 3) / wide)
    for index in range(count):
        if between and count > 1:
            if index:
                yield Words(apart * index, y, text, size, bold, at="middle")
        elif between:
            yield Words(apart * 0.985, y, text, size, bold, at="end")
        else:
            yield Words(
                apart * (0.5 if count > 1 or most == 1.0 else most / 2 + 0.03) + apart * index,
                y,
                text,
                size,
                bold,
                at="middle",
            )


def _line_texts(tube: Unrolled, told: Told, at: Callable[[float, float], Point]) -> Iterator[Words]:
    """What each line is, on what stays, clear of the numbers of tacks and beads."""
    for each in tube.lines:
        y = at(0.0, tube.near + 14.2 if each.name == FIRST else tube.far - 12.5)[1]
        yield from _again(tube, told.lines.get(each.name, ""), y + 0.6, bold=True)


def _waste_texts(tube: Unrolled, told: Told, at: Callable[[float, float], Point]) -> Iterator[Words]:
    low, high = min(y for _, y in tube.waste), max(y for _, y in tube.waste)
    if tube.lines[0].name == END:
        yield from _again(tube, told.waste, at(0.0, low + 14.0)[1], bold=True)
    elif high - low > 6.0:
        size = min(6.0, (high - low) / 3)
        middle = at(0.0, (low + high) / 2)[1] + size / 3
        for words in _again(tube, told.waste, middle, bold=True):
            yield words._replace(mm=max(words.mm, min(size, words.mm * (tube.around / _EVERY))))


def _keep_out_lines(tube: Unrolled, at: Callable[[float, float], Point]) -> Iterator[Stroke]:
    for each in tube.keep_outs:
        for edge in (each.low, each.high):
            if tube.near < edge < tube.far:
                yield line(at(0.0, edge), at(tube.around, edge), 0.3, DASHED)


def _keep_out_texts(tube: Unrolled, told: Told, at: Callable[[float, float], Point]) -> Iterator[Words]:
    for each, says in zip(tube.keep_outs, told.keep_outs, strict=True):
        middle = (max(each.low, tube.near) + min(each.high, tube.far)) / 2
        if middle < tube.near + BESIDE:  # a row of its own, clear of the others
            middle = tube.near + 10.4
        elif middle > tube.far - BESIDE:
            middle = tube.far - 16.5
        yield from _again(tube, says, at(0.0, middle)[1] + 1.0, between=True, most=0.9)


def _tab_text(tube: Unrolled, told: Told, height: float) -> Iterator[Words]:
    wide = text_width(Words(0, 0, told.tab, 1.0))
    size = min(2.6, (height - 4) / wide)
    yield Words(tube.around + TAB / 2 + 1.0, height / 2, told.tab, size, at="middle", angle=90.0)


def _cut(each: Line, at: Callable[[float, float], Point]) -> Iterator[Stroke]:
    """The line itself, the edge of the saw cut where it is another, and how far the saw reaches."""
    yield Stroke(tuple(at(*point) for point in each.points), THICK)
    if each.proud:
        yield Stroke(tuple(at(*point) for point in each.beyond(each.proud)), THIN, DASHED)
    if each.kerf:
        yield Stroke(tuple(at(*point) for point in each.beyond(each.proud + each.kerf)), THIN, DOTTED)


def _places(
    tube: Unrolled, places: Sequence[Place], away: float, before: str, at: Callable[[float, float], Point]
) -> Iterator[Mark]:
    """Each place along every line, on what stays: a bar as long as it is, and its number in a ring."""
    for each in tube.lines:
        heights = _height_of(each)
        for place in places:
            for start, end, centre in _spans(tube, place):
                steps = max(2, math.ceil((end - start) / 1.0))
                spots = [start + (end - start) * step / steps for step in range(steps + 1)]
                if not before:  # beads follow on one another: a bar for each would be one line
                    points = tuple(at(x, heights(x) - each.waste * (BAR / 2 + 0.5)) for x in spots)
                    yield Stroke(points, BAR)
                middle = min(max(centre, start + _RING), end - _RING) if end - start > 2 * _RING else None
                if middle is None:
                    continue
                x, y = at(middle, heights(middle) - each.waste * away)
                yield circle((x, y), _RING) if not before else line((x - 1.2, y + 1.9), (x + 1.2, y + 1.9))
                size = 3.0 if len(place.number) < 2 else 2.5
                yield Words(x, y + size * 0.36, before + place.number, size, bold=not before, at="middle")


def _spans(tube: Unrolled, place: Place) -> Iterator[tuple[float, float, float]]:
    """From where to where a place lies on the paper, and its middle; one at twelve o'clock lies at both ends."""
    half = max(place.half, _RING + 0.1)
    for turn in (-tube.around, 0.0, tube.around):
        start, end = max(0.0, place.round + turn - half), min(tube.around, place.round + turn + half)
        if end - start > 0.2:
            yield start, end, place.round + turn


def _height_of(each: Line) -> Callable[[float], float]:
    """How far along a line lies at any place round, between the points of its chain."""
    last = len(each.points) - 1
    wide = each.points[-1][0]

    def height(x: float) -> float:
        place = min(max(x / wide * last, 0.0), last - 1e-9)
        index = int(place)
        low, high = each.points[index][1], each.points[index + 1][1]
        return low + (high - low) * (place - index)

    return height
