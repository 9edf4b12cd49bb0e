"""Repairs that walk and that no fabricator would make; and why those that remain help."""

from __future__ import annotations

from collections.abc import Sequence

from planner.plan.changes import Why
from planner.plan.expand import Operation, Plan
from planner.plan.ideas import Case, Idea, given_by, spoiled_by


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
            relied_on = op.needs | given_by(op)
            here = place.get(name, 0)
            if any(place.get(other, 0) > here and not relied_on.isdisjoint(spoils) for other, spoils in spoiling):
                return True
        elif spoiled_by(op):
            spoiling.append((name, spoiled_by(op)))
    return False


def _looks_back(plan: Plan, op: Operation) -> bool:
    kind = plan.build.kinds.get(op.step.kind or "")
    return kind is not None and kind.looks_back


def why(plan: Plan, case: Case, order: Sequence[str]) -> Why:
    """Why an order cures a finding: who gives what was missing in time, or who undoes it only afterwards."""
    if case.finding.condition is None:
        return Why("complete", case.finding.cause)
    given: str | None = None
    spoiled: str | None = None
    later: str | None = None
    reached = False
    for name in order:
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
