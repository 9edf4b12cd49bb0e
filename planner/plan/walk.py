"""Walking an order of operations: which needs fail, and where steps are complete."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from planner.plan.expand import Key, Operation, side_key, step_key


class Failure(NamedTuple):
    """A need that does not hold, or a step that is not complete, when an operation begins."""

    position: int  # in the order walked
    condition: str | None
    step: str | None  # the step that should be complete


class Progress:
    """Which steps are complete so far. Repeating an operation completes nothing new."""

    __slots__ = ("left", "seen")

    def __init__(self, totals: Mapping[Key, int]) -> None:
        self.left = dict(totals)
        self.seen: set[str] = set()

    def open_after(self, op: Operation) -> list[str]:
        """The steps that op comes after and that are not complete."""
        return [step for key, step in op.after if self.left.get(key)]

    def carry_out(self, op: Operation) -> frozenset[str]:
        """Record op as done; the conditions that come true with it."""
        if op.keys and op.name not in self.seen:
            self.seen.add(op.name)
            for key in op.keys:
                self.left[key] -= 1
        if op.alone:
            return op.gives
        given = op.at_once
        if not self.left[side_key(op)]:
            given |= op.gives
        if op.job_gives and not self.left[step_key(op)]:
            given |= op.job_gives
        return given


def walk(start: Iterable[str], order: Iterable[Operation], totals: Mapping[Key, int]) -> tuple[list[Failure], set[str]]:
    """Walk order from start; every failure, and the state at the end.

    An operation checks its needs, then its spoils go, then its gives come; one that fails is still carried
    out. Linear in the number of operations.
    """
    state = set(start)
    failures: list[Failure] = []
    progress = Progress(totals)
    # The tuple is unpacked whole: cheaper than four attribute look-ups on the hot path.
    for index, op in enumerate(order):
        needs, spoils, gives, simple = op[:4]
        if not needs <= state:
            failures += [Failure(index, name, None) for name in sorted(needs - state)]
        if not simple:
            if op.after:
                failures += [Failure(index, None, step) for step in progress.open_after(op)]
            gives = progress.carry_out(op)
        if spoils:
            state -= spoils
        if gives:
            state |= gives
    return failures, state


Givers = dict[str, list[int]]  # condition -> the operations that really give it, as indexes of the order


class Story(NamedTuple):
    """What happened to the failing conditions: by failure, whether it had held, and who ended that."""

    held: bool
    spoiled_by: int | None  # index in the order
    given_by: int | None  # first operation, this one or later, that gives it
    given_by_plan: bool  # whether one of those is no rework


def explain(
    start: Iterable[str], order: Sequence[Operation], totals: Mapping[Key, int], failures: Sequence[Failure]
) -> tuple[dict[tuple[int, str], Story], Givers]:
    """The story behind each failed need, keyed by (index, condition), and who gives those conditions.

    A second walk that looks only at the conditions that failed.
    """
    failed: dict[int, list[str]] = {}
    watched: set[str] = set()
    for failure in failures:
        if failure.condition is not None:
            failed.setdefault(failure.position, []).append(failure.condition)
            watched.add(failure.condition)
    state = watched & set(start)
    held = set(state)
    ender: dict[str, int] = {}
    waiting: dict[str, list[int]] = {}  # failures that have not met a giver yet
    stories: dict[tuple[int, str], Story] = {}
    givers: Givers = {}
    progress = Progress(totals)
    for index, op in enumerate(order):
        for name in failed.get(index, ()):
            stories[index, name] = Story(name in held, ender.get(name), None, False)
            waiting.setdefault(name, []).append(index)
        gives = op.gives if op.simple else progress.carry_out(op)
        if not op.spoils.isdisjoint(watched):
            for name in op.spoils & state:
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
