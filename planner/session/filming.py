"""What the camera saw and what it can see instead: a side that is filmed in place of one that was not."""

from __future__ import annotations

from collections.abc import Mapping

from planner.plan.expand import Operation
from planner.plan.live import Live
from planner.plan.names import operation_name
from planner.plan.ticks import NOTE, Ticks

CONTINUITY = (
    "Everything is mirrored on the other side: keep the camera on the same side of the work, match light, clothes and"
    " tools, and say aloud which side it is."
)


def stand_ins(ticks: Ticks) -> dict[str, str]:
    """Operations that are filmed in place of one that was not, and of which."""
    if not ticks.not_filmed:
        return {}
    found: dict[str, str] = {}
    for name, events in ticks.remarks.items():
        for event in events:
            other = event.raw.get("for")
            if event.did == NOTE and isinstance(other, str) and other in ticks.not_filmed:
                found.setdefault(name, other)
    return found


def is_seen(op: Operation, instead: Mapping[str, str]) -> bool:
    """Whether the camera sees it: as planned, or in place of another."""
    return op.on_camera or op.name in instead


def name_on(op: Operation, side: str, number: int | None) -> str:
    """The same step on another side."""
    return operation_name(op.step.id, side, number if op.round is not None else None)


def stand_in(live: Live, op: Operation) -> Operation | None:
    """The next side, not ticked yet, that could be filmed in place of op: the same round first."""
    if op.side is None:
        return None
    sides = live.plan.build.sides
    start = sides.index(op.side)
    left_out = {each.name for each in live.plan.left_out}
    names = live.by_name
    for number in dict.fromkeys([op.round, *range(1, op.step.rounds + 1)]):
        for side in [*sides[start + 1 :], *sides[:start]]:
            found = names.get(name_on(op, side, number))
            if found is not None and live.is_open(found) and found.name not in left_out:
                return found
    return None
