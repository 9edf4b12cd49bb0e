"""Folders of a build: their names on the disk for good, and the plan texts that stand in them."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path

from planner.files.disk.locking import lock
from planner.files.disk.plainfile import read_plain
from planner.files.layout import BUILD_FILE, EPISODE_FILE, EPISODES, MAX_BYTES, NUMBERS_FILE


def folder_to_disk(folder: str | Path) -> None:
    """The names in a folder are on the disk too; where the system cannot do that it is left to it."""
    if os.name == "nt":
        return
    with suppress(OSError):
        fd = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(fd)
        finally:
            os.close(fd)


def hold_folder(folder: str | Path) -> int:
    """A folder held for this program alone until the number is closed; -1 where the system or the disk cannot.

    Raises OSError where another program holds it and does not let go.
    """
    if os.name == "nt":
        return -1
    try:
        fd = os.open(folder, os.O_RDONLY | getattr(os, "O_CLOEXEC", 0))
    except OSError:
        return -1
    try:
        lock(fd)
    except OSError as error:
        os.close(fd)
        if error.errno == errno.EDEADLK:
            raise
        return -1
    return fd


def read_text(path: str) -> tuple[str, bytes]:
    """A plan file's text with its byte-order mark, and its bytes. Raises OSError and UnicodeDecodeError."""
    raw = read_plain(path, MAX_BYTES + 1)
    return raw.decode("utf-8"), raw


def read_texts(folder: str | os.PathLike[str]) -> dict[str, str]:
    """The texts of a build's plan files by path, as edits take them. Raises OSError and UnicodeDecodeError.

    What else lies beside them, copies that a file sync left among it, is nothing to edit.
    """
    home = Path(folder)
    episodes = sorted(path for path in (home / EPISODES).glob("*.yaml") if EPISODE_FILE.fullmatch(path.name))
    found = [home / BUILD_FILE, home / NUMBERS_FILE, *episodes]
    return {str(path): read_text(str(path))[0] for path in found if path.is_file() and not path.name.startswith(".")}


def put_away(path: Path, folder: Path) -> Path:
    """Move a file into a folder, under its own name or the next one that is free there; where it is now.

    Nothing is written over. Raises OSError with the file where it was.
    """
    folder.mkdir(exist_ok=True)
    for count in range(1, 1000):
        there = folder / (path.name if count == 1 else f"{path.stem} ({count}){path.suffix}")
        try:
            os.close(os.open(there, os.O_CREAT | os.O_EXCL | os.O_WRONLY))  # the name is ours from here on
        except FileExistsError:
            continue
        try:
            path.replace(there)
        except OSError:
            there.unlink(missing_ok=True)
            raise
        folder_to_disk(folder)
        folder_to_disk(path.parent)
        return there
    raise OSError(errno.EEXIST, f"{folder} is full of copies of this name")
