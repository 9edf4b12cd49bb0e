"""Readings for tests that only want to get past a hold point."""

from __future__ import annotations

from typing import Any

from planner.numbers.units import KINDS
from planner.plan.expand import Operation
from planner.plan.ticks import READING


def passing(op: Operation) -> list[dict[str, Any]]:
    """The remarks with which an operation is ticked: in the middle of its limits, where it is a hold point."""
    hold = op.step.hold
    if hold is None:
        return []
    ends = [each for each in (hold.least, hold.most) if each is not None]
    middle = sum(ends) / len(ends)
    if len(ends) == 1:  # well inside the one limit, and a size that such a reading has where its doubt allows it
        inside = 3 * (hold.plus_minus or 0.2 * abs(middle))
        middle += inside if hold.least is not None else -min(inside, max(inside / 2, 0.6 * middle))
    return [{"did": READING, "value": f"{middle:.6f} {KINDS[hold.kind].base}".strip()}]
