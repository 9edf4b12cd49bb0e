"""Edits of block lists and mappings, as pieces to cut out of a text and to put in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.files.yaml.comments import keeps_blanks, region
from planner.files.yaml.places import Branch, Doc


class Splice(NamedTuple):
    """Put ``text`` in the place of what stands from ``start`` to ``end``."""

    start: int
    end: int
    text: str


def apply(text: str, splices: list[Splice]) -> str:
    """A text with splices made; they must not overlap, and those at one place go in as listed."""
    out = []
    at = 0
    for splice in sorted(splices, key=lambda each: each.start):
        out += [text[at : splice.start], splice.text]
        at = splice.end
    return "".join([*out, text[at:]])


def remove(doc: Doc, branch: Branch, index: int) -> list[Splice]:
    """Take out an item or key with all that belongs to it."""
    entries = branch.entries
    if len(entries) == 1:
        return clear(doc, branch, "{}" if branch.keyed else "[]")
    entry = entries[index]
    area = region(doc, branch, index)
    if area.shares:  # the first, on the line of a dash
        following = entries[index + 1]
        if region(doc, branch, 1).start == doc.line_start(following.start) == doc.next_line(area.end):
            return [Splice(entry.start, following.start, "")]
        return [Splice(_behind_text(doc, entry.start), area.end, "")]
    first, after = doc.line(area.start), doc.line(area.end) + 1
    touches = index > 0 and region(doc, branch, index - 1).end == doc.line_end(doc.starts[first - 1])
    if index == 0 or (touches and keeps_blanks(doc, branch, index - 1)):
        after += area.below
    else:
        first -= area.above
    return [Splice(doc.starts[first], doc.begin(after), "")]


def clear(doc: Doc, branch: Branch, instead: str) -> list[Splice]:
    """Take out all of a block and put something into its line instead."""
    first, last = region(doc, branch, 0), region(doc, branch, len(branch.entries) - 1)
    if branch is doc.root:
        return [Splice(first.start, last.end, instead)]
    if doc.line(branch.start) == doc.line(branch.floor):
        return [Splice(branch.start, last.end, instead)]
    begin = doc.starts[doc.line(first.start) - first.above]
    put = [Splice(branch.floor, branch.floor, " " + instead)] if instead else []
    return [*put, Splice(begin, doc.next_line(last.end), "")]


def insert_items(
    doc: Doc, branch: Branch, index: int, items: Sequence[list[str]], newline: str, keeps: bool = False
) -> list[Splice]:
    """Put the lines of items in before that at index; blank lines part them as their neighbours are parted.

    ``keeps``: the last new item ends in a text that would take blank lines below it for its own.
    """
    count = len(branch.entries)
    if index >= count:
        return _behind(doc, branch, count - 1, items, newline, keeps)
    area = region(doc, branch, index)
    if area.shares:
        return _share(doc, branch, [line for lines in items for line in lines], newline)
    part = 0 if keeps else area.above if index else region(doc, branch, 1).above if count > 1 else 0
    return [Splice(area.start, area.start, newline.join([*_parted(items, part), *[""] * part, ""]))]


def insert_key(doc: Doc, branch: Branch, index: int, lines: list[str], newline: str) -> list[Splice]:
    """Put a key's lines in behind the key before that at index."""
    if index > 0:
        return _behind(doc, branch, index - 1, [lines], newline)
    area = region(doc, branch, 0)
    if area.shares:
        return _share(doc, branch, lines, newline)
    return [Splice(area.start, area.start, newline.join([*lines, ""]))]


def _behind(
    doc: Doc, branch: Branch, index: int, items: Sequence[list[str]], newline: str, keeps: bool = False
) -> list[Splice]:
    area = region(doc, branch, index)
    at = doc.next_line(area.end)
    between = area.above if index > 0 else 0
    part = 0 if keeps_blanks(doc, branch, index) else between
    if keeps and area.below:  # behind the blank lines, and parted by them
        at, part = doc.begin(doc.line(area.end) + 1 + area.below), 0
    return [Splice(at, at, newline.join([*[""] * part, *_parted(items, between), ""]))]


def _parted(items: Sequence[list[str]], part: int) -> list[str]:
    """The lines of items with blank lines between them."""
    out = list(items[0])
    for lines in items[1:]:
        out += [*[""] * part, *lines]
    return out


def _share(doc: Doc, branch: Branch, lines: list[str], newline: str) -> list[Splice]:
    """Put lines in before a first entry in the line of a dash, which then stands on a line of its own."""
    at = branch.entries[0].start
    column = branch.column
    if lines[0].lstrip(" ").startswith("#"):  # its comments cannot stand behind the dash
        return [Splice(_behind_text(doc, at), at, newline.join(["", *lines, " " * column]))]
    return [Splice(at, at, newline.join([lines[0][column:], *lines[1:], " " * column]))]


def _behind_text(doc: Doc, at: int) -> int:
    """The end of what stands before a place in its line."""
    begin = doc.line_start(at)
    return begin + len(doc.text[begin:at].rstrip(" "))


def item_text(doc: Doc, branch: Branch, index: int) -> list[str]:
    """The lines of an item with all that belongs to it, as they stand in its column."""
    area = region(doc, branch, index)
    text = doc.text[area.start : area.end]
    if area.shares:
        text = " " * branch.column + text
    return [line.removesuffix("\r") for line in text.split("\n")]


def shifted(lines: list[str], by: int) -> list[str]:
    """Lines pushed in or pulled out; those that have not enough space lose what they have."""
    if by >= 0:
        return [" " * by + line if line else line for line in lines]
    return [line[min(-by, len(line) - len(line.lstrip(" "))) :] for line in lines]


def needs_closing(doc: Doc, splices: list[Splice]) -> bool:
    """Whether something would be put behind a last line that has no break."""
    size = len(doc.text)
    return any(each.start == size and each.text for each in splices) and size > 0 and doc.text[-1] not in "\r\n"
