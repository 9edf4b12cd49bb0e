"""An order found, as an edit of the plan: worked out, looked at, then kept like any other."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from planner.files.disk.saving import ChangedOutsideError
from planner.files.editing.repairs import apply_order
from planner.files.editing.spots import Edit, Texts
from planner.plan.live import Live
from planner.session.opened import Opened
from planner.session.writing.desk import Desk, Outcome, Task, desk_of, now_of

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild
    from planner.session.orders import Answer


class NotPossibleError(Exception):
    """The order cannot be kept; says why. Nothing was changed."""


class Draft(NamedTuple):
    """An edit worked out and not kept yet."""

    opened: Opened
    desk: Desk
    outcome: Outcome


def ordering(one: OneBuild, answer: Answer) -> Task:
    """The order of an answer as something to write."""
    found, scope, build = answer.found.order or (), answer.scope, one.plan.build
    done = [op.name for op in scope.done]
    order = [op.name for op in scope.whole(found)]

    def make(texts: Texts) -> Edit:
        return apply_order(texts, build, order, done)

    return Task(f"put {answer.name} in order", make)


def draft(one: OneBuild, answer: Answer) -> Draft:
    """Work the edit out. Raises NotPossibleError where the plan cannot say this order."""
    opened = Opened(one.folder, one)
    desk = desk_of(opened)
    outcome = desk.work_out(ordering(one, answer), now_of(opened))
    if not outcome.good:
        raise NotPossibleError(outcome.refused or "; ".join(str(problem) for problem in outcome.problems))
    plan = outcome.plan
    wanted = [op.name for op in answer.scope.whole(answer.found.order or ())[len(answer.scope.done) :]]
    if plan is None or (
        outcome.edit.changes
        and [op.name for op in Live(plan, ((plan.by_name[op.name], at) for op, at in one.live.done)).remaining()]
        != wanted
    ):
        raise NotPossibleError("the plan would not come out in this order")
    return Draft(opened, desk, outcome)


def keep(made: Draft) -> None:
    """Put it on the disk. Raises NotPossibleError with every file as it was."""
    if not made.outcome.edit.changes:
        return
    try:
        made.desk.keep(made.outcome, made.opened)
    except ChangedOutsideError as error:
        raise NotPossibleError(str(error)) from error
    if made.desk.unsaved:
        raise NotPossibleError(made.desk.unsaved)
