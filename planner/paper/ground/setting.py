"""Paragraphs set in lines of a width: which words go together, where boxes and blanks stand. Pure but for widths."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple, Protocol

from planner.paper.ground.drawing import Mark, Stroke, Words, box, line
from planner.paper.ground.tree import LARGE, NUMBER, PLAIN, SMALL, STRONG, Blank, Cell, Para, Text, Tick

#: Look -> size of the letters in mm, and whether they are bold.
LOOKS = {PLAIN: (3.6, False), STRONG: (3.6, True), NUMBER: (5.2, True), LARGE: (4.4, False), SMALL: (2.9, False)}
_LEADING = 1.32  # a line's height by the size of its letters
_RISE = 0.98  # from the top of a line to its baseline, by the same
_BOX = 4.6  # the side of a box to tick
_GAP = 1.2  # beside a box or a blank
_WORD, _TICK, _RULE = "word", "tick", "rule"
_HARD = "\u00a0"  # a space at which no line is broken


class Widths(Protocol):
    """What setting a text asks of the letters."""

    def width(self, text: str, mm: float, bold: bool) -> float:
        """How wide a text is in letters of that size."""
        ...


class Line(NamedTuple):
    """A line that is set: its height, and what is drawn in it from its upper left corner."""

    height: float
    marks: tuple[Mark, ...]


class _Token(NamedTuple):
    """What is never broken: a word, a number, a box, a line to write on."""

    what: str
    width: float
    text: str = ""
    look: str = PLAIN
    done: bool = False
    space: float = 0.0  # before it, where it does not begin a line
    breaks: bool = False  # the line may be broken before it


def cell_lines(letters: Widths, cell: Cell, width: float) -> list[Line]:
    """The lines of a cell."""
    return [line for para in cell for line in para_lines(letters, para, width)]


def para_lines(letters: Widths, para: Para, width: float) -> list[Line]:
    """The lines of a paragraph; an empty one is an empty line."""
    rows: list[list[_Token]] = [[]]
    used = 0.0
    for cluster in _clusters(_tokens(letters, para, width)):
        wide = cluster[0].space + sum(token.width + token.space for token in cluster[1:]) + cluster[0].width
        if rows[-1] and used + wide > width + 1e-6:
            rows.append([])
            used = 0.0
        for token in cluster:
            space = token.space if rows[-1] else 0.0
            if rows[-1] and used + space + token.width > width + 1e-6:  # too wide for a line of its own
                rows.append([])
                used = space = 0.0
            rows[-1].append(token._replace(space=space))
            used += space + token.width
    return [_set(row) for row in rows]


def _clusters(tokens: Iterator[_Token]) -> Iterator[list[_Token]]:
    """Tokens in runs between which the line may be broken."""
    run: list[_Token] = []
    for token in tokens:
        if run and token.breaks:
            yield run
            run = []
        run.append(token)
    if run:
        yield run


def _tokens(letters: Widths, para: Para, width: float) -> Iterator[_Token]:
    gap = False
    for part in para:
        match part:
            case Text(text=text, look=look):
                yield from _words(letters, text, look, width, gap)
                gap = text[-1:] in (" ", "\n", "\t")
            case Tick(done=done, says=says):
                yield _Token(_TICK, _BOX, done=done, space=2 * _GAP, breaks=True)
                yield from _beside(letters, says, width)
                gap = True
            case Blank(says=says, mm=mm, unit=unit):
                yield from _words(letters, says, PLAIN, width, True)
                yield _Token(_RULE, min(mm, width), space=_GAP, breaks=not says)
                yield from _beside(letters, unit, width)
                gap = True


def _beside(letters: Widths, text: str, width: float) -> Iterator[_Token]:
    """Words that stay with the box or the blank before them."""
    for count, token in enumerate(_words(letters, text, PLAIN, width, True)):
        yield token._replace(space=_GAP, breaks=False) if count == 0 else token


def _words(letters: Widths, text: str, look: str, width: float, gap: bool) -> Iterator[_Token]:
    mm, bold = LOOKS[look]
    space = letters.width(" ", mm, bold)
    gap = gap or text[:1] in (" ", "\n", "\t")
    words = [_HARD.join(text.split())] if look == NUMBER else text.split(" ")
    for count, word in enumerate(each.strip("\n\t") for each in words):
        if not word:
            continue
        first = True
        for piece in _pieces(letters, word, mm, bold, width):
            may = (gap or count > 0) if first else True
            yield _Token(
                _WORD, letters.width(piece, mm, bold), piece, look, space=space if may and first else 0.0, breaks=may
            )
            first = False


def _pieces(letters: Widths, word: str, mm: float, bold: bool, width: float) -> Iterator[str]:
    """A word whole, or what fits of it in lines of its own."""
    while word:
        fits = len(word)
        if letters.width(word, mm, bold) > width:
            used = 0.0
            for count, char in enumerate(word):
                used += letters.width(char, mm, bold)
                if used > width:
                    fits = max(1, count)
                    break
        yield word[:fits]
        word = word[fits:]


def _set(row: Sequence[_Token]) -> Line:
    largest = max((LOOKS[token.look][0] for token in row), default=LOOKS[PLAIN][0])
    tall = largest * _LEADING
    if any(token.what != _WORD for token in row):
        tall = max(tall, _BOX + 1.6)
    baseline = tall - largest * (_LEADING - _RISE) - (0.5 if tall > largest * _LEADING else 0)
    marks: list[Mark] = []
    x = 0.0
    for token in row:
        x += token.space
        marks += _marks(token, x, baseline)
        x += token.width
    return Line(tall, tuple(marks))


def _marks(token: _Token, x: float, y: float) -> list[Mark]:
    if token.what == _WORD:
        mm, bold = LOOKS[token.look]
        return [Words(x, y, token.text, mm, bold)]
    if token.what == _RULE:
        return [line((x, y + 0.6), (x + token.width, y + 0.6))]
    top = y - _BOX + 0.9
    found: list[Mark] = [box(x, top, _BOX, _BOX, 0.35)]
    if token.done:
        found.append(Stroke(((x + 0.9, top + 2.4), (x + 1.9, top + 3.6), (x + 3.8, top + 0.9)), 0.7))
    return found
