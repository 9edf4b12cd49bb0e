"""What the reader and the command line say about a folder."""

from __future__ import annotations

from pathlib import Path

from planner.files.build.reading import read_build
from planner.files.yaml.tree import Problem
from planner.plan.model import Build
from tests.badinput.samples import SMALL, write
from tests.files.log.making import Said, planner

EPISODE = "episodes/01-trial.yaml"


def loaded(folder: Path) -> Build:
    """The build of a folder that must be readable."""
    reading = read_build(folder)
    assert reading.build is not None, [str(problem) for problem in reading.problems]
    return reading.build


def problems(folder: Path) -> tuple[Problem, ...]:
    """The problems of a folder that must not be readable."""
    reading = read_build(folder)
    assert reading.build is None
    assert reading.problems
    return reading.problems


def refused(folder: Path) -> Said:
    """``check`` of an unusable build: exit 2, located lines on stderr, the promised object with ``--json``.

    What the reader found, the lines and the object must tell the same.
    """
    found = problems(folder)
    said = planner("check", str(folder))
    assert said.code == 2 and said.out == ""
    lines = said.err.splitlines()
    assert len(lines) == len(found) + 1
    for line, problem in zip(lines, found, strict=False):
        assert line.startswith(f"{problem.path}:{problem.line}:{problem.column}: "), line
        assert problem.line >= 1 and problem.column >= 1
        assert len(line) < 1000
    count = len(found)
    assert lines[-1] == f"planner: {folder} cannot be used: {count} problem{'s' if count > 1 else ''}"

    said = planner("check", str(folder), "--json")
    assert said.code == 2
    assert said.json == {
        "format": 1,
        "problems": [
            {"path": p.path, "line": p.line, "column": p.column, "message": p.message, "near": p.near} for p in found
        ],
    }
    return said


def told(folder: Path) -> list[tuple[str, int, int, str]]:
    """The problems as (file, line, column, message), told by reader and command alike."""
    refused(folder)
    return [(str(Path(p.path).relative_to(folder)), p.line, p.column, p.message) for p in problems(folder)]


def with_episode(folder: Path, text: str | bytes) -> Path:
    """A small build with this as its only episode."""
    return write(folder, {**SMALL, EPISODE: text})


def with_step(folder: Path, keys: str) -> Path:
    """A small build whose only step has these keys too; each line of them stands in column 9 from line 9 on."""
    lines = "".join(f"        {line}\n" for line in keys.splitlines())
    return with_episode(folder, SMALL[EPISODE] + lines)


def with_job(folder: Path, keys: str) -> Path:
    """A small build whose build.yaml goes on with these lines, from line 7 on."""
    return write(folder, {**SMALL, "build.yaml": SMALL["build.yaml"] + keys})
