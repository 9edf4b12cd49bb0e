"""What becomes of ticks when the plan changes, and how much of a plan can be checked at all. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import TYPE_CHECKING

from planner.plan.names import renamed_op

if TYPE_CHECKING:
    from planner.plan.expand import Operation, Plan


def checked_steps(plan: Plan) -> tuple[int, int]:
    """How many steps say something that their order could be checked by, and how many there are; rework apart."""
    steps = [step for _, stage in plan.stages for step in stage.steps if not step.rework]
    return sum(1 for step in steps if step.needs or step.gives or step.spoils or step.after), len(steps)


def ticks_after(
    old: Plan, new: Plan, ticked: Iterable[str], renamed: Mapping[str, str] | None = None
) -> list[tuple[str, str]]:
    """What becomes of each ticked operation that the change is about, in words; nothing where all stays as it is.

    ``renamed``: steps that go by another id in the new plan, old -> new; the log takes their ticks over.
    """
    names = renamed or {}
    before, after = _by_step(old), _by_step(new)
    found: list[tuple[str, str]] = []
    for name in dict.fromkeys(ticked):
        known = old.by_name.get(name)
        if known is None:
            continue  # it counts for nothing now either
        fresh = renamed_op(name, names)
        step = names.get(known.step.id, known.step.id)
        there = new.by_name.get(fresh)
        if there is None:
            found.append((name, _gone(known, step, after.get(step, []))))
            continue
        more = [each for each in _others(after[step], there) if _old_name(each, names) not in old.by_name]
        says = f"the tick goes over to {fresh}" if fresh != name else ""
        if there.step.rework and not known.step.rework:
            says = _joined(says, "it stays ticked, as rework that was put in")
        elif more and not there.step.rework and _same_shape(before[known.step.id], after[step]):
            says = _joined(says, f"it stays ticked; still to be done then: {_some(more)}")
        if says:
            found.append((name, says))
    return found


def _by_step(plan: Plan) -> dict[str, list[Operation]]:
    """Each step's operations, each once."""
    found: dict[str, list[Operation]] = {}
    for op in plan.by_name.values():
        found.setdefault(op.step.id, []).append(op)
    return found


def _others(ops: list[Operation], op: Operation) -> list[str]:
    """The other operations of the step on the same side."""
    return [each.name for each in ops if each.side == op.side and each.name != op.name]


def _old_name(name: str, names: Mapping[str, str]) -> str:
    return renamed_op(name, {new: old for old, new in names.items()})


def _same_shape(before: list[Operation], after: list[Operation]) -> bool:
    """Whether both are done once, or both a side: else the other operations are no further rounds."""
    return {op.side is None for op in before} == {op.side is None for op in after}


def _gone(was: Operation, step: str, now: list[Operation]) -> str:
    """Why an operation is no longer there, and what is to be done instead."""
    kept = "its tick stays in the log and no longer counts"
    if not now:
        return f"the step {step} is no longer in the plan; {kept}"
    sides = {op.side for op in now}
    if was.side is None and None not in sides:
        why = f"{step} is then done on each side"
    elif was.side is not None and None in sides:
        why = f"{step} is then done once"
    elif was.side not in sides:
        return f"{step} is then not done on the {was.side} side; {kept}"
    else:
        count = sum(1 for op in now if op.side == was.side)
        why = f"{step} then has {count} round{'' if count == 1 else 's'}"
    own = [op.name for op in now if op.side == was.side] or [op.name for op in now]
    return f"{why}; {kept}, and to be ticked then: {_some(own)}"


def _some(names: list[str]) -> str:
    return ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")


def _joined(first: str, second: str) -> str:
    return f"{first}; {second}" if first else second
