"""Faults of the program itself: all of one is kept in the state folder, and said in one line with where."""

from __future__ import annotations

import os
import secrets
import time
import traceback
from contextlib import suppress
from pathlib import Path

_FOLDER = "faults"
_MOST = 20  # files
_LONGEST = 200_000  # characters of one
_INSIDE = f"{os.sep}planner{os.sep}"


def where_of(error: BaseException) -> str:
    """The last of our own lines that it went through, else the last of all: file and line."""
    frames = traceback.extract_tb(error.__traceback__)
    if not frames:
        return "an unknown place"
    ours = [frame for frame in frames if _INSIDE in frame.filename]
    last = (ours or frames)[-1]
    return f"{last.filename.rpartition(_INSIDE)[2]}:{last.lineno}"


def keep_fault(error: BaseException) -> str:
    """Keep a fault for whoever mends it; one line that says what, where, and which file has all of it."""
    text = "".join(traceback.format_exception(error))[-_LONGEST:]
    message = "".join(c if c.isprintable() else "\N{REPLACEMENT CHARACTER}" for c in str(error))[:200]
    says = f"a fault of the planner itself ({type(error).__name__}: {message}) in {where_of(error)}"
    try:
        from planner.files.machine.device import state_folder

        home = state_folder() / _FOLDER
        home.mkdir(parents=True, exist_ok=True)
        path = home / f"{time.strftime('%Y-%m-%d-%H%M%S')}-{secrets.token_hex(2)}.txt"
        path.write_text(text, encoding="utf-8", errors="backslashreplace")
        _thin(home)
    except (OSError, RuntimeError, ValueError) as why:
        return f"{says}; it could not be kept: {why}"
    return f"{says}; all of it is kept in {path}"


def _thin(home: Path) -> None:
    for old in sorted(home.glob("*.txt"))[:-_MOST]:
        with suppress(OSError):
            old.unlink()
