"""One plan file on the disk into its tree, whatever stands in its place."""

from __future__ import annotations

import errno
from pathlib import Path

from planner.files.disk.plainfile import NotPlainError, read_plain
from planner.files.layout import MAX_BYTES
from planner.files.yaml.tree import Node, Problems, decode, parse


def load(path: Path, problems: Problems) -> Node | None:
    """The tree of a file that may be missing, unreadable, too large or not text."""
    try:
        raw = read_plain(path, MAX_BYTES + 1)
    except NotPlainError:
        problems.add(str(path), 1, 1, "this is not a file; plan files are plain files")
        return None
    except FileNotFoundError:
        problems.add(str(path), 1, 1, _missing(path))
        return None
    except OSError as error:
        problems.add(str(path), 1, 1, unreadable(error))
        return None
    body = decode(raw, str(path), problems)
    return None if body is None else parse(body, str(path), problems)


def unreadable(error: OSError) -> str:
    """Why a file or folder could not be read, in words."""
    hint = "; check its permissions" if error.errno in (errno.EACCES, errno.EPERM) else ""
    return f"cannot be read: {error.strerror or error}{hint}"


def _missing(path: Path) -> str:
    if path.is_symlink():
        return f"{path.name} is a link to a file that is not there"
    if not path.parent.is_dir():
        return f"there is no folder {path.parent}; check the name, or make a build with: planner new"
    return f"there is no {path.name} in {path.parent}; a build needs one"
