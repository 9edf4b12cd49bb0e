"""Whether the work is off its order: apart from the way back, which only those who go it pay for."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.plan.model import TRAP, Finding

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild


def off_order(one: OneBuild) -> Finding | None:
    """The first trap that what was ticked has set: it stands, and its cause is done."""
    times = one.live.times
    standing = (each for each in one.found() if each.level == TRAP and not each.history and each.cause in times)
    return next(standing, None)
