"""The value of a key as it is shown and as it is typed, by its sort. Pure."""

from __future__ import annotations

import re

from planner.files.plankeys import DURATION, LISTED, PAIRS, TEXTS, WHOLE, Field
from planner.files.yaml.places import Path, Value
from planner.session.writing.items import SHAPES, item_line, item_of

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


def shown(value: Value) -> str:
    """A value in one line."""
    if value is None:
        return ""
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, list):
        texts = [shown(each) for each in value]
        return " · ".join(texts) if any(" " in text for text in texts) else ", ".join(texts)
    if isinstance(value, dict):
        shape = next((each for each in SHAPES.values() if each.first in value), None)
        if shape is not None:
            return item_line(shape, value)
        return ", ".join(f"{key} {_inside(each)}".strip() for key, each in value.items())
    return " ".join(str(value).split())


def _inside(value: Value) -> str:
    if isinstance(value, dict):
        return f"in {shown(value['in'])}" if set(value) == {"in"} else ""
    return shown(value)


def as_typed(field: Field, value: Value) -> str:
    """A value as it stands in the line or the lines that it is typed into."""
    if value is None:
        return ""
    if field.sort == PAIRS:
        pairs = value.items() if isinstance(value, dict) else ()
        return "\n".join(f"{key} {_pair(field, each)}".rstrip() for key, each in pairs)
    if field.sort in (TEXTS, LISTED):
        items: list[Value] = [*value] if isinstance(value, list) else [value]
        if field.key in SHAPES:
            items = [item_line(SHAPES[field.key], item) for item in items]
        return "\n".join("\n  ".join(str(item).rstrip("\n").split("\n")) for item in items)
    if isinstance(value, (dict, list)):
        return shown(value)
    return shown(value) if isinstance(value, bool) else as_line(str(value))


def _pair(field: Field, value: Value) -> str:
    """What stands behind a name: for a piece what it is part of; how it comes is kept and not typed here."""
    if field.key == "pieces" and isinstance(value, dict):
        return shown(value.get("in"))
    return shown(value)


def from_typed(field: Field, typed: str, old: Value) -> Value:
    """What was typed as a value; None takes the key out. Nothing is judged here: the reader does that."""
    if field.sort in (TEXTS, LISTED):
        return _from_lines(field, typed, old)
    if field.sort == PAIRS:
        return _from_pairs(field, typed, old)
    if not typed.strip():
        return None
    if isinstance(old, (dict, list)) and typed == shown(old):
        return old
    cooled = re.fullmatch(r"\s*(cool-to)[\s:]+(\S.*?)\s*", typed) if field.sort == DURATION else None
    if cooled is not None:
        return {cooled[1]: cooled[2]}  # a wait that the numbers give
    if isinstance(old, str) and typed == as_line(old):
        return old  # line breaks that a line cannot show are kept while nobody changes it
    if field.sort == WHOLE and re.fullmatch(r"\s*[-+]?(0|[1-9]\d{0,8})\s*", typed):
        return int(typed)
    return typed.strip()


def as_line(text: str) -> str:
    """A text in one line."""
    return " ".join(text.split())


def _from_lines(field: Field, typed: str, old: Value) -> Value:
    items: list[str] = []
    for line in typed.split("\n"):
        if not line.strip():
            continue
        if line[:1].isspace() and items:
            items[-1] += "\n" + line.strip()
        else:
            items.append(line.strip())
    before = old if isinstance(old, list) else [old] if old is not None else []
    shape = SHAPES.get(field.key)
    if shape is not None:
        kept: dict[str, list[Value]] = {}
        for each in before:
            kept.setdefault(_bare(item_line(shape, each)), []).append(each)
        made: list[Value] = [kept[item].pop(0) if kept.get(item) else item_of(shape, item) for item in items]
    else:
        same = {_bare(each): each for each in before}
        made = [same.get(item, item) for item in items]
    if not made:
        return None
    single = len(made) == 1 and not isinstance(old, list)
    if field.sort == TEXTS and single and (old is not None or len(str(made[0])) > 60):
        return made[0]
    return made


def _bare(value: Value) -> str:
    return "\n".join(line.strip() for line in str(value).rstrip("\n").split("\n"))


def _from_pairs(field: Field, typed: str, old: Value) -> Value:
    pairs: dict[str, Value] = {}
    for line in typed.split("\n"):
        key, _, rest = line.strip().partition(" ")
        key = key.rstrip(":")
        if key:
            was = value_at(old, (key,))
            same = field.key == "hold" and shown(was) == rest.strip()
            pairs[key] = was if same else _piece(rest, was) if field.key == "pieces" else rest.strip()
    return pairs or None


def _piece(rest: str, old: Value) -> Value:
    """A piece with what it is part of as typed, and everything else that was said of it as it was."""
    inside = rest.strip().removeprefix("in ").strip()
    known = dict(old) if isinstance(old, dict) else {}
    if inside:
        return {**known, "in": inside}
    known.pop("in", None)
    return known


def value_at(values: Value, path: Path) -> Value:
    """What stands at a way within what holds the keys; None where nothing does."""
    for part in path:
        if isinstance(values, dict) and isinstance(part, str):
            values = values.get(part)
        elif isinstance(values, list) and isinstance(part, int) and 0 <= part < len(values):
            values = values[part]
        else:
            return None
    return values


def names_of(value: Value) -> list[str]:
    """The texts of a list; a single text counts as a list of one."""
    if isinstance(value, list):
        return [str(each) for each in value]
    return [] if value is None else [str(value)]
