"""Reading files that somebody else may have put there: a pipe must not hang us, a huge one not fill the memory."""

from __future__ import annotations

import os
import stat
from pathlib import Path


class NotPlainError(OSError):
    """It is there, but it is a folder, a pipe or a device."""


_FLAGS = (
    os.O_RDONLY
    | getattr(os, "O_NONBLOCK", 0)  # a pipe that takes the file's place between the look and the opening
    | getattr(os, "O_CLOEXEC", 0)
    | getattr(os, "O_BINARY", 0)
)


def open_plain(path: str | Path) -> int:
    """A plain file opened for reading. Raises OSError, and its kind NotPlainError for what is no plain file."""
    if not stat.S_ISREG(Path(path).stat().st_mode):
        raise NotPlainError(f"{path} is not a plain file")
    fd = os.open(path, _FLAGS)
    if not stat.S_ISREG(os.fstat(fd).st_mode):
        os.close(fd)
        raise NotPlainError(f"{path} is not a plain file")
    return fd


def read_plain(path: str | Path, limit: int) -> bytes:
    """The first ``limit`` bytes of a plain file."""
    with open(open_plain(path), "rb") as stream:
        return stream.read(limit)
