"""Edits of build.yaml beyond setting a key: conditions, and what holds at the start."""

from __future__ import annotations

from collections.abc import Sequence

from planner.files.editing.spots import (
    BUILD_KEYS,
    Edit,
    Texts,
    edit_of,
    items_of,
    job_path,
    keys_of,
    set_at,
    text_at,
)
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.words import is_condition_name


def add_condition(texts: Texts, name: str, kept: str, means: str, at_start: bool = False) -> Edit:
    """Declare a condition: ``kept`` by side or by job, what it means, and whether it holds at the start."""
    path = job_path(texts)
    text = text_at(texts, path)
    if not is_condition_name(name):
        raise EditError(
            f"“{name}” is not a name for a condition; use words of lower-case letters, digits, hyphens joined by dots"
        )
    if kept not in ("side", "job"):
        raise EditError(f"kept: must be side or job, not “{kept}”")
    if not means.strip():
        raise EditError("a condition needs means: what is so when it holds")
    if name in keys_of(editing_text.get(text, ("conditions",))):
        raise EditError(f"there is a condition {name} already; choose another name")
    declared: Value = {"kept": kept, "means": means}
    text = editing_text.set_value(text, ("conditions",), {**_conditions(text), name: declared}, BUILD_KEYS)
    if at_start and name not in items_of(editing_text.get(text, ("start",))):
        text = add_to_list(text, ("start",), name)
    return edit_of(texts, {path: text})


def set_comes(texts: Texts, piece: str, words: Sequence[str]) -> Edit:
    """Write that a piece is known, and which words do not hold for it yet, beside those written already."""
    path = job_path(texts)
    text = text_at(texts, path)
    known = keys_of(editing_text.get(text, ("pieces", piece)))
    was = items_of(known.get("not-yet", []))
    more = [*was, *(word for word in words if word not in was)]
    value: Value = {**known, "not-yet": more} if more else dict(known)
    return set_at(texts, path, ("pieces", piece), value)


def _conditions(text: str) -> dict[str, Value]:
    return keys_of(editing_text.get(text, ("conditions",)))


def add_to_list(text: str, path: Path, value: Value) -> str:
    """A text with one more item at the end of a list, which is made where it is not there."""
    items = items_of(editing_text.get(text, path))
    if not items:
        return editing_text.set_value(text, path, [value], BUILD_KEYS)
    return editing_text.insert(text, path, len(items), value)
