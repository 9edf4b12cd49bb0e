"""Plan files as trees of places: where in the text every value, key, dash, colon and comma stands.

Reading keeps what values say; this keeps where they are written, so that an edit can be cut into the text.
What the parser's marks do not say, or say otherwise than an editor wants, is put right here:

* a block collection's end mark runs on to the next token: here it ends with its last value;
* a block scalar's span swallows the blank lines after it: here it ends with its last line of text (unless it
  keeps blank lines, ``|+``);
* an empty value has a mark somewhere after its colon or dash: here it stands right behind it;
* a byte-order mark shifts marks by one: it is taken off first, and put back by whoever writes.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Callable, Sequence
from functools import lru_cache
from typing import Any, NamedTuple, Union

import yaml
from yaml.events import (
    DocumentEndEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from planner.files.yaml import tree as yamltree
from planner.files.yaml.tree import MAX_DEPTH, Problems, Scalar, scalar

BOM = "\ufeff"
_Loader: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SKIP = re.compile(r"(?:[ \t\r\n]+|#[^\r\n]*)*")
_BREAK = re.compile(r"\r\n|\n")
_HEADER = re.compile(r"[|>](?:([1-9])[-+]?|[-+]([1-9])?)?")

Path = tuple[str | int, ...]
Value = Union[Scalar, list["Value"], dict[str, "Value"]]  # noqa: UP007  # it names itself


class EditError(Exception):
    """An edit that cannot be made; says why and what to do. Nothing was changed."""


class Leaf:
    """A scalar. ``stop`` is where the parser ends it, ``end`` where its text does."""

    __slots__ = ("end", "event", "start", "stop")

    def __init__(self, event: ScalarEvent, start: int, end: int, stop: int) -> None:
        self.event = event
        self.start = start
        self.end = end
        self.stop = stop

    @property
    def style(self) -> str:
        """Empty for a plain scalar, else ``'``, ``"``, ``|`` or ``>``."""
        return self.event.style or ""

    @property
    def empty(self) -> bool:
        """Whether nothing at all is written there."""
        return self.start == self.end


class Branch:
    """A mapping (``keyed``) or a list; in brackets (``flow``) or as a block, whose column its entries share.

    ``floor`` is where the text before it ends: behind the colon or dash that it belongs to.
    """

    __slots__ = ("bare", "column", "end", "entries", "floor", "flow", "keyed", "start")

    def __init__(self, keyed: bool, flow: bool, start: int, column: int, floor: int) -> None:
        self.keyed = keyed
        self.flow = flow
        self.bare = False  # a pair in a list without braces of its own: [a: b]
        self.start = start
        self.end = start
        self.column = column
        self.floor = floor
        self.entries: list[Entry] = []


Node = Leaf | Branch


class Entry(NamedTuple):
    """One item or one key with its value."""

    start: int  # of the dash, the key, or the item in brackets
    key: Leaf | None
    mark: int  # behind the dash or colon; -1 where there is none
    node: Node
    end: int
    comma: int  # of the comma after it; -1 where there is none

    @property
    def name(self) -> str:
        """The text of the key."""
        return self.key.event.value if self.key is not None else ""

    @property
    def empty(self) -> bool:
        """Whether it has no value."""
        return isinstance(self.node, Leaf) and self.node.empty


