"""The search for an order: the best of what is left to try first, exact where time is enough.

Two states are the same when the same is done, true, owed and set up; of two ways to one state the better stays. In
the first pass (which orders exist, with how little rework and how few set-up changes) an operation is taken at once
where that can never be worse: it changes no set-up, spoils nothing that anybody else asks for, and what it gives
nobody takes away again. In the second pass (fewest departures) every order counts.
"""

from __future__ import annotations

from collections.abc import Callable
from heapq import heappop, heappush
from typing import NamedTuple

from planner.plan.orders.bounds import Bounds
from planner.plan.orders.task import Doing, State, Task, can, do, owing

_EVERY = 32  # so often it is asked whether to stop


class Cost(NamedTuple):
    """What an order is measured by, in this order."""

    rework: int
    set_ups: int
    departures: int


class Outcome(NamedTuple):
    """The best order met (None: none), whether nothing better is left, and what none can be better than."""

    order: tuple[int, ...] | None  # indexes of Task.doings
    cost: Cost | None
    proved: bool
    least: Cost
    states: int


class _Node(NamedTuple):
    state: State
    cost: Cost
    parent: _Node | None
    which: int


class Look:
    """What is asked of a state again and again, worked out once for each set of operations that is left."""

    def __init__(self, task: Task, bounds: Bounds) -> None:
        self.task, self.bounds = task, bounds
        self.all = (1 << task.size) - 1
        self.own = task.doings[: task.size]
        self.rework = task.doings[task.size :]
        self._known: dict[int, tuple[int, int, int, int, int, int]] = {}
        self.rework_gives = 0
        self.rework_spoils = 0
        self.rework_needs = 0
        for doing in self.rework:
            self.rework_gives |= doing.gives | doing.job | doing.at_once
            self.rework_spoils |= doing.spoils | doing.late
            self.rework_needs |= doing.needs | doing.counts
        # Pairs of a later and an earlier written operation that every order turns round.
        self._forced = [before >> index + 1 << index + 1 for index, before in enumerate(bounds.before)]
        # Facts that no episode may leave open.
        self.strict = 0
        for fact, debts in task.debts_of.items():
            mine = [bit for (each, _), bit in task.debt_bits.items() if each == fact]
            ends = list(task.episodes.items())
            if all(n >= 0 and task.due.get(e, 0) & debts for e, n in ends) and len(mine) == len(ends):
                self.strict |= fact
        self.one_episode = len({doing.episode for doing in task.doings}) < 2

    def left(self, done: int) -> tuple[int, int, int, int, int, int]:
        """Of what is left: needed by one, by two; spoiled by one, by two; given by any; spoiled and not given again."""
        left = self.all & ~done
        found = self._known.get(left)
        if found is None:
            need = needs = self.task.goal | self.rework_needs
            spoil = spoils = self.rework_spoils
            gives = self.rework_gives
            lost = 0
            mask = left
            while mask:
                low = mask & -mask
                mask ^= low
                doing = self.own[low.bit_length() - 1]
                mine = doing.needs | doing.counts
                needs |= need & mine
                need |= mine
                mine = doing.spoils | doing.late
                spoils |= spoil & mine
                spoil |= mine
                given = doing.gives | doing.job | doing.at_once
                gives |= given
                lost |= mine & ~given
            found = self._known[left] = (need, needs, spoil, spoils, gives, lost)
        return found

    def hopeless(self, state: State) -> bool:
        """Whether something that is still asked for can never come true, whatever is done."""
        goal = self.task.goal
        if not state.debts and self.task.once & ~state.facts & ~self.left(state.done)[4]:
            return True
        _, _, _, _, gives, lost = self.left(state.done)
        if goal & ~gives & (~state.facts | lost) or self.strict & lost & state.facts & ~gives:
            return True
        if not self.rework and owing(self.task, state):
            return True
        # As if nothing were spoiled any more: what can be reached at all?
        facts = state.facts | self.rework_gives
        left = self.all & ~state.done
        moved = True
        while left and moved:
            moved = False
            mask = left
            while mask:
                low = mask & -mask
                mask ^= low
                doing = self.own[low.bit_length() - 1]
                if not doing.needs & ~facts and not doing.before & left and not doing.blocked:
                    left ^= low
                    facts |= doing.gives | doing.job | doing.at_once
                    moved = True
        return bool(left or goal & ~facts)

    def at_once(self, state: State, doing: Doing) -> bool:
        """Whether doing it now can never be worse than doing it later."""
        if doing.rework or doing.counts or doing.turns or doing.due:
            return False
        if doing.setup is not None and doing.setup != state.setup:
            return False
        need, needs, spoil, spoils, _, _ = self.left(state.done)
        mine = doing.spoils | doing.late
        others = needs | (need & ~doing.needs)
        if mine & state.facts & others or mine & self.task.owed & state.facts:
            return False
        given = doing.gives | doing.job | doing.at_once
        again = spoils | (spoil & ~mine)
        if given & again & (need | self.task.owed) or given & mine & (others | self.task.owed):
            return False
        return self.one_episode or not (spoil & self.task.owed or state.debts)

    def forced(self, left: int) -> int:
        """Departures that must still come among what is left."""
        total = 0
        mask = left
        while mask:
            low = mask & -mask
            mask ^= low
            total += (self._forced[low.bit_length() - 1] & left).bit_count()
        return total


