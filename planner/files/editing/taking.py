"""Two texts of one plan file, part by part, and one part of the other text taken over."""

from __future__ import annotations

import re
from difflib import SequenceMatcher
from typing import NamedTuple

_HEAD = re.compile(r"\s*(?:-\s*)?\{?\s*(step|stage|condition|title|build|numbers)\s*:\s*(.+?)\s*$")


class Part(NamedTuple):
    """Lines of ours that differ, ``start`` to ``end`` (from 0, the last not counted), and what theirs has there."""

    start: int
    end: int
    theirs: tuple[str, ...]  # each with its line end
    within: str  # the step or stage above, as it is written; empty at the top


def parts_of(ours: str, theirs: str) -> list[Part]:
    """Where two texts differ, from the top; line ends alone are no difference."""
    mine, other = ours.splitlines(keepends=True), theirs.splitlines(keepends=True)
    plain = [line.rstrip("\r\n") for line in mine]
    matcher = SequenceMatcher(None, plain, [line.rstrip("\r\n") for line in other], autojunk=False)
    return [
        Part(low, high, tuple(other[low2:high2]), _within(plain, low, other[low2:high2]))
        for how, low, high, low2, high2 in matcher.get_opcodes()
        if how != "equal"
    ]


def with_part(ours: str, part: Part) -> str:
    """Ours with one part as theirs has it, in our line ends. The part must be of this very text."""
    mine = ours.splitlines(keepends=True)
    end = "\r\n" if any(line.endswith("\r\n") for line in mine) else "\n"
    taken = [line.rstrip("\r\n") + end for line in part.theirs]
    if taken and part.start and not mine[part.start - 1].endswith("\n"):
        mine[part.start - 1] += end
    return "".join([*mine[: part.start], *taken, *mine[part.end :]])


def _within(lines: list[str], at: int, theirs: list[str]) -> str:
    """The step or stage that a part begins with, or stands in."""
    for line in [*theirs[:1], *lines[at : at + 1], *reversed(lines[:at])]:
        found = _HEAD.match(line)
        if found:
            return f"{found[1]} {found[2].split(',')[0]}"
    return ""
