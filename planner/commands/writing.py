"""Files that commands write for other programs: whole or not at all, and never over what was not looked at."""

from __future__ import annotations

from pathlib import Path

from planner.commands.out import EXIT_NOT_WRITTEN, CommandError

_MOST = 1 << 26


def there(path: Path, option: str) -> bytes | None:
    """What stands at a path now; None where nothing does. Raises CommandError where it cannot be read."""
    from planner.files.disk.plainfile import read_plain

    try:
        return read_plain(path, _MOST) if path.exists() else None
    except OSError as error:
        raise _not_written(path, option, error) from error


def put(path: Path, before: bytes | None, body: bytes, option: str) -> None:
    """Write a file whole in the place of what was ``there``. Raises CommandError; then all is as it was."""
    from planner.files.disk.saving import Change, ChangedOutsideError, NotSavedError, save

    if not path.parent.is_dir():
        says = f"{option}: {path.parent} is not a folder; make it first"
        raise CommandError(says, EXIT_NOT_WRITTEN, path=str(path))
    try:
        save({str(path): Change(before, body)})
    except (OSError, NotSavedError, ChangedOutsideError) as error:
        raise _not_written(path, option, error) from error


def _not_written(path: Path, option: str, error: Exception) -> CommandError:
    reason = error.strerror if isinstance(error, OSError) and error.strerror else error
    return CommandError(f"{option}: {path} could not be written: {reason}", EXIT_NOT_WRITTEN, path=str(path))
