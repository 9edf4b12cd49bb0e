"""The numbers of a build without its steps."""

from __future__ import annotations

from pathlib import Path
from typing import Any, NamedTuple

from planner.files.build.fields import Source, read_keys
from planner.files.build.job import JOB_KEYS
from planner.files.build.load import load
from planner.files.build.numbers import BuildNumbers, read_numbers, work_out
from planner.files.layout import BUILD_FILE, NUMBERS_FILE
from planner.files.yaml.tree import Node, Problem, Problems


class NumbersAlone(NamedTuple):
    """A build read for its numbers only: its name, and the numbers where it has any, or what is wrong."""

    name: str
    numbers: BuildNumbers | None
    problems: tuple[Problem, ...]
    lengths: str | None = None  # how they are shown


def read_alone(folder: Path) -> NumbersAlone:
    """The numbers of a build without its steps, so that a slip in an episode does not hide them."""
    problems = Problems()
    root = load(folder / BUILD_FILE, problems)
    got: dict[str, Any] = {}
    if root is not None:
        source = Source(str(folder / BUILD_FILE), problems)
        wanted = {key: value if key in ("build", "sides", "show") else _ignore for key, value in JOB_KEYS.items()}
        got = read_keys(source, root, BUILD_FILE, wanted, ("build", "sides"))
    path = folder / NUMBERS_FILE
    found = None
    if path.exists():
        tree = load(path, problems)
        if tree is not None and got.get("sides"):
            file = read_numbers(path, tree, got["sides"], problems)
            if not problems.found:
                found = work_out(file, got["sides"], (got.get("show") or {}).get("lengths"))
    lengths = (got.get("show") or {}).get("lengths")
    return NumbersAlone(got.get("build") or folder.name, found, tuple(problems.found), lengths)


def _ignore(_: Source, __: Node, ___: str) -> None:
    return None
