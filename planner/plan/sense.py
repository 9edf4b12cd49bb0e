"""Repairs that walk and that no fabricator would make; and why those that remain help."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.plan.changes import MoveBlock, MoveOperation, MoveStep, PutIn, Two, Why
from planner.plan.debts import episodes_of
from planner.plan.expand import Operation, Plan
from planner.plan.ideas import Case, Idea, given_by, spoiled_by
from planner.plan.messages import split_grounded
from planner.plan.names import step_of
from planner.plan.stories import condition_of
from planner.plan.trial import placed


def foolish(plan: Plan, rest: Sequence[str], idea: Idea, case: Case) -> bool:
    """Whether nobody who knows the work would do it."""
    return dodges(plan, rest, idea) or undone_by(plan, rest, idea) or evades(plan, rest, idea, case)


def _other_pass(plan: Plan, change: MoveOperation | MoveBlock) -> bool:
    """Whether an operation gets into another pass through its stage: the work lies otherwise there."""
    if isinstance(change, MoveBlock):
        return any(op.lap is not None for op in plan.operations if op.step.id == change.step)
    op, by = plan.by_name[change.op], plan.by_name[change.by]
    return op.lap is not None and op.stage == by.stage and op.lap != by.lap


def dodges(plan: Plan, rest: Sequence[str], idea: Idea) -> bool:
    """Whether a check, an order, a release or a sign-off gets ahead of what spoils its needs, or what it is for.

    No check ahead of the weld it checks, and no weld put off until after the sign-off.
    """
    before = rest[idea.start :]
    if not any(_looks_back(plan, plan.by_name[name]) for name in before):
        return False
    # Beyond the last operation that stands elsewhere nothing has changed.
    end = 0
    while end < min(len(before), len(idea.tail)) and before[-1 - end] == idea.tail[-1 - end]:
        end += 1
    window = before[: len(before) - end]
    place = {name: index for index, name in enumerate(idea.tail)}
    spoiling: list[tuple[str, frozenset[str]]] = []
    for name in window:
        op = plan.by_name[name]
        if _looks_back(plan, op):
            relied_on = op.needs | op.counts_when | given_by(op)
            here = place.get(name, 0)
            if any(place.get(other, 0) > here and not relied_on.isdisjoint(spoils) for other, spoils in spoiling):
                return True
        elif spoiled_by(op):
            spoiling.append((name, spoiled_by(op)))
    return False


def undone_by(plan: Plan, rest: Sequence[str], idea: Idea) -> bool:
    """Whether the work that is moved gets ahead of what undoes it: no bead dressed before it is run, no place swept
    before it is ground, nothing held that is let go of before it is wanted. Or behind what wants it: no parts brought
    together once they are tacked."""
    changes = (idea.change.first, idea.change.second) if isinstance(idea.change, Two) else (idea.change,)
    steps = {
        step_of(each.op) if isinstance(each, MoveOperation) else each.step
        for each in changes
        if isinstance(each, MoveStep | MoveOperation | MoveBlock)
    }
    if not steps:
        return False
    before = rest[idea.start :]
    place = {name: index for index, name in enumerate(idea.tail)}
    for index, name in enumerate(before):
        op = plan.by_name[name]
        if op.step.id not in steps:
            continue
        given, here = given_by(op), place.get(name, 0)
        for other in before[:index]:
            past = plan.by_name[other]
            if place.get(other, -1) > here and past.step.id not in steps and not given.isdisjoint(spoiled_by(past)):
                return True
        for other in before[index + 1 :]:
            next_one = plan.by_name[other]
            if (
                place.get(other, 1 << 60) < here
                and next_one.step.id not in steps
                and not given.isdisjoint(next_one.needs)
            ):
                return True
    return False


def evades(plan: Plan, rest: Sequence[str], idea: Idea, case: Case) -> bool:
    """Whether what was opened is not closed but got out of the way: a wheel taken off only once its nuts are tight,
    the frame raised after the drive. Nor is heat or dirt put off until behind what wants it cold or clean. And no
    rework stands in for a side that was forgotten."""
    if isinstance(idea.change, PutIn):
        return case.finding.rule == "other-side" or _left_a_side(plan, case)
    if case.finding.condition is None:
        return False
    known = plan.build.conditions.get(case.finding.condition.partition("@")[0])
    if known is None or known.word is None or (known.word.owed is None and not known.word.regained):
        return False
    if known.word.regained and isinstance(idea.change, MoveOperation | MoveBlock) and _other_pass(plan, idea.change):
        return True
    place = {name: index for index, name in enumerate(idea.tail)}
    failing = [index for index in case.failing if index < len(rest)]
    for index in failing:
        here = place.get(rest[index])
        if here is None:
            continue
        for other in rest[idea.start : index]:
            if place.get(other, -1) > here and not case.facts.isdisjoint(spoiled_by(plan.by_name[other])):
                return True
    return False


def _left_a_side(plan: Plan, case: Case) -> bool:
    """Whether planned work gives on another side what is missing on this one, and is not done on this one at all."""
    name, side = split_grounded(case.finding.condition or "")
    known = plan.build.conditions.get(name)
    if not side or known is None or known.word is None:
        return False
    if any(not plan.by_name[giver].step.rework for giver in case.givers):
        return False
    planned = {op.step.id: op for op in plan.operations if not op.step.rework and op.side is not None}
    giving = [
        op.step
        for op in planned.values()
        if any(split_grounded(condition_of(plan, fact))[0] == name for fact in given_by(op))
    ]
    return bool(giving) and not any(side in step.sides for step in giving)


def _looks_back(plan: Plan, op: Operation) -> bool:
    kind = plan.build.kinds.get(op.step.kind or "")
    return kind is not None and kind.looks_back


def _until(plan: Plan, at: str, order: Sequence[str], moved: Mapping[str, int]) -> Sequence[str]:
    """An order as far as it matters to what fails: to the end of an episode where it fails there."""
    number = at.removeprefix("(end ").removesuffix(")")
    if number == at or not number.isdecimal():
        return order
    ops = placed([plan.by_name[name] for name in order], moved)
    inside = [index for index, episode in enumerate(episodes_of(plan, ops)) if episode == int(number)]
    return order[: inside[-1] + 1] if inside else order


def why(plan: Plan, case: Case, order: Sequence[str], moved: Mapping[str, int]) -> Why:
    """Why an order cures a finding: who gives what was missing in time, or who undoes it only afterwards."""
    if case.finding.condition is None:
        return Why("complete", case.finding.cause)
    given: str | None = None
    spoiled: str | None = None
    later: str | None = None
    reached = False
    for name in _until(plan, case.finding.at, order, moved):
        reached = reached or name == case.finding.at
        op = plan.by_name[name]
        if reached:
            if not case.facts.isdisjoint(spoiled_by(op)):
                later = name
                break
            continue
        if not case.facts.isdisjoint(given_by(op)):
            given = name
        elif not case.facts.isdisjoint(spoiled_by(op)):
            spoiled = name
            given = None
    if given is not None:
        return Why("given", given)
    return Why("kept", later) if later is not None and spoiled is None else Why("holds")
