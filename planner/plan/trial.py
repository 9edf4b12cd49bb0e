"""Walking many orders of the same operations fast, to try repairs out.

A trial goes on from where an order first differs from the present one and stops at the first failure that a repair
may not have, so most bad ideas cost a few operations.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from planner.plan.expand import Operation, Plan
from planner.plan.machine import Act, State, machine_of, open_steps, touches_of
from planner.plan.turns import Changed, broken_turns, has_turns

_EVERY = 16  # a state is kept before each so-manieth operation; from there it is a short walk

_NOTHING: frozenset[str] = frozenset()

#: What fails at an operation: facts that it needs, and steps that should be complete, those behind a line end.
Fails = Mapping[str, frozenset[str]]


def after_pair(step: str) -> str:
    """A step that should be complete, told apart from the facts that fail at an operation."""
    return f"\n{step}"


class Trial:
    """The operations of a plan, ready to be walked in any order from the state the ticks have led to."""

    def __init__(self, plan: Plan, done: Sequence[Operation], rest: Sequence[Operation]) -> None:
        self.plan = plan
        self.done = done
        self.rest = [op.name for op in rest]
        self.machine = machine_of(plan)
        self._acts = self.machine.acts
        self.fails: dict[str, frozenset[str]] = {}
        self._states: list[tuple[int, ...]] = []
        self._first_walk(rest)
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
            found = [*machine.missing(state, op), *(after_pair(step) for step in machine.open_after(state, op))]
            if found:
                self.fails[op.name] = self.fails.get(op.name, frozenset()).union(found)
            machine.do(state, op)
        if not self._states or len(rest) % _EVERY == 0:
            self._states.append(tuple(state))

    def _before(self, index: int) -> State:
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

    def cures(self, tail: Sequence[str], cured: Fails, start: int = 0, changed: Changed | None = None) -> bool:
        """Whether an order fails only where the present one does, nowhere of ``cured``, and breaks no more turns.

        The order begins with the first ``start`` operations of the present one and goes on with ``tail``;
        ``changed``: steps with other turns, or whose stage has another pace.
        """
        acts, fails = self._acts, self.fails
        if any(name in cured for name in self.rest[:start]):
            return False
        state = self._before(start)
        for name in tail:
            page, needs, marked, turned, more = act = acts[name]
            if more is not None:
                if self._fails_anew(state, name, act, cured):
                    return False
                self._do(state, act)
                continue
            facts = state[page]
            if facts & needs != needs and (name not in fails or self._fails_anew(state, name, act, cured)):
                return False
            if marked:
                state[page] = (facts | marked) ^ turned
        ops = self.plan.by_name
        order = (*self.done, *(ops[name] for name in self.rest[:start]), *(ops[name] for name in tail))
        return self._breaks(order, changed or {}) <= self._broken

    def _fails_anew(self, state: State, name: str, act: Act, cured: Fails) -> bool:
        """Whether more fails at an operation than now, or what is to be cured."""
        found: set[str] = set()
        for page, needs, _, _ in touches_of(act):
            lacking = needs & ~state[page]
            if lacking:
                found.update(self.machine.named(page, lacking))
        more = act[4]
        if more is not None and more.rest is not None:
            found.update(after_pair(step) for step in open_steps(state, more.rest))
        return bool(found) and not found <= self.fails.get(name, _NOTHING) - cured.get(name, _NOTHING)
