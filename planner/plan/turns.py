"""Whether an order keeps the turns of steps with rounds or with stated turns."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from planner.plan.expand import Operation, Plan, effective_turns, side_order
from planner.plan.model import ALTERNATE, SIDE_FIRST, Step
from planner.plan.names import operation_name


class TurnBreak(NamedTuple):
    """An operation out of its turn, and the one that should have come first."""

    position: int  # in the order
    cause: str


def has_turns(step: Step) -> bool:
    """Whether the order of a step's own operations is laid down."""
    return not step.rework and (step.rounds > 1 or step.turns is not None)


#: Steps by id, changed, and the pace that their stage is to have.
Changed = Mapping[str, tuple[Step, str]]


def broken_turns(plan: Plan, order: Iterable[Operation], changed: Changed | None = None) -> list[TurnBreak]:
    """Every operation of order that leaves the turns of its step; repeats of an operation are free.

    Alternate: a round before every side has the last one. Side-first: a second side before the first is
    complete. A list: another order within a round.
    """
    breaks: list[TurnBreak] = []
    done: dict[tuple[str, int | None], list[tuple[str | None, int]]] = {}
    for index, op in enumerate(order):
        step, pace = op.step, plan.stages[op.stage][1].pace
        if changed and step.id in changed:
            step, pace = changed[step.id]
        if not has_turns(step):
            continue
        so_far = done.setdefault((op.step.id, op.lap), [])
        slot = (op.side, 1 if op.lap is not None or op.round is None else op.round)
        if slot in so_far:
            continue
        missing = _missing_first(plan, op, step, pace, slot, so_far)
        if missing is not None:
            breaks.append(TurnBreak(index, missing))
        so_far.append(slot)
    return breaks


def _missing_first(
    plan: Plan,
    op: Operation,
    step: Step,
    pace: str,
    slot: tuple[str | None, int],
    so_far: list[tuple[str | None, int]],
) -> str | None:
    side, number = slot
    stage = plan.stages[op.stage][1]
    turns = effective_turns(step, pace)
    sides: tuple[str | None, ...] = (None,) if step.once else side_order(step, stage)
    wanted: list[tuple[str | None, int]]
    if turns == ALTERNATE:
        if all((each, number - 1) in so_far for each in sides) or number == 1:
            return None
        wanted = [(each, earlier) for earlier in range(1, number) for each in sides]
    elif turns == SIDE_FIRST:
        begun = list(dict.fromkeys(each for each, _ in so_far))
        earlier_sides = begun[: begun.index(side)] if side in begun else begun
        wanted = [(each, k) for each in earlier_sides for k in range(1, step.rounds + 1)]
    else:
        wanted = [(each, number) for each in sides[: sides.index(side)]]
    for each, k in wanted:
        if (each, k) not in so_far:
            shown = op.lap if op.lap is not None else (k if step.rounds > 1 else None)
            return operation_name(step.id, each, shown)
    return None
