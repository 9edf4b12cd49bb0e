"""How much of the work that goes by a number is ticked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.plan.fill import references

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild


def ticked_part(one: OneBuild, names: str) -> float:
    """How much of the work is ticked whose words name a number that begins with ``names``: of the side that is
    furthest behind, from 0 to 1."""
    sides: dict[str | None, list[bool]] = {}
    for op in one.plan.operations:
        if any(each.name.startswith(names) for each in references(op.step.do)):
            sides.setdefault(op.side, []).append(not one.live.is_open(op))
    return min((sum(each) / len(each) for each in sides.values()), default=0.0)
