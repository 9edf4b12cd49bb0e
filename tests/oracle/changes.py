"""Every single change of a small build, by brute force, and the order of operations that each leads to.

The changes: one stage's pace; one step's turns, every list included; one operation moved anywhere; one step
moved anywhere, its operations as one block or done anew where it lands; one rework operation put in anywhere.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import permutations

from tests.oracle.plain import Ground
from tests.oracle.planned import planned_order
from tests.oracle.shapes import Build, Stage, Step, covered
from tests.oracle.turning import Turns, turns_of

Order = tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Change:
    """The kind of a change, the order it leads to, and the turns that hold after it."""

    kind: str
    order: Order
    turns: dict[str, Turns]


def single_changes(plan: Ground) -> Iterator[Change]:
    """All of them, each order once for each kind of change."""
    seen: set[tuple[str, Order]] = {("", plan.planned)}
    for change in _all_changes(plan):
        if change.order != plan.planned and (change.kind, change.order) not in seen:
            seen.add((change.kind, change.order))
            yield change


def _all_changes(plan: Ground) -> Iterator[Change]:
    for kind, build in (
        *(("pace", build) for build in _paces(plan.build)),
        *(("turns", build) for build in _turns(plan.build)),
        *(("step", build) for build in _steps_moved(plan.build)),
    ):
        yield Change(kind, tuple(planned_order(build)), turns_of(build))
    for kind, orders in (
        ("operation", _operations_moved(plan.planned)),
        ("block", _blocks_moved(plan)),
        ("rework", _put_in(plan)),
    ):
        for order in orders:
            yield Change(kind, order, plan.turns)


def _with_stage(build: Build, old: Stage, new: Stage) -> Build:
    """The build with one stage put in place of another."""
    return replace(
        build,
        episodes=tuple(
            replace(episode, stages=tuple(new if stage.name == old.name else stage for stage in episode.stages))
            for episode in build.episodes
        ),
    )


def _paces(build: Build) -> Iterator[Build]:
    for stage in build.stages():
        pace = "step-first" if stage.pace == "side-first" else "side-first"
        yield _with_stage(build, stage, replace(stage, pace=pace))


def _turns(build: Build) -> Iterator[Build]:
    for stage in build.stages():
        for place, step in enumerate(stage.steps):
            if step.rework or step.sides == "once":
                continue
            here = [side for side in covered(step, build.sides) if side is not None]
            options: list[str | tuple[str, ...]] = ["alternate", "side-first", *permutations(here)]
            for turns in options:
                steps = _swapped(stage.steps, place, replace(step, turns=turns))
                yield _with_stage(build, stage, replace(stage, steps=steps))


def _swapped(steps: tuple[Step, ...], place: int, step: Step) -> tuple[Step, ...]:
    return (*steps[:place], step, *steps[place + 1 :])


def _steps_moved(build: Build) -> Iterator[Build]:
    """A step written at another place of the plan; not into or out of a stage with passes or a sequence."""
    free = [stage for stage in build.stages() if stage.rounds == 1 and stage.sequence is None]
    for source in free:
        for place, step in enumerate(source.steps):
            if step.rework:
                continue
            rest = replace(source, steps=source.steps[:place] + source.steps[place + 1 :])
            without = _with_stage(build, source, rest)
            for goal in free:
                target = rest if goal is source else goal
                for spot in range(len(target.steps) + 1):
                    steps = (*target.steps[:spot], step, *target.steps[spot:])
                    yield _with_stage(without, target, replace(target, steps=steps))


def _operations_moved(planned: Order) -> Iterator[Order]:
    for place, name in enumerate(planned):
        rest = planned[:place] + planned[place + 1 :]
        for spot in range(len(planned)):
            yield (*rest[:spot], name, *rest[spot:])


def _blocks_moved(plan: Ground) -> Iterator[Order]:
    for step in dict.fromkeys(plan.operations[name].step for name in plan.planned):
        block = tuple(name for name in plan.planned if plan.operations[name].step == step)
        rest = tuple(name for name in plan.planned if plan.operations[name].step != step)
        for spot in range(len(rest) + 1):
            yield (*rest[:spot], *block, *rest[spot:])


def _put_in(plan: Ground) -> Iterator[Order]:
    for name, operation in plan.operations.items():
        if operation.rework:
            for spot in range(len(plan.planned) + 1):
                yield (*plan.planned[:spot], name, *plan.planned[spot:])
