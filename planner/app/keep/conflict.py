"""A file, or an input in it, that was changed outside meanwhile: both are shown, and the person chooses."""

from __future__ import annotations

from collections.abc import Mapping

from planner.app.frame.choose import Choose
from planner.session.numbers.draft import Typed, Where
from planner.telling.edit import file_lines
from planner.telling.looks import Line, line

_ANSWERS = (
    ("theirs", "The file's: keep the file as it is on the disk, without my edit"),
    ("both", "Both: make my edit once more, in the text of the file"),
    ("mine", "Yours: put your text in its place; what the file says is gone then"),
)


def both_lines(path: str, mine: bytes | None, theirs: bytes | None, before: bytes | None) -> list[Line]:
    """What they changed and what I would change, line by line."""
    was, now, own = _text(before), _text(theirs), _text(mine)
    return [
        line(("The file: what was changed on the disk", "title")),
        *file_lines(path, was, now),
        (),
        line(("Yours: what this edit would have changed", "title")),
        *file_lines(path, was, own),
    ]


def _text(raw: bytes | None) -> str | None:
    return None if raw is None else raw.decode("utf-8", "replace")


def conflict(path: str, mine: bytes | None, theirs: bytes | None, before: bytes | None, *, both: bool) -> Choose:
    """The question; its answer is theirs, both or mine. Leaving it keeps theirs."""
    head = [
        line((f"{path} was changed outside meanwhile", "trap")),
        line(("Nothing was saved. Page Down goes through the texts.", "dim")),
    ]
    answers = [each for each in _ANSWERS if both or each[0] != "both"]
    return Choose(both_lines(path, mine, theirs, before), answers, head=head, left="theirs")


def inputs_conflict(clashes: Mapping[Where, tuple[Typed, Typed, Typed]]) -> Choose:
    """The same about single numbers: what each was when it was typed over, what the file says, and what was typed.

    Its answer is leave, theirs or mine.
    """
    lines: list[Line] = [line(("numbers.yaml was changed outside, in the same place", "trap"))]
    for where, (old, theirs, mine) in clashes.items():
        lines += [
            (),
            line((".".join(where), "strong"), ("   it was ", "dim"), _words(old)),
            line(("the file  ", "head"), _words(theirs)),
            line(("yours     ", "head"), _words(mine)),
        ]
    answers = [
        ("theirs", "The file's: keep what the file says, without what was typed"),
        ("leave", "Both: write nothing now; the form shows both, to be typed again"),
        ("mine", "Yours: write what was typed over it"),
    ]
    return Choose(lines, answers)


def _words(value: Typed) -> str:
    if isinstance(value, str):
        return value
    return ", ".join(f"{side} {text}" for side, text in value.items()) if value else "not given"
