"""A part of what remains, to be put in order, and the judge of its orders: the same walk that `check` makes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from planner.plan.debts import open_debts
from planner.plan.expand import Operation, Plan
from planner.plan.machine import machine_of
from planner.plan.stories import condition_of
from planner.plan.turns import broken_turns

#: Where (an operation's name, or an end), what (a condition, or a step's id), and whether it is a step.
Pair = tuple[str, str, bool]


class Scope(NamedTuple):
    """What was ticked, what remains and is not touched, what is to be put in order, and what remains behind it."""

    plan: Plan
    done: tuple[Operation, ...]
    before: tuple[Operation, ...]
    inside: tuple[Operation, ...]
    behind: tuple[Operation, ...]

    def whole(self, inside: Sequence[Operation]) -> tuple[Operation, ...]:
        """All operations, with those inside in this order."""
        return (*self.done, *self.before, *inside, *self.behind)

    @property
    def ahead(self) -> int:
        """How many operations stand ahead of those inside."""
        return len(self.done) + len(self.before)


class Judged(NamedTuple):
    """What is wrong with an order."""

    own: frozenset[Pair]  # inside: needs and steps to come after
    other: frozenset[Pair]  # behind it, and at ends
    turns: tuple[str, ...]  # operations inside out of turn, or a round or pass ahead of the one before


def scope_of(
    plan: Plan, done: Sequence[Operation], remaining: Sequence[Operation], belongs: Callable[[Operation], bool]
) -> Scope:
    """The scope of those remaining operations that belong; what stands between them and does not comes behind."""
    inside = tuple([op for op in remaining if belongs(op)])
    first = next((index for index, op in enumerate(remaining) if belongs(op)), len(remaining))
    behind = tuple([op for op in remaining[first:] if not belongs(op)])
    return Scope(plan, tuple(done), tuple(remaining[:first]), inside, behind)


def judge(scope: Scope, inside: Sequence[Operation]) -> Judged:
    """Walk everything in this order, from the very start, and say what fails."""
    plan = scope.plan
    order = scope.whole(inside)
    begin, end = scope.ahead, scope.ahead + len(inside)
    failures, _ = machine_of(plan).walk(order)
    own: set[Pair] = set()
    other: set[Pair] = set()
    for position, fact, step, _ in failures:
        if position < begin:
            continue
        what = (step, True) if step is not None else (condition_of(plan, fact or ""), False)
        (own if position < end else other).add((order[position].name, *what))
    for debt in open_debts(plan, order, len(scope.done)):
        if debt.position >= begin or debt.at.startswith("("):
            other.add((debt.at, debt.condition, False))
    turns = [order[each.position].name for each in broken_turns(plan, order) if begin <= each.position < end]
    return Judged(frozenset(own), frozenset(other), (*turns, *_disordered(inside)))


def _disordered(inside: Sequence[Operation]) -> list[str]:
    """Rounds ahead of an earlier one that follows, and what belongs to a pass ahead of an earlier pass."""
    rounds: dict[tuple[str, str | None], int] = {}
    passes: dict[int, int] = {}
    found = []
    for op in reversed(inside):
        key = (op.step.id, op.side)
        late = op.round is not None and op.round > rounds.get(key, op.round)
        if op.lap is not None:
            late = late or op.lap > passes.get(op.stage, op.lap)
            passes[op.stage] = min(op.lap, passes.get(op.stage, op.lap))
        if op.round is not None:
            rounds[key] = min(op.round, rounds.get(key, op.round))
        if late:
            found.append(op.name)
    return found[::-1]


def is_good(scope: Scope, inside: Sequence[Operation], written: Judged) -> bool:
    """Whether an order is good: nothing fails inside, no turns, and elsewhere only what fails as written."""
    found = judge(scope, inside)
    return not found.own and not found.turns and found.other <= written.other


def set_ups(scope: Scope, inside: Sequence[Operation]) -> int:
    """How often the set-up changes inside; the first of a build is free."""
    last = next((op.step.setup for op in reversed((*scope.done, *scope.before)) if op.step.setup is not None), None)
    changes = 0
    for op in inside:
        if op.step.setup is not None:
            changes += last is not None and op.step.setup != last
            last = op.step.setup
    return changes


def departures(written: Sequence[Operation], order: Sequence[Operation]) -> int:
    """How many pairs stand the other way round than written; what was put in counts nowhere."""
    places: dict[str, list[int]] = {}
    for index, op in enumerate(written):
        places.setdefault(op.name, []).append(index)
    met: dict[str, int] = {}
    ranks = []
    for op in order:
        mine, seen = places.get(op.name, []), met.get(op.name, 0)
        if seen < len(mine):
            ranks.append(mine[seen])
            met[op.name] = seen + 1
    return sum(1 for i, rank in enumerate(ranks) for later in ranks[i + 1 :] if later < rank)
