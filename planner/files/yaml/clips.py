"""Items cut out of a list with their comments, and put into another as they were written."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import NamedTuple

from planner.files.yaml import block as editing_block
from planner.files.yaml import flow as editing_flow
from planner.files.yaml import put as editing_put
from planner.files.yaml.block import Splice, apply, needs_closing, shifted
from planner.files.yaml.comments import keeps_blanks, region
from planner.files.yaml.places import Branch, Doc, EditError, Leaf, Node, Path, Value, parse, value_of
from planner.files.yaml.style import brackets, style_of

_COMMENT = re.compile(r"#[^\r\n]*")


class Clip(NamedTuple):
    """An item as it is written: its lines, the column of its dash (of itself, in brackets), its comments."""

    lines: tuple[str, ...]
    column: int
    flow: bool
    comments: tuple[str, ...]  # for where its lines cannot stand
    value: Value
    keeps: bool = False  # ends in a text that keeps the blank lines below it


def copy(text: str, path: Path, index: int) -> Clip:
    """An item of the list at a path."""
    doc = parse(text)
    branch = doc.branch(path)
    if branch.keyed or not 0 <= index < len(branch.entries):
        raise EditError(f"there is no item {index + 1} in this list")
    entry = branch.entries[index]
    value = value_of(entry.node)
    if branch.flow:
        editing_flow.refuse_bare(branch)
        rows = doc.text[entry.start : entry.end].split("\n")
        column = entry.start - doc.line_start(entry.start)
        own = editing_flow.own_comments(doc, branch, index)
        return Clip(tuple(line.removesuffix("\r") for line in rows), column, True, tuple(own), value)
    if region(doc, branch, index).end == len(doc.text):
        doc = parse(closed(doc.text))
        branch = doc.branch(path)
    area = region(doc, branch, index)
    found = tuple(_comments(doc, branch.entries[index].node, area.start, area.end))
    lines = tuple(editing_block.item_text(doc, branch, index))
    return Clip(lines, branch.column, False, found, value, keeps_blanks(doc, branch, index))


def _comments(doc: Doc, node: Node, start: int, end: int) -> Iterator[str]:
    """Every comment from start to end; a ``#`` within a value is none."""
    at = start
    for leaf in _leaves(node):
        yield from _COMMENT.findall(doc.text, at, leaf.start)
        if leaf.style in ("|", ">"):
            yield from _COMMENT.findall(doc.text, leaf.start, min(doc.line_end(leaf.start), leaf.end))
        at = leaf.end
    yield from _COMMENT.findall(doc.text, at, end)


def _leaves(node: Node) -> Iterator[Leaf]:
    if isinstance(node, Leaf):
        yield node
        return
    for entry in node.entries:
        if entry.key is not None:
            yield entry.key
        yield from _leaves(entry.node)


def paste(doc: Doc, path: Path, index: int, clip: Clip) -> list[Splice]:
    """Put an item into the list at a path, before that at index."""
    target = doc.find(path)
    style = style_of(doc)
    if isinstance(target, Branch) and target.entries:
        if target.flow:
            return [*_comments_above(doc, path, clip), *_into_brackets(doc, target, index, clip)]
        lines = (
            _dashed(clip, target.column, style.gap)
            if clip.flow
            else shifted(list(clip.lines), target.column - clip.column)
        )
        return editing_block.insert_items(doc, target, index, [lines], style.newline, clip.keeps)
    if target is None:
        raise EditError("there is no list here to put it into")
    branch, at = doc.chain(path)[-1]
    seat = editing_put.Seat(doc, branch, at, style, *editing_put.names(path))
    if not branch.flow and not (isinstance(target, Branch) and "#" in doc.text[target.start : target.end]):
        lines = _dashed(clip, 0, style.gap) if clip.flow else list(clip.lines)
        return editing_put.put_first(seat, lines, 0 if clip.flow else clip.column, clip.keeps)
    if isinstance(target, Branch):
        return [*_comments_above(doc, path, clip), *_into_brackets(doc, target, 0, clip)]
    return [*_comments_above(doc, path, clip), *editing_put.put(seat, [clip.value], False)]


def _dashed(clip: Clip, column: int, gap: int) -> list[str]:
    """An item from brackets with a dash, its comments above it."""
    least = min((len(line) - len(line.lstrip(" ")) for line in clip.lines[1:] if line.strip()), default=clip.column)
    rest = shifted(list(clip.lines[1:]), column + 1 + gap - min(least, clip.column))
    pad = " " * column
    return [*(pad + each for each in clip.comments), pad + "-" + " " * gap + clip.lines[0], *rest]


def _into_brackets(doc: Doc, target: Branch, index: int, clip: Clip) -> list[Splice]:
    style = style_of(doc)
    text = style.newline.join(clip.lines) if clip.flow else brackets(clip.value, style)
    return editing_flow.insert(doc, target, index, text, style.newline, style.loose_list)


def _comments_above(doc: Doc, path: Path, clip: Clip) -> list[Splice]:
    """The comments of an item whose lines go, above the lines of the block it goes into."""
    if not clip.comments:
        return []
    at, column = doc.line_start(doc.root.start), 0
    for branch, index in doc.chain(path):
        entry = branch.entries[index]
        if not branch.flow and doc.is_first(entry.start):
            at, column = doc.line_start(entry.start), branch.column
    newline = style_of(doc).newline
    return [Splice(at, at, "".join(" " * column + each + newline for each in clip.comments))]


def edit(text: str, make: Callable[[Doc], list[Splice]]) -> str:
    """A text with splices made; its last line gets its break first where something comes to stand below it."""
    doc = parse(text)
    splices = make(doc)
    if needs_closing(doc, splices):
        text = closed(text)
        doc = parse(text)
        splices = make(doc)
    return apply(text, splices)


def closed(text: str) -> str:
    """A text whose last line has its break, and says what it said.

    A block scalar in that line may need another ``-`` or ``+`` behind its ``|`` for that, or lose space at its
    very end.
    """
    doc = parse(text)
    newline = style_of(doc).newline
    last = doc.root
    while isinstance(last, Branch) and last.entries:
        last = last.entries[-1].node
    if not isinstance(last, Leaf) or last.style not in ("|", ">") or last.stop < len(text):
        return text + newline
    wanted = last.event.value
    head = re.compile(r"[|>]([1-9]?)[-+]?([1-9]?)").match(text, last.start)
    digits = (head.group(1) + head.group(2)) if head is not None else ""
    end = head.end() if head is not None else last.start + 1
    bare = text.rstrip(" ")
    for body in (text + newline, bare + newline, bare):
        for chomp in ("", "-", "+"):
            same_head = chomp == ""
            mark = text[last.start : end] if same_head else text[last.start] + digits + chomp
            made = apply(body, [Splice(last.start, end, mark)])
            if made.endswith("\n") and _last_text(made) == wanted:
                return made
    raise EditError("the last text of the file cannot be followed by anything; end it with a line break first")


def _last_text(text: str) -> str | None:
    last = parse(text).root
    while isinstance(last, Branch) and last.entries:
        last = last.entries[-1].node
    return last.event.value if isinstance(last, Leaf) else None
