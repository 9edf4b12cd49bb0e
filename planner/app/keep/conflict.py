"""A file that was changed outside meanwhile: both texts are shown, and the person chooses."""

from __future__ import annotations

from planner.app.frame.choose import Choose
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
        line(("Nothing was saved. Tab and Page Down go through the texts.", "dim")),
    ]
    answers = [each for each in _ANSWERS if both or each[0] != "both"]
    return Choose(both_lines(path, mine, theirs, before), answers, head=head, left="theirs")
