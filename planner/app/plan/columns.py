"""The plan as rows: episodes, stages and steps, with a cell for each side. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len

from planner.app.draw.drawing import cut
from planner.plan.expand import Operation, Plan
from planner.plan.fill import said
from planner.plan.model import NOTICE, Finding, Step
from planner.telling.looks import LEVEL_GLYPHS, STATE_GLYPHS, Line, Piece, line, literal

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

    state: str  # done, ready, waiting, not yet, or a word for what is not planned
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


_STATE_LOOKS = {"done": "done", "ready": "ready", "waiting": "waits", "not yet": "not-yet"}


def cell_texts(cell: CellState) -> list[Line]:
    """Everything a cell may show, the fullest first; the widest that fits is taken.

    A trap or gap that stands outranks the state, which the detail says too; any other mark only follows it.
    """
    count = f"{cell.done}/{cell.total} " if cell.total > 1 else ""
    glyph = STATE_GLYPHS.get(cell.state, "–")
    look = _STATE_LOOKS.get(cell.state, "dim")
    tail = f" {cell.detail}" if cell.detail else ""
    state = Piece(f"{glyph} {count}{cell.state}", look)
    bare = Piece(f"{glyph} {cell.state}", look)  # the count is in the detail too
    if not cell.mark:
        return [line(state, (tail, look)), (state,), (bare,)]
    mark_glyph = LEVEL_GLYPHS[cell.mark]
    word = f"was {cell.mark}" if cell.history else cell.mark
    mark = (f"{mark_glyph} {word}", cell.mark)
    full, both = line(state, (tail, look), "  ", mark), line(state, "  ", mark)
    if cell.history or cell.mark == NOTICE:
        return [full, both, line(state, " ", (mark_glyph, cell.mark)), line(bare, " ", (mark_glyph, cell.mark))]
    return [full, both, line((f"{mark_glyph} {count}{word}", cell.mark)), line((f"{mark_glyph} {word}", cell.mark))]


def fitting_text(texts: Sequence[Line], width: int) -> Line:
    """The fullest text that fits; the last when none does."""
    for text in texts:
        if sum(len(piece.text) for piece in text) <= width:
            return text
    return texts[-1]


def stage_line(title: str, done: int, total: int, width: int) -> Line:
    """A stage of the outline: by glyph, title and count, and by word too where the whole title leaves room."""
    if not total:
        glyph, look, count, word = "·", "dim", "", "empty"
    elif done >= total:
        glyph, look, count, word = "✓", "done", f"{done}/{total}", "done"
    else:
        glyph, look = ("▸" if done else "·"), ""
        count, word = f"{done}/{total}", "begun" if done else "not begun"
    text = f"  {glyph} {literal(title)}"
    # Words of one width stand under each other; where they do not fit, the word by itself may.
    tails = (f" {count} {word:<9}", f" {count} {word}", f" {count}") if count else (f" {word:<9}", f" {word}")
    tail = next((each for each in tails if cell_len(text) + len(each) + 1 <= width), tails[-1])
    return line((cut(text, width - len(tail) - 1), look), (tail, "dim"))


class Columns(NamedTuple):
    """How the width of the plan is shared out: the step's text, and the sides that can be seen."""

    text: int
    cell: int
    first: int  # the first side that is seen
    shown: int  # how many are


def share_out(width: int, sides: Sequence[str], column: int, first: int = 0) -> Columns:
    """Columns for that width: as wide as is useful, never too narrow to read, around the cursor's column."""
    count = len(sides)
    longest = max(9, *(len(side) for side in sides))
    text_least = 20 if width < 76 else 22
    for cell in (22, 19, 16, 14, 11):
        if cell > longest and width - count * cell >= (text_least if cell <= 14 else max(30, width * 2 // 5)):
            return Columns(width - count * cell, cell, 0, count)
    cell = max(11, min(longest + 1, 14))
    shown = max(1, min(count, (width - text_least) // cell))
    first = max(0, min(first, count - shown))
    first = min(max(first, column - shown + 1), column)
    return Columns(max(0, width - shown * cell), cell, first, shown)
