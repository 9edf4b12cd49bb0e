"""Putting a value in the place of another, whatever either is written as."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from planner.files.yaml import block as editing_block
from planner.files.yaml import flow as editing_flow
from planner.files.yaml.block import Splice, shifted
from planner.files.yaml.comments import region
from planner.files.yaml.places import Branch, Doc, EditError, Entry, Leaf, Path, Value
from planner.files.yaml.scalars import inline, text_block
from planner.files.yaml.style import (
    Style,
    brackets,
    indented,
    item_lines,
    key_lines,
    key_text,
    style_of,
)

_HEADER = re.compile(r"[|>][-+0-9]*")


class Seat(NamedTuple):
    """One item or key in a document, and the names that its style depends on."""

    doc: Doc
    branch: Branch
    at: int
    style: Style
    name: str  # the key it is, or the key that its list is under
    parent: str  # the key that its mapping is under

    @property
    def entry(self) -> Entry:
        """The item or key itself."""
        return self.branch.entries[self.at]


def seat_of(doc: Doc, path: Path) -> Seat:
    """The item or key at a path. Raises EditError where there is none."""
    branch, index = doc.chain(path)[-1]
    style = style_of(doc)
    if not branch.keyed and not branch.flow:
        style = style._replace(gap=gap_of(doc, branch.entries[index], style.gap))
    return Seat(doc, branch, index, style, *names(path))


def names(path: Path) -> tuple[str, str]:
    """The key a value is under, and the key that the mapping around it is under."""
    keys = [part for part in path if isinstance(part, str)]
    name = keys[-1] if keys else ""
    around = path[-2] if len(path) > 1 and isinstance(path[-1], str) else ""
    return name, around if isinstance(around, str) else ""


def put(at: Seat, value: Value, plain: bool) -> list[Splice]:
    """Put a value in the place of what an item or key has; ``plain``: texts of several lines in quotes."""
    node = at.entry.node
    if at.branch.flow:
        return _put_inside(at, value)
    if isinstance(node, Leaf) and node.style in ("|", ">") and isinstance(value, str) and not plain:
        made = text_block(value, node.style)
        if made is not None:
            return _put_lines(at, " " + made[0], indented(made[1], _width(at, node)))
    quotes = isinstance(node, Leaf) and node.style in ("'", '"') and "\n" in node.event.value
    if isinstance(node, Leaf) and isinstance(value, str) and (plain or quotes or "\n" not in value):
        rest = " " + inline(value, False, '"' if at.style.all_quoted else node.style, at.style.quote)
        return _put_lines(at, rest, [])
    lines = _lines(at, value, plain)
    return _put_lines(at, lines[0], lines[1:])


def _lines(at: Seat, value: Value, plain: bool) -> list[str]:
    """A value's lines behind the colon or dash."""
    column = at.branch.column
    if at.branch.keyed:
        lines = key_lines(at.name, value, column, at.style, at.parent, plain)
        return [lines[0][column + len(key_text(at.name, at.style)) + 1 :], *lines[1:]]
    lines = item_lines(value, column, at.style, at.name, None, plain)
    return [lines[0][column + 1 :], *lines[1:]]


def _width(at: Seat, node: Leaf) -> int:
    """The column in which the lines of a block scalar stand."""
    for line in at.doc.text[node.start : node.end].split("\n")[1:]:
        if line.strip():
            return len(line) - len(line.lstrip(" "))
    return at.branch.column + at.style.indent


def _put_inside(at: Seat, value: Value) -> list[Splice]:
    entry, node = at.entry, at.entry.node
    style = node.style if isinstance(node, Leaf) and not at.style.all_quoted else ""
    as_before = isinstance(value, str) and style
    text = inline(value, True, style, at.style.quote) if as_before else brackets(value, at.style)  # type: ignore[arg-type]
    if not entry.empty:
        return [Splice(node.start, node.end, text)]
    if entry.mark < 0 and at.branch.keyed:
        return [Splice(entry.end, entry.end, f": {text}")]
    return [Splice(entry.end, entry.end, f" {text}")]


