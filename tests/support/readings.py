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
    if len(ends) == 1:  # far inside the one limit
        middle += 3 * (hold.plus_minus or 1.0) * (1 if hold.least is not None else -1)
    return [{"did": READING, "value": f"{middle:.6f} {KINDS[hold.kind].base}".strip()}]
