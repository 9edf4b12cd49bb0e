"""How the real pace compares with the plan: what ticks say of the times that work really took."""

from __future__ import annotations

from itertools import pairwise

from planner.plan.live import Live

_ENOUGH = 60 * 60  # seconds of planned work below which nothing can be said
_SAME_SPELL = 6 * 3600  # between two ticks further apart lies a night
_SHORT_WAIT = 300


def real_pace(live: Live) -> float | None:
    """How many times as long as planned the work took, to a tenth; None where the ticks do not say.

    Reckoned from pairs of ticks in one spell, with no wait between them: the second took from the first until then.
    """
    planned = real = 0.0
    for (before, at), (op, then) in pairwise(live.done):
        took = then - at
        if op.step.time and before.step.wait <= _SHORT_WAIT and 0 < took < min(_SAME_SPELL, 4 * op.step.time):
            planned += op.step.time
            real += took
    return round(real / planned, 1) if planned >= _ENOUGH else None
