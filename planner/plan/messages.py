"""What a finding says to the person: the operation, the side, the condition, the cause and what to do."""

from __future__ import annotations

from collections.abc import Sequence

from planner.plan.expand import Operation, Plan
from planner.plan.model import Condition, Step


def split_grounded(name: str) -> tuple[str, str | None]:
    """The condition and the side in a grounded name."""
    condition, _, side = name.partition("@")
    return condition, side or None


def meaning(plan: Plan, grounded: str) -> str:
    """The condition in its own words, with its side and its name."""
    name, side = split_grounded(grounded)
    where = f" on the {side} side" if side else ""
    return f"“{plan.build.conditions[name].means}”{where} ({grounded})"


def _more(ops: Sequence[Operation], indexes: Sequence[int]) -> str:
    names = list(dict.fromkeys(ops[i].name for i in indexes))[1:]
    if not names:
        return ""
    shown = ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
    return f" The same stops {shown}."


def _no_way_back(ops: Sequence[Operation], indexes: Sequence[int]) -> str:
    names = list(dict.fromkeys(ops[i].name for i in indexes if ops[i].step.one_way))
    return (
        "This cannot be undone: "
        if names and names[0] == ops[indexes[0]].name
        else (f"{names[0]} cannot be undone. " if names else "")
    )


def need(
    plan: Plan, ops: Sequence[Operation], indexes: Sequence[int], condition: str, rule: str, cause: int | None
) -> str:
    """A need that fails: never given, given too late, or spoiled."""
    op = ops[indexes[0]]
    head = f"{_no_way_back(ops, indexes)}{op.name} needs {meaning(plan, condition)}"
    tail = _more(ops, indexes)
    if rule == "never-given" or cause is None:
        rework = [name for name, item in plan.reworks.items() if condition in item.gives | item.job_gives]
        if rework:
            return f"{head}, and only the rework step {rework[0]} provides it. Put {rework[0]} in before it.{tail}"
        return (
            f"{head}, and no step provides it. Add a step that gives {split_grounded(condition)[0]}, or write it"
            f" under start: if it holds from the beginning.{tail}"
        )
    other = ops[cause].name
    if rule == "given-later":
        if cause == indexes[0]:
            return (
                f"{head}, which only this operation itself gives. Drop it from its needs, or add a step"
                f" before it that gives it.{tail}"
            )
        return f"{head}, which comes only later, with {other}. Do {other} before {op.name}.{tail}"
    return f"{head}, but {other} undid that. {_way_back(plan, ops, condition, cause, indexes[0])}.{tail}"


def _way_back(plan: Plan, ops: Sequence[Operation], condition: str, cause: int, failing: int) -> str:
    """What to do about a spoiled condition: bring it back in between, or keep the two apart."""
    for name, op in plan.reworks.items():
        if condition in op.gives or condition in op.job_gives:
            return f"Put the rework {name} in between, which brings it back"
    givers = [i for i, op in enumerate(ops) if condition in op.gives or condition in op.job_gives]
    later = [i for i in givers if i > failing]
    earlier = [i for i in givers if i < cause]
    episode = plan.stages[ops[failing].stage][0].number
    near = [i for i in later if plan.stages[ops[i].stage][0].number == episode]
    if near:
        return f"{ops[near[0]].name} brings it back: do that in between"
    if earlier:
        return f"Do {ops[earlier[-1]].name} after {ops[cause].name} instead"
    if later:
        return f"{ops[later[0]].name} brings it back: do that in between"
    return f"Do {ops[failing].name} before {ops[cause].name}, or bring it back in between"


def after(ops: Sequence[Operation], indexes: Sequence[int], step: str) -> str:
    """A step that should have been complete first."""
    op = ops[indexes[0]]
    return (
        f"{_no_way_back(ops, indexes)}{op.name} comes after {step}, which is not complete by then."
        f" Finish {step} first.{_more(ops, indexes)}"
    )


def turn(ops: Sequence[Operation], indexes: Sequence[int], cause: str) -> str:
    """An operation out of its turn."""
    op = ops[indexes[0]]
    return (
        f"{_no_way_back(ops, indexes)}{op.name} is out of its turn: {cause} should have come first."
        f" Do {cause} before {op.name}, or change the turns of {op.step.id}.{_more(ops, indexes)}"
    )


def side_missed(step: Step, missing: Sequence[str]) -> str:
    """A step that names some sides and does not say why."""
    return (
        f"{step.id} is planned on {_list(step.sides)} only; nothing is planned on {_list(missing)}."
        f" Add {_list(missing)}, or say why: in the step."
    )


def left_out(op: Operation, stage: str) -> str:
    """An operation that its stage's sequence does not list."""
    return (
        f"{op.name} is left out by the sequence of “{stage}”. Put {op.name} into the sequence, or drop the"
        " side from the step and say why."
    )


def circle(steps: Sequence[str]) -> str:
    """A circle of steps that wait for one another."""
    if len(steps) == 1:
        return f"{steps[0]} comes after itself, so it can never start. Take {steps[0]} out of its own after:."
    round_ = ", which comes after ".join([*steps, steps[0]])
    return f"These steps wait for one another, so none can start: {round_}. Take one of these after: links out."


def unused(condition: Condition) -> str:
    """A declared condition that nothing needs."""
    return (
        f"“{condition.means}” ({condition.name}) is declared, but no step needs it. Name it in the needs of"
        " the step that relies on it, or take it out."
    )


def other_number(step: Step, names: Sequence[str], sides: Sequence[str]) -> str:
    """A step with a number that is not the same on every side."""
    verb = "differs" if len(names) == 1 else "differ"
    return (
        f"{_list(names)} in {step.id} {verb} between {_list(sides)}: do not carry the number of one side across."
        " Read it anew on each side."
    )


def _list(names: Sequence[str]) -> str:
    if len(names) < 2:
        return "".join(names)
    return ", ".join(names[:-1]) + " and " + names[-1]
