"""Why a need fails: by condition, and for one kept part by part, by the parts that are open."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.machine import Failure, machine_of

Givers = dict[str, list[int]]  # fact -> the operations that really give it, as indexes of the order


class Story(NamedTuple):
    """The rule that a failed need falls under, the index of its cause, and what is open."""

    rule: str
    cause: int | None
    open_facts: tuple[str, ...]


def condition_of(plan: Plan, fact: str) -> str:
    """The grounded condition that a fact belongs to."""
    part = plan.parts.get(fact)
    return fact if part is None else part.condition


def elsewhere(plan: Plan, facts: set[str]) -> dict[str, list[str]]:
    """For each fact on a side, the same on the other sides of the build."""
    sides = plan.build.sides
    wanted: dict[tuple[str, str], list[str]] = {}
    found: dict[str, list[str]] = {}
    for fact in facts:
        part = plan.parts.get(fact)
        name, at, side = condition_of(plan, fact).partition("@")
        if part is not None and at:
            wanted.setdefault((name, part.piece), []).append(fact)
        elif at:
            found[fact] = [f"{name}@{each}" for each in sides if each != side]
    for other, part in plan.parts.items() if wanted else ():
        for fact in wanted.get((part.condition.partition("@")[0], part.piece), ()):
            if other != fact:
                found.setdefault(fact, []).append(other)
    return found


def explain(
    plan: Plan, order: Sequence[Operation], failures: Sequence[Failure]
) -> tuple[dict[tuple[int, str], Story], Givers]:
    """The story behind each failed need, by (index, condition), and who gives which fact. A second walk."""
    failed: dict[int, dict[str, list[str]]] = {}
    conditions: set[str] = set()
    missing: set[str] = set()
    for failure in failures:
        if failure.fact is not None:
            condition = condition_of(plan, failure.fact)
            conditions.add(condition)
            missing.add(failure.fact)
            failed.setdefault(failure.position, {}).setdefault(condition, []).append(failure.fact)
    kept: dict[str, list[str]] = {name: [] for name in conditions}
    for fact, part in plan.parts.items():
        if part.condition in conditions:
            kept[part.condition].append(fact)
    for name, facts in kept.items():
        if not facts:
            facts.append(name)
    others = elsewhere(plan, missing)
    own = {fact for facts in kept.values() for fact in facts}
    watched = own.union(*others.values()) if others else own
    machine = machine_of(plan)
    at = machine.begin()
    state = {fact for fact in own if machine.holds(at, fact)}
    held = {name for name, facts in kept.items() if state.issuperset(facts)}
    opener: dict[str, int] = {}
    givers: Givers = {}
    met: list[tuple[int, str, tuple[str, ...], bool, list[int]]] = []
    for index, op in enumerate(order):
        for name, facts in failed.get(index, {}).items():
            met.append((index, name, tuple(facts), name in held, [opener[f] for f in facts if f in opener]))
        spoils, gives = machine.do(at, op)
        if not spoils.isdisjoint(own):
            for fact in spoils & state:
                if fact not in gives:
                    opener[fact] = index
                    state.discard(fact)
        if not gives.isdisjoint(watched):
            for fact in gives & watched:
                givers.setdefault(fact, []).append(index)
                if fact in own and fact not in state:
                    state.add(fact)
                    name = condition_of(plan, fact)
                    if name not in held and state.issuperset(kept[name]):
                        held.add(name)
    stories = {}
    for index, name, lacking, had, openers in met:
        rule, cause = ("spoiled", None) if had else _never_held(order, index, lacking, givers, others)
        if rule == "spoiled":
            cause = max(openers, default=None)
        stories[index, name] = Story(rule, cause, lacking)
    return stories, givers


def _never_held(
    order: Sequence[Operation],
    index: int,
    facts: Sequence[str],
    givers: Givers,
    others: dict[str, list[str]],
) -> tuple[str, int | None]:
    def planned(fact: str) -> list[int]:
        return [i for i in givers.get(fact, ()) if not order[i].step.rework]

    nowhere = [fact for fact in facts if not planned(fact)]
    if nowhere:
        across = [[i for each in others.get(fact, ()) for i in planned(each)] for fact in nowhere]
        if all(across):
            return "other-side", min(i for found in across for i in found)
        return "never-given", None
    later = [i for fact in facts for i in givers[fact] if i >= index]
    return ("given-later", min(later)) if any(not order[i].step.rework for i in later) else ("spoiled", None)
