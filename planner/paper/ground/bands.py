"""Blocks as bands: strips as wide as the page, none of which is ever cut. Pure but for the widths of letters."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from planner.paper.ground.drawing import DASHED, THICK, Drawing, Mark, TooLargeError, Words, box, line, moved
from planner.paper.ground.setting import Line, Widths, cell_lines, para_lines
from planner.paper.ground.tree import (
    SMALL,
    STRONG,
    Block,
    Card,
    Cards,
    Caution,
    Figure,
    Heading,
    NewPage,
    Says,
    Table,
    Text,
)


class Band(NamedTuple):
    """A strip of the page: its height, what is drawn from its upper left corner, and where it may stand."""

    height: float
    marks: tuple[Mark, ...]
    stays: bool = False  # on one page with the band below it
    head: Band | None = None  # said again above it, where it begins a page
    breaks: bool = False  # begins a page


_HEADINGS = {0: 6.5, 1: 5.2, 2: 4.2}
_PAD = 1.5
_AFTER = 2.0  # below a paragraph


def bands_of(letters: Widths, blocks: Sequence[Block], frame: tuple[float, float]) -> Iterator[Band]:
    """The bands of these blocks on pages that have so much room."""
    breaks = False
    for block in blocks:
        if isinstance(block, NewPage):
            breaks = True
            continue
        for band in _bands(letters, block, frame):
            yield band._replace(breaks=True) if breaks else band
            breaks = False
        breaks = breaks or (isinstance(block, Figure) and block.alone)


def _bands(letters: Widths, block: Block, frame: tuple[float, float]) -> Iterator[Band]:
    width, height = frame
    match block:
        case Heading(text=text, level=level):
            yield _heading(letters, text, level, width)
        case Says(para=para):
            yield from _lines(para_lines(letters, para, width), height)
        case Caution(text=text):
            yield from _caution(letters, text, frame)
        case Table():
            yield from _table(letters, block, frame)
        case Cards():
            yield from _cards(letters, block, frame)
        case Figure():
            yield from _figure(letters, block, frame)


def _heading(letters: Widths, text: str, level: int, width: float) -> Band:
    mm = _HEADINGS.get(level, _HEADINGS[2])
    marks: list[Mark] = []
    y = 0.0 if level == 0 else 2.5
    for found in para_lines(letters, (Text(text, STRONG),), width * 3.6 / mm):  # set small, then enlarged
        y += mm * 1.3
        for mark in found.marks:
            if isinstance(mark, Words):
                marks.append(mark._replace(x=mark.x * mm / 3.6, y=y - mm * 0.3, mm=mm))
    return Band(y + 1.5, tuple(marks), stays=True)


def stacked(lines: Sequence[Line], at: tuple[float, float] = (0.0, 0.0)) -> tuple[float, tuple[Mark, ...]]:
    """Lines one below the other: the height of them all, and what is drawn."""
    y = at[1]
    marks: list[Mark] = []
    for each in lines:
        marks += moved(each.marks, (at[0], y))
        y += each.height
    return y - at[1], tuple(marks)


def _lines(lines: Sequence[Line], most: float) -> Iterator[Band]:
    """A paragraph: whole where a page holds it."""
    for part in _parts(lines, most - _AFTER):
        height, marks = stacked(part)
        yield Band(height + _AFTER, marks)


def _parts(lines: Sequence[Line], most: float) -> Iterator[list[Line]]:
    """Lines in runs that a page holds: one run, but for what no page could hold whole."""
    run: list[Line] = []
    used = 0.0
    for each in lines:
        if run and used + each.height > most:
            yield run
            run, used = [], 0.0
        run.append(each)
        used += each.height
    yield run


def _caution(letters: Widths, text: str, frame: tuple[float, float]) -> Iterator[Band]:
    width, most = frame
    lines = para_lines(letters, (Text(text, STRONG),), width - 12)
    for part in _parts(lines, most - 6):
        height, marks = stacked(part, (9.0, 1.5))
        frame_marks = box(0, 0, width, height + 3, THICK), Words(2.5, height / 2 + 4, "!", 7, bold=True)
        yield Band(height + 5, (*frame_marks, *marks))


def _table(letters: Widths, table: Table, frame: tuple[float, float]) -> Iterator[Band]:
    width, most = frame
    whole = sum(column.share for column in table.columns)
    widths = [width * column.share / whole for column in table.columns]
    head = None
    if any(column.title for column in table.columns):
        names = zip(table.columns, widths, strict=True)
        titles = [para_lines(letters, (Text(each.title, STRONG),), wide - 2 * _PAD) for each, wide in names]
        head = _row(titles, widths, THICK)._replace(stays=True)
        yield head
    room = most - 2 * _PAD - (head.height if head is not None else 0)
    for row in table.rows:
        last = len(row.cells) - 1
        across = [*widths[:last], sum(widths[last:])]  # the last cell goes across what is left
        cells = [cell_lines(letters, each, wide - 2 * _PAD) for each, wide in zip(row.cells, across, strict=False)]
        parts = [list(_parts(each, room)) for each in cells]
        for index in range(max(len(each) for each in parts)):
            made = _row([each[index] if index < len(each) else [] for each in parts], across)
            yield made._replace(stays=row.strong, head=head)
    yield Band(3.0, ())


def _row(cells: Sequence[Sequence[Line]], widths: Sequence[float], below: float = 0.2) -> Band:
    tall = max((sum(each.height for each in lines) for lines in cells), default=0.0) + 2 * _PAD
    marks: list[Mark] = []
    x = 0.0
    for lines, wide in zip(cells, widths, strict=False):
        marks += stacked(lines, (x + _PAD, _PAD))[1]
        x += wide
    x = 0.0
    for wide in [0.0, *widths]:
        x += wide
        marks.append(line((x, 0), (x, tall)))
    marks += [line((0, 0), (x, 0)), line((0, tall), (x, tall), below)]
    return Band(tall, tuple(marks))


def _cards(letters: Widths, block: Cards, frame: tuple[float, float]) -> Iterator[Band]:
    wide = frame[0] / block.across
    for start in range(0, len(block.cards), block.across):
        some = block.cards[start : start + block.across]
        made = [_card(letters, card, wide - 8, frame[1] - 10) for card in some]
        tall = max(height for height, _ in made) + 8
        marks: list[Mark] = []
        for index, (_, drawn) in enumerate(made):
            marks += [box(index * wide, 0, wide, tall, dash=DASHED), *moved(drawn, (index * wide + 4, 4))]
        yield Band(tall, tuple(marks))
    yield Band(3.0, ())


def _card(letters: Widths, card: Card, width: float, most: float) -> tuple[float, tuple[Mark, ...]]:
    title = _heading(letters, card.title, 1, width)
    lines = cell_lines(letters, card.cell, width)
    height, marks = stacked(lines, (0.0, title.height))
    if title.height + height > most:
        raise TooLargeError(f"the card {card.title} holds more than a page can")
    return title.height + height, (*title.marks, *marks)


def _figure(letters: Widths, block: Figure, frame: tuple[float, float]) -> Iterator[Band]:
    drawing: Drawing = block.drawing
    lines = para_lines(letters, (Text(block.caption, SMALL),), frame[0]) if block.caption else []
    below, marks = stacked(lines, (0.0, drawing.height + 1))
    tall = drawing.height + (below + 1 if lines else 0)
    if drawing.width > frame[0] + 1e-6 or tall > frame[1] + 1e-6:
        raise TooLargeError(
            f"a drawing of {drawing.width:g} x {tall:g} mm does not fit the {frame[0]:g} x {frame[1]:g} mm of the page"
        )
    yield Band(tall, (*drawing.marks, *marks), breaks=block.alone)
    if not block.alone:
        yield Band(3.0, ())
