"""Which builds there are, and whether their files changed: names, sizes and times only, no file is read."""

from __future__ import annotations

import os
from pathlib import Path

from planner.files.layout import BUILD_FILE, EPISODES, LOG_FOLDER, NUMBERS_FILE, is_log

#: Name, size, time of change and identity of every plan file; equal means unchanged.
Signature = tuple[tuple[str, int, int, int], ...]


class ShelfError(Exception):
    """The folder of builds cannot be looked into; says why."""


def build_folders(home: Path) -> list[Path]:
    """Every folder under home that is or wants to be a build, by name.

    A folder with episodes or a log but no build.yaml counts: it is a build with a problem. Raises ShelfError.
    """
    try:
        folders = [entry for entry in os.scandir(home) if not entry.name.startswith(".") and entry.is_dir()]
    except FileNotFoundError:
        raise ShelfError("there is no such folder") from None
    except OSError as error:
        raise ShelfError(f"it cannot be read: {error.strerror or error}") from error
    found = sorted(entry.path for entry in folders)
    marks = (BUILD_FILE, EPISODES, LOG_FOLDER)
    return [Path(path) for path in found if any(os.path.lexists(f"{path}/{mark}") for mark in marks)]


def plan_signature(folder: Path) -> Signature:
    """What the plan files of a build look like from outside; empty when the build is gone."""
    found = []
    for name in (BUILD_FILE, NUMBERS_FILE):
        found += _stat(folder / name, name)
    try:
        names = sorted(os.listdir(folder / EPISODES))  # noqa: PTH208  # names only, once a second
    except OSError:
        names = []
    for name in names:
        if name.endswith((".yaml", ".yml")):
            found += _stat(folder / EPISODES / name, name)
    return tuple(found)


def log_signature(folder: Path) -> Signature:
    """What the logs of a build look like from outside."""
    try:
        names = sorted(os.listdir(folder / LOG_FOLDER))  # noqa: PTH208
    except OSError:
        return ()
    found: list[tuple[str, int, int, int]] = []
    for name in names:
        if is_log(name):
            found += _stat(folder / LOG_FOLDER / name, name)
    return tuple(found)


def _stat(path: Path, name: str) -> list[tuple[str, int, int, int]]:
    try:
        status = path.stat()
    except OSError:
        return []
    return [(name, status.st_size, status.st_mtime_ns, status.st_ino)]
