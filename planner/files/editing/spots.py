"""Edits of a build: which file and which place in it, the order of keys, and setting any key.

Every edit here and beside is a pure function from the texts of a build's files (path -> text) to an ``Edit``:
the paths that change with their new texts. Paths are those of the build that was read (``Place.path``). Only
files that an edit concerns are parsed, found by a look for the word itself in the text.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from pathlib import PurePath
from typing import NamedTuple

from planner.files.plankeys import BUILD_ROWS, EPISODE_ROWS, KIND_FIELDS, STAGE_ROWS, STEP_ROWS, keys_in
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.model import Build
from planner.plan.words import is_name, nearest

Texts = Mapping[str, str]

#: The order in which keys are written, of build.yaml, an episode, a stage, a step.
BUILD_KEYS, EPISODE_KEYS = keys_in(BUILD_ROWS), keys_in(EPISODE_ROWS)
STAGE_KEYS, STEP_KEYS = keys_in(STAGE_ROWS), keys_in(STEP_ROWS)
_INNER_KEYS: Mapping[str, tuple[str, ...]] = {
    "hold": ("limit", "least", "most", "plus-minus", "reads"),
    **dict.fromkeys(("hours", "desk", "helper"), ("mon", "tue", "wed", "thu", "fri", "sat", "sun")),
    **{key: keys_in(BUILD_ROWS, key) for key in ("show", "shop", "on-camera")},
}
CONDITION_KEYS = ("kept", "on", "means")  # on: the older spelling of kept
KIND_KEYS = keys_in(KIND_FIELDS)


class Edit(NamedTuple):
    """What an edit comes to: new texts by path (None: the file goes), and what the person ought to know."""

    changes: Mapping[str, str | None]
    notes: tuple[str, ...] = ()


class Spot(NamedTuple):
    """An episode, a stage of it or a step of that, by file and number, counting from nought."""

    path: str
    stage: int | None = None
    step: int | None = None

    @property
    def inside(self) -> Path:
        """The way to it within its file."""
        if self.stage is None:
            return ()
        return ("stages", self.stage) if self.step is None else ("stages", self.stage, "steps", self.step)

    @property
    def keys(self) -> tuple[str, ...]:
        """Its keys, in the order in which they are written."""
        return EPISODE_KEYS if self.stage is None else STAGE_KEYS if self.step is None else STEP_KEYS


def spot_of(build: Build, step_id: str) -> Spot | None:
    """Where a step is written, from the build as it was read; no file is parsed."""
    for episode in build.episodes:
        for stage_index, stage in enumerate(episode.stages):
            for index, step in enumerate(stage.steps):
                if step.id == step_id:
                    return Spot(step.place.path, stage_index, index)
    return None


def edit_of(texts: Texts, after: Mapping[str, str | None], notes: Sequence[str] = ()) -> Edit:
    """The edit that leads from texts to what they shall be."""
    return Edit({path: text for path, text in after.items() if texts.get(path) != text}, tuple(notes))


def applied(texts: Texts, changes: Mapping[str, str | None]) -> dict[str, str]:
    """The texts of a build with changes made."""
    merged = {**texts, **changes}
    return {path: text for path, text in merged.items() if text is not None}


def text_at(texts: Texts, path: str) -> str:
    """The text of a file. Raises EditError where there is no such file."""
    if path not in texts:
        raise EditError(f"there is no file {path} in this build")
    return texts[path]


def job_path(texts: Texts) -> str:
    """The path of build.yaml."""
    for path in texts:
        if PurePath(path).name == "build.yaml":
            return path
    raise EditError("there is no build.yaml in this build")


def episode_paths(texts: Texts) -> list[str]:
    """The paths of the episodes, by name."""
    return sorted(path for path in texts if PurePath(path).parent.name == "episodes")


def sides_of(texts: Texts) -> tuple[str, ...]:
    """The build's sides, in order."""
    sides = editing_text.get(text_at(texts, job_path(texts)), ("sides",))
    return tuple(str(side) for side in sides) if isinstance(sides, list) else ()


def mentions(text: str, word: str) -> bool:
    """Whether a word occurs in a text, by itself."""
    return word in text and re.search(rf"(?<![a-z0-9-]){re.escape(word)}(?![a-z0-9-])", text) is not None


def fresh_id(texts: Texts, wanted: str, taken: set[str] | frozenset[str] = frozenset()) -> str:
    """A step id that no file mentions: as wanted, or with the next number behind it."""
    base = re.sub(r"-\d+$", "", wanted) or wanted
    number = 1
    candidate = wanted
    while candidate in taken or any(mentions(text, candidate) for text in texts.values()):
        number += 1
        candidate = f"{base}-{number}"
    return candidate


def check_new_id(texts: Texts, step_id: Value) -> str:
    """A step id that may be given to a step. Raises EditError where it may not."""
    if not isinstance(step_id, str) or not is_name(step_id):
        raise EditError(f"“{step_id}” is not an id for a step; use lower-case letters, digits and hyphens")
    for path in episode_paths(texts):
        if mentions(texts[path], step_id) and any(step.get("step") == step_id for _, step in steps_in(texts[path])):
            raise EditError(f"there is a step {step_id} already; choose another id")
    return step_id


def steps_in(text: str) -> list[tuple[Path, dict[str, Value]]]:
    """Every step of an episode's text, with the way to it."""
    found: list[tuple[Path, dict[str, Value]]] = []
    for index, stage in enumerate(items_of(editing_text.get(text, ("stages",)))):
        steps = stage.get("steps") if isinstance(stage, dict) else None
        for at, step in enumerate(items_of(steps)):
            if isinstance(step, dict):
                found.append((("stages", index, "steps", at), step))
    return found


def items_of(value: Value) -> list[Value]:
    """The items of a list; none where it is no list."""
    return value if isinstance(value, list) else []


def keys_of(value: Value) -> dict[str, Value]:
    """The keys of a mapping; none where it is no mapping."""
    return value if isinstance(value, dict) else {}


def in_order(values: Mapping[str, Value], keys: Sequence[str]) -> dict[str, Value]:
    """Keys and values in the order in which keys are written, without those that have no value."""
    unknown = [key for key in values if key not in keys]
    if unknown:
        near = nearest(unknown[0], keys)
        raise EditError(f"there is no key {unknown[0]}{f'; did you mean {near}?' if near else ''}")
    return {key: values[key] for key in keys if key in values and values[key] is not None}


def set_at(texts: Texts, path: str, keys: Path, value: Value) -> Edit:
    """Set what is at a path within a file, in build.yaml above all: ``("shop", "hours", "wed")``."""
    text = text_at(texts, path)
    while len(keys) > 1 and editing_text.get(text, keys[:-1]) is None:
        keys, value = keys[:-1], {str(keys[-1]): value}
    return edit_of(texts, {path: editing_text.set_value(text, keys, value, _order(keys))})


def remove_at(texts: Texts, path: str, keys: Path) -> Edit:
    """Take a key or an item out of a file; the mapping around it goes too when it held nothing else."""
    text = text_at(texts, path)
    while len(keys) > 1 and isinstance(keys[-1], str) and len(keys_of(editing_text.get(text, keys[:-1]))) == 1:
        keys = keys[:-1]
    return edit_of(texts, {path: editing_text.remove(text, keys)})


def _order(keys: Path) -> tuple[str, ...]:
    around = keys[:-1]
    if not around:
        return BUILD_KEYS
    if around[0] == "conditions" and len(around) == 2:
        return CONDITION_KEYS
    if around[0] == "kinds" and len(around) == 2:
        return KIND_KEYS
    return _INNER_KEYS.get(str(around[-1]), ())
