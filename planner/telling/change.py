"""A repair in words: what it changes, and why that helps.

``called`` says what steps and operations are called: by their names for files and programs, by what they do on screens.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.plan.changes import (
    AddSides,
    Change,
    MoveOperation,
    MoveStep,
    Pace,
    PutIn,
    Turns,
    Two,
)
from planner.plan.expand import Plan
from planner.plan.model import Finding

if TYPE_CHECKING:
    from planner.plan.repairs import Repair

Called = Callable[[str], str]


def change_says(plan: Plan, change: Change, called: Called = str) -> str:
    """What to change, as a sentence."""
    if isinstance(change, Two):
        return f"{change_says(plan, change.first, called)} {change_says(plan, change.second, called)}"
    if isinstance(change, Turns):
        shown = change.turns if isinstance(change.turns, str) else f"[{', '.join(change.turns)}]"
        return f"Give {_step(change.step, called)} turns: {shown}."
    if isinstance(change, Pace):
        return f"Give the stage “{plan.stages[change.stage][1].title}” pace: {change.pace}."
    if isinstance(change, MoveStep):
        return _step_moved(plan, change, called)
    where = "before" if isinstance(change, AddSides) or change.before else "after"
    if isinstance(change, AddSides):
        return f"Do {_step(change.step, called)} on the {' and '.join(change.added)} side too."
    if isinstance(change, PutIn):
        return f"Put {called(change.op)} in {where} {called(change.by)}."
    if isinstance(change, MoveOperation):
        return f"Do {called(change.op)} right {where} {called(change.by)}."
    place = "first" if change.by is None else f"{where} {called(change.by)}"
    return f"Do all of {called(change.step)} right {place}."


def _step(name: str, called: Called) -> str:
    """A step: its bare name says that it is one, what it does needs no such word."""
    return f"the step {name}" if called is str else called(name)


def _step_moved(plan: Plan, change: MoveStep, called: Called) -> str:
    stage = plan.stages[change.stage][1]
    others = [step.id for step in stage.steps if step.id != change.step]
    same = len(others) < len(stage.steps)
    where = "" if same else f" into the stage “{stage.title}”,"
    if change.spot < len(others):
        return f"Move {_step(change.step, called)}{where} before {called(others[change.spot])}."
    if change.spot > 0:
        return f"Move {_step(change.step, called)}{where} after {called(others[change.spot - 1])}."
    return f"Move {_step(change.step, called)} into the stage “{stage.title}”."


def repair_says(plan: Plan, finding: Finding, repair: Repair, called: Called = str) -> str:
    """What to change; of a repair that cures a part, which part."""
    says = change_says(plan, repair.change, called)
    return f"{says} This cures {called(finding.at)} alone." if repair.partial else says


def why_says(finding: Finding, repair: Repair, called: Called = str) -> str:
    """Why it helps, in a line."""
    how, op = repair.why[0], called(repair.why[1] or "")
    at = finding.at if called is str else "that"
    before = "by the end" if finding.at.startswith("(") else f"before {at}"
    return {
        "given": f"{op} then gives it {before}.",
        "kept": f"{op} then undoes it only after {at}.",
        "complete": f"{op} is then complete {before}.",
        "sides": "No side is forgotten then.",
        "turn": "Everything then comes in its turn.",
        "balance": "The sides then share the pull, a round each.",
    }.get(how, f"Nothing undoes it {before} then.")
