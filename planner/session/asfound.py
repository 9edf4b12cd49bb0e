"""A reading beside the metal as it was found: how much it has changed since, and how far that can be told.

Readings are of the same thing where they are of the same number, of the same step, or where the first was taken by a
step that is called ``as-found`` of the same piece, on the same side, in the same sort of unit.
"""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from planner.numbers.lengths import TextError
from planner.plan.expand import Operation
from planner.plan.model import Hold
from planner.plan.names import step_of
from planner.plan.readings import reads_where
from planner.plan.ticks import READING, Event

if TYPE_CHECKING:
    from planner.session.holding import One
    from planner.session.onebuild import OneBuild

AS_FOUND = "as-found"


def changed(one: OneBuild, op: Operation, event: Event) -> str:
    """How a reading differs from the first one of the same thing; nothing where it is the first, or no such reading."""
    first = _first(one, op, event)
    if first is None:
        return ""
    other, typed = first
    try:
        said = _difference(other, typed, op, str(event.raw.get("value", "")))
    except TextError:  # one of them was read when its step asked for something else
        return ""
    return f"since {other.name}: {said}" if said else ""


def changed_last(one: OneBuild, op: Operation) -> str:
    """The same for the latest reading of an operation."""
    mine = [event for event in one.ticks.remarks.get(op.name, ()) if event.did == READING]
    return changed(one, op, mine[-1]) if mine else ""


def _first(one: OneBuild, op: Operation, event: Event) -> tuple[Operation, str] | None:
    found = [
        (each.n, name, each.raw["value"])
        for name, remarks in one.ticks.remarks.items()
        if (other := one.live.by_name.get(name)) is not None and _same(op, other)
        for each in remarks
        if each.did == READING and each.n < event.n and isinstance(each.raw.get("value"), str)
    ]
    if not found:
        return None
    _, name, typed = min(found)
    return one.live.by_name[name], typed


def _same(op: Operation, other: Operation) -> bool:
    if _kind(op) is None or _kind(op) != _kind(other):
        return False
    if reads_where(op) is not None or reads_where(other) is not None:
        return reads_where(op) == reads_where(other)
    if op.side != other.side:
        return False
    named = other.step.id.startswith(AS_FOUND) and op.step.piece is not None
    return step_of(other.name) == op.step.id or (named and other.step.piece == op.step.piece)


def _kind(op: Operation) -> str | None:
    if op.step.hold is not None:
        return op.step.hold.kind
    if op.step.reads is None:
        return None
    from planner.numbers.readings import kind_of

    return kind_of(op.step.reads.name)


def _difference(other: Operation, then: str, op: Operation, now: str) -> str:
    """What every place that was read both times has changed by, with its ±; both readings stand by themselves."""
    kind = _kind(op)
    if kind is None:
        return ""
    before = {part.place: part for part in _parts(other, kind, then)}
    pairs = [(before[part.place], part) for part in _parts(op, kind, now) if part.place in before]
    return ", ".join(_told(kind, *pair) for pair in pairs)


def _parts(op: Operation, kind: str, typed: str) -> tuple[One, ...]:
    from planner.session.holding import judge

    return judge(op.step.hold or Hold(kind, None, math.inf, None, None, ""), typed).parts


def _told(kind: str, then: One, now: One) -> str:
    from planner.numbers.lengths import UP_FROM, places_of
    from planner.numbers.units import parse_value
    from planner.session.holding import in_unit

    unit = in_unit(kind, now.found.doubt, now.typed).partition(" ")[2]  # as it was typed
    one = float(parse_value(kind, f"1 {unit}".strip()).number - parse_value(kind, f"0 {unit}".strip()).number)
    by = (now.found.value - then.found.value) / one
    wide = math.hypot(then.found.doubt, now.found.doubt) / one
    places = max(0, places_of(wide, 6))
    up = math.ceil(wide * 10**places - UP_FROM) / 10**places
    place = f"{now.place} " if now.place else ""
    doubt = "" if abs(by) >= wide * (1 - 1e-9) else " (no change is shown)"
    return f"{place}{by:+.{places}f} ± {up:.{places}f} {unit}{doubt}".replace("  ", " ").rstrip()


__all__ = ["AS_FOUND", "changed", "changed_last"]