def _put_lines(at: Seat, rest: str, lines: list[str]) -> list[Splice]:
    """Put ``rest`` behind the colon or dash and lines below it, in the place of the present value."""
    doc, entry, node = at.doc, at.entry, at.entry.node
    newline = at.style.newline
    body = "".join(line + newline for line in lines)
    floor = entry.mark
    if entry.mark < 0:
        raise EditError(f"the key {entry.name} is written with ? and no colon; write it as {entry.name}: first")
    below = doc.next_line(floor)
    if entry.empty:
        return [Splice(floor, floor, rest), *_below(below, below, body)]
    if isinstance(node, Branch) and not node.flow:
        first, last = region(doc, node, 0), region(doc, node, len(node.entries) - 1)
        if doc.line(node.start) == doc.line(floor):
            end = doc.next_line(last.end)
            return [Splice(floor, last.end, rest), *_below(end, end, body)]
        begin = doc.starts[doc.line(first.start) - first.above]
        return [Splice(floor, floor, rest), *_below(begin, doc.next_line(last.end), body)]
    if isinstance(node, Leaf) and node.style in ("|", ">"):
        found = _HEADER.match(doc.text, node.start)
        head = found.end() if found is not None else node.start + 1
        begin = doc.next_line(node.start)
        old_end = doc.next_line(node.end) if node.end > begin else begin
        return [Splice(floor if not rest else node.start, head, rest.strip()), *_below(begin, old_end, body)]
    if doc.line(node.start) == doc.line(floor):
        end = doc.next_line(node.end)
        if rest.startswith(" ") and node.start > floor:  # what space stood behind the colon stays
            return [Splice(node.start, node.end, rest.lstrip(" ")), *_below(end, end, body)]
        return [Splice(floor, node.end, rest), *_below(end, end, body)]
    if not body:
        return [Splice(node.start, node.end, rest.strip())]
    after = doc.next_line(node.end)
    comment = doc.text.find("#", node.end, after)
    if comment >= 0:  # the comment behind the value stays, on a line of its own
        return [Splice(floor, floor, rest), Splice(node.start, comment, ""), Splice(after, after, body)]
    return [Splice(floor, floor, rest), Splice(doc.line_start(node.start), after, body)]


def _below(start: int, end: int, body: str) -> list[Splice]:
    return [Splice(start, end, body)] if body or end > start else []


def add_key(doc: Doc, path: Path, index: int, value: Value, plain: bool) -> list[Splice]:
    """Put a key that is not there yet into the mapping around it, before the key at index."""
    branch = doc.branch(path[:-1])
    style = style_of(doc)
    name, parent = names(path)
    if branch.flow:
        text = f"{key_text(name, style, True)}: {brackets(value, style)}"
        return editing_flow.insert(doc, branch, index, text, style.newline, style.loose_map)
    lines = key_lines(name, value, branch.column, style, parent, plain)
    return editing_block.insert_key(doc, branch, index, lines, style.newline)


def add_items(doc: Doc, path: Path, index: int, values: Sequence[Value], plain: bool) -> list[Splice]:
    """Put items into the list at a path, before that at index."""
    branch = doc.branch(path)
    style = style_of(doc)
    if branch.flow:
        text = ", ".join(brackets(value, style) for value in values)
        return editing_flow.insert(doc, branch, index, text, style.newline, style.loose_list)
    near = branch.entries[min(max(index - 1, 0), len(branch.entries) - 1)]
    style = style._replace(gap=gap_of(doc, near, style.gap))
    block = not near.node.flow if isinstance(near.node, Branch) else None
    items = [item_lines(value, branch.column, style, names(path)[0], block, plain) for value in values]
    return editing_block.insert_items(doc, branch, index, items, style.newline)


def gap_of(doc: Doc, entry: Entry, usual: int) -> int:
    """The spaces behind the dash of an item."""
    inner = entry.node.start
    return inner - entry.mark if not entry.empty and doc.line(inner) == doc.line(entry.start) else usual


def put_first(at: Seat, lines: list[str], column: int, keeps: bool) -> list[Splice]:
    """Put the lines of one item, now in ``column``, into the place of an empty list or nothing.

    ``keeps``: they end in a text that would take blank lines below it for its own.
    """
    here = at.branch.column + (at.style.dash if at.branch.keyed else 1 + at.style.gap)
    *head, body = _put_lines(at, "", shifted(lines, here - column))
    line = at.doc.line(body.end)
    while keeps and body.start == body.end and line < at.doc.lines and at.doc.comment(line) == -1:
        line += 1
        body = Splice(at.doc.begin(line), at.doc.begin(line), body.text)
    return [*head, body]
