"""Folders of a build: their names on the disk for good, and the plan texts that stand in them."""

from __future__ import annotations

import errno
import os
from contextlib import suppress
from pathlib import Path

from planner.files.disk.locking import lock
from planner.files.disk.plainfile import read_plain
from planner.files.layout import BUILD_FILE, EPISODES, MAX_BYTES, NUMBERS_FILE


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
    """The texts of a build's plan files by path, as edits take them. Raises OSError and UnicodeDecodeError."""
    home = Path(folder)
    found = [home / BUILD_FILE, home / NUMBERS_FILE, *sorted((home / EPISODES).glob("*.yaml"))]
    return {str(path): read_text(str(path))[0] for path in found if path.is_file() and not path.name.startswith(".")}
