"""Builds to start from, and making one's own out of them."""

from __future__ import annotations

import contextlib
import json
import re
import shutil
import tempfile
from collections.abc import Sequence
from pathlib import Path

from planner.files.build.reading import BUILD_FILE, read_build
from planner.files.yaml.tree import Problem
from planner.plan.model import RESERVED_SIDES
from planner.plan.words import is_name, nearest

STARTERS = Path(__file__).parents[2] / "starters"
_LONGEST = 64
#: Names that the command line would take for one of its commands.
RESERVED_BUILDS = frozenset({"new", "check", "steps", "tick", "log", "numbers", "figure", "where", "help"})
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
    if not is_name(name) or len(name) > _LONGEST:
        raise StarterError(
            f"“{name[:_LONGEST]}” is no name for a build; use up to {_LONGEST} lower-case letters, digits and hyphens"
        )
    titled = title if title is not None else name.replace("-", " ").capitalize()
    if not titled.strip() or not titled.isprintable():
        raise StarterError("the title is empty, or holds a character that cannot be printed; give it in plain text")
    known = [each for each, _ in starters()]
    if starter not in known:
        near = nearest(starter, known)
        raise StarterError(
            f"there is no starter {starter}; there are {', '.join(known)}"
            + (f"; did you mean {near}?" if near else ""),
            near=near,
        )
    for side in sides or ():
        if not is_name(side) or side in RESERVED_SIDES:
            raise StarterError(f"“{side}” is not a name for a side; use lower-case letters, digits and hyphens")
    if name in RESERVED_BUILDS:
        raise StarterError(f"“{name}” is a command of the planner and could not be opened by name; choose another")
    if sides is not None and not 1 <= len(sides) <= 8:
        raise StarterError(f"a build has one to eight sides, not {len(sides)}")
    if sides is not None and len(set(sides)) != len(sides):
        raise StarterError("two sides have the same name; name each once")
    target = home / name
    scratch: Path | None = None
    fresh = [folder for folder in (home, *home.parents) if not folder.is_dir()]
    try:
        if target.exists():
            raise StarterError(f"{target} is there already; choose another name")
        home.mkdir(parents=True, exist_ok=True)
        scratch = Path(tempfile.mkdtemp(prefix=f".{name}.", dir=home))
        draft = scratch / name
        shutil.copytree(STARTERS / starter, draft, copy_function=shutil.copyfile)
        file = draft / BUILD_FILE
        text = file.read_text(encoding="utf-8")
        text = _TITLE.sub(lambda _: "build: " + json.dumps(titled, ensure_ascii=False), text, count=1)
        if sides is not None:
            text = _SIDES.sub(lambda _: f"sides: [{', '.join(sides)}]", text, count=1)
        file.write_text(text, encoding="utf-8", newline="\n")
        reading = read_build(draft)
        if reading.build is None:
            problems = [p._replace(path=str(Path(p.path).relative_to(draft))) for p in reading.problems]
            if sides is not None:
                raise StarterError(f"the starter {starter} is written for sides of its own; leave --sides out")
            raise StarterError(f"the starter {starter} cannot be made into this build", problems)
        draft.rename(target)
    except OSError as error:
        raise StarterNotWrittenError(
            f"{target}: could not be written: {error.strerror or error}; nothing was left behind"
        ) from error
    finally:
        if scratch is not None:
            shutil.rmtree(scratch, ignore_errors=True)
        for folder in fresh:  # made for nothing, if nothing stands in it
            with contextlib.suppress(OSError):
                folder.rmdir()
    return target
