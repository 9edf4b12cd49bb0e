"""The order of tacks or beads, written into the step that makes them: a round for each opposite pair of tacks or each
bead, the sides in turn, and the wait between two on one side."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, NamedTuple

from planner.files.editing.several import find_step
from planner.files.editing.spots import Edit, Texts, applied, edit_of
from planner.files.editing.steps import set_key
from planner.plan.expand import effective_turns
from planner.plan.fill import references
from planner.plan.model import ALTERNATE, Build, Stage, Step
from planner.session.writing.desk import Outcome, Task, desk_of, now_of

if TYPE_CHECKING:
    from planner.numbers.calculator import Result
    from planner.session.opened import Opened

ORDERED = {"beads": "weld", "tacks": "tack"}  # calculator -> what its order is of, as kinds of work are called


class NoRoundsError(Exception):
    """The order cannot be written into that step; says why. Nothing was changed."""


class Rounds(NamedTuple):
    """What an order comes to in a step."""

    calculator: str
    rounds: int
    joints: int | None  # welded in turn; None: as many as the step has sides
    wait: int | None  # seconds; None: the step's own stays


class Draft(NamedTuple):
    """An edit worked out and not kept yet."""

    task: Task
    outcome: Outcome


def rounds_of(build: Build, name: str) -> Rounds:
    """What the order of a calculator comes to. Raises NoRoundsError where it has none that is worked out."""
    from planner.numbers.together import StepNumbers

    if name not in ORDERED:
        raise NoRoundsError(f"{name} yields no order; {' and '.join(ORDERED)} do")
    outcome = build.numbers.outcome(name) if isinstance(build.numbers, StepNumbers) else None
    if outcome is None:
        raise NoRoundsError(f"numbers.yaml has no section {name}")
    if outcome.result is None:
        says = "; ".join(f"{key} {why}" for key, why in outcome.problems)
        raise NoRoundsError(f"{name} cannot be worked out: {says}")
    return _asked(name, outcome.result)


def _asked(name: str, result: Result) -> Rounds:
    if name == "tacks":
        places = result.results["places"]
        return Rounds(name, len(places) // 2 if isinstance(places, tuple) else 1, None, None)
    joints, wait = result.given_number("joints"), result.given_number("wait")
    return Rounds(
        name,
        round(result.value("rounds")),
        len(result.sides) if joints is None else round(joints),
        None if wait is None else math.ceil(wait - 1e-9),
    )


def steps_for(build: Build, asked: Rounds) -> list[Step]:
    """The steps that can take an order: those whose words name it; where none do, those of its kind of work."""
    name = asked.calculator
    steps = [step for stage in _stages(build) for step in stage.steps if not why_not(stage, step, asked)]
    named = [step for step in steps if any(each.name.startswith(f"{name}.") for each in references(_words(step)))]
    return named or [step for step in steps if ORDERED[name] in (step.kind or "").split("-")]


def _stages(build: Build) -> list[Stage]:
    return [stage for each in build.episodes for stage in each.stages]


def _words(step: Step) -> str:
    return " ".join((step.do, *step.say, *step.note))


def drafted(opened: Opened, step_id: str, asked: Rounds) -> Draft:
    """Work the edit out. Raises NoRoundsError where the step cannot take this order."""
    build = opened.one.plan.build
    held = next(
        (
            (stage, step)
            for each in build.episodes
            for stage in each.stages
            for step in stage.steps
            if step.id == step_id
        ),
        None,
    )
    if held is None:
        raise NoRoundsError(f"there is no step {step_id}")
    stage, step = held
    why = why_not(stage, step, asked)
    if why:
        raise NoRoundsError(why)
    task = writing(stage, step, asked)
    outcome = desk_of(opened).work_out(task, now_of(opened))
    if not outcome.good or outcome.plan is None:
        raise NoRoundsError(outcome.refused or "; ".join(problem.message for problem in outcome.problems))
    came = [op.name for op in outcome.plan.operations if op.step.id == step_id]
    if _in_turn(asked, step) and came != wanted(step, asked):
        raise NoRoundsError(f"the plan would not come out in this order: {', '.join(came[:6])} …")
    return Draft(task, outcome)


def wanted(step: Step, asked: Rounds) -> list[str]:
    """The operations of the step as the order has them: one at every joint before any gets the next."""
    sides = [""] if step.once else [f"@{side}" for side in _sides(step)]
    if asked.rounds == 1:
        return [f"{step.id}{side}" for side in sides]
    return [f"{step.id}#{number}{side}" for number in range(1, asked.rounds + 1) for side in sides]


def _sides(step: Step) -> tuple[str, ...]:
    if isinstance(step.turns, tuple):
        return step.turns
    return tuple(sorted(step.sides, key=lambda side: side != step.first))


def _in_turn(asked: Rounds, step: Step) -> bool:
    """Whether the order goes from side to side, a tack or bead at each."""
    return not step.once and len(step.sides) > 1 and asked.joints != 1


def why_not(stage: Stage, step: Step, asked: Rounds) -> str:
    """Why a step cannot take an order; empty where it can."""
    if step.rework:
        return f"{step.id} is rework, which has no rounds"
    if stage.rounds > 1:
        return (
            f"the stage “{stage.title}” does all its steps {stage.rounds} times over, so that {step.id} has no rounds "
            "of its own; take rounds away there first"
        )
    joints = 1 if step.once else len(step.sides)
    if asked.joints in (None, 1, joints):
        return ""
    says = "once" if step.once else f"on {joints} side{'' if joints == 1 else 's'}"
    return (
        f"{asked.calculator} goes over {asked.joints} joints in turn and {step.id} is done {says}; "
        f"choose another step, or set joints: {joints}"
    )


def writing(stage: Stage, step: Step, asked: Rounds) -> Task:
    """The order as something to write: only what the plan does not say yet."""
    values: dict[str, str | int | None] = {}
    if step.rounds != asked.rounds:
        values["rounds"] = asked.rounds
    if _in_turn(asked, step) and not isinstance(step.turns, tuple):
        turns = effective_turns(step, stage.pace)
        if turns != ALTERNATE:
            values["turns"] = ALTERNATE
    if asked.wait is not None and (step.wait != asked.wait or step.cool_to is not None):
        values["wait"] = _duration(asked.wait) if asked.wait else None

    def make(texts: Texts) -> Edit:
        work: Texts = texts
        notes: tuple[str, ...] = ()
        for key, value in values.items():
            edit = set_key(work, find_step(work, step.id), key, value)
            work, notes = applied(work, edit.changes), (*notes, *edit.notes)
        return edit_of(texts, work, notes)

    return Task(f"wrote the order of {asked.calculator} into {step.id}", make)


def _duration(seconds: int) -> str:
    return f"{seconds // 60} min" if seconds % 60 == 0 else f"{seconds} s"
