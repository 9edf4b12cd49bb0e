"""A repair in words: what it changes, and why that helps."""

from __future__ import annotations

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
from planner.plan.repairs import Repair


def change_says(plan: Plan, change: Change) -> str:
    """What to change, as a sentence."""
    if isinstance(change, Two):
        return f"{change_says(plan, change.first)} {change_says(plan, change.second)}"
    if isinstance(change, Turns):
        shown = change.turns if isinstance(change.turns, str) else f"[{', '.join(change.turns)}]"
        return f"Give the step {change.step} turns: {shown}."
    if isinstance(change, Pace):
        return f"Give the stage “{plan.stages[change.stage][1].title}” pace: {change.pace}."
    if isinstance(change, MoveStep):
        return _step_moved(plan, change)
    where = "before" if isinstance(change, AddSides) or change.before else "after"
    if isinstance(change, AddSides):
        return f"Do the step {change.step} on the {' and '.join(change.added)} side too."
    if isinstance(change, PutIn):
        return f"Put {change.op} in {where} {change.by}."
    if isinstance(change, MoveOperation):
        return f"Do {change.op} right {where} {change.by}."
    return f"Do all of {change.step} right {'first' if change.by is None else f'{where} {change.by}'}."


def _step_moved(plan: Plan, change: MoveStep) -> str:
    stage = plan.stages[change.stage][1]
    others = [step.id for step in stage.steps if step.id != change.step]
    same = len(others) < len(stage.steps)
    where = "" if same else f" into the stage “{stage.title}”,"
    if change.spot < len(others):
        return f"Move the step {change.step}{where} before {others[change.spot]}."
    if change.spot > 0:
        return f"Move the step {change.step}{where} after {others[change.spot - 1]}."
    return f"Move the step {change.step} into the stage “{stage.title}”."


def repair_says(plan: Plan, finding: Finding, repair: Repair) -> str:
    """What to change; of a repair that cures a part, which part."""
    says = change_says(plan, repair.change)
    return f"{says} This cures {finding.at} alone." if repair.partial else says


def why_says(finding: Finding, repair: Repair) -> str:
    """Why it helps, in a line."""
    how, op = repair.why
    before = "by the end" if finding.at.startswith("(") else f"before {finding.at}"
    return {
        "given": f"{op} then gives it {before}.",
        "kept": f"{op} then undoes it only after {finding.at}.",
        "complete": f"{op} is then complete {before}.",
        "sides": "No side is forgotten then.",
        "turn": "Everything then comes in its turn.",
        "balance": "The sides then share the pull, a round each.",
    }.get(how, f"Nothing undoes it {before} then.")