class Doc:
    """A parsed text, without its byte-order mark."""

    __slots__ = ("_value", "lines", "root", "starts", "text")

    def __init__(self, text: str, root: Node) -> None:
        self.text = text
        self.root = root
        self._value: list[Value] = []
        self.starts = [0, *(found.end() for found in _BREAK.finditer(text))]
        self.lines = len(self.starts) - (self.starts[-1] == len(text))

    @property
    def value(self) -> Value:
        """What the whole text says; not to be changed."""
        if not self._value:
            self._value.append(value_of(self.root))
        return self._value[0]

    def line(self, at: int) -> int:
        """The line that a place is in, counting from nought."""
        return bisect_right(self.starts, at) - 1

    def line_start(self, at: int) -> int:
        """Where the line of a place begins."""
        return self.starts[self.line(at)]

    def begin(self, line: int) -> int:
        """Where a line begins; the end of the text for those after the last."""
        return self.starts[line] if line < len(self.starts) else len(self.text)

    def next_line(self, at: int) -> int:
        """Where the line after that of a place begins; the end of the text after the last."""
        return self.begin(self.line(at) + 1)

    def line_end(self, at: int) -> int:
        """Where the line of a place ends, before its break."""
        end = self.next_line(at)
        if end > 0 and self.text[end - 1] == "\n":
            end -= 1
            if end > 0 and self.text[end - 1] == "\r":
                end -= 1
        return max(end, at)

    def is_first(self, at: int) -> bool:
        """Whether nothing but space stands before a place in its line."""
        return not self.text[self.line_start(at) : at].strip(" ")

    def comment(self, line: int) -> int:
        """The column of a line that is a comment alone; -1 for a blank line, -2 for anything else."""
        content = self.text[self.starts[line] : self.begin(line + 1)]
        bare = content.lstrip(" \t")
        if bare.startswith("#"):
            return len(content) - len(bare)
        return -1 if not bare.strip("\r\n") else -2

    def chain(self, path: Path) -> list[tuple[Branch, int]]:
        """The way to a value: each collection with the index in it. Raises EditError where there is none."""
        node: Node = self.root
        out: list[tuple[Branch, int]] = []
        for at, part in enumerate(path):
            index = index_of(node, part)
            if index is None or not isinstance(node, Branch):
                raise EditError(f"there is no {show_path(path[: at + 1])} in this file")
            out.append((node, index))
            node = node.entries[index].node
        return out

    def find(self, path: Path) -> Node | None:
        """The value at a path, or None."""
        node: Node = self.root
        for part in path:
            index = index_of(node, part)
            if index is None or not isinstance(node, Branch):
                return None
            node = node.entries[index].node
        return node

    def branch(self, path: Path) -> Branch:
        """The collection at a path. Raises EditError where there is none."""
        found = self.find(path)
        if not isinstance(found, Branch):
            raise EditError(f"{show_path(path)} is not a list and holds no keys in this file")
        return found


def index_of(node: Node, part: str | int) -> int | None:
    """Where a key or an item stands in a collection."""
    if not isinstance(node, Branch):
        return None
    if isinstance(part, int):
        return part if not node.keyed and 0 <= part < len(node.entries) else None
    if node.keyed:
        for index, entry in enumerate(node.entries):
            if entry.key is not None and entry.key.event.value == part:
                return index
    return None


def show_path(path: Sequence[str | int]) -> str:
    """A path in words, items counting from one."""
    return " ".join(f"{part + 1}" if isinstance(part, int) else f"{part}:" for part in path) or "the file"


def value_of(node: Node) -> Value:
    """What a value says."""
    if isinstance(node, Leaf):
        return scalar(node.event)
    if node.keyed:
        return {entry.name: value_of(entry.node) for entry in node.entries}
    return [value_of(entry.node) for entry in node.entries]


def skip(text: str, at: int) -> int:
    """The next place that is not space, a break or a comment."""
    found = _SKIP.match(text, at)
    return found.end() if found is not None else at


@lru_cache(maxsize=8)
def parse(text: str) -> Doc:
    """The tree of a text. Raises EditError, with the place and what to do, when it cannot be read."""
    body = text.removeprefix(BOM)
    try:
        return Doc(body, _Builder(body).document())
    except (_RefusedError, yaml.YAMLError):
        problems = Problems()
        yamltree.parse(body, "", problems)
        first = min(problems.found, key=lambda problem: (problem.line, problem.column), default=None)
        where = f"line {first.line}, column {first.column}: {first.message}" if first else "it cannot be read"
        raise EditError(f"the file has a problem that must be mended first: {where}") from None


class _RefusedError(Exception):
    """Something that reading refuses; it finds the words for it."""


