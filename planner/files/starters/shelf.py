"""Builds as folders on a shelf: one more of the same, and one put away where nothing is lost."""

from __future__ import annotations

import shutil
import tempfile
from contextlib import suppress
from pathlib import Path

from planner.files.disk.folders import folder_to_disk, read_texts
from planner.files.editing.spots import set_at
from planner.files.layout import BUILD_FILE, LOG_FOLDER
from planner.files.starters.make import StarterNotWrittenError
from planner.files.yaml.edit import get
from planner.files.yaml.places import EditError

REMOVED = "removed-builds"  # no build itself, so that what lies in it is not listed


def copy_build(folder: Path, *, ticks: bool) -> Path:
    """A build once more beside itself, under the next name that is free; with what was ticked or without.

    All of it or nothing. Raises StarterNotWrittenError.
    """
    home = folder.parent
    scratch: Path | None = None
    try:
        scratch = Path(tempfile.mkdtemp(prefix=f".{folder.name}.", dir=home))
        draft = scratch / folder.name

        def left(at: str, names: list[str]) -> list[str]:
            return [n for n in names if n.startswith(".") or (n == LOG_FOLDER and not ticks and Path(at) == folder)]

        shutil.copytree(folder, draft, ignore=left, symlinks=True)
        _retitle(draft)
        target = _free(home, folder.name, first=2)
        draft.rename(target)
        folder_to_disk(home)
    except OSError as error:
        raise StarterNotWrittenError(f"{folder.name} was not copied: {error.strerror or error}") from error
    finally:
        if scratch is not None:
            shutil.rmtree(scratch, ignore_errors=True)
    return target


def _retitle(draft: Path) -> None:
    """The copy says in its title that it is one; where build.yaml cannot be read it stays as it is."""
    with suppress(EditError, UnicodeDecodeError):
        texts, path = read_texts(draft), str(draft / BUILD_FILE)
        title = get(texts.get(path, ""), ("build",))
        if isinstance(title, str):
            after = set_at(texts, path, ("build",), f"{title}, copy").changes.get(path)
            Path(path).write_text(after or texts[path], encoding="utf-8", newline="")


def remove_build(folder: Path) -> Path:
    """Put a build away into the folder of removed builds beside it; where it is now. Raises StarterNotWrittenError."""
    away = folder.parent / REMOVED
    try:
        away.mkdir(exist_ok=True)
        target = _free(away, folder.name, first=1)
        folder.rename(target)
        folder_to_disk(away)
        folder_to_disk(folder.parent)
    except OSError as error:
        raise StarterNotWrittenError(f"{folder.name} was not removed: {error.strerror or error}") from error
    return target


def _free(home: Path, name: str, first: int) -> Path:
    """The first name that is free: as it is, or with a number behind it."""
    number = first
    while True:
        found = home / (name if number == 1 else f"{name}-{number}")
        if not found.exists():
            return found
        number += 1
