"""Copies that a file sync leaves beside a plan file when two machines changed it: told apart from plan files.

There is no standard for their names. What is known (common practice, no source): the name of the file with words in
brackets, a date, the name of a machine or a number put behind it, or ``Copy of`` before it. So any YAML file counts
as a copy whose name holds the whole name of a plan file beside it and is itself no plan file's name.
"""

from __future__ import annotations

import os
from collections.abc import Collection
from pathlib import Path
from typing import NamedTuple

from planner.files.layout import BUILD_FILE, EPISODE_FILE, EPISODES, NUMBERS_FILE


class Copy(NamedTuple):
    """A file that stands beside a plan file and may hold other work: neither read as plan nor touched."""

    path: Path
    of: Path


def is_yaml(name: str) -> bool:
    """Whether a name is that of a YAML file, and no editor's or system's own file."""
    return name.lower().endswith((".yaml", ".yml")) and not name.startswith((".", "#"))


def copied_from(name: str, plan_files: Collection[str]) -> str | None:
    """Which of the plan files beside it a file is a copy of, by its name; the longest name that is in it."""
    if name in plan_files or not is_yaml(name):
        return None
    low = name.lower()
    within = [file for file in plan_files if _stem(file).lower() in low]
    return max(within, key=len, default=None)


def _stem(name: str) -> str:
    return name.rpartition(".")[0]


def copies_in(folder: Path) -> list[Copy]:
    """All copies beside the plan files of a build, sorted; none where a folder cannot be read."""
    found = []
    for home, names in _folders(folder):
        plan_files = [name for name in names if _is_plan_file(home == folder, name)]
        for name in names:
            original = copied_from(name, plan_files)
            if original is not None and not (home != folder and EPISODE_FILE.fullmatch(name)):
                found.append(Copy(home / name, home / original))
    return found


def _folders(folder: Path) -> list[tuple[Path, list[str]]]:
    found = []
    for home in (folder, folder / EPISODES):
        try:
            with os.scandir(home) as entries:
                found.append((home, sorted(entry.name for entry in entries if is_yaml(entry.name))))
        except OSError:
            continue
    return found


def _is_plan_file(at_top: bool, name: str) -> bool:
    return name in (BUILD_FILE, NUMBERS_FILE) if at_top else EPISODE_FILE.fullmatch(name) is not None
