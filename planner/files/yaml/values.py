"""Plan values as Python has them, and the same edits on them: what an edited text must read back as."""

from __future__ import annotations

from collections.abc import Callable

from planner.files.yaml.places import EditError, Path, Value, show_path


def same(one: Value, other: Value) -> bool:
    """Whether two values are equal and of one type throughout: 1, 1.0 and true are three things."""
    if isinstance(one, dict):
        return isinstance(other, dict) and one.keys() == other.keys() and all(same(one[k], other[k]) for k in one)
    if isinstance(one, list):
        return (
            isinstance(other, list)
            and len(one) == len(other)
            and all(same(a, b) for a, b in zip(one, other, strict=True))
        )
    return type(one) is type(other) and one == other


def frozen(value: Value) -> object:
    """Something to compare and hash that stands for a value."""
    if isinstance(value, dict):
        return ("keys", *((key, frozen(each)) for key, each in value.items()))
    if isinstance(value, list):
        return ("items", *(frozen(each) for each in value))
    return type(value).__name__, value


def look(value: Value, path: Path) -> Value:
    """The value at a path. Raises EditError where there is none."""
    for at, part in enumerate(path):
        try:
            value = value[part]  # type: ignore[index]
        except (KeyError, IndexError, TypeError):
            raise EditError(f"there is no {show_path(path[: at + 1])} in this file") from None
    return value


def change(value: Value, path: Path, by: Callable[[Value], Value]) -> Value:
    """A value with what is at a path changed; mappings on the way are made."""
    if not path:
        return by(value)
    part, rest = path[0], path[1:]
    if isinstance(part, str):
        if value is not None and not isinstance(value, dict):
            raise EditError(f"{part}: cannot be written where there are no keys")
        keys = dict(value or {})
        keys[part] = change(keys.get(part), rest, by)
        return keys
    if not isinstance(value, list) or not 0 <= part < len(value):
        raise EditError(f"there is no item {part + 1} in this list")
    return [*value[:part], change(value[part], rest, by), *value[part + 1 :]]


def put(value: Value, path: Path, new: Value) -> Value:
    """A value with another at a path."""
    return change(value, path, lambda _: new)


def drop(value: Value, path: Path) -> Value:
    """A value without the key or item at a path."""
    last = path[-1]
    look(value, path)

    def without(old: Value) -> Value:
        if isinstance(old, dict):
            return {key: each for key, each in old.items() if key != last}
        if isinstance(old, list):
            return [each for index, each in enumerate(old) if index != last]
        return old

    return change(value, path[:-1], without)


def insert(value: Value, path: Path, index: int, new: Value) -> Value:
    """A value with an item more in the list at a path; nothing there counts as an empty list."""

    def with_item(old: Value) -> Value:
        items = old if isinstance(old, list) else [] if old is None else None
        if items is None or not 0 <= index <= len(items):
            raise EditError(f"there is no place {index + 1} in the list {show_path(path)}")
        return [*items[:index], new, *items[index:]]

    return change(value, path, with_item)
