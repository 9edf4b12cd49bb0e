"""Plan files as trees with places: YAML with everything that surprises people taken out.

Built on the events of PyYAML's C parser and not on its nodes or objects: events carry every mark and every
anchor, tag and style, and cost a third of what composing nodes does. Scalars stay events; a mapping and a
sequence are a small object each.
"""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Iterable
from itertools import islice
from typing import NamedTuple, Union

import yaml
from yaml.events import (
    AliasEvent,
    DocumentEndEvent,
    MappingEndEvent,
    MappingStartEvent,
    ScalarEvent,
    SequenceEndEvent,
    SequenceStartEvent,
    StreamEndEvent,
)

from planner.files.layout import MAX_BYTES

try:
    from yaml.cyaml import CParser as _Parser  # type: ignore[attr-defined]
except ImportError:  # a PyYAML built without its C library: slower, the same events
    from planner.files.yaml.pure import PythonParser as _Parser  # type: ignore[assignment]

MAX_DEPTH = 32
_MAX_NEAR = 1.5  # seconds spent on nearest spellings in one reading; what comes later goes without
_MAX_FOUND = 20_000  # problems kept of one reading
_MAX_MESSAGE = 400  # characters of one message; a file can hold a word of four million

_FORBIDDEN = re.compile("[\x00-\x08\x0b\x0c\x0e-\x1f\x7f-\x9f\u2028\u2029\ufeff\ufffe\uffff]")
_CONTROL = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028\u2029\ud800-\udfff\ufeff\ufffe\uffff]")
_NUMBER_START = frozenset("0123456789+-")
_INT = re.compile(r"[-+]?(?:0|[1-9][0-9]*)")
_MAX_DIGITS = 4000  # more than Python turns into a number; all that counts is that it is one, and out of range
_FLOAT = re.compile(r"[-+]?[0-9]{1,300}\.[0-9]{1,300}")  # what is longer may be infinite
_WORDS = {"true": True, "false": False, "null": None, "~": None, "": None}
_BARE_RETURN = "\r(?!\n)"  # these two are compiled when they are wanted, which is seldom
_BRACE_START = r"(?:[:-]\s+|^\s*)\{"


class Problem(NamedTuple):
    """Something in a file that cannot be used: where, what and the nearest known spelling."""

    path: str
    line: int
    column: int
    message: str
    near: str | None = None

    def __str__(self) -> str:
        return f"{self.path}:{self.line}:{self.column}: {self.message}"


class MapNode:
    """A mapping: key text -> (key event, value)."""

    __slots__ = ("event", "items")

    def __init__(self, event: MappingStartEvent) -> None:
        self.event = event
        self.items: dict[str, tuple[ScalarEvent, Node]] = {}


class SeqNode:
    """A sequence of values."""

    __slots__ = ("event", "items")

    def __init__(self, event: SequenceStartEvent) -> None:
        self.event = event
        self.items: list[Node] = []


Node = Union[ScalarEvent, MapNode, SeqNode]  # noqa: UP007  # evaluated at run time by nobody, read by people
Scalar = str | int | float | bool | None


class Problems:
    """Collects what is wrong in all files of one reading."""

    __slots__ = ("_near_left", "_refused", "found")

    def __init__(self) -> None:
        self.found: list[Problem] = []
        self._near_left = _MAX_NEAR
        self._refused: set[tuple[str, int, int]] = set()

    def add(self, path: str, line: int, column: int, message: str, near: str | None = None) -> None:
        """Report something at a line and column that count from one."""
        if len(self.found) >= _MAX_FOUND:
            return
        message = _one_line(message)
        if near is not None:
            message = f"{message}; did you mean {near}?"
        self.found.append(Problem(path, line, column, message, near))
        if len(self.found) == _MAX_FOUND:
            self.found.append(Problem(path, line, column, "there are more problems than are listed; mend these first"))

    def refuse(self, path: str, line: int, column: int, message: str) -> None:
        """Report that what stands here is not read at all; what its reader then misses is not told again."""
        self._refused.add((path, line, column))
        self.add(path, line, column, message)

    def at(self, path: str, node: Node, message: str, near: str | None = None) -> None:
        """Report something where a value begins."""
        line, column = place_of(node)
        if (path, line, column) not in self._refused:
            self.add(path, line, column, message, near)

    def unknown(self, path: str, node: Node, message: str, word: str, known: Iterable[str]) -> None:
        """Report a word that is not known, with the nearest one that is."""
        near = None
        if self._near_left > 0:
            from planner.plan.words import nearest

            begun = time.process_time()
            near = nearest(word[:_MAX_MESSAGE], known)
            self._near_left -= time.process_time() - begun
        self.at(path, node, message, near)


def _one_line(message: str) -> str:
    """A message that fits a line and holds nothing that a terminal obeys, whatever it quotes."""
    if len(message) > _MAX_MESSAGE:
        message = message[: _MAX_MESSAGE - 1] + "…"
    if message.isprintable():
        return message
    return _CONTROL.sub("\ufffd", " ".join(message.split()))


