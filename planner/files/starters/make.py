"""Builds to start from, and making one's own out of them."""

from __future__ import annotations

import contextlib
import json
import re
import shutil
import tempfile
from collections.abc import Callable, Mapping, Sequence
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from planner.files.build.reading import read_build
from planner.files.disk.folders import read_texts
from planner.files.editing.episodes import add_episode
from planner.files.editing.job import set_comes
from planner.files.editing.spots import applied, job_path, set_at
from planner.files.layout import BUILD_FILE, STARTERS
from planner.files.yaml.tree import Problem
from planner.plan.comes import Comes
from planner.plan.expand import expand
from planner.plan.model import RESERVED_SIDES, Build, Step
from planner.plan.words import is_name, nearest
from planner.reserved import RESERVED_BUILDS

BLANK = "blank"  # the starter for a build from nothing
_LONGEST = 64
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


def titled(name: str, title: str | None) -> str:
    """The title, from the folder's name where none is given."""
    return title if title is not None else name.replace("-", " ").capitalize()


def make_build(
    home: Path,
    name: str,
    starter: str,
    title: str | None = None,
    sides: Sequence[str] | None = None,
    adapt: Callable[[Path], None] | None = None,
) -> Path:
    """Make the folder ``home/name`` from a starter, all of it or nothing; ``adapt`` changes it while nobody sees it.

    Raises StarterError for what cannot be, StarterNotWrittenError when the disk refused.
    """
    if not is_name(name) or len(name) > _LONGEST:
        raise StarterError(
            f"“{name[:_LONGEST]}” is not a name for a build; up to {_LONGEST} lower-case letters, digits and hyphens"
        )
    title = titled(name, title)
    if not title.strip() or not title.isprintable():
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
        written = json.dumps(title, ensure_ascii=False)
        text = _TITLE.sub(lambda _: f"build: {written}", text, count=1)
        if sides is not None:
            text = _SIDES.sub(lambda _: f"sides: [{', '.join(sides)}]", text, count=1)
        file.write_text(text, encoding="utf-8", newline="\n")
        reading = read_build(draft)
        if reading.build is None:
            if sides is not None:
                raise StarterError(f"the starter {starter} is written for sides of its own; leave --sides out")
            raise StarterError(f"the starter {starter} cannot be made into this build", _told(draft, reading.problems))
        if adapt is not None:
            adapt(draft)
            reading = read_build(draft)
            if reading.build is None:
                raise StarterError("this build cannot be made so", _told(draft, reading.problems))
        if target.exists():
            raise StarterError(f"{target} is there already; choose another name")
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


def _told(draft: Path, problems: Sequence[Problem]) -> list[Problem]:
    return [p._replace(path=str(Path(p.path).relative_to(draft))) for p in problems]


class Offer(NamedTuple):
    """A starter, as a person chooses it."""

    starter: str
    title: str
    about: str  # the first line that its file begins with
    sides: tuple[str, ...]
    episodes: int
    operations: int
    names_sides: bool  # a step names a side, so that the sides must keep their names
    pieces: tuple[str, ...] = ()


class Wish(NamedTuple):
    """The build that is wanted."""

    name: str
    title: str
    starter: str
    sides: Sequence[str] | None = None  # None: those of the starter
    show: Mapping[str, str] = {}
    episodes: int | None = None  # of a build from nothing
    comes: Sequence[Comes] = ()  # how its pieces come


@lru_cache(maxsize=1)
def offers() -> tuple[Offer, ...]:
    """Every starter that can be read, the empty one last."""
    found = []
    for folder in sorted(STARTERS.iterdir()):
        if (folder / BUILD_FILE).is_file():
            build = read_build(folder).build
            if build is not None:
                found.append(_offer(folder, build))
    return tuple(sorted(found, key=lambda offer: offer.starter == BLANK))


def _offer(folder: Path, build: Build) -> Offer:
    first = (folder / BUILD_FILE).read_text(encoding="utf-8").partition("\n")[0]
    steps = [step for episode in build.episodes for stage in episode.stages for step in stage.steps]
    return Offer(
        folder.name, build.name, first.removeprefix("#").strip(), build.sides, len(build.episodes),
        len(expand(build).operations), any(_names_a_side(step, build.sides) for step in steps),
        tuple(build.pieces),
    )  # fmt: skip


def _names_a_side(step: Step, sides: Sequence[str]) -> bool:
    refs = (*step.needs, *step.gives, *step.spoils)
    return (
        step.named or isinstance(step.turns, tuple) or step.first is not None or step.film in sides
        or any(ref.where in sides for ref in refs)
    )  # fmt: skip


def comes_problem(starter: str, comes: Sequence[Comes]) -> StarterError | None:
    """Why pieces cannot come so: a starter has pieces of its own, and another name would reach nothing."""
    build = read_build(STARTERS / starter).build if starter != BLANK and is_name(starter) else None
    for each in comes:
        if build is not None and each.piece not in build.pieces:
            near = nearest(each.piece, build.pieces)
            hint = f"did you mean {near}?" if near else f"there are {', '.join(build.pieces)}"
            return StarterError(f"the starter {starter} has no piece {each.piece}; {hint}", near=near)
    return None


def make_own(home: Path, wish: Wish) -> Path:
    """Make the folder of the build that is wanted, under ``home``.

    Raises StarterError for what cannot be, StarterNotWrittenError when the disk refused; nothing is left behind.
    """
    return make_build(home, wish.name, wish.starter, wish.title, wish.sides, lambda draft: _adapt(draft, wish))


def _adapt(draft: Path, wish: Wish) -> None:
    """Write how sizes are shown, and the further episodes, into a build that nobody sees yet."""
    texts = before = read_texts(draft)
    if wish.show:
        texts = applied(texts, set_at(texts, job_path(texts), ("show",), dict(wish.show)).changes)
    for each in wish.comes:
        texts = applied(texts, set_comes(texts, each.piece, each.words).changes)
    for number in range(2, (wish.episodes or 1) + 1):
        # A stage to begin with: what has none cannot be seen in the plan.
        edit = add_episode(texts, f"Episode {number}", number, {"stages": [{"stage": "First stage", "steps": []}]})
        texts = applied(texts, edit.changes)
    for path, text in texts.items():
        if before.get(path) != text:
            Path(path).write_text(text, encoding="utf-8", newline="\n")
