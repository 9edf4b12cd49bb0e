"""Giving a step or a condition another name everywhere it is written."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping

from planner.files.editing.spots import (
    Edit,
    Texts,
    check_new_id,
    edit_of,
    episode_paths,
    items_of,
    job_path,
    keys_of,
    mentions,
    steps_in,
    text_at,
)
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.names import renamed_op
from planner.plan.words import is_condition_name, nearest


def rename_step(texts: Texts, old: str, new: str) -> Edit:
    """A step under another id: in itself, in every ``after`` and in every ``sequence``.

    Numbers in braces are named after calculators, not steps, and stay. The ticks are told by the log.
    """
    if old == new:
        return Edit({})
    check_new_id(texts, new)
    concerned = [path for path in episode_paths(texts) if mentions(texts[path], old)]
    if not any(step.get("step") == old for path in concerned for _, step in steps_in(texts[path])):
        raise EditError(f"there is no step {old}")
    return edit_of(texts, {path: rename_in(texts[path], {old: new}) for path in concerned})


def rename_in(text: str, renamed: Mapping[str, str], within: Path = ()) -> str:
    """A text with steps under other ids, in all of it or within one stage."""
    values: dict[Path, str] = {}

    def listed(path: Path, names: Value) -> None:
        for index, name in enumerate(items_of(names)):
            if isinstance(name, str):
                fresh = renamed_op(name, renamed)
                if fresh != name:
                    values[*path, index] = fresh

    for index, stage in enumerate(items_of(editing_text.get(text, ("stages",)))):
        path: Path = ("stages", index)
        if within[: len(path)] in ((), path):
            listed((*path, "sequence"), keys_of(stage).get("sequence"))
    for path, step in steps_in(text):
        if within in ((), path[: len(within)]):
            step_id = step.get("step")
            if isinstance(step_id, str) and step_id in renamed:
                values[*path, "step"] = renamed[step_id]
            listed((*path, "after"), step.get("after"))
    return editing_text.set_scalars(text, values)


def rename_condition(texts: Texts, old: str, new: str) -> Edit:
    """A condition of the build under another name: where it is declared and wherever it is named.

    Only a condition written by hand has a name to change. Those that kinds bring are called by piece and word, and
    ``without`` names only those: it stays.
    """
    if old == new:
        return Edit({})
    job = job_path(texts)
    text = text_at(texts, job)
    declared = keys_of(editing_text.get(text, ("conditions",)))
    if old not in declared:
        near = nearest(old, declared)
        raise EditError(f"build.yaml declares no condition {old}{f'; did you mean {near}?' if near else ''}")
    if not is_condition_name(new):
        raise EditError(f"“{new}” is not a name for a condition; use words of lower-case letters, digits, hyphens")
    if new in declared:
        raise EditError(f"there is a condition {new} already; choose another name")

    def fresh(name: str) -> str:
        condition, at, where = name.partition("@")
        return (new if condition == old else condition) + at + where

    values = _renamed(text, [("start",), *(("on-camera", key) for key in _REFERENCES)], fresh)
    text = editing_text.rename_key(editing_text.set_scalars(text, values), ("conditions", old), new)
    work = {job: text}
    notes: list[str] = []
    for path in episode_paths(texts):
        if old in texts[path]:
            steps = steps_in(texts[path])
            lists = [(*at, key) for at, step in steps for key in _REFERENCES if key in step]
            work[path] = editing_text.set_scalars(texts[path], _renamed(texts[path], lists, fresh))
            kept = [str(step.get("step")) for _, step in steps if old in items_of(step.get("without"))]
            notes += [f"without: of {step} still names {old}, which its kind brings" for step in kept]
    return edit_of(texts, work, notes)


_REFERENCES = ("needs", "gives", "spoils")


def _renamed(text: str, lists: Iterable[Path], fresh: Callable[[str], str]) -> dict[Path, str]:
    """The items of some lists that change."""
    values: dict[Path, str] = {}
    root = editing_text.get(text)
    for path in lists:
        found: Value = root
        for part in path:
            found = keys_of(found).get(part) if isinstance(part, str) else items_of(found)[part]
        for index, name in enumerate(items_of(found)):
            if isinstance(name, str) and fresh(name) != name:
                values[*path, index] = fresh(name)
    return values