def place_of(node: Node) -> tuple[int, int]:
    """Where a value begins: line and column, counting from one."""
    return _begins(node if isinstance(node, ScalarEvent) else node.event)


def _begins(event: yaml.Event) -> tuple[int, int]:
    mark = event.start_mark
    return (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)


def scalar(event: ScalarEvent) -> Scalar:
    """The value of a scalar: quoted ones are text, plain ones by a short list.

    Only ``12``, ``1.5``, ``true``, ``false``, ``null``, ``~`` and nothing are not text; ``no``, ``on``,
    ``1:30``, ``012`` and dates are.
    """
    value: str = event.value
    if not event.implicit[0]:
        return value
    if value[:1] in _NUMBER_START and value:
        if _INT.fullmatch(value):
            return int(value[:_MAX_DIGITS])
        if _FLOAT.fullmatch(value):
            return float(value)
        return value
    return _WORDS.get(value, value)


def decode(raw: bytes, path: str, problems: Problems) -> str | None:
    """The text of a file, or None with its problems told."""
    if len(raw) > MAX_BYTES:
        problems.add(path, 1, 1, f"the file is {len(raw):,} bytes; plan files go to {MAX_BYTES:,}: split it")
        return None
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        before = raw[: error.start].decode("utf-8-sig", errors="replace")
        kind = "UTF-16" if raw[:2] in (b"\xff\xfe", b"\xfe\xff") else "not UTF-8"
        problems.add(path, *_end(before), f"the file is {kind}; save it as UTF-8 text")
        return None
    bad = _FORBIDDEN.search(text)
    bare = re.search(_BARE_RETURN, text) if "\r" in text else None
    if bad is None and bare is None:
        return text
    zero = text.find("\0")
    if zero >= 0:  # every other character of a UTF-16 file, and much of a picture
        problems.add(path, *_end(text[:zero]), "the file is not plain text; save it as UTF-8 text")
        return None
    if bare is not None:  # an editor shows one line where the parser would count two
        says = "a line ends in a bare carriage return; save the file with ordinary line ends"
        problems.add(path, *_end(text[: bare.start()]), says)
    for found in islice(_FORBIDDEN.finditer(text), 50):  # enough is said then
        says = f"the character U+{ord(found.group()):04X} cannot stand in a plan file; take it out"
        problems.add(path, *_end(text[: found.start()]), says)
    return None


def _end(text: str) -> tuple[int, int]:
    """The line and column that follow a text, counting from one."""
    return text.count("\n") + 1, len(text) - text.rfind("\n")


def parse(text: str, path: str, problems: Problems) -> Node | None:
    """The tree of a text, or None where there is none; everything refused is told and the rest is kept."""
    try:
        return _Builder(text, path, problems).document()
    except yaml.MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        if error.context_mark is not None and _begun_before(error):
            mark = error.context_mark  # the quote or the key that was never finished, not where that came out
        line, column = (mark.line, mark.column) if mark is not None else (0, 0)
        problems.add(path, line + 1, column + 1, _explain(error, text, line))
    except yaml.YAMLError as error:  # the reader's own: an unprintable character
        problems.add(path, 1, 1, f"this is not readable text: {' '.join(str(error).split())[:200]}")
    return None


def _begun_before(error: yaml.MarkedYAMLError) -> bool:
    """Whether the mistake lies where something was begun and not where the parser gave up."""
    said, context = error.problem or "", error.context or ""
    return ("quoted scalar" in context and "unexpected" in said) or "expected ':'" in said


def _explain(error: yaml.MarkedYAMLError, text: str, line: int) -> str:
    """The parser's complaint in words that say what to do."""
    said = error.problem or "this cannot be read"
    lines = text.splitlines()
    here = lines[line] if line < len(lines) else ""
    context_line = error.context_mark.line if error.context_mark is not None else line
    begun = lines[context_line] if context_line < len(lines) else ""
    if "nesting" in said:
        return f"nested more than {MAX_DEPTH} deep; make it flatter"
    if re.search(_BRACE_START, here) or re.search(_BRACE_START, begun):
        return f"{said}: text that begins with {{ must stand in quotes"
    if "mapping values are not allowed" in said:
        return (
            "a colon and a space make a key, and none can stand here; put the whole text in quotes, or line the key up"
            " with those above"
        )
    if "\t" in here and ("cannot start any token" in said or "tab character" in said):
        return "a tab cannot indent; use spaces"
    if "cannot start any token" in said:
        return "text cannot begin with this character; put the text in quotes"
    if "expected ':'" in said or "expected key" in said or "block end" in said:
        return f"{said}: check the indentation, the colon after the key, and quotes around odd text"
    return f"{said}: check quotes, brackets and indentation"


