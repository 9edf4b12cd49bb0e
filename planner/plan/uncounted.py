"""Work that was done and did not count: a straightness check made hot, which a later finding names."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterable, Mapping, Sequence

from planner.plan.expand import Operation

#: fact -> where in the order work stands that gives it only where something else holds.
Conditional = Mapping[str, Sequence[int]]


def conditional(ops: Sequence[Operation]) -> Conditional:
    """The operations of one round whose gives hang on ``counts-when``, by what they give."""
    found: dict[str, list[int]] = {}
    for index, op in enumerate(ops):
        if op.counts_when and op.step.rounds == 1:
            for fact in op.gives | op.job_gives:
                found.setdefault(fact, []).append(index)
    return found


def uncounted(found: Conditional, facts: Iterable[str], since: int | None, until: int) -> int | None:
    """The last operation between the cause and the failure that gives one of these open facts.

    A fact that its last spoiler opened is still open at the failure, so that whatever gives it in between did not
    count; where nothing ever opened it (``since`` null), whatever gives it before the failure.
    """
    last = -1
    for fact in facts:
        places = found.get(fact, ())
        at = bisect_left(places, until) - 1
        if at >= 0 and places[at] > (-1 if since is None else since):
            last = max(last, places[at])
    return last if last >= 0 else None
