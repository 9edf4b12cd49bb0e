"""The best good order of a scope: what is proved of it, and the best found where time ran out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from planner.plan.expand import Operation
from planner.plan.orders.bounds import bounds_of
from planner.plan.orders.mended import mended
from planner.plan.orders.scope import Judged, Scope, departures, is_good, judge, set_ups
from planner.plan.orders.search import Cost, Look, follow, search
from planner.plan.orders.task import State, Task, can, compile_scope, do

_LARGE = 30  # operations from which on a search may be long
_DEEP = 5  # pieces of rework put in one after the other where the order as written is followed


class Found(NamedTuple):
    """The answer to a search. ``order``: the operations of the scope, rework put in among them; None: none is known."""

    order: tuple[Operation, ...] | None
    cost: Cost | None
    written: Cost
    failing: int  # how much fails as written
    proved: bool  # rework and set-ups, or that there is none
    departures_proved: bool
    least_set_ups: int  # no good order has fewer
    states: int


class _Way(NamedTuple):
    which: int
    before: _Way | None


def written_failing(judged: Judged) -> int:
    """How many pairs fail in a scope as written, turns broken counted with them."""
    return len(judged.own) + len(judged.turns)


def find_order(scope: Scope, stop: Callable[[], bool], *, rework: bool = False, hurry: Callable[[], bool]) -> Found:
    """The best good order of a scope, or that there is none. ``stop``: give up at once, with the best so far;
    ``hurry``: spend no more on departures, and half of the time is over for all before them."""
    written = judge(scope, scope.inside)
    failing = written_failing(written)
    as_written = Cost(0, set_ups(scope, scope.inside), 0)
    task = compile_scope(scope, written, rework=rework)
    bounds = bounds_of(task)
    least = bounds.changes((1 << task.size) - 1, task.start.setup)
    good_as_written = is_good(scope, scope.inside, written)
    if good_as_written and as_written.set_ups <= least:
        return Found(scope.inside, as_written, as_written, failing, True, True, least, 0)

    def good(order: tuple[int, ...]) -> bool:
        return is_good(scope, named(task, order), written)

    best: tuple[int, ...] | None = tuple(range(task.size)) if good_as_written else None
    look = Look(task, bounds)
    if best is None:
        best = _mend(scope, task, good, stop)
        best = best or _written_first(task, look, None, good, stop) or _follow_written(task, stop)
        if best is not None and not good(best):
            best = None
        best = None if best is None else _nearer(task, best, good, stop)
    first = search(task, bounds, good, stop, limit=None if best is None else cost_of(scope, task, best))
    states = first.states
    if first.order is not None and (
        best is None or cost_of(scope, task, first.order)[:2] < cost_of(scope, task, best)[:2]
    ):
        best = first.order
    proved = first.proved
    if best is None:
        return Found(None, None, as_written, failing, proved, proved, least, states)
    cost = cost_of(scope, task, best)
    best = _nearer(task, best, good, stop)
    nearer = None if cost.rework else _written_first(task, look, cost.set_ups, good, stop)
    if nearer is not None and cost_of(scope, task, nearer) < cost_of(scope, task, best):
        best = _nearer(task, nearer, good, stop)
    cost = cost_of(scope, task, best)
    floor = max(least, first.least.set_ups if first.least.rework == cost.rework else 0)
    if proved:
        floor = cost.set_ups if cost.rework == 0 or not rework else max(least, 0)
    departures_proved = cost.departures == 0
    if proved and cost.departures and not stop() and not hurry():
        second = search(task, bounds, good, lambda: stop() or hurry(), limit=cost, departures=True)
        states += second.states
        departures_proved = second.proved
        if second.order is not None:
            best = second.order
    cost = cost_of(scope, task, best)
    return Found(named(task, best), cost, as_written, failing, proved, departures_proved, floor, states)


def _mend(
    scope: Scope, task: Task, good: Callable[[tuple[int, ...]], bool], stop: Callable[[], bool]
) -> tuple[int, ...] | None:
    """A good order that repairs lead to; only where the search itself would be long."""
    if task.size < _LARGE:
        return None
    places: dict[str, list[int]] = {}
    for index, doing in enumerate(task.doings):
        places.setdefault(doing.op.name, []).append(index)
    for order in mended(scope, stop, rework=len(task.doings) > task.size):
        # Of rework that is planned, the planned doing stands first.
        left = {name: list(mine) for name, mine in places.items()}
        found = tuple([left[op.name].pop(0) if len(left[op.name]) > 1 else left[op.name][0] for op in order])
        if good(found):
            return found
    return None


def named(task: Task, order: Sequence[int]) -> tuple[Operation, ...]:
    """The operations of an order."""
    return tuple([task.doings[index].op for index in order])


def cost_of(scope: Scope, task: Task, order: Sequence[int]) -> Cost:
    """What an order costs."""
    ops = named(task, order)
    put_in = sum(task.doings[index].rework for index in order)
    own = [task.doings[index].op for index in order if not task.doings[index].rework]
    return Cost(put_in, set_ups(scope, ops), departures(scope.inside, own))


def _nearer(
    task: Task, order: tuple[int, ...], good: Callable[[tuple[int, ...]], bool], stop: Callable[[], bool]
) -> tuple[int, ...]:
    """Change neighbours that stand the other way round than written, wherever that costs no more."""
    best = order
    changes = _changes(task, best)
    moved = True
    while moved and not stop():
        moved = False
        for at in range(len(best) - 1):
            one, two = best[at], best[at + 1]
            if one < two or max(one, two) >= task.size:
                continue
            tried = (*best[:at], two, one, *best[at + 2 :])
            if _changes(task, tried) <= changes and follow(task, tried) is not None and good(tried):
                best, moved = tried, True
            if stop():
                break
    return best


def _changes(task: Task, order: Sequence[int]) -> int:
    last, found = task.start.setup, 0
    for index in order:
        setup = task.doings[index].setup
        if setup is not None:
            found += last is not None and setup != last
            last = setup
    return found


def _written_first(
    task: Task,
    look: Look,
    limit: int | None,
    good: Callable[[tuple[int, ...]], bool],
    stop: Callable[[], bool],
    most: int = 20_000,
) -> tuple[int, ...] | None:
    """Depth first, always the earliest written that may be done, without rework and within that many set-up changes."""
    seen: set[State] = set()
    at: list[tuple[State, int, _Way | None]] = [(task.start, 0, None)]  # the state, changes so far, the way there
    count = 0
    while at:
        state, changes, way = at.pop()
        if state in seen:
            continue
        seen.add(state)
        if look.hopeless(state):
            continue
        count += 1
        if count > most or (count % 32 == 0 and stop()):
            return None
        if state.done & look.all == look.all:
            order: list[int] = []
            while way is not None:
                order.append(way.which)
                way = way.before
            if good(tuple(order[::-1])):
                return tuple(order[::-1])
            continue
        for index in range(task.size - 1, -1, -1):
            doing = task.doings[index]
            if state.done & doing.bit or not can(task, state, doing):
                continue
            after = do(task, state, doing)
            if after is None or after in seen:
                continue
            more = changes + (doing.setup is not None and state.setup is not None and doing.setup != state.setup)
            left = look.all & ~after.done
            if limit is not None and more + look.bounds.changes(left, after.setup) > limit:
                continue
            at.append((after, more, _Way(index, way)))
    return None


def _follow_written(task: Task, stop: Callable[[], bool]) -> tuple[int, ...] | None:
    """The written order with rework put in right before what it is needed for; None where that does not do."""
    if len(task.doings) == task.size:
        return None
    state = task.start
    order: list[int] = []
    for index in range(task.size):
        doing = task.doings[index]
        level: list[tuple[State, tuple[int, ...]]] = [(state, ())]
        seen = {state}
        ready: tuple[State, tuple[int, ...]] | None = None
        for _ in range(_DEEP + 1):
            ready = next(((at, put) for at, put in level if can(task, at, doing)), None)
            if ready is not None or stop():
                break
            following: list[tuple[State, tuple[int, ...]]] = []
            for at, put in level:
                for more in range(task.size, len(task.doings)):
                    if can(task, at, task.doings[more]):
                        new = do(task, at, task.doings[more])
                        if new is not None and new not in seen and len(seen) < 2000:
                            seen.add(new)
                            following.append((new, (*put, more)))
            level = following
        if ready is None:
            return None
        after = do(task, ready[0], doing)
        if after is None:
            return None
        order += [*ready[1], index]
        state = after
    return tuple(order)
