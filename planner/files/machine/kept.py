"""Small choices that this machine keeps from one run to the next; losing one is never worth stopping for."""

from __future__ import annotations

import os
import secrets
from contextlib import suppress
from pathlib import Path

from planner.files.disk.plainfile import read_plain

_LIMIT = 200


def _place(name: str) -> Path | None:
    from planner.files.machine.device import state_folder

    try:
        home = state_folder()
    except (OSError, RuntimeError):  # a machine on which nobody has a home
        return None
    return home / name if home.is_absolute() else None


def kept(name: str) -> str:
    """What was kept under a name; nothing where nothing was, or where it cannot be read."""
    path = _place(name)
    if path is None:
        return ""
    try:
        return read_plain(path, _LIMIT).decode("utf-8", "replace").strip()
    except (OSError, ValueError):
        return ""


def keep(name: str, value: str) -> str:
    """Keep a choice for the next run; says why where it cannot be kept, and nothing where it is."""
    path = _place(name)
    if path is None:
        return "there is no folder to keep it in"
    fresh = path.with_name(f".{name}.{secrets.token_hex(4)}")
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        fresh.write_text(value + "\n", encoding="utf-8")
        os.replace(fresh, path)  # noqa: PTH105  # whole, or as it was
    except (OSError, ValueError) as error:
        with suppress(OSError, ValueError):
            fresh.unlink(missing_ok=True)
        return f"{path} cannot be written: {getattr(error, 'strerror', None) or error}"
    return ""
