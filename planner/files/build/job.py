"""build.yaml: the job as a whole."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import Any

from yaml.events import ScalarEvent

from planner.files.build.fields import Source, check_format, choice, kept, mapping, names, read_keys, sequence, text
from planner.files.build.kinds import Outright, read_kinds, words_of
from planner.files.build.pieces import read_pieces
from planner.files.layout import BUILD_FILE
from planner.files.plankeys import BUILD_ROWS, wanted_in
from planner.files.yaml.tree import MapNode, Node
from planner.plan.model import (
    ALL,
    RESERVED_SIDES,
    Condition,
    Kind,
    Piece,
    Shop,
    Word,
)
from planner.plan.pieces import Tree
from planner.plan.words import is_condition_name

_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_LENGTHS = ("inch", "mm")


class Job:
    """What build.yaml says, before references are looked up."""

    def __init__(
        self,
        got: Mapping[str, Any],
        sides: tuple[str, ...],
        kinds: Mapping[str, Kind],
        words: Mapping[str, Word],
        pieces: Mapping[str, Piece],
        outright: Sequence[Outright],
    ) -> None:
        self.name: str = got.get("build") or ""
        self.sides = sides
        self.film: str | None = got.get("film")
        self.show: Mapping[str, str] = got.get("show") or {}
        self.shop: Shop = got.get("shop") or Shop()
        self.conditions: Mapping[str, Condition] = got.get("conditions") or {}
        self.pieces = pieces
        self.kinds = kinds
        self.words = words
        self.tree = Tree(pieces, sides)
        self.outright = outright
        self.pieces_node: Node | None = got.get("pieces")
        self.start_node: Node | None = got.get("start")
        self.end_node: Node | None = got.get("end")
        self.extras_node: Node | None = got.get("on-camera")


def _sides(source: Source, node: Node, key: str) -> tuple[str, ...]:
    found = names(source, node, key)
    for item in node.items if not isinstance(node, (ScalarEvent, MapNode)) else []:
        if isinstance(item, ScalarEvent) and item.value in RESERVED_SIDES:
            source.refuse(item, f"sides: {item.value} has a meaning of its own; choose another name")
    if not isinstance(node, (ScalarEvent, MapNode)) and not 1 <= len(node.items) <= 8:
        source.refuse(node, f"sides: must be one to eight names, not {len(node.items)}")
    return tuple(side for side in found if side not in RESERVED_SIDES)


_CONDITION_KEYS = {"kept": choice("side", "job"), "on": choice("side", "job"), "means": text}


def _conditions(source: Source, node: Node, key: str) -> dict[str, Condition]:
    out: dict[str, Condition] = {}
    for label, (event, value) in mapping(source, node, key).items():
        if not is_condition_name(label):
            source.refuse(
                event,
                f"“{label}” is not a condition's name; use words of lower-case letters, digits, hyphens joined by dots",
            )
            continue
        got = read_keys(source, value, f"condition {label}", _CONDITION_KEYS, ("means",))
        scope = kept(source, value, f"condition {label}", got)
        out[label] = Condition(label, scope != "job", got.get("means") or label, False, False, source.place(event))
    return out


def _lengths(source: Source, node: Node, key: str) -> str | None:
    value = text(source, node, key)
    if value is None or value == "mm":
        return value
    unit, _, fraction = value.partition(" ")
    if unit == "inch" and fraction in ("1/2", "1/4", "1/8", "1/16", "1/32", "1/64", "1/128"):
        return value
    source.unknown(node, f"{key}: must be mm, or inch with a fraction such as inch 1/32, not “{value}”", unit, _LENGTHS)
    return None


_SHOW_KEYS = {"lengths": _lengths, "temperature": choice("C", "F")}


def _show(source: Source, node: Node, key: str) -> dict[str, str]:
    return read_keys(source, node, key, _SHOW_KEYS)


def _spans(source: Source, node: Node, key: str) -> tuple[tuple[int, int], ...]:
    """``19:00-22:00`` and more of them in a row, in minutes from midnight, not overlapping."""
    value = text(source, node, key)
    spans: list[tuple[int, int]] = []
    for part in (value or "").split():
        ends = [_clock(end) for end in part.split("-")]
        if len(ends) != 2 or ends[0] is None or ends[1] is None or ends[0] >= ends[1]:
            source.refuse(node, f"{key}: “{part}” is not a span of hours such as 19:00-22:00")
            return ()
        spans.append((ends[0], ends[1]))
    if any(later[0] < earlier[1] for earlier, later in pairwise(spans)):
        source.refuse(node, f"{key}: these hours overlap or are out of order; write them in order")
    return tuple(spans)


def _clock(text_: str) -> int | None:
    hours, colon, minutes = text_.partition(":")
    if not (colon and len(hours) == 2 and len(minutes) == 2 and (hours + minutes).isascii()):
        return None
    if not (hours + minutes).isdigit() or int(minutes) > 59 or int(hours) * 60 + int(minutes) > 24 * 60:
        return None
    return int(hours) * 60 + int(minutes)


def _week(source: Source, node: Node, key: str) -> dict[str, tuple[tuple[int, int], ...]]:
    return read_keys(source, node, key, dict.fromkeys(_DAYS, _spans))


def _timezone(source: Source, node: Node, key: str) -> str | None:
    value = text(source, node, key)
    if value is not None:
        from planner.files.times.zones import known_zone

        if not known_zone(value):
            from planner.files.times.zones import all_zones

            source.unknown(node, f"timezone: there is no zone “{value}”", value, all_zones())
            return "UTC"  # told once: no date is told for want of it
    return value


def _day(text_: str) -> int | None:
    """A date such as 2027-03-01, as its number; None when it is not one."""
    from datetime import date

    try:
        return date.fromisoformat(text_).toordinal() if len(text_) == 10 else None
    except ValueError:
        return None


def _away(source: Source, node: Node, key: str) -> tuple[tuple[int, int], ...]:
    """Days away: dates, or a first and a last one joined by two dots."""
    out = []
    for item in sequence(source, node, key):
        written = text(source, item, key)
        if written is None:
            continue
        first, dots, last = written.partition("..")
        days = _day(first), _day(last if dots else first)
        if days[0] is None or days[1] is None:
            source.refuse(item, f"{key}: “{written}” is not a date such as 2027-03-01, nor 2027-03-01..2027-03-07")
        elif days[0] > days[1]:
            source.refuse(item, f"{key}: {last} is before {first}; write the first day first")
        else:
            out.append((days[0], days[1]))
    return tuple(out)


_SHOP_KEYS = {"timezone": _timezone, "hours": _week, "desk": _week, "helper": _week, "away": _away}


def _shop(source: Source, node: Node, key: str) -> Shop:
    got = read_keys(source, node, key, _SHOP_KEYS)
    hours, desk, helper = got.get("hours") or {}, got.get("desk") or {}, got.get("helper")
    if (hours or desk or helper) and isinstance(node, MapNode) and "timezone" not in node.items:
        source.refuse(node, "shop: hours need a timezone: such as Europe/Lisbon")
    return Shop(got.get("timezone"), hours, desk, helper, got.get("away") or ())


def _keep(_: Source, node: Node, __: str) -> Node:
    return node  # read later, when the conditions are known


JOB_KEYS: dict[str, Any] = {
    "format": check_format,
    "build": text,
    "sides": _sides,
    "film": text,
    "show": _show,
    "shop": _shop,
    "conditions": _conditions,
    "start": _keep,
    "end": _keep,
    "pieces": _keep,
    "kinds": _keep,
    "on-camera": _keep,
}


def read_job(source: Source, root: Node, shipped: Mapping[str, Kind]) -> Job | None:
    """build.yaml as a job; None where it does not even name its sides."""
    got = read_keys(source, root, BUILD_FILE, JOB_KEYS, wanted_in(BUILD_ROWS))
    kinds_node: Node | None = got.get("kinds")
    outright: list[Outright] = []
    kinds = read_kinds(source, kinds_node, shipped, outright) if kinds_node is not None else dict(shipped)
    sides: tuple[str, ...] = got.get("sides") or ()
    if not sides:
        return None
    film = got.get("film")
    if film is not None and film not in (*sides, ALL, "none") and isinstance(root, MapNode):
        source.unknown(
            root.items["film"][1], f"film: must be a side, all or none, not “{film}”", film, (*sides, ALL, "none")
        )
    # A dropped kind leaves its words to the kinds that share them.
    words = {**words_of(shipped), **words_of(kinds)}
    pieces = read_pieces(source, got["pieces"], sides, words) if got.get("pieces") is not None else {}
    return Job(got, sides, kinds, words, pieces, outright)