class _Builder:
    """One walk over the events of one text."""

    def __init__(self, text: str) -> None:
        self.text = text
        self.next: Callable[[], yaml.Event] = _Loader(text).get_event

    def document(self) -> Node:
        self.next()  # the stream begins
        if isinstance(self.next(), StreamEndEvent):
            raise _RefusedError
        root = self.node(self.next(), 0, 0, 1)
        if not isinstance(self.next(), DocumentEndEvent) or not isinstance(self.next(), StreamEndEvent):
            raise _RefusedError
        return root

    def node(self, event: yaml.Event, floor: int, column: int, depth: int) -> Node:
        """A value; ``floor`` is where what it belongs to ends, ``column`` that of the collection it is in."""
        if type(event) is ScalarEvent:
            return self.leaf(event, floor, column)
        if not isinstance(event, (MappingStartEvent, SequenceStartEvent)) or depth > MAX_DEPTH:
            raise _RefusedError
        if event.anchor is not None or event.tag is not None:
            raise _RefusedError
        begin: Any = event.start_mark
        out = Branch(isinstance(event, MappingStartEvent), bool(event.flow_style), begin.index, begin.column, floor)
        if out.flow:
            self.flow(out, depth, column)
        else:
            self.block(out, depth)
        return out

    def leaf(self, event: ScalarEvent, floor: int, column: int) -> Leaf:
        if event.anchor is not None or event.tag is not None:
            raise _RefusedError
        begin: Any = event.start_mark
        stop: Any = event.end_mark
        start, end = begin.index, stop.index
        if event.style in ("|", ">"):
            return Leaf(event, start, _text_end(self.text, start, end, column), end)
        if start == end:
            return Leaf(event, floor, floor, floor)
        return Leaf(event, start, end, end)

    def key(self, event: yaml.Event, seen: set[str]) -> Leaf:
        if type(event) is not ScalarEvent or event.value in seen or event.value == "<<":
            raise _RefusedError
        seen.add(event.value)
        begin: Any = event.start_mark
        return self.leaf(event, begin.index, 0)

    def block(self, out: Branch, depth: int) -> None:
        text = self.text
        at = out.start
        seen: set[str] = set()
        while not isinstance(event := self.next(), (MappingEndEvent, SequenceEndEvent)):
            start = skip(text, at) if out.entries else at
            key: Leaf | None = None
            mark = start + 1
            floor = mark
            if out.keyed:
                key = self.key(event, seen)
                colon = key.end if text[key.end : key.end + 1] == ":" else skip(text, key.end)
                mark = colon + 1 if text[colon : colon + 1] == ":" else -1
                floor = mark if mark > 0 else key.end
                event = self.next()
            node = self.node(event, floor, out.column, depth + 1)
            at = max(node.end, floor)
            out.entries.append(Entry(start, key, mark, node, at, -1))
        out.end = at

    def flow(self, out: Branch, depth: int, column: int) -> None:
        text = self.text
        out.bare = out.keyed and text[out.start] != "{"
        at = out.start if out.bare else out.start + 1
        seen: set[str] = set()
        while not isinstance(event := self.next(), (MappingEndEvent, SequenceEndEvent)):
            start = floor = skip(text, at)
            key: Leaf | None = None
            mark = -1
            if out.keyed:
                key = self.key(event, seen)
                colon = key.end if text[key.end : key.end + 1] == ":" else skip(text, key.end)
                mark = colon + 1 if text[colon : colon + 1] == ":" else -1
                floor = mark if mark > 0 else key.end
                event = self.next()
            node = self.node(event, floor, column, depth + 1)
            end = max(node.end, floor)
            comma = end if text[end : end + 1] == "," else skip(text, end)
            if out.bare or text[comma : comma + 1] != ",":
                comma = -1
            out.entries.append(Entry(start, key, mark, node, end, comma))
            at = comma + 1 if comma > 0 else end
        stop: Any = event.end_mark
        out.end = at if out.bare else stop.index


def _text_end(text: str, start: int, stop: int, column: int) -> int:
    """Where the last line of a block scalar's text ends, before its break."""
    header = _HEADER.match(text, start)
    head = header.end() if header is not None else start + 1
    keeps = "+" in text[start:head]
    first = text.find("\n", head, stop) + 1
    if not first:
        return head
    if keeps:
        return len(text[:stop].removesuffix("\n").removesuffix("\r"))
    digit = (header.group(1) or header.group(2)) if header is not None else None
    lines = text[first:stop].split("\n")
    width = next((len(line) - len(line.lstrip(" ")) for line in lines if line.strip(" \r")), None)
    if width is None:
        return head
    width = column + int(digit) if digit else width
    end = stop
    for line in reversed(lines):
        if line.rstrip("\r").strip(" ") or len(line.rstrip("\r")) > width:
            return end - (len(line) - len(line.rstrip("\r")))
        end -= len(line) + 1
    return head
