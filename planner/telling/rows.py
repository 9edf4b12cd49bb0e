"""The plan as rows: episodes, stages and steps, with a cell for each side. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.fill import said
from planner.plan.model import NOTICE, Finding, Step
from planner.telling.looks import literal

NOT_FILMED = "not filmed"  # the detail of a cell that is done, and was to be seen
EPISODE, STAGE, STEP, GAP = "episode", "stage", "step", "gap"


class PlanRow(NamedTuple):
    """One row of the plan: ``cells`` hold the operations of a step by side (one cell when it is done once).

    The text is literal: it can be measured, cut and drawn as it is.
    """

    what: str
    text: str
    stage: int
    step: Step | None = None
    cells: tuple[tuple[Operation, ...], ...] = ()


class CellState(NamedTuple):
    """What a cell says: the state of its operations together, and the findings about them."""

    state: str  # done, ready, ahead, waiting, not yet, or a word for what is not planned
    done: int
    total: int
    detail: str  # what goes with the state: the time a wait has left
    mark: str  # trap, gap, notice or nothing
    history: bool  # the mark is about what is done already


def plan_rows(plan: Plan) -> list[PlanRow]:
    """Every row, in the order of the plan."""
    grouped: dict[tuple[int, str, str | None], list[Operation]] = {}
    planned = {id(op) for op in plan.operations}
    for op in (*plan.operations, *plan.left_out, *(op for op in plan.reworks.values() if id(op) not in planned)):
        group = grouped.setdefault((op.stage, op.step.id, op.side), [])
        if not group or group[-1] is not op:
            group.append(op)
    rows: list[PlanRow] = []
    last = None
    for index, (episode, stage) in enumerate(plan.stages):
        if episode is not last:
            if rows:
                rows.append(PlanRow(GAP, "", index))
            rows.append(PlanRow(EPISODE, literal(f"{episode.number}  {episode.title}"), index))
            last = episode
        rows.append(PlanRow(STAGE, literal(stage.title), index))
        for step in stage.steps:
            sides: Sequence[str | None] = (None,) if step.once else plan.build.sides
            cells = tuple(tuple(_in_order(grouped.get((index, step.id, side), []))) for side in sides)
            rows.append(PlanRow(STEP, literal(said(plan.build, step, None)), index, step, cells))
    return rows


def _in_order(ops: list[Operation]) -> list[Operation]:
    unique = {op.name: op for op in ops}
    return sorted(unique.values(), key=lambda op: op.round or 0)


def cell_of(row: PlanRow, column: int) -> tuple[Operation, ...]:
    """The operations of the cell that a column meets; a step done once has one cell for all columns."""
    if not row.cells:
        return ()
    return row.cells[0 if len(row.cells) == 1 else min(column, len(row.cells) - 1)]


def worst(findings: Sequence[Finding]) -> Finding | None:
    """The finding to mark a cell with: one that stands before history, the graver level first."""
    order = {"trap": 0, "gap": 1, NOTICE: 2}
    return min(findings, key=lambda each: (each.history, order[each.level]), default=None)
