"""What is read at two metres: what to do, as large as the screen allows, and the number that counts. Pure."""

from __future__ import annotations

import re
from typing import NamedTuple

from planner.app.draw.big import HEIGHT, big, big_text
from planner.app.draw.drawing import fold, shortened
from planner.plan.expand import Operation
from planner.plan.fill import JOB, Number, filled, references
from planner.plan.model import Build
from planner.telling.looks import Line, line, literal

SHORTEST = 8  # letters that say what to do
_CLAUSE = re.compile(r"[,;:(–]")
MOST = 4  # lines of large letters: more is no longer read at a glance


class Counts(NamedTuple):
    """A number of the step: its name, as it is read off the tape, and the rest of how it is shown."""

    name: str
    short: str
    exact: str


def short_of(number: Number) -> str:
    """The one form of a number that the shop uses: ``3 1/2 in`` of ``3 1/2 in (88.90 mm)``."""
    return number[1].partition(" (")[0].partition(" ± ")[0]


def exact_of(number: Number) -> str:
    """What is shown of a number behind its one form: its exact value in both systems, and its ±."""
    brief, bracket, exact = number[1].partition(" (")
    said = exact.replace(")", "", 1) if bracket and "±" not in brief else "".join(number[1].partition("± ")[1:])
    return said.partition(" (")[0]  # its ± in one system


def short_said(build: Build, op: Operation) -> str:
    """What an operation says is to be done, each length in one form."""
    return filled(op.step.do, build.numbers, op.side, build.sides, short_of)


def counting(build: Build, op: Operation) -> list[Counts]:
    """The numbers of an operation, in the order in which its words name them."""
    found: list[Counts] = []
    for reference in references(op.step.do):
        number = build.numbers.get(reference.name) or {}
        side = reference.side or op.side
        mine = number.get(JOB) or (number.get(side) if side is not None else None)
        if mine is not None:  # done once, with a number for each side: the words have them all
            found.append(Counts(reference.name, short_of(mine), exact_of(mine)))
    return list(dict.fromkeys(found))


class Sheet(NamedTuple):
    """What is read at two metres, and how many rows it leaves free."""

    lines: list[Line]
    left: int


def sheet(build: Build, op: Operation, width: int, rows: int) -> Sheet:
    """The words of an operation and its numbers in so many rows: the words as large as can be, the number that
    counts as large as the rest allows. Small letters take the rows that they need."""
    numbers = counting(build, op)
    lines = word_lines(short_said(build, op), width, rows - len(numbers))
    lines += number_lines(numbers, width, rows - len(lines) - len(numbers) + 1)
    return Sheet(lines, max(0, rows - len(lines)))


def word_lines(text: str, width: int, rows: int) -> list[Line]:
    """The words of a step in letters as large as the width and that many rows allow, else strong and small."""
    drawn = big_text(text, width, min(MOST, rows // HEIGHT))
    if drawn is not None:
        return [line((row, "large")) for row in drawn]
    small = fold([line((literal(text), "large"))], width)
    # Not all of it fits: the first of it that says something by itself does, as large; all of it stands below.
    for end in reversed([found.start() for found in _CLAUSE.finditer(text)]):
        drawn = big_text(text[:end], width, min(MOST, (rows - len(small)) // HEIGHT)) if end >= SHORTEST else None
        if drawn is not None:
            return [*(line((row, "large")) for row in drawn), *small]
    for end in reversed([at for at, letter in enumerate(text) if letter == " " and at >= SHORTEST]):
        drawn = big_text(f"{text[:end].rstrip(' ,;:')} …", width, min(MOST, (rows - len(small)) // HEIGHT))
        if drawn is not None:  # no clause does: as many words as do, since the small ones are not read at two metres
            return [*(line((row, "large")) for row in drawn), *small]
    return small


def number_lines(numbers: list[Counts], width: int, rows: int) -> list[Line]:
    """The number that counts in large numerals, where there are rows for it, with its name and its exact value beside
    or below it; the others in a line each."""
    lines: list[Line] = []
    for at, (name, short, exact) in enumerate(numbers):
        drawn = big(short) if at == 0 and rows > HEIGHT else None
        about = f"{name}   {exact}" if exact else name
        if drawn is None or len(drawn[0]) > width:
            lines.append(shortened(line((short, "number"), f"   {about}"), width))
        elif len(drawn[0]) + 2 + len(about) <= width:
            lines += [line((drawn[0], "number")), line((drawn[1], "number"), f"  {about}"), line((drawn[2], "number"))]
        else:
            lines += [*(line((row, "number")) for row in drawn), shortened(line(about), width)]
    return lines
