"""Walking many orders of the same operations fast, to try repairs out.

The same rules as walk.py, on whole numbers: a bit a condition that somebody needs, a bit an operation done. A
trial stops at the first failure that a repair may not have, so most bad ideas cost a few operations.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan, effective_turns, side_key, side_order, step_key
from planner.plan.model import ALTERNATE, SIDE_FIRST, Step
from planner.plan.turns import has_turns
from planner.plan.walk import Progress


class Fails(NamedTuple):
    """What fails at one operation: condition bits, and bits of its ``after`` links."""

    needs: int
    after: int


class _Compiled(NamedTuple):
    needs: int
    spoils: int
    gives: int
    simple: bool
    bit: int
    side_mask: int  # the operations that complete its side; 0 when it is alone
    job_gives: int
    step_mask: int
    at_once: int
    after: tuple[int, ...]  # masks, one a link
    turns: tuple[bool, tuple[int, ...]]  # (all of them done?, or each wholly done or not begun), masks


_NO_TURNS: tuple[bool, tuple[int, ...]] = (True, ())


def _begun_sides(done: Iterable[Operation]) -> dict[tuple[str, int | None], list[str | None]]:
    """For each step (and pass), the sides that were begun, in that order."""
    found: dict[tuple[str, int | None], list[str | None]] = {}
    for op in done:
        sides = found.setdefault((op.step.id, op.lap), [])
        if op.side not in sides:
            sides.append(op.side)
    return found


def _laps_in_order(order: Sequence[Operation], bits: Mapping[str, int]) -> dict[str, int]:
    """For each operation of a later pass whose own last pass comes before it: the bit of that one.

    A repair may not turn the passes of a stage round, where they are in order now.
    """
    found: dict[str, int] = {}
    seen: dict[tuple[str, str | None, int], str] = {}
    for op in order:
        if op.lap is not None:
            last = seen.get((op.step.id, op.side, op.lap - 1))
            if last is not None:
                found[op.name] = bits[last]
            seen[op.step.id, op.side, op.lap] = op.name
    return found


class Trial:
    """The operations of a plan, ready to be walked in any order from the state the ticks have led to."""

    def __init__(self, plan: Plan, done: Sequence[Operation], rest: Sequence[Operation]) -> None:
        self.plan = plan
        self.rest = [op.name for op in rest]
        operations = list(plan.by_name.values())
        needed = frozenset().union(*(op.needs for op in operations))
        self.bit_of = {name: 1 << index for index, name in enumerate(sorted(needed))}
        self.op_bit = {op.name: 1 << index for index, op in enumerate(operations)}
        masks: dict[object, int] = {}
        for op in operations:
            for key in op.keys:
                masks[key] = masks.get(key, 0) | self.op_bit[op.name]
        self._begun = _begun_sides(done)
        self._lap_before = _laps_in_order([*done, *rest], self.op_bit)
        self._by_step: dict[tuple[str, int | None], list[Operation]] = {}
        for op in operations:
            if has_turns(op.step):
                self._by_step.setdefault((op.step.id, op.lap), []).append(op)
        self.compiled = {op.name: self._compile(op, masks) for op in operations}
        self.state, self.done = self._after(done)
        self.before: list[tuple[int, int]] = []  # state and operations done, before each of rest
        self.fails: dict[str, Fails] = {}
        self.broken: set[str] = set()
        self._first_walk()

    def bits(self, names: Iterable[str]) -> int:
        """Condition bits; conditions that nobody needs have none."""
        total = 0
        for name in names:
            total |= self.bit_of.get(name, 0)
        return total

    def _compile(self, op: Operation, masks: Mapping[object, int]) -> _Compiled:
        alone = op.alone
        return _Compiled(
            self.bits(op.needs),
            self.bits(op.spoils),
            self.bits(op.gives),
            op.simple and not has_turns(op.step) and op.name not in self._lap_before,
            self.op_bit[op.name],
            0 if alone else masks[side_key(op)],
            self.bits(op.job_gives),
            0 if alone else masks[step_key(op)],
            self.bits(op.at_once),
            tuple(masks.get(key, 0) for key, _ in op.after),
            self._turns(op, op.step, self.plan.stages[op.stage][1].pace),
        )

    def _turns(self, op: Operation, step: Step, pace: str) -> tuple[bool, tuple[int, ...]]:
        """Which operations must have come before op, by the turns of step in a stage of that pace.

        Both may be changed ones.
        """
        every, masks = self._step_turns(op, step, pace)
        pass_before = self._lap_before.get(op.name)
        return (every, masks) if pass_before is None else (every, (*masks, pass_before))

    def _step_turns(self, op: Operation, step: Step, pace: str) -> tuple[bool, tuple[int, ...]]:
        if not has_turns(step):
            return _NO_TURNS
        turns = effective_turns(step, pace)
        mine = self._by_step.get((step.id, op.lap)) or [op]
        number = 1 if op.lap is not None or op.round is None else op.round

        def mask(chosen: Iterable[Operation]) -> int:
            total = 0
            for each in chosen:
                total |= self.op_bit[each.name]
            return total

        if turns == ALTERNATE:
            last = [each for each in mine if op.lap is None and each.round == number - 1 and each.round]
            return True, (mask(last),)
        if turns == SIDE_FIRST:
            others: Sequence[str | None] = [side for side in step.sides if side != op.side and not step.once]
            begun = self._begun.get((step.id, op.lap), [])
            if op.side in begun:  # a side begun after this one has broken its turn itself
                others = begun[: begun.index(op.side)]
            return False, tuple(mask(each for each in mine if each.side == side) for side in others)
        order = side_order(step, self.plan.stages[op.stage][1])
        ahead = order[: order.index(op.side)] if op.side in order else ()
        return True, (mask(each for each in mine if each.round == op.round and each.side in ahead),)

    def with_turns(self, steps: Iterable[Step], pace: str) -> dict[str, _Compiled]:
        """The compiled operations with these steps' turns changed, or their stage's pace."""
        changed = dict(self.compiled)
        for step in steps:
            mine = [op for op in self.plan.by_name.values() if op.step.id == step.id]
            for op in mine:
                self._by_step.setdefault((step.id, op.lap), [each for each in mine if each.lap == op.lap])
                turns = self._turns(op, step, pace)
                changed[op.name] = self.compiled[op.name]._replace(turns=turns, simple=False)
        return changed

    def _after(self, done: Sequence[Operation]) -> tuple[int, int]:
        state = set(self.plan.build.start)
        progress = Progress(self.plan.totals)
        finished = 0
        for op in done:
            gives = progress.carry_out(op)
            state = (state - op.spoils) | gives
            finished |= self.op_bit[op.name]
        return self.bits(state), finished

    def _first_walk(self) -> None:
        """Walk the order as it is: snapshots before each operation, and everything that fails."""
        state, done = self.state, self.done
        for name in self.rest:
            self.before.append((state, done))
            op = self.compiled[name]
            missing = op.needs & ~state
            late = self._late(op, done)
            if missing or late:
                old = self.fails.get(name, Fails(0, 0))
                self.fails[name] = Fails(old.needs | missing, old.after | late)
            if not self._in_turn(op, done):
                self.broken.add(name)
            state, done = self._step(op, state, done)
        self.before.append((state, done))

    @staticmethod
    def _late(op: _Compiled, done: int) -> int:
        late = 0
        for index, mask in enumerate(op.after):
            if done & mask != mask:
                late |= 1 << index
        return late

    @staticmethod
    def _in_turn(op: _Compiled, done: int) -> bool:
        if done & op.bit:
            return True  # done once more: repeats are free
        every, masks = op.turns
        if every:
            return all(done & mask == mask for mask in masks)
        return all(not done & mask or done & mask == mask for mask in masks)

    @staticmethod
    def _step(op: _Compiled, state: int, done: int) -> tuple[int, int]:
        done |= op.bit
        gives = op.gives
        if op.side_mask:
            gives = op.gives if done & op.side_mask == op.side_mask else 0
            if op.job_gives and done & op.step_mask == op.step_mask:
                gives |= op.job_gives
            gives |= op.at_once
        return state & ~op.spoils | gives, done

    def cures(
        self,
        tail: Sequence[str],
        cured: Mapping[str, Fails],
        compiled: Mapping[str, _Compiled] | None = None,
        start: int = 0,
    ) -> bool:
        """Whether an order fails only where the present one does, nowhere of ``cured``, and keeps all turns.

        The order begins with the first ``start`` operations of the present one and goes on with ``tail``.
        """
        ops = self.compiled if compiled is None else compiled
        fails = self.fails
        for name in self.rest[:start]:
            if name in cured or name in self.broken:
                return False
        state, done = self.before[start]
        nothing = Fails(0, 0)
        for name in tail:
            op = ops[name]
            missing = op.needs & ~state
            if missing:
                allowed = fails.get(name, nothing).needs & ~cured.get(name, nothing).needs
                if missing & ~allowed:
                    return False
            if op.simple:
                done |= op.bit
                state = state & ~op.spoils | op.gives
                continue
            if op.after:
                late = self._late(op, done)
                allowed = fails.get(name, nothing).after & ~cured.get(name, nothing).after
                if late & ~allowed:
                    return False
            if not self._in_turn(op, done):
                return False
            state, done = self._step(op, state, done)
        return True
