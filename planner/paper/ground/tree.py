"""A document as data: what a paper says, without saying how it is set. Pure.

The PDF, the plain text and the HTML file are all made of this one tree, so that they cannot disagree. Texts are
literal: nothing in them is markup in any of the three.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import NamedTuple, TypeAlias

from planner.paper.ground.drawing import Drawing

#: Looks of a text: plain, strong (bold), number (bold and large), large (to be read off a wall), small.
PLAIN, STRONG, NUMBER, LARGE, SMALL = "", "strong", "number", "large", "small"


class Text(NamedTuple):
    """Some text; words are kept whole, and a text in the look ``number`` is never broken over two lines."""

    text: str
    look: str = PLAIN


class Tick(NamedTuple):
    """A box to tick, with what is said beside it; ``done``: it is ticked already."""

    done: bool = False
    says: str = ""


class Blank(NamedTuple):
    """A line to write on, so many mm wide, with what goes there said before and behind it."""

    says: str
    mm: float = 25.0
    unit: str = ""


Inline: TypeAlias = Text | Tick | Blank
Para: TypeAlias = tuple[Inline, ...]  # one paragraph: set in a row, broken between words
Cell: TypeAlias = tuple[Para, ...]  # paragraphs, one below the other


class Heading(NamedTuple):
    """A heading, kept with what follows it: level 1 is a part, 2 what is in it."""

    text: str
    level: int = 1


class Says(NamedTuple):
    """A paragraph."""

    para: Para


class Caution(NamedTuple):
    """Something that can hurt people: framed, and never cut by the end of a page."""

    text: str


class Column(NamedTuple):
    """A column of a table: its title and its share of the width."""

    title: str
    share: float = 1.0


class Row(NamedTuple):
    """A row of a table; where it has fewer cells than columns, its last goes across the rest. Never cut."""

    cells: tuple[Cell, ...]
    strong: bool = False  # a title within the table, kept with the row below it


class Table(NamedTuple):
    """Rows under titles, which are said again on every page."""

    columns: tuple[Column, ...]
    rows: tuple[Row, ...]


class Card(NamedTuple):
    """Something to be cut out: a title and what stands on it. Never cut by the end of a page."""

    title: str
    cell: Cell


class Cards(NamedTuple):
    """Cards side by side, so many across, with lines to cut along."""

    cards: tuple[Card, ...]
    across: int = 2


class Figure(NamedTuple):
    """A drawing at its true size; ``words`` say what it shows, where there are no drawings. ``alone``: on a page of
    its own, so it may be as large as the page's ``frame``."""

    drawing: Drawing
    words: tuple[str, ...]
    caption: str = ""
    alone: bool = False


class NewPage(NamedTuple):
    """What follows begins a page."""


Block: TypeAlias = Heading | Says | Caution | Table | Cards | Figure | NewPage


class Document(NamedTuple):
    """One paper: which one it is, of which build, when it was made, and its blocks.

    ``made`` is UTC seconds and ``made_says`` the same as it is printed, in the build's time zone.
    """

    paper: str
    title: str
    build: str
    made: float
    made_says: str
    blocks: tuple[Block, ...]
    aid: str = "A planning aid: check by measuring. Local rules, licensed practice and inspection come first."


def say(text: str, look: str = PLAIN) -> Says:
    """A paragraph of one text."""
    return Says((Text(text, look),))


def cell(*parts: Inline | str) -> Cell:
    """A cell of one paragraph."""
    return (tuple(Text(part) if isinstance(part, str) else part for part in parts),)


def stack(*paras: Para) -> Cell:
    """A cell of these paragraphs, one below the other; empty ones are left out."""
    return tuple(para for para in paras if para)


def row(*cells: Cell | str, strong: bool = False) -> Row:
    """A row; a text is a cell of its own."""
    return Row(tuple(cell(each) if isinstance(each, str) else each for each in cells), strong)


def texts(blocks: Iterable[Block]) -> Iterator[str]:
    """Every text of these blocks that is printed, in their order."""
    for block in blocks:
        match block:
            case Heading(text=text) | Caution(text=text):
                yield text
            case Says(para=para):
                yield from _of_para(para)
            case Table(columns=columns, rows=rows):
                yield from (column.title for column in columns)
                for each in rows:
                    for found in each.cells:
                        yield from _of_cell(found)
            case Cards(cards=cards):
                for card in cards:
                    yield card.title
                    yield from _of_cell(card.cell)
            case Figure(drawing=drawing, caption=caption):
                yield caption
                yield from drawing.texts()
            case NewPage():
                pass


def _of_cell(found: Cell) -> Iterator[str]:
    for para in found:
        yield from _of_para(para)


def _of_para(para: Para) -> Iterator[str]:
    for part in para:
        match part:
            case Text(text=text):
                yield text
            case Tick(says=says):
                yield says
            case Blank(says=says, unit=unit):
                yield says
                yield unit
