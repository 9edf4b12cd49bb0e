"""Builds to start from, and making one's own out of them."""

from __future__ import annotations

import json
import os
import re
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from planner.files.reading import BUILD_FILE, read_build
from planner.files.yamltree import Problem
from planner.plan.model import RESERVED_SIDES
from planner.plan.words import is_name, nearest

STARTERS = Path(__file__).parent.parent / "starters"
_TITLE = re.compile(r"^build:.*$", re.MULTILINE)
_SIDES = re.compile(r"^sides:.*$", re.MULTILINE)


class StarterError(Exception):
    """The build cannot be made from what was asked for."""

    def __init__(self, message: str, problems: Sequence[Problem] = (), near: str | None = None) -> None:
        super().__init__(message)
        self.problems = tuple(problems)
        self.near = near


class StarterNotWrittenError(Exception):
    """The disk refused; nothing was left behind."""


def starters() -> list[tuple[str, str]]:
    """Every starter with the name of its build."""
    found = []
    for folder in sorted(STARTERS.iterdir()):
        if (folder / BUILD_FILE).is_file():
            build = read_build(folder).build
            found.append((folder.name, build.name if build is not None else "cannot be read"))
    return found


def make_build(
    home: Path, name: str, starter: str, title: str | None = None, sides: Sequence[str] | None = None
) -> Path:
    """Make the folder ``home/name`` from a starter, all of it or nothing.

    Raises StarterError for what cannot be, StarterNotWrittenError when the disk refused.
    """
    if not is_name(name):
        raise StarterError(f"“{name}” is not a name for a build; use lower-case letters, digits and hyphens")
    known = [each for each, _ in starters()]
    if starter not in known:
        near = nearest(starter, known)
        raise StarterError(f"there is no starter {starter}; there are {', '.join(known)}", near=near)
    for side in sides or ():
        if not is_name(side) or side in RESERVED_SIDES:
            raise StarterError(f"“{side}” is not a name for a side; use lower-case letters, digits and hyphens")
    target = home / name
    if target.exists():
        raise StarterError(f"{target} is there already; choose another name")
    scratch: Path | None = None
    try:
        home.mkdir(parents=True, exist_ok=True)
        scratch = Path(tempfile.mkdtemp(prefix=f".{name}.", dir=home))
        draft = scratch / name
        shutil.copytree(STARTERS / starter, draft, copy_function=shutil.copyfile)
        file = draft / BUILD_FILE
        text = file.read_text(encoding="utf-8")
        titled = title if title is not None else name.replace("-", " ").capitalize()
        text = _TITLE.sub(lambda _: "build: " + json.dumps(titled, ensure_ascii=False), text, count=1)
        if sides is not None:
            text = _SIDES.sub(lambda _: f"sides: [{', '.join(sides)}]", text, count=1)
        file.write_text(text, encoding="utf-8", newline="\n")
        reading = read_build(draft)
        if reading.build is None:
            problems = [p._replace(path=str(target / Path(p.path).relative_to(draft))) for p in reading.problems]
            raise StarterError(f"the starter {starter} cannot be made into this build", problems)
        os.rename(draft, target)  # noqa: PTH104  # unlike Path.replace it never takes an empty folder's place
    except OSError as error:
        raise StarterNotWrittenError(
            f"{target}: could not be written: {error.strerror or error}; nothing was left behind"
        ) from error
    finally:
        if scratch is not None:
            shutil.rmtree(scratch, ignore_errors=True)
    return target
