"""The plan as one list of everything that can be written: episodes, their stages, their steps. Pure."""

from __future__ import annotations

from collections.abc import Container, Hashable, Mapping, Sequence
from typing import NamedTuple

from planner.files.editing.spots import Spot
from planner.files.plankeys import BUILD, EPISODE, STAGE, STEP
from planner.plan.model import SIDE_FIRST, Build, Episode, Finding, Stage, Step
from planner.plan.names import step_of
from planner.plan.words import show_duration
from planner.session.writing.targets import Target


class WriteRow(NamedTuple):
    """An episode, a stage or a step, and where it is written."""

    what: str
    spot: Spot
    text: str
    facts: str = ""
    step: Step | None = None
    number: int = 0  # of the episode
    stages: int = 0  # how many the episode has
    steps: int = 0  # how many the stage has

    @property
    def name(self) -> Hashable:
        """What the row is about, whatever stands above it."""
        if self.step is not None:
            return self.step.id
        return (self.what, self.spot.path, self.spot.stage)

    @property
    def target(self) -> Target:
        """The row as what a form is about."""
        step = self.step.id if self.step is not None else ""
        return Target(self.what, self.spot.path, self.spot.inside, step, self.text if self.what == STAGE else "")

    @property
    def said(self) -> str:
        """The row in words."""
        if self.step is not None:
            return f"the step {self.step.id}"
        return f"episode {self.number}" if self.what == EPISODE else f"the stage “{self.text}”"


def write_rows(build: Build) -> list[WriteRow]:
    """Every row, in the order of the plan; also what is empty yet."""
    rows: list[WriteRow] = []
    for episode in build.episodes:
        path = episode.place.path
        count = len(episode.stages)
        rows.append(WriteRow(EPISODE, Spot(path), episode.title, _episode_facts(episode), None, episode.number, count))
        for index, stage in enumerate(episode.stages):
            spot, size = Spot(path, index), len(stage.steps)
            rows.append(WriteRow(STAGE, spot, stage.title, _stage_facts(stage), None, episode.number, count, size))
            for number, step in enumerate(stage.steps):
                here = Spot(path, index, number)
                rows.append(WriteRow(STEP, here, step.do, step_facts(step), step, episode.number, count, size))
    return rows


def row_of_step(build: Build, step_id: str) -> WriteRow | None:
    """The row of a step."""
    return next((row for row in write_rows(build) if row.step is not None and row.step.id == step_id), None)


def build_target(build: Build) -> Target:
    """The build as a whole, as what a form is about."""
    return Target(BUILD, build.place.path)


def _episode_facts(episode: Episode) -> str:
    facts = [
        f"goes out {episode.publish[0]}" if episode.publish else "",
        f"runs {show_duration(episode.runtime)}" if episode.runtime else "",
    ]
    return ", ".join(fact for fact in facts if fact) or ("no stage yet" if not episode.stages else "")


def _stage_facts(stage: Stage) -> str:
    facts = [
        "side-first" if stage.pace == SIDE_FIRST else "",
        f"{stage.rounds} rounds" if stage.rounds > 1 else "",
        "listed" if stage.sequence is not None else "",
        "no step yet" if not stage.steps else "",
    ]
    return ", ".join(fact for fact in facts if fact)


def step_facts(step: Step) -> str:
    """What a step is, in a few words."""
    sides = "once" if step.once else ", ".join(step.sides) if step.named else "each"
    facts = [
        step.kind or "",
        step.piece or "",
        "rework" if step.rework else sides,
        f"{step.rounds} rounds" if step.rounds > 1 else "",
    ]
    return ", ".join(fact for fact in facts if fact)


def by_step(findings: Sequence[Finding]) -> Mapping[str, list[Finding]]:
    """The findings that stand, by the step that each is at; also those that fail for the same cause."""
    found: dict[str, list[Finding]] = {}
    for finding in findings:
        if not finding.history:
            for name in dict.fromkeys(step_of(each) for each in (finding.at, *finding.also)):
                found.setdefault(name, []).append(finding)
    return found


class Place(NamedTuple):
    """Where a step or a stage goes: into which stage (or episode), and before which of its own."""

    to: Spot
    at: int


def step_neighbour(build: Build, spot: Spot, by: int) -> Place | None:
    """One place up or down: within the stage, else at the near end of the stage beside it."""
    stages = [(Spot(e.place.path, i), s) for e in build.episodes for i, s in enumerate(e.stages)]
    at = next((i for i, (each, _) in enumerate(stages) if each == Spot(spot.path, spot.stage)), None)
    if at is None or spot.step is None:
        return None
    here, stage = stages[at]
    if 0 <= spot.step + by < len(stage.steps):
        return Place(here, spot.step + by)
    if not 0 <= at + by < len(stages):
        return None
    there, other = stages[at + by]
    return Place(there, len(other.steps) if by < 0 else 0)


def stage_neighbour(build: Build, spot: Spot, by: int) -> Place | None:
    """One place up or down: within the episode, else at the near end of the episode beside it."""
    paths = [(episode.place.path, len(episode.stages)) for episode in build.episodes]
    at = next((i for i, (path, _) in enumerate(paths) if path == spot.path), None)
    if at is None or spot.stage is None:
        return None
    if 0 <= spot.stage + by < paths[at][1]:
        return Place(Spot(spot.path), spot.stage + by)
    if not 0 <= at + by < len(paths):
        return None
    return Place(Spot(paths[at + by][0]), paths[at + by][1] if by < 0 else 0)


def first_new_step(build: Build, known: Container[str]) -> Hashable:
    """The first step that was not there before; None: there is none."""
    steps = (step.id for episode in build.episodes for stage in episode.stages for step in stage.steps)
    return next((step for step in steps if step not in known), None)


def episode_row(build: Build, number: int) -> Hashable:
    """The row of an episode by its number."""
    paths = [episode.place.path for episode in build.episodes if episode.number == number]
    return (EPISODE, paths[0], None) if paths else None
