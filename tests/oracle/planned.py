"""The order in which a plan does its operations: pace, turns, rounds, passes, sequences."""

from __future__ import annotations

from tests.oracle.shapes import Build, Stage, Step, covered, operation_name


def planned_order(build: Build) -> list[str]:
    """The names of all operations of the plan, in order."""
    return [name for stage in build.stages() for name in stage_order(stage, build.sides)]


def stage_order(stage: Stage, sides: tuple[str, ...]) -> list[str]:
    """One stage: its sequence as it stands, or its list once a pass."""
    if stage.sequence is not None:
        return list(stage.sequence)
    order = []
    for turn in range(1, stage.rounds + 1):
        fixed = turn if stage.rounds > 1 else None
        for run in runs(stage):
            if stage.pace == "side-first" and not ends_run(run[0]):
                for side in put_first(list(sides), stage.first):
                    for step in run:
                        if side in covered(step, sides):
                            order += [operation_name(step.name, side, k) for k in labels(step, fixed)]
            else:
                for step in run:
                    order += step_order(step, stage, sides, fixed)
    return order


def runs(stage: Stage) -> list[list[Step]]:
    """The steps of a stage cut into runs: each step that ends a run is alone. Rework expands to nothing."""
    found: list[list[Step]] = []
    for step in stage.steps:
        if step.rework:
            continue
        if found and not ends_run(step) and not ends_run(found[-1][0]):
            found[-1].append(step)
        else:
            found.append([step])
    return found


def ends_run(step: Step) -> bool:
    """Whether a step is done as in step-first even where the pace is side-first."""
    return step.sides == "once" or step.turns is not None


def put_first(sides: list[str | None] | list[str], first: str | None) -> list[str | None]:
    """The sides with `first` ahead, if it is among them."""
    if first is None or first not in sides:
        return list(sides)
    return [first, *(side for side in sides if side != first)]


def side_order(step: Step, stage: Stage, sides: tuple[str, ...]) -> list[str | None]:
    """In which order a step that keeps to itself takes its sides."""
    if isinstance(step.turns, tuple):
        return list(step.turns)
    here = covered(step, sides)
    return put_first(here, step.first if step.first in here else stage.first)


def labels(step: Step, fixed: int | None) -> list[int | None]:
    """The numbers in the names of a step's rounds; `fixed` is the pass, where the stage has rounds."""
    if fixed is not None:
        return [fixed]
    return list(range(1, step.rounds + 1)) if step.rounds > 1 else [None]


def step_order(step: Step, stage: Stage, sides: tuple[str, ...], fixed: int | None) -> list[str]:
    """A step that keeps to itself: round by round, or side by side."""
    order = side_order(step, stage, sides)
    numbers = labels(step, fixed)
    if step.turns == "side-first":
        return [operation_name(step.name, side, number) for side in order for number in numbers]
    return [operation_name(step.name, side, number) for number in numbers for side in order]
