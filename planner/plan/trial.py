"""Walking many orders of the same operations fast, to try repairs out.

A trial goes on from where an order first differs from the present one and stops at the first failure that a repair
may not have, so most bad ideas cost a few operations. What is compared are pairs (operation, condition or step that
should be complete), the ends that debts fall due at among them; a condition kept part by part is one condition.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from planner.plan.debts import open_debts, owed_facts
from planner.plan.expand import Operation, Plan
from planner.plan.machine import Act, State, machine_of, open_steps, touches_of
from planner.plan.stories import condition_of
from planner.plan.turns import Changed, broken_turns, has_turns

_EVERY = 16  # a state is kept before each so-manieth operation; from there it is a short walk

_NOTHING: frozenset[str] = frozenset()

#: What fails at an operation or an end: conditions, and steps that should be complete, those behind a line end.
Fails = Mapping[str, frozenset[str]]
Pair = tuple[str, str]


def after_pair(step: str) -> str:
    """A step that should be complete, told apart from the conditions that fail at an operation."""
    return f"\n{step}"


def placed(order: Sequence[Operation], moved: Mapping[str, int]) -> list[Operation]:
    """An order with some operations in another stage, by its index: their episode ends elsewhere."""
    return [op._replace(stage=moved[op.name]) if op.name in moved else op for op in order]


class Trial:
    """The operations of a plan, ready to be walked in any order from the state the ticks have led to."""

    def __init__(self, plan: Plan, done: Sequence[Operation], rest: Sequence[Operation]) -> None:
        self.plan = plan
        self.done = done
        self.rest = [op.name for op in rest]
        self.first: dict[str, int] = {}  # where each operation stands, the first time
        for index, name in enumerate(self.rest):
            self.first.setdefault(name, index)
        self.machine = machine_of(plan)
        self._acts = self.machine.acts
        self._owed = owed_facts(plan)
        self.fails: dict[str, frozenset[str]] = {}
        self._states: list[tuple[int, ...]] = []
        self._first_walk(rest)
        for name, condition in self._ends((*done, *rest)):
            self.fails[name] = self.fails.get(name, _NOTHING) | {condition}
        self._broken = self._breaks((*done, *rest), {})

    def _first_walk(self, rest: Sequence[Operation]) -> None:
        """Walk the order as it is: the states on the way, and everything that fails."""
        machine = self.machine
        state = machine.begin()
        for op in self.done:
            machine.do(state, op)
        for index, op in enumerate(rest):
            if index % _EVERY == 0:
                self._states.append(tuple(state))
            found = self._failing(state, self._acts[op.name])
            if found:
                self.fails[op.name] = self.fails.get(op.name, _NOTHING) | found
            machine.do(state, op)
        if not self._states or len(rest) % _EVERY == 0:
            self._states.append(tuple(state))

    def before(self, index: int) -> State:
        """The state before the operation at that place of the present order."""
        state = list(self._states[index // _EVERY])
        for name in self.rest[index - index % _EVERY : index]:
            self._do(state, self._acts[name])
        return state

    def _do(self, state: State, act: Act) -> None:
        more = act[4]
        rest = None if more is None else more.rest
        counts = rest is None or self.machine.counts(state, rest)
        self.machine.change(state, act)
        if rest is not None:
            self.machine.finish(state, rest, counts)

    def _ends(self, order: Sequence[Operation]) -> list[Pair]:
        """The debts that are open when they are due."""
        if not self._owed:
            return []
        return [(debt.at, debt.condition) for debt in open_debts(self.plan, order, len(self.done), self._owed)]

    def _breaks(self, order: Iterable[Operation], changed: Changed) -> set[str]:
        """The operations out of their turn, and the rounds and passes that come ahead of the one before."""
        turned = [op for op in order if op.round is not None or op.step.id in changed or has_turns(op.step)]
        found = {turned[each.position].name for each in broken_turns(self.plan, turned, changed)}
        reached: dict[tuple[str, str | None], int] = {}
        for op in turned:
            if op.round is not None:
                key = (op.step.id, op.side)
                if op.round > reached.get(key, 0) + 1:
                    found.add(f"\n{op.name}")
                reached[key] = max(op.round, reached.get(key, 0))
        return found

    def breaks(self, start: int, tail: Sequence[str], changed: Changed | None = None) -> set[str]:
        """The operations out of their turn in an order that begins as the present one and goes on with ``tail``."""
        ops = self.plan.by_name
        order = (*self.done, *[ops[name] for name in self.rest[:start]], *[ops[name] for name in tail])
        return self._breaks(order, changed or {})

    def left(
        self,
        tail: Sequence[str],
        watched: Fails,
        cured: Fails,
        start: int = 0,
        changed: Changed | None = None,
        moved: Mapping[str, int] | None = None,
    ) -> set[Pair] | None:
        """What still fails of ``watched`` in an order that fails only where the present one does.

        None where it fails anywhere else, fails for something of ``cured``, or breaks more turns. The order begins
        with the first ``start`` operations of the present one and goes on with ``tail``; ``changed``: steps with
        other turns, or whose stage has another pace; ``moved``: operations that are in another stage then, whose
        episode ends elsewhere.
        """
        acts, fails = self._acts, self.fails
        left: set[Pair] = set()
        for name, pairs in watched.items():
            if self.first.get(name, start) < start:
                if name in cured:
                    return None
                left.update([(name, pair) for pair in pairs])
        state = self.before(start)
        for name in tail:
            page, needs, marked, turned, more = act = acts[name]
            if more is not None:
                if not self._fails_as_now(state, name, act, watched, cured, left):
                    return None
                self._do(state, act)
                continue
            facts = state[page]
            if facts & needs != needs and (
                name not in fails or not self._fails_as_now(state, name, act, watched, cured, left)
            ):
                return None
            if marked:
                state[page] = (facts | marked) ^ turned
        ops = self.plan.by_name
        order = (*self.done, *[ops[name] for name in self.rest[:start]], *[ops[name] for name in tail])
        if not self.breaks(start, tail, changed) <= self._broken:
            return None
        for name, condition in self._ends(placed(order, moved) if moved else order):
            if condition not in fails.get(name, _NOTHING) or condition in cured.get(name, _NOTHING):
                return None
            if condition in watched.get(name, _NOTHING):
                left.add((name, condition))
        return left

    def _failing(self, state: State, act: Act) -> set[str]:
        found: set[str] = set()
        for page, needs, _, _ in touches_of(act):
            lacking = needs & ~state[page]
            if lacking:
                found.update([condition_of(self.plan, fact) for fact in self.machine.named(page, lacking)])
        more = act[4]
        if more is not None and more.rest is not None:
            found.update([after_pair(step) for step in open_steps(state, more.rest)])
        return found

    def _fails_as_now(self, state: State, name: str, act: Act, watched: Fails, cured: Fails, left: set[Pair]) -> bool:
        """Whether no more fails at an operation than now, and nothing of what is to be cured."""
        found = self._failing(state, act)
        if not found:
            return True
        if not found <= self.fails.get(name, _NOTHING) - cured.get(name, _NOTHING):
            return False
        left.update([(name, pair) for pair in found & watched.get(name, _NOTHING)])
        return True
