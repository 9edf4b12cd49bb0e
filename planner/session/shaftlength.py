"""Whether there is a length to order a shaft by, on each side: measured, and nothing hot or forced since."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from planner.numbers.calculator import Result
from planner.numbers.quantity import Quantity
from planner.plan.expand import Operation
from planner.plan.stories import condition_of
from planner.session.onebuild import OneBuild

ORDER, MEASURED = "order", "measured"
#: Numbers of ``narrow`` by which a half, and so the length, becomes measured.
_READ = ("narrow.measured-half", "narrow.half", "narrow.pinion-to-flange", "narrow.shaft-order", "narrow.shaft")


class Why(Enum):
    """Why there is none. The details: what is named below, in this order."""

    NOT_READ = "nobody has read it"  # the operations that would
    SPOILED = "later work spoiled the reading"  # what was read, by whom, the work
    NOT_MEASURED = "the plan says it is not measured as it is now"  # the condition; the open operation that gives it
    TO_COME = "work that cuts, heats or forces it is still to come"  # the operations
    NO_SHAFT = "narrow has no present shaft to reckon from"


class Length(NamedTuple):
    """The length to order by on a side, or why there is none. Only one of ``value`` and ``why`` is there."""

    side: str
    value: Quantity | None = None
    why: Why | None = None
    details: tuple[str, ...] = ()


def shaft_length(one: OneBuild, narrow: Result, side: str) -> Length:
    """What a shaft may be ordered by on that side.

    A measured half alone does not do where the plan has a step that orders shafts: what that step needs to be
    measured must be so now, since a number in a file does not know what was welded after it was written.
    """
    if narrow.given_number("shaft", side) is None:
        return Length(side, None, Why.NO_SHAFT)
    found = narrow.results.get("shaft-order")
    value = found.get(side) if not isinstance(found, (Quantity, str, tuple)) and found is not None else None
    if not isinstance(value, Quantity):
        for name in _READ:
            read = one.readings.get(name, {}).get(side)
            if read is not None and read.lost_to is not None:
                return Length(side, None, Why.SPOILED, (read.text, read.op, read.lost_to))
        return Length(side, None, Why.NOT_READ, tuple(op.name for op in _readers(one, side)))
    facts = _to_be_measured(one, side)
    for fact in sorted(facts):
        if not one.live.holds(fact):
            return Length(
                side, None, Why.NOT_MEASURED, (condition_of(one.plan, fact), *_openly(one, _givers(one, facts)[-1:]))
            )
    to_come = _openly(one, [op for op in _before(one) if facts & (op.spoils | op.late_spoils)])
    if to_come:
        return Length(side, None, Why.TO_COME, tuple(to_come))
    return Length(side, value)


def orders(one: OneBuild) -> list[Operation]:
    """The operations that order shafts: of that kind, and on a shaft or naming its length."""
    return [
        op
        for op in one.plan.operations
        if op.step.kind == ORDER and ("shaft" in (op.step.piece or "") or "{narrow.shaft" in op.step.do)
    ]


def still_open(one: OneBuild) -> list[str]:
    """What the ordering of shafts still needs, grounded, each once; nothing once it is done."""
    facts = (fact for op in orders(one) if one.live.is_open(op) for fact in one.live.missing(op))
    return list(dict.fromkeys(condition_of(one.plan, fact) for fact in facts))


def _to_be_measured(one: OneBuild, side: str) -> set[str]:
    """The facts of being measured that ordering shafts needs, of that side and of the job."""
    found = set()
    for fact in (fact for op in orders(one) for fact in op.needs):
        name, _, where = condition_of(one.plan, fact).partition("@")
        if name.rpartition(".")[2] == MEASURED and where in ("", side):
            found.add(fact)
    return found


def _before(one: OneBuild) -> list[Operation]:
    """What is planned before the shafts are ordered."""
    names = {op.name for op in orders(one)}
    found: list[Operation] = []
    for op in one.plan.operations:
        if op.name in names:
            return found
        found.append(op)
    return []


def _givers(one: OneBuild, facts: set[str]) -> list[Operation]:
    return [op for op in _before(one) if facts & (op.gives | op.job_gives | op.at_once)]


def _openly(one: OneBuild, ops: list[Operation]) -> list[str]:
    return [op.name for op in ops if one.live.is_open(op)]


def _readers(one: OneBuild, side: str) -> list[Operation]:
    """The operations that would read it on that side: by number, else what last gives the fact of being measured."""
    named = [
        op
        for op in one.plan.operations
        if op.step.reads is not None and op.step.reads.name in _READ and (op.step.reads.side or op.side) == side
    ]
    return named or _givers(one, _to_be_measured(one, side))[-1:]
