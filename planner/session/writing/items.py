"""Items of a list that may be texts or say more, each in one line: ``The whole roll | size wide | speed 8``. Pure.

The first part is what the item is about; a part behind a bar is a key and its value. A bar in a text is ``\\|``.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from planner.files.yaml.places import Value


class Shape(NamedTuple):
    """The key of the first part, the further keys in their order, and whether an item is never a bare text."""

    first: str
    keys: tuple[str, ...]
    always: bool = False


SHAPES = {
    "shots": Shape("shot", ("size", "of", "length", "speed", "needs")),
    "promises": Shape("says", ("by",)),
    "refers-to": Shape("episode", ("build", "says")),
    "corrects": Shape("episode", ("says", "safety"), True),
    "sponsors": Shape("who", ("says", "from"), True),
}
_BAR = re.compile(r"(?<!\\)\|")
_NUMBER = re.compile(r"[-+]?(0|[1-9]\d{0,8})(\.\d{1,9})?")
_NUMBERS = ("episode", "by", "speed")
_YES = {"": True, "yes": True, "true": True, "no": False, "false": False}


def item_line(shape: Shape, item: Value) -> str:
    """An item as it is typed; line breaks of a bare text stay."""
    if not isinstance(item, dict):
        return _escaped(item) if isinstance(item, str) else str(item)
    keys = [key for key in (*shape.keys, *item) if key in item and key != shape.first]
    parts = [_part(item.get(shape.first)), *(f"{key} {_part(item[key])}".strip() for key in dict.fromkeys(keys))]
    return " | ".join(parts)


def item_of(shape: Shape, typed: str) -> Value:
    """What was typed as an item; nothing is judged here: the reader does that."""
    first, *rest = [part.strip() for part in _BAR.split(typed)]
    made: dict[str, Value] = {shape.first: _value(shape.first, first)} if first else {}
    for part in rest:
        key, _, text = part.partition(" ")
        if key:
            made[key] = _value(key, text.strip())
    return made[shape.first] if set(made) == {shape.first} and not shape.always else made


def _part(value: Value) -> str:
    if isinstance(value, bool):
        return "" if value else "no"
    if isinstance(value, list):
        return ", ".join(_part(each) for each in value)
    return "" if value is None else _escaped(" ".join(str(value).split()))


def _escaped(text: str) -> str:
    return text.replace("|", "\\|")


def _value(key: str, text: str) -> Value:
    if key == "safety":
        return _YES.get(text, text)
    if key == "needs":
        return [each.strip() for each in text.split(",") if each.strip()]
    if key in _NUMBERS and (found := _NUMBER.fullmatch(text)):
        return float(text) if found.group(2) else int(text)
    return text.replace("\\|", "|")
