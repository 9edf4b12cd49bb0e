"""Write a generated build into a folder as a person would: by hand, in several layouts."""

from __future__ import annotations

from pathlib import Path
from random import Random

from tests.oracle.shapes import Build, Episode, Stage, Step


def write(build: Build, folder: Path) -> Path:
    """Write every file of the build into `folder` and return it."""
    random = Random(f"layout {build.seed}")
    (folder / "episodes").mkdir(parents=True, exist_ok=True)
    (folder / "build.yaml").write_text(_job(build, random), encoding="utf-8")
    for episode in build.episodes:
        name = f"{episode.number:02d}-part-{episode.number}.yaml"
        text = _episode(episode, random)
        (folder / "episodes" / name).write_text(text, encoding="utf-8")
    return folder


def as_text(build: Build) -> str:
    """All files as one text, for the message of a failing test."""
    random = Random(f"layout {build.seed}")
    parts = ["# build.yaml\n" + _job(build, random)]
    for episode in build.episodes:
        parts.append(f"# episodes/{episode.number:02d}-part-{episode.number}.yaml\n" + _episode(episode, random))
    return "\n".join(parts)


def _listed(key: str, words: tuple[str, ...], indent: int, random: Random) -> list[str]:
    """A list in one of three layouts: in brackets, in brackets over several lines, or one dash a line."""
    pad = " " * indent
    layout = random.random()
    if layout < 0.7 or not words:
        return [f"{pad}{key}: [{', '.join(words)}]"]
    if layout < 0.85:
        return [f"{pad}{key}: [", *(f"{pad}  {word}," for word in words), f"{pad}  ]"]
    return [f"{pad}{key}:", *(f"{pad}- {word}" for word in words)]


def _job(build: Build, random: Random) -> str:
    lines = ["format: 1", "build: A build made by chance"]
    lines += _listed("sides", build.sides, 0, random)
    if build.film is not None:
        lines.append(f"film: {build.film}")
    lines.append("conditions:")
    for name, scope in build.conditions.items():
        lines.append(f"  {name}: {{on: {scope}, means: made by chance}}")
    if build.start:
        lines += _listed("start", build.start, 0, random)
    if build.on_camera_needs or build.on_camera_spoils:
        lines.append("on-camera:")
        if build.on_camera_needs:
            lines += _listed("needs", build.on_camera_needs, 2, random)
        if build.on_camera_spoils:
            lines += _listed("spoils", build.on_camera_spoils, 2, random)
    return "\n".join(lines) + "\n"


def _episode(episode: Episode, random: Random) -> str:
    lines = ["format: 1", f"episode: {episode.number}", f"title: Part {episode.number}"]
    if episode.film is not None:
        lines.append(f"film: {episode.film}")
    lines.append("stages:")
    for stage in episode.stages:
        lines += _stage(stage, random)
    return "\n".join(lines) + "\n"


def _stage(stage: Stage, random: Random) -> list[str]:
    lines = [f"  - stage: {stage.name}"]
    if stage.pace is not None:
        lines.append(f"    pace: {stage.pace}")
    if stage.rounds > 1:
        lines.append(f"    rounds: {stage.rounds}")
    if stage.first is not None:
        lines.append(f"    first: {stage.first}")
    if stage.film is not None:
        lines.append(f"    film: {stage.film}")
    if stage.sequence is not None:
        lines += _listed("sequence", stage.sequence, 4, random)
    lines.append("    steps:")
    for step in stage.steps:
        lines += _step(step, random)
    return lines


def _step(step: Step, random: Random) -> list[str]:
    lines = [f"      - step: {step.name}", f"        do: Do {step.name}  # {step.name}"]
    if isinstance(step.sides, tuple):
        lines += _listed("sides", step.sides, 8, random)
    elif step.sides == "once" or random.random() < 0.1:
        lines.append(f"        sides: {step.sides}")
    if step.why:
        lines.append("        why: only there")
    if step.rounds > 1:
        lines.append(f"        rounds: {step.rounds}")
    if isinstance(step.turns, tuple):
        lines += _listed("turns", step.turns, 8, random)
    elif step.turns is not None:
        lines.append(f"        turns: {step.turns}")
    for key, word in (("first", step.first), ("film", step.film)):
        if word is not None:
            lines.append(f"        {key}: {word}")
    for key, words in (
        ("needs", step.needs),
        ("gives", step.gives),
        ("spoils", step.spoils),
        ("after", step.after),
    ):
        if words or random.random() < 0.03:
            lines += _listed(key, words, 8, random)
    if step.one_way:
        lines.append("        one-way: true")
    if step.rework:
        lines.append("        rework: true")
    return lines
