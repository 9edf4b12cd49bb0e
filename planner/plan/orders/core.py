"""Why no good order exists: a smallest set of needs that no order keeps together."""

from __future__ import annotations

from collections.abc import Callable

from planner.plan.orders.best import named
from planner.plan.orders.bounds import bounds_of
from planner.plan.orders.scope import Pair, Scope, judge
from planner.plan.orders.search import search
from planner.plan.orders.task import compile_scope


def exists(
    scope: Scope, ignored: frozenset[Pair], stop: Callable[[], bool], met: set[Pair] | None = None
) -> bool | None:
    """Whether some order keeps everything but the ignored; None: not known in time. ``met`` takes what failed."""
    written = judge(scope, scope.inside)
    task = compile_scope(scope, written, ignored, fixture=False)

    def good(order: tuple[int, ...]) -> bool:
        found = judge(scope, named(task, order))
        wrong = (found.own | (found.other - written.other)) - ignored
        if met is not None and not found.turns:
            met.update(wrong)
        return not (found.turns or wrong)

    found = search(task, bounds_of(task), good, stop, most=60_000)
    return True if found.order is not None else False if found.proved else None


def find_core(scope: Scope, stop: Callable[[], bool]) -> tuple[Pair, ...] | None:
    """Needs that no order keeps together, any one of which, ignored, lets one exist; None: not found in time.

    A debt may be said of another piece in another order; such needs are not known before an order has failed by them,
    and then everything is looked at once more.
    """
    every = list(compile_scope(scope, judge(scope, scope.inside), fixture=False).items)
    while True:
        met: set[Pair] = set()
        core = _smallest(scope, every, stop, met)
        more = sorted(met - set(every))
        if core is None or not more:
            return core
        every += more


def _smallest(scope: Scope, every: list[Pair], stop: Callable[[], bool], met: set[Pair]) -> tuple[Pair, ...] | None:
    """Dropped by halves first, then one by one; what stays is minimal since each was tried."""
    keep = list(every)
    size = max(1, len(keep) // 2)
    while True:
        at = 0
        while at < len(keep):
            if stop():
                return None
            tried = keep[:at] + keep[at + size :]
            if exists(scope, frozenset(every) - frozenset(tried), stop, met) is False:
                keep = tried
            else:
                at += size
        if size == 1:
            return tuple(keep)
        size = max(1, size // 2)
