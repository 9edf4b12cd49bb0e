"""Builds written out in tests the way a person would, and what the command says about them."""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path
from typing import Any

from planner.files.build.reading import read_build
from planner.plan.expand import Plan, expand
from tests.support.builds import write_files
from tests.support.commandline import run_json

HEAD = "format: 1\nbuild: A trial\nsides: [{sides}]\n{more}"


def write(
    folder: Path, stages: str, *, sides: str = "driver, passenger", job: str = "", episodes: Iterable[str] = ()
) -> Path:
    """A build of one episode (or more) in folder; ``stages`` is the text under ``stages:``."""
    files = {"build.yaml": HEAD.format(sides=sides, more=job)}
    for number, text in enumerate([stages, *episodes], 1):
        body = f"format: 1\nepisode: {number}\ntitle: Part {number}\nstages:\n{text}"
        files[f"episodes/{number:02d}-part.yaml"] = body
    return write_files(folder, files)


def plan_of(folder: Path) -> Plan:
    """The plan of a build that must be readable."""
    reading = read_build(folder)
    assert reading.build is not None, [str(problem) for problem in reading.problems]
    return expand(reading.build)


def names(folder: Path) -> list[str]:
    """The planned operations by name."""
    return [op.name for op in plan_of(folder).operations]


def findings(folder: Path, *options: str) -> list[dict[str, Any]]:
    """What ``check`` finds."""
    found: list[dict[str, Any]] = run_json("check", str(folder), *options)[1]["findings"]
    return found
