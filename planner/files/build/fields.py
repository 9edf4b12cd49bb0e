"""Values out of a tree, each of the type its key wants; a value of another type is told and left out."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from yaml.events import ScalarEvent

from planner.files.yaml.tree import MapNode, Node, Problems, SeqNode, place_of, scalar
from planner.plan.model import Place
from planner.plan.words import is_name, parse_duration

T = TypeVar("T")
Reader = Callable[["Source", Node, str], Any]


class Source:
    """One file being read."""

    __slots__ = ("path", "problems")

    def __init__(self, path: str, problems: Problems) -> None:
        self.path = path
        self.problems = problems

    def refuse(self, node: Node, message: str) -> None:
        """Tell what is wrong with a value, at its place."""
        self.problems.at(self.path, node, message)

    def unknown(self, node: Node, message: str, word: str, known: object) -> None:
        """Tell that a word is not known, with the nearest one that is."""
        self.problems.unknown(self.path, node, message, word, known)  # type: ignore[arg-type]

    def place(self, node: Node) -> Place:
        """Where a value begins, counting from one."""
        return Place(self.path, *place_of(node))


def kind_of(node: Node) -> str:
    """What a value is, in words for a message."""
    if isinstance(node, MapNode):
        return "a mapping"
    if isinstance(node, SeqNode):
        return "a list"
    value = scalar(node)
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return f"the switch {node.value}"
    if isinstance(value, str):
        if not value.strip():
            return "empty text"
        return f"the text “{_short(value)}”"
    return f"the number {_short(node.value)}"


def _short(text: str) -> str:
    text = " ".join(text.split())
    return text if len(text) <= 40 else text[:37] + "…"


def _wrong(source: Source, node: Node, key: str, wanted: str) -> None:
    hint = ""
    if isinstance(node, MapNode) and wanted.startswith("text") and node.event.flow_style:
        hint = "; text that begins with { must stand in quotes"
    elif isinstance(node, ScalarEvent) and not isinstance(scalar(node), str) and wanted.startswith("text"):
        hint = "" if scalar(node) is None else "; put it in quotes"
    source.refuse(node, f"{key}: must be {wanted}, not {kind_of(node)}{hint}")


def text(source: Source, node: Node, key: str) -> str | None:
    """A text that is not empty."""
    if type(node) is ScalarEvent:
        value = scalar(node)
        if isinstance(value, str) and value.strip():
            return value
    _wrong(source, node, key, "text")
    return None


def texts(source: Source, node: Node, key: str) -> tuple[str, ...]:
    """A text or a list of texts."""
    if isinstance(node, SeqNode):
        found = [text(source, item, key) for item in node.items]
        return tuple(item for item in found if item is not None)
    only = text(source, node, key)
    return (only,) if only is not None else ()


def name(source: Source, node: Node, key: str) -> str | None:
    """A name: lower-case letters, digits, hyphens."""
    value = text(source, node, key)
    if value is not None and not is_name(value):
        source.refuse(node, f"{key}: “{_short(value)}” is not a name; use lower-case letters, digits and hyphens")
        return None
    return value


def names(source: Source, node: Node, key: str) -> tuple[str, ...]:
    """A list of names, each once."""
    out: list[str] = []
    for item in sequence(source, node, key):
        value = name(source, item, key)
        if value is None:
            continue
        if value in out:
            source.refuse(item, f"{key}: {value} stands here twice; keep one")
        else:
            out.append(value)
    return tuple(out)


def sequence(source: Source, node: Node, key: str) -> list[Node]:
    """The items of a list."""
    if isinstance(node, SeqNode):
        return node.items
    if isinstance(node, ScalarEvent) and isinstance(scalar(node), str):
        source.refuse(node, f"{key}: must be a list, not {kind_of(node)}; write [{_short(node.value)}]")
    else:
        _wrong(source, node, key, "a list")
    return []


def mapping(source: Source, node: Node, key: str) -> dict[str, tuple[ScalarEvent, Node]]:
    """The keys and values of a mapping."""
    if isinstance(node, MapNode):
        return node.items
    _wrong(source, node, key, "a mapping of keys and values")
    return {}


def switch(source: Source, node: Node, key: str) -> bool:
    """``true`` or ``false``."""
    value = scalar(node) if type(node) is ScalarEvent else None
    if isinstance(value, bool):
        return value
    _wrong(source, node, key, "true or false")
    return False


def whole(low: int, high: int) -> Callable[[Source, Node, str], int | None]:
    """A reader of whole numbers from low to high."""

    def read(source: Source, node: Node, key: str) -> int | None:
        value = scalar(node) if type(node) is ScalarEvent else None
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        _wrong(source, node, key, f"a whole number from {low} to {high}")
        return None

    return read


def choice(*allowed: str) -> Callable[[Source, Node, str], str | None]:
    """A reader of one of a few words."""

    def read(source: Source, node: Node, key: str) -> str | None:
        value = scalar(node) if type(node) is ScalarEvent else None
        if isinstance(value, str) and value in allowed:
            return value
        wanted = f"{key}: must be {' or '.join(allowed)}, not {kind_of(node)}"
        source.unknown(node, wanted, value if isinstance(value, str) else "", allowed)
        return None

    return read


def duration(source: Source, node: Node, key: str) -> int | None:
    """A duration in seconds."""
    value = scalar(node) if type(node) is ScalarEvent else None
    found = parse_duration(value) if isinstance(value, str) else None
    if found is None:
        source.refuse(
            node, f"{key}: must be a duration such as 90 s, 20 min, 1 h 30 min or 21 days, not {kind_of(node)}"
        )
    return found


def read_keys(
    source: Source, node: Node, what: str, readers: Mapping[str, Reader], required: tuple[str, ...] = ()
) -> dict[str, Any]:
    """Read a mapping key by key; unknown and missing keys are told.

    A key written with no value counts as absent, unless it is required.
    """
    out: dict[str, Any] = {}
    items = mapping(source, node, what)
    for key, (event, value) in items.items():
        reader = readers.get(key)
        if reader is None:
            flow = isinstance(node, MapNode) and node.event.flow_style
            if flow and isinstance(value, ScalarEvent) and not value.value:
                hint = "; inside { } a comma ends a text: put the text in quotes"
                source.refuse(event, f"{what} has no key “{_short(key)}”{hint}")
            else:
                source.unknown(event, f"{what} has no key {_short(key) or '(empty)'}", key, readers)
        elif type(value) is not ScalarEvent or value.value or not value.implicit[0] or key in required:
            out[key] = reader(source, value, key)
    if required and isinstance(node, MapNode):
        for key in required:
            if key not in items:
                source.refuse(node, f"{what} lacks the key {key}:")
    return out


def kept(source: Source, node: Node, what: str, got: Mapping[str, Any]) -> str | None:
    """Whether something is kept a side or on the job: ``kept:``, or the older ``on:``."""
    if isinstance(node, MapNode):
        if "kept" in node.items and "on" in node.items:
            source.refuse(node.items["on"][0], f"{what}: on: is the older spelling of kept:; write one of them")
        elif "kept" not in node.items and "on" not in node.items:
            source.refuse(node, f"{what} lacks the key kept:")
    found: str | None = got.get("kept") or got.get("on")
    return found


def check_format(source: Source, node: Node, key: str) -> int | None:
    """The format of a file: only 1 is known."""
    value = scalar(node) if type(node) is ScalarEvent else None
    if value == 1 and isinstance(value, int) and not isinstance(value, bool):
        return 1
    if isinstance(value, int) and value > 1:
        source.refuse(node, f"format {value} is newer than this planner reads (1); update the planner")
    else:
        source.refuse(node, f"format: must be 1, not {kind_of(node)}")
    return None
