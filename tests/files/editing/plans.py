"""Random edits of a whole build, with what its plan must be afterwards, told by the reader of the product."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path
from random import Random

from planner.files.build.kinds import shipped_kinds
from planner.files.build.reading import read_build
from planner.files.editing import episodes as editing_episodes
from planner.files.editing import names as editing_names
from planner.files.editing import steps as editing_steps
from planner.files.editing.spots import Edit, Spot, Texts, applied, episode_paths
from planner.files.yaml.places import Value
from planner.plan.model import Build, Stage, Step

KINDS = shipped_kinds()


Outline = list[tuple[int, list[tuple[str, list[str]]]]]
Steps = dict[str, Step]


def outline(build: Build) -> Outline:
    """Episodes by number with their stages and the ids of their steps."""
    return [
        (episode.number, [(stage.title, [step.id for step in stage.steps]) for stage in episode.stages])
        for episode in build.episodes
    ]


def named(plan: Outline, names: Mapping[str, str]) -> Outline:
    """An outline with steps under other ids."""
    return [
        (number, [(title, [names.get(step, step) for step in steps]) for title, steps in stages])
        for number, stages in plan
    ]


def without(plan: Outline, gone: str) -> Outline:
    """An outline without a step."""
    return [
        (number, [(title, [step for step in steps if step != gone]) for title, steps in stages])
        for number, stages in plan
    ]


def write(texts: Mapping[str, str | None], old: Texts) -> None:
    """Put texts on the disk, simply."""
    for path in old:
        if texts.get(path) is None:
            Path(path).unlink()
    for path, text in texts.items():
        if text is not None and old.get(path) != text:
            Path(path).write_bytes(text.encode("utf-8"))


def read(folder: Path) -> Build:
    """The build; fails with its problems."""
    reading = read_build(folder, KINDS)
    assert reading.build is not None, [str(problem) for problem in reading.problems]
    return reading.build


def take(folder: Path, texts: dict[str, str], edit: Edit) -> tuple[dict[str, str], Build]:
    """Make an edit on the disk and read the build again."""
    fresh = applied(texts, edit.changes)
    write(fresh, texts)
    return fresh, read(folder)


def steps_of(build: Build) -> Steps:
    """Every step by id, without its place in the file."""
    return {
        step.id: step._replace(place=build.place)
        for episode in build.episodes
        for stage in episode.stages
        for step in stage.steps
    }


def spots(build: Build) -> list[tuple[Spot, Stage, Step]]:
    """Every step with its place."""
    return [
        (Spot(episode.place.path, at, index), stage, step)
        for episode in build.episodes
        for at, stage in enumerate(episode.stages)
        for index, step in enumerate(stage.steps)
    ]


def stage_spots(build: Build) -> list[tuple[Spot, Stage]]:
    """Every stage with its place."""
    return [
        (Spot(episode.place.path, at), stage) for episode in build.episodes for at, stage in enumerate(episode.stages)
    ]


def edit_at_random(texts: dict[str, str], build: Build, random: Random) -> tuple[Edit, str]:
    """One edit and what it is."""
    kind = random.choice(("move", "move", "delete", "double", "rename", "add", "set", "stage", "episode", "number"))
    spot, _, step = random.choice(spots(build))
    to, into = random.choice(stage_spots(build))
    if kind == "move":
        same = (to.path, to.stage) == (spot.path, spot.stage)
        place = random.randrange(len(into.steps) + (0 if same else 1))
        return editing_steps.move_step(texts, spot, to, place), f"move {step.id} to {into.title} {place}"
    if kind == "delete":
        return editing_steps.delete_step(texts, spot), f"delete {step.id}"
    if kind == "double":
        return editing_steps.duplicate_step(texts, spot), f"double {step.id}"
    if kind == "rename":
        return editing_names.rename_step(texts, step.id, f"{step.id}-new"), f"rename {step.id}"
    if kind == "add":
        place = random.randrange(len(into.steps) + 1)
        values = {"step": f"fresh-{random.randrange(10**6)}", "do": "Something: new", "time": "5 min"}
        return editing_steps.add_step(texts, to, place, dict(values)), f"add to {into.title} {place}"
    if kind == "set":
        choices: list[tuple[str, Value]] = [
            ("note", "one\ntwo"), ("time", "7 min"), ("hands", 2), ("say", ["a, b", "c: d"]),
        ]  # fmt: skip
        key, value = random.choice(choices)
        return editing_steps.set_key(texts, spot, key, value), f"set {key} of {step.id}"
    if kind == "stage":
        return _stage_edit(texts, build, random)
    if kind == "episode":
        paths = episode_paths(texts)
        path = random.choice(paths)
        if random.random() < 0.5 or len(paths) < 2:
            return editing_episodes.duplicate_episode(texts, path), f"double {path}"
        return editing_episodes.move_episode(texts, path, random.randrange(len(paths))), f"move {path}"
    number = random.choice(build.episodes).number
    return editing_episodes.renumber(texts, {number: 900 + random.randrange(90)}), f"renumber {number}"


def _stage_edit(texts: dict[str, str], build: Build, random: Random) -> tuple[Edit, str]:
    spot, stage = random.choice(stage_spots(build))
    kind = random.choice(("double", "move", "delete", "rounds"))
    if kind == "double":
        return editing_steps.duplicate_stage(texts, spot), f"double stage {stage.title}"
    if kind == "delete":
        return editing_steps.delete_stage(texts, spot), f"delete stage {stage.title}"
    if kind == "rounds":
        rounds = 1 if stage.rounds > 1 else 2
        if any(step.rounds > 1 or step.rework for step in stage.steps):
            return editing_steps.set_key(texts, spot, "first", build.sides[-1]), "first"
        return editing_steps.set_key(texts, spot, "rounds", rounds), f"rounds {rounds} of {stage.title}"
    episode = random.choice(build.episodes)
    same = episode.place.path == spot.path
    place = random.randrange(len(episode.stages) + (0 if same else 1))
    return editing_steps.move_stage(texts, spot, episode.place.path, place), f"move stage {stage.title}"
