"""This machine's name in the logs, and where the tool keeps what is its own."""

from __future__ import annotations

import contextlib
import os
import re
import secrets
from pathlib import Path

from planner.files.disk.plainfile import NotPlainError, read_plain

_DEVICE = re.compile(r"[a-z0-9][a-z0-9-]{0,62}", re.ASCII)
_FILE = "device"


class DeviceError(Exception):
    """There is no usable device name; says why and what to do."""


def state_folder() -> Path:
    """The folder where this machine keeps the tool's own state."""
    import platformdirs

    return Path(platformdirs.user_state_dir("planner", appauthor=False))


def data_folder() -> Path:
    """The folder where builds live when nothing else says so."""
    import platformdirs

    return Path(platformdirs.user_data_dir("planner", appauthor=False)) / "builds"


def device_name() -> str:
    """The name under which this machine ticks: ``PLANNER_DEVICE``, or one made at random and kept.

    Raises DeviceError when it cannot be kept, since a new one at every start would scatter the log.
    """
    given = os.environ.get("PLANNER_DEVICE")
    if given:
        if _DEVICE.fullmatch(given) is None:
            raise DeviceError(
                "PLANNER_DEVICE is not a device name: use up to 63 lower-case letters, digits and hyphens"
            )
        return given
    home = state_folder()
    if not home.is_absolute():  # no home folder: a name kept in whatever folder we stand in would be another each time
        raise DeviceError(f"{home} is not a place to keep this device's name; set HOME or PLANNER_DEVICE")
    path = home / _FILE
    try:
        kept = _kept(path)
    except FileNotFoundError:
        kept = None
    except NotPlainError as error:
        raise DeviceError(f"{error}; move it away or set PLANNER_DEVICE") from error
    except OSError as error:
        raise DeviceError(f"{path} cannot be read: {error.strerror or error}; or set PLANNER_DEVICE") from error
    return kept if kept is not None else _make(home, path)


def _kept(path: Path) -> str | None:
    """The name in the file, if it is one."""
    name = read_plain(path, 200).decode("ascii", errors="replace").strip()
    return name if _DEVICE.fullmatch(name) else None


def _make(home: Path, path: Path) -> str:
    """Make a name once, also when two programs start at the same moment: the first to link it wins."""
    name = f"dev-{secrets.token_hex(4)}"
    mine = home / f"{_FILE}.{name}"
    try:
        home.mkdir(parents=True, exist_ok=True)
        mine.write_text(name + "\n", encoding="ascii")
        try:
            os.link(mine, path)
        except FileExistsError:
            kept = _kept(path)
            if kept is not None:
                return kept
            mine.replace(path)  # what is there is damaged
        except OSError:  # a file system without links
            mine.replace(path)
    except OSError as error:
        raise DeviceError(f"{home} cannot be written: {error.strerror or error}; or set PLANNER_DEVICE") from error
    finally:
        with contextlib.suppress(OSError):
            mine.unlink(missing_ok=True)
    return name