def follow(task: Task, order: tuple[int, ...]) -> State | None:
    """The state after an order that may be done, else None."""
    state: State | None = task.start
    for index in order:
        if state is None or not can(task, state, task.doings[index]):
            return None
        state = do(task, state, task.doings[index])
    return state


def search(
    task: Task,
    bounds: Bounds,
    good: Callable[[tuple[int, ...]], bool],
    stop: Callable[[], bool],
    *,
    limit: Cost | None = None,
    departures: bool = False,
    most: int = 300_000,
) -> Outcome:
    """The best order, by rework and set-ups; with ``departures`` by departures, within the rework and set-ups of
    ``limit`` and with fewer departures.

    ``good`` judges a finished order, which the walk may still refuse for what stands behind it. ``stop`` is asked
    often. At most so many states are kept.
    """
    look = Look(task, bounds)
    none = Outcome(None, None, True, Cost(0, 0, 0), 0)
    if bounds.impossible() or look.hopeless(task.start):
        return none
    first = _Node(task.start, Cost(0, 0, 0), None, -1)
    best: dict[State, tuple[int, ...]] = {}
    ended: dict[State, bool] = {}
    count = 0
    queue: list[tuple[tuple[int, ...], int, _Node]] = [(_rank(look, first, departures), 0, first)]
    low = Cost(0, bounds.changes(look.all, task.start.setup), look.forced(look.all))
    while queue:
        rank, _, node = heappop(queue)
        low = Cost(rank[1], rank[2], rank[0]) if departures else Cost(rank[0], rank[1], low.departures)
        state, cost = node.state, node.cost
        if state.done & look.all == look.all:
            if state not in ended:
                order = _path(node)
                ended[state] = good(order)
            if ended[state]:
                return Outcome(_path(node), cost, True, low, count)
            if not look.rework:
                continue
        if best.get(state, ()) < _worth(cost, departures) and state in best:
            continue
        if look.hopeless(state):
            continue
        count += 1
        if count % _EVERY == 0 and (stop() or count > most):
            return Outcome(None, None, False, low, count)
        for doing_index in _moves(look, state, everything=departures):
            doing = task.doings[doing_index]
            after = do(task, state, doing)
            if after is None:
                continue
            changed = doing.setup is not None and state.setup is not None and doing.setup != state.setup
            earlier = 0 if doing.rework else (look.all & ~after.done & (doing.bit - 1)).bit_count()
            now = Cost(cost.rework + doing.rework, cost.set_ups + changed, cost.departures + earlier)
            worth = _worth(now, departures)
            known = best.get(after)
            if known is not None and known <= worth:
                continue
            left = look.all & ~after.done
            if limit is not None:
                if now.rework > limit.rework:
                    continue
                if now.rework == limit.rework and now.set_ups + bounds.changes(left, after.setup) > limit.set_ups:
                    continue
                if departures and now.departures + look.forced(left) >= limit.departures:
                    continue
            best[after] = worth
            child = _Node(after, now, node, doing_index)
            heappush(queue, (_rank(look, child, departures), count * 1000 + doing_index, child))
    return Outcome(None, None, True, low, count)


def _worth(cost: Cost, departures: bool) -> tuple[int, ...]:
    return (cost.departures, cost.rework, cost.set_ups) if departures else cost


def _rank(look: Look, node: _Node, departures: bool) -> tuple[int, ...]:
    left = look.all & ~node.state.done
    to_come = look.bounds.changes(left, node.state.setup)
    cost = node.cost
    if departures:
        return (cost.departures + look.forced(left), cost.rework, cost.set_ups + to_come, left.bit_count())
    return (cost.rework, cost.set_ups + to_come, left.bit_count(), cost.departures)


def _moves(look: Look, state: State, *, everything: bool) -> list[int]:
    """What may be done now; only one where that can never be worse."""
    task = look.task
    found = []
    left = look.all & ~state.done
    while left:
        low = left & -left
        left ^= low
        index = low.bit_length() - 1
        doing = task.doings[index]
        if can(task, state, doing):
            if not everything and look.at_once(state, doing):
                return [index]
            found.append(index)
    if look.rework:
        need = look.left(state.done)[0]
        wanted = (need | task.owed) & ~state.facts
        for index in range(task.size, len(task.doings)):
            doing = task.doings[index]
            if (doing.gives | doing.job | doing.at_once) & wanted and can(task, state, doing):
                found.append(index)
    return found


def _path(node: _Node) -> tuple[int, ...]:
    found: list[int] = []
    at: _Node | None = node
    while at is not None and at.which >= 0:
        found.append(at.which)
        at = at.parent
    return tuple(found[::-1])
