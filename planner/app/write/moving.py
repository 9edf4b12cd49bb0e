"""Moving episodes, stages and steps: one place up or down, or into another stage or episode."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from planner.app.editors.editor import Editing
from planner.files.editing.episodes import move_episode
from planner.files.editing.spots import Edit, Spot, Texts
from planner.files.editing.steps import move_stage, move_step
from planner.files.plankeys import CHOICE, EPISODE, STAGE, STEP, Field
from planner.files.yaml.places import EditError, Value
from planner.session.writing.choices import Choice
from planner.session.writing.desk import Outcome, Task
from planner.session.writing.rows import WriteRow, episode_row, stage_neighbour, step_neighbour

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable

    from textual.app import App

    from planner.plan.model import Build


class Mover(Protocol):
    """What moving takes of whoever writes."""

    app: App[object]
    say: Callable[..., None]

    @property
    def build(self) -> Build:
        """The build as it is now."""

    def now(self, row: WriteRow) -> Spot:
        """Where a row is by the time of the edit."""

    def edit_with(
        self, says: str, make: Callable[[Texts], Edit], after: Callable[[Outcome], Hashable] | None = None
    ) -> None:
        """Keep an edit, and go where ``after`` says."""

    def did(self, outcome: Outcome | None, after: Callable[[Outcome], Hashable] | None = None) -> None:
        """Say what came of an edit."""


def move(writer: Mover, row: WriteRow, build: Build, by: int) -> None:
    """One place up or down."""
    nowhere = f"{row.said} is {'first' if by < 0 else 'last'} already"
    if row.what == EPISODE:
        paths = [episode.place.path for episode in build.episodes]
        index = paths.index(row.spot.path) + by
        if not 0 <= index < len(paths):
            writer.say(nowhere)
            return
        number = build.episodes[index].number
        writer.edit_with(
            f"moved {row.said}",
            lambda texts: move_episode(texts, writer.now(row).path, index),
            lambda outcome: episode_row(outcome.plan.build, number) if outcome.plan is not None else None,
        )
        return
    near = step_neighbour if row.what == STEP else stage_neighbour
    place = near(build, row.spot, by)
    if place is None:
        writer.say(nowhere)
        return
    to, at = place
    if row.what == STAGE:
        writer.edit_with(
            f"moved {row.said}",
            lambda texts: move_stage(texts, writer.now(row), to.path, at),
            lambda _: (STAGE, to.path, at),
        )
        return

    def make(texts: Texts) -> Edit:
        there = step_neighbour(writer.build, writer.now(row), by)
        if there is None:
            raise EditError(nowhere)
        return move_step(texts, writer.now(row), there.to, there.at)

    writer.edit_with(f"moved {row.said}", make, lambda _: row.name)


def move_to(writer: Mover, row: WriteRow, build: Build) -> None:
    """Into another stage, or a stage into another episode."""
    if row.what == EPISODE:
        writer.say("< and > move an episode up and down; the numbers follow")
        return
    from planner.app.editors.pick import PickOne

    offers: list[Choice] = []
    places: list[tuple[Spot, int]] = []
    for episode in build.episodes:
        if row.what == STAGE:
            if episode.place.path != row.spot.path:
                offers.append(Choice(len(places), f"{episode.number}  {episode.title}", "at its end"))
                places.append((Spot(episode.place.path), len(episode.stages)))
            continue
        for index, stage in enumerate(episode.stages):
            spot = Spot(episode.place.path, index)
            if spot != Spot(row.spot.path, row.spot.stage):
                offers.append(Choice(len(places), stage.title, f"episode {episode.number}  {episode.title}"))
                places.append((spot, len(stage.steps)))
    if not offers:
        writer.say("there is no other place to move it to")
        return
    into = "stage" if row.what == STEP else "episode"
    field = Field(("move",), CHOICE, f"{row.said}: to the end of which {into}")

    def task(value: Value) -> Task:
        def make(texts: Texts) -> Edit:
            if not isinstance(value, int):
                return Edit({})
            to, index = places[value]
            if row.what == STEP:
                return move_step(texts, writer.now(row), to, index)
            return move_stage(texts, writer.now(row), to.path, index)

        return Task(f"moved {row.said}", make, value=value)

    def done(outcome: Outcome | None) -> None:
        if outcome is not None:
            to, index = places[outcome.task.value] if isinstance(outcome.task.value, int) else (row.spot, 0)
            writer.did(outcome, lambda _: row.name if row.what == STEP else (STAGE, to.path, index))

    writer.app.push_screen(PickOne(Editing(row.target, field, None, task), offers), done)
