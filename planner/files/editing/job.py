"""Edits of build.yaml and numbers.yaml beyond setting a key: conditions, what holds at the start, one input."""

from __future__ import annotations

from pathlib import PurePath

from planner.files.editing.spots import (
    BUILD_KEYS,
    Edit,
    Texts,
    edit_of,
    items_of,
    job_path,
    keys_of,
    sides_of,
    text_at,
)
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.words import is_condition_name


def add_condition(texts: Texts, name: str, on: str, means: str, at_start: bool = False) -> Edit:
    """Declare a condition: ``on`` side or job, what it means, and whether it holds at the start."""
    path = job_path(texts)
    text = text_at(texts, path)
    if not is_condition_name(name):
        raise EditError(
            f"“{name}” is no name for a condition; use words of lower-case letters, digits, hyphens joined by dots"
        )
    if on not in ("side", "job"):
        raise EditError(f"on: wants side or job, not “{on}”")
    if not means.strip():
        raise EditError("a condition wants means: what is so when it holds")
    if name in keys_of(editing_text.get(text, ("conditions",))):
        raise EditError(f"there is a condition {name} already; choose another name")
    declared: Value = {"on": on, "means": means}
    text = editing_text.set_value(text, ("conditions",), {**_conditions(text), name: declared}, BUILD_KEYS)
    if at_start and name not in items_of(editing_text.get(text, ("start",))):
        text = add_to_list(text, ("start",), name)
    return edit_of(texts, {path: text})


def _conditions(text: str) -> dict[str, Value]:
    return keys_of(editing_text.get(text, ("conditions",)))


def add_to_list(text: str, path: Path, value: Value) -> str:
    """A text with one more item at the end of a list, which is made where it is not there."""
    items = items_of(editing_text.get(text, path))
    if not items:
        return editing_text.set_value(text, path, [value], BUILD_KEYS)
    return editing_text.insert(text, path, len(items), value)


def set_input(texts: Texts, calculator: str, key: str, value: Value, side: str | None = None) -> Edit:
    """Set one input of a calculator in numbers.yaml, of one side or of all; None takes it out.

    The file and the calculator's section are made where they are not there. An input that served all sides and
    now differs on one is written per side.
    """
    path = next((each for each in texts if PurePath(each).name == "numbers.yaml"), None)
    text = texts[path] if path is not None else f"format: 1\n\n{calculator}:\n  {key}:\n"
    path = path if path is not None else str(PurePath(job_path(texts)).with_name("numbers.yaml"))
    where: Path = (calculator, key)
    old = editing_text.get(text, where)
    if side is not None:
        sides = sides_of(texts)
        if side not in sides:
            raise EditError(f"there is no side {side}; there are {', '.join(sides)}")
        if not isinstance(old, dict) and old is not None and value is not None:
            old = dict.fromkeys(sides, old)
        by_side = {**keys_of(old), side: value}
        left = {each: by_side[each] for each in (*sides, *by_side) if by_side.get(each) is not None}
        value = left or None
    if value is not None:
        return edit_of(texts, {path: _set_input(text, calculator, key, _as_typed(value))})
    if old is None:
        return Edit({})
    if len(keys_of(editing_text.get(text, (calculator,)))) == 1:
        where = (calculator,)
    return edit_of(texts, {path: editing_text.remove(text, where)})


def _set_input(text: str, calculator: str, key: str, value: Value) -> str:
    from planner.numbers.registry import CALCULATORS
    from planner.numbers.registry import calculator as found

    if calculator not in keys_of(editing_text.get(text)):
        return editing_text.set_value(text, (calculator,), {key: value}, ("format", *CALCULATORS))
    order = [each.key for each in found(calculator).inputs] if calculator in CALCULATORS else []
    return editing_text.set_value(text, (calculator, key), value, order)


def _as_typed(value: Value) -> Value:
    """A text that is a number as a number, where that is written the same; so it needs no quotes."""
    if isinstance(value, dict):
        return {side: _as_typed(each) for side, each in value.items()}
    for kind in (int, float):
        try:
            if isinstance(value, str) and repr(kind(value)) == value:
                return kind(value)
        except ValueError:
            continue
    return value
