"""Builds written out in tests the way a person would, and what the command says about them."""

from __future__ import annotations

import io
import json
from collections.abc import Iterable
from contextlib import redirect_stderr, redirect_stdout
from pathlib import Path
from typing import Any

from planner.commands import main
from planner.files.build.reading import read_build
from planner.plan.expand import Plan, expand

HEAD = "format: 1\nbuild: A trial\nsides: [{sides}]\n{more}"


def write(
    folder: Path, stages: str, *, sides: str = "driver, passenger", job: str = "", episodes: Iterable[str] = ()
) -> Path:
    """A build of one episode (or more) in folder; ``stages`` is the text under ``stages:``."""
    (folder / "episodes").mkdir(parents=True, exist_ok=True)
    (folder / "build.yaml").write_text(HEAD.format(sides=sides, more=job), encoding="utf-8")
    for number, text in enumerate([stages, *episodes], 1):
        body = f"format: 1\nepisode: {number}\ntitle: Part {number}\nstages:\n{text}"
        (folder / "episodes" / f"{number:02d}-part.yaml").write_text(body, encoding="utf-8")
    return folder


def plan_of(folder: Path) -> Plan:
    """The plan of a build that must be readable."""
    reading = read_build(folder)
    assert reading.build is not None, [str(problem) for problem in reading.problems]
    return expand(reading.build)


def names(folder: Path) -> list[str]:
    """The planned operations by name."""
    return [op.name for op in plan_of(folder).operations]


def run(*argv: str) -> tuple[int, str, str]:
    """A command's exit code, stdout and stderr."""
    out, err = io.StringIO(), io.StringIO()
    with redirect_stdout(out), redirect_stderr(err):
        code = main(argv)
    return code, out.getvalue(), err.getvalue()


def run_json(*argv: str) -> tuple[int, Any]:
    """A command's exit code and the object it printed."""
    code, out, _ = run(*argv, "--json")
    return code, json.loads(out)


def findings(folder: Path, *options: str) -> list[dict[str, Any]]:
    """What ``check`` finds."""
    found: list[dict[str, Any]] = run_json("check", str(folder), *options)[1]["findings"]
    return found
