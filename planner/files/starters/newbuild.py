"""A person's own build, from a starter and a few answers: made whole or not at all."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Mapping, Sequence
from contextlib import suppress
from functools import lru_cache
from pathlib import Path
from typing import NamedTuple

from planner.files.build.reading import BUILD_FILE, read_build
from planner.files.disk.saving import read_texts
from planner.files.editing.episodes import add_episode
from planner.files.editing.spots import applied, job_path, set_at
from planner.files.starters.make import STARTERS, StarterError, StarterNotWrittenError, make_build
from planner.plan.expand import expand
from planner.plan.model import Build, Step

BLANK = "blank"  # the starter for a build from nothing


class Offer(NamedTuple):
    """A starter, as a person chooses it."""

    starter: str
    title: str
    about: str  # the first line that its file begins with
    sides: tuple[str, ...]
    episodes: int
    operations: int
    names_sides: bool  # a step names a side, so that the sides must keep their names


class Wish(NamedTuple):
    """The build that is wanted."""

    name: str
    title: str
    starter: str
    sides: Sequence[str] | None = None  # None: those of the starter
    show: Mapping[str, str] = {}
    episodes: int | None = None  # of a build from nothing


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
    )  # fmt: skip


def _names_a_side(step: Step, sides: Sequence[str]) -> bool:
    refs = (*step.needs, *step.gives, *step.spoils)
    return (
        step.named or isinstance(step.turns, tuple) or step.first is not None or step.film in sides
        or any(ref.where in sides for ref in refs)
    )  # fmt: skip


def make_own(home: Path, wish: Wish) -> Path:
    """Make the folder of the build that is wanted, under ``home``.

    Raises StarterError for what cannot be, StarterNotWrittenError when the disk refused; nothing is left behind.
    """
    target = home / wish.name
    fresh = [folder for folder in (home, *home.parents) if not folder.is_dir()]
    scratch: Path | None = None
    try:
        if target.exists():
            raise StarterError(f"{target} is there already; choose another name")
        home.mkdir(parents=True, exist_ok=True)
        scratch = Path(tempfile.mkdtemp(prefix=".new.", dir=home))
        draft = make_build(scratch, wish.name, wish.starter, wish.title, wish.sides)
        _adapt(draft, wish)
        reading = read_build(draft)
        if reading.build is None:
            found = [p._replace(path=str(Path(p.path).relative_to(draft))) for p in reading.problems]
            raise StarterError("this build cannot be made so", found)
        if target.exists():
            raise StarterError(f"{target} is there already; choose another name")
        draft.rename(target)
    except StarterNotWrittenError as error:
        raise StarterNotWrittenError(str(error).replace(str(scratch), str(home))) from error
    except OSError as error:
        raise StarterNotWrittenError(
            f"{target}: could not be written: {error.strerror or error}; nothing was left behind"
        ) from error
    finally:
        if scratch is not None:
            shutil.rmtree(scratch, ignore_errors=True)
        for folder in fresh:  # made for nothing, if nothing stands in it
            with suppress(OSError):
                folder.rmdir()
    return target


def _adapt(draft: Path, wish: Wish) -> None:
    """Write how sizes are shown, and the further episodes, into a build that nobody sees yet."""
    texts = before = read_texts(draft)
    if wish.show:
        texts = applied(texts, set_at(texts, job_path(texts), ("show",), dict(wish.show)).changes)
    for number in range(2, (wish.episodes or 1) + 1):
        # A stage to begin with: what has none cannot be seen in the plan.
        edit = add_episode(texts, f"Episode {number}", number, {"stages": [{"stage": "First stage", "steps": []}]})
        texts = applied(texts, edit.changes)
    for path, text in texts.items():
        if before.get(path) != text:
            Path(path).write_text(text, encoding="utf-8", newline="\n")
