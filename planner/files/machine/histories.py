"""What can be undone in a build, kept on this machine from one run to the next."""

from __future__ import annotations

import json
import secrets
from contextlib import suppress
from hashlib import blake2b
from pathlib import Path
from typing import Any

from planner.files.disk.plainfile import read_plain
from planner.files.machine.device import state_folder

_FOLDER = "undo"
_MOST_BYTES = 16 * 1024 * 1024
_MOST_BUILDS = 50  # those written last are kept


def _place(folder: Path) -> Path:
    name = blake2b(str(folder.resolve()).encode("utf-8", "surrogateescape"), digest_size=12).hexdigest()
    return state_folder() / _FOLDER / f"{name}.json"


def kept_history(folder: Path) -> object:
    """What was kept for a build; None where nothing was, or where it cannot be read."""
    try:
        raw = read_plain(_place(folder), _MOST_BYTES + 1)
        return json.loads(raw.decode("utf-8")) if len(raw) <= _MOST_BYTES else None
    except (OSError, RuntimeError, ValueError, RecursionError):
        return None


def keep_history(folder: Path, data: dict[str, Any]) -> None:
    """Keep it for the next run, whole or as it was; where that fails, only undoing after a restart is lost."""
    try:
        path = _place(folder)
        if not path.is_absolute():
            return
        fresh = path.with_name(f".{path.stem}.{secrets.token_hex(4)}")
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh.write_text(json.dumps(data), encoding="utf-8")  # escapes keep what is no letter at all
        fresh.replace(path)
        _tidy(path.parent)
    except (OSError, RuntimeError, ValueError):
        with suppress(OSError, RuntimeError, ValueError, UnboundLocalError):
            fresh.unlink(missing_ok=True)


def _tidy(home: Path) -> None:
    """Forget the builds that were written on longest ago."""
    found = list(home.glob("*.json"))
    if len(found) > _MOST_BUILDS:
        for path in sorted(found, key=lambda each: each.stat().st_mtime)[:-_MOST_BUILDS]:
            path.unlink(missing_ok=True)
