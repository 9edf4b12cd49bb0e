"""Walking an order of operations: which needs fail, and the story behind each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.machine import Failure, machine_of

Givers = dict[str, list[int]]  # fact -> the operations that really give it, as indexes of the order


class Story(NamedTuple):
    """What happened to the failing facts: by failure, whether it had held, and who ended that."""

    held: bool
    spoiled_by: int | None  # index in the order
    given_by: int | None  # first operation, this one or later, that gives it
    given_by_plan: bool  # whether one of those is no rework


def explain(
    plan: Plan, order: Sequence[Operation], failures: Sequence[Failure]
) -> tuple[dict[tuple[int, str], Story], Givers]:
    """The story behind each failed need, keyed by (index, fact), and who gives those facts.

    A second walk that looks only at the facts that failed.
    """
    failed: dict[int, list[str]] = {}
    watched: set[str] = set()
    for failure in failures:
        if failure.fact is not None:
            failed.setdefault(failure.position, []).append(failure.fact)
            watched.add(failure.fact)
    machine = machine_of(plan)
    at = machine.begin()
    state = {name for name in watched if machine.holds(at, name)}
    held = set(state)
    ender: dict[str, int] = {}
    waiting: dict[str, list[int]] = {}  # failures that have not met a giver yet
    stories: dict[tuple[int, str], Story] = {}
    givers: Givers = {}
    for index, op in enumerate(order):
        for name in failed.get(index, ()):
            stories[index, name] = Story(name in held, ender.get(name), None, False)
            waiting.setdefault(name, []).append(index)
        spoils, gives = machine.do(at, op)
        if not spoils.isdisjoint(watched):
            for name in spoils & state:
                if name not in gives:
                    ender[name] = index
                    state.discard(name)
        if not gives.isdisjoint(watched):
            came = gives & watched
            state |= came
            held |= came
            for name in came:
                givers.setdefault(name, []).append(index)
                for earlier in waiting.get(name, ()):
                    story = stories[earlier, name]
                    if story.given_by is None:
                        story = story._replace(given_by=index)
                    stories[earlier, name] = story._replace(given_by_plan=not op.step.rework)
                if not op.step.rework:
                    waiting.pop(name, None)
    return stories, givers
