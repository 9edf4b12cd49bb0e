"""Why no good order exists: a smallest set of needs that no order keeps together."""

from __future__ import annotations

from collections.abc import Callable

from planner.plan.orders.best import named
from planner.plan.orders.bounds import bounds_of
from planner.plan.orders.scope import Pair, Scope, judge
from planner.plan.orders.search import search
from planner.plan.orders.task import compile_scope


def exists(scope: Scope, ignored: frozenset[Pair], stop: Callable[[], bool]) -> bool | None:
    """Whether some order keeps everything but the ignored; None: not known in time."""
    written = judge(scope, scope.inside)
    task = compile_scope(scope, written, ignored, fixture=False)

    def good(order: tuple[int, ...]) -> bool:
        found = judge(scope, named(task, order))
        return not (found.turns or found.own - ignored or found.other - written.other - ignored)

    found = search(task, bounds_of(task), good, stop, most=60_000)
    return True if found.order is not None else False if found.proved else None


def find_core(scope: Scope, stop: Callable[[], bool]) -> tuple[Pair, ...] | None:
    """Needs that no order keeps together, any one of which, ignored, lets one exist; None: not found in time.

    Dropped by halves first, then one by one; what stays is minimal since each was tried.
    """
    every = compile_scope(scope, judge(scope, scope.inside), fixture=False).items
    keep = list(every)
    size = max(1, len(keep) // 2)
    while True:
        at = 0
        while at < len(keep):
            if stop():
                return None
            tried = keep[:at] + keep[at + size :]
            if exists(scope, frozenset(every) - frozenset(tried), stop) is False:
                keep = tried
            else:
                at += size
        if size == 1:
            return tuple(keep)
        size = max(1, size // 2)