class _Builder:
    """One reading of one text."""

    def __init__(self, text: str, path: str, problems: Problems) -> None:
        parser = _Parser(text)
        self.get: Callable[[], yaml.Event | None] = parser.get_event
        self.path = path
        self.problems = problems

    def document(self) -> Node | None:
        self.get()  # the stream begins
        event = self.get()
        if event is None or isinstance(event, StreamEndEvent):
            self.problems.add(self.path, 1, 1, "the file is empty; it must at least say format: 1")
            return None
        root = self.node(self.get(), 1)
        end = self.get()
        assert isinstance(end, DocumentEndEvent)  # noqa: S101  # the parser's own grammar
        rest = self.get()
        if rest is not None and not isinstance(rest, StreamEndEvent):
            self.refuse(rest, "a second document begins here; one file holds one")
            return None
        return root

    def refuse(self, event: yaml.Event, message: str) -> None:
        self.problems.add(self.path, *_begins(event), message)

    def refuse_value(self, event: yaml.Event, message: str) -> None:
        self.problems.refuse(self.path, *_begins(event), message)

    def scalar(self, event: ScalarEvent) -> ScalarEvent:
        """Check the rare things about a scalar: anchors, tags and characters that escapes smuggle in."""
        if event.anchor is not None:
            self.refuse_value(event, f"anchors (&{event.anchor}) are not read; write the value out")
        if event.tag is not None:
            self.refuse_value(event, f"tags ({event.tag}) are not read; take it out")
        if event.style == '"' and _CONTROL.search(event.value):
            self.refuse_value(event, "this text holds a control character; take it out")
        return event

    def node(self, event: yaml.Event | None, depth: int) -> Node:
        get = self.get
        kind = type(event)
        if kind is ScalarEvent:
            assert isinstance(event, ScalarEvent)  # noqa: S101
            return self.scalar(event)
        if depth > MAX_DEPTH:
            assert event is not None  # noqa: S101
            raise yaml.MarkedYAMLError(None, None, "nesting", event.start_mark)  # type: ignore[arg-type]
        if kind is MappingStartEvent:
            return self.mapping(event, depth)
        if kind is SequenceStartEvent:
            assert isinstance(event, SequenceStartEvent)  # noqa: S101
            if event.anchor is not None or event.tag is not None:
                self.refuse(event, "anchors and tags are not read; write the value out")
            out = SeqNode(event)
            items = out.items
            while True:
                item = get()
                kind = type(item)
                if kind is ScalarEvent:
                    if item.anchor is not None or item.tag is not None or item.style == '"':  # type: ignore[union-attr]
                        self.scalar(item)  # type: ignore[arg-type]
                    items.append(item)  # type: ignore[arg-type]
                elif kind is SequenceEndEvent:
                    return out
                else:
                    items.append(self.node(item, depth + 1))
        assert isinstance(event, AliasEvent)  # noqa: S101
        self.refuse_value(event, f"aliases (*{event.anchor}) are not read; write the value out")
        return ScalarEvent(None, None, (True, False), "", event.start_mark, event.end_mark, style="")

    def mapping(self, event: yaml.Event | None, depth: int) -> MapNode:
        assert isinstance(event, MappingStartEvent)  # noqa: S101
        get = self.get
        if event.anchor is not None or event.tag is not None:
            self.refuse(event, "anchors and tags are not read; write the value out")
        out = MapNode(event)
        items = out.items
        run_on = False  # a forgotten dash: one line says it, not one for each key that follows
        while True:
            key = get()
            kind = type(key)
            if kind is MappingEndEvent:
                return out
            if kind is not ScalarEvent:
                assert key is not None  # noqa: S101
                if not isinstance(key, AliasEvent):
                    self.refuse(key, "a key must be a plain word")
                self.node(key, depth + 1)
                self.node(get(), depth + 1)
                continue
            if key.anchor is not None or key.tag is not None or key.style == '"':  # type: ignore[union-attr]
                self.scalar(key)  # type: ignore[arg-type]
            value = get()
            made: Node
            if type(value) is ScalarEvent:
                made = value
                if value.anchor is not None or value.tag is not None or value.style == '"':
                    self.scalar(value)
            else:
                made = self.node(value, depth + 1)
            name: str = key.value  # type: ignore[union-attr]
            if name in items:
                first, _ = _begins(items[name][0])
                said = f"{name} stands here a second time (first in line {first}); keep one"
                if name == next(iter(items)) and name in ("step", "stage"):
                    said = f"a second {name} in one (the first in line {first}); begin a new one with: - {name}:"
                    run_on = True
                if not run_on or said.startswith("a second"):
                    self.refuse(key, said)  # type: ignore[arg-type]
            elif name == "<<":
                self.refuse(key, "<< is not read; write the keys out")  # type: ignore[arg-type]
            else:
                items[name] = (key, made)  # type: ignore[assignment]
