"""What the cells of the plan say, from the build that is open. Pure but for what it is handed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planner.plan.expand import Operation
from planner.telling.rows import NOT_FILMED, CellState, worst
from planner.telling.times import clock_words

if TYPE_CHECKING:
    from planner.session.opened import Opened


def current(opened: Opened, ops: Sequence[Operation]) -> Operation | None:
    """The operation of a cell that comes next: the first that is open, else the last."""
    for op in ops:
        if opened.one.live.is_open(op):
            return op
    return ops[-1] if ops else None


def cell_state(opened: Opened, ops: Sequence[Operation]) -> CellState | None:
    """What a cell says; None where the step has nothing on that side."""
    one = opened.one
    if not ops:
        return None
    op = current(opened, ops)
    assert op is not None  # noqa: S101
    done = sum(1 for each in ops if not one.live.is_open(each))
    state = one.state_of(op)
    found = [finding for each in ops for finding in opened.marks(each.name)]
    mark = worst(found)
    word, detail = "not yet", ""
    if op.step.rework and not done:
        word = "if needed"
    elif state.done:
        word, detail = "done", NOT_FILMED if any(each.name in one.not_filmed for each in ops) else ""
    elif opened.is_left_out(op):
        word = "left out"
    elif state.waiting_until is not None:
        word, detail = "waiting", clock_words(state.waiting_until - one.clock())
    elif state.ready:
        word = "ready"
    elif state.ahead:
        word = "ahead"
    return CellState(word, done, len(ops), detail, mark.level if mark else "", bool(mark and mark.history))
