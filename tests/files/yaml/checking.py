"""What each edit of a made file may touch, byte for byte, and what the file must say after it."""

from __future__ import annotations

import re
from copy import deepcopy
from random import Random
from typing import Any

from planner.files.yaml import edit as editing_text
from planner.files.yaml.clips import copy
from tests.files.yaml.making import Entry, Made
from tests.files.yaml.pools import WORDS, any_text, any_value
from tests.files.yaml.reading import read

Path = tuple[str | int, ...]


def alike(one: Any, other: Any) -> bool:
    """Equal, in type and in the order of keys too."""
    return repr(one) == repr(other)


def at(value: Any, path: Path) -> Any:
    """What is at a path."""
    for part in path:
        value = value[part]
    return value


def _unchanged(made: Made, new: str, start: int, end: int) -> str:
    """Everything before start and from end on is as it was; returns what is between now."""
    text = made.text
    assert new.startswith(made.bom)
    new = new[len(made.bom) :]
    assert new[:start] == text[:start], (text[:start], new[:start])
    rest = text[end:]
    assert not rest or new[-len(rest) :] == rest, (rest, new)
    assert len(new) >= start + len(rest)
    return new[start : len(new) - len(rest)]


def _closed(made: Made) -> bool:
    return made.text.endswith("\n")


def _comments(text: str) -> list[str]:
    """The comments in a piece of text that holds no values."""
    return re.findall(r"#[^\r\n]*", text)


def _ink(text: str) -> str:
    """A piece of text that holds no values, without comments, space and commas."""
    return re.sub(r"#[^\r\n]*|[\s,]", "", text)


def remove_one(made: Made, random: Random) -> None:
    """Take any item or key out."""
    path = random.choice(list(made.entries))
    new = editing_text.remove(made.bom + made.text, path)
    wanted = deepcopy(made.value)
    around = at(wanted, path[:-1])
    siblings: list[Any] = list(around) if isinstance(around, dict) else list(range(len(around)))
    index = siblings.index(path[-1])
    del around[path[-1]]
    assert alike(read(new), wanted), (path, made.text, new)
    mine = made.entries[path]
    before = made.entries[*path[:-1], siblings[index - 1]] if index else None
    after = made.entries[*path[:-1], siblings[index + 1]] if index + 1 < len(siblings) else None
    text = made.text
    if before is None and after is None:
        empty = "{}" if isinstance(around, dict) else "[]"
        if len(path) == 1:
            assert _ink(_unchanged(made, new, mine.start, mine.end)) == empty
            return
        outer = made.entries[path[:-1]]
        middle = _unchanged(made, new, outer.value, outer.value_end if mine.flow else outer.end)
        assert _ink(middle) == empty, (path, made.text, new)
    elif mine.flow:
        outer = made.entries[path[:-1]]
        start = before.value_end if before is not None else outer.value + 1
        end = after.head if after is not None else outer.value_end - 1
        middle = _unchanged(made, new, start, end)
        assert not _ink(middle), (path, made.text, new)
        for comment in _comments(text[before.value_end : before.line]) if before is not None else []:
            assert comment in middle, (path, made.text, new)
        for comment in _comments(text[after.start : after.head]) if after is not None else []:
            assert comment in middle, (path, made.text, new)
    elif mine.shares:
        assert after is not None
        plain = (
            text[: mine.head].rstrip(" ") + text[text.rindex("\n", 0, mine.end) if _ends(text, mine) else mine.end :]
        )
        if text[: mine.end].endswith("\r\n"):
            plain = text[: mine.head].rstrip(" ") + text[mine.end - 2 :]
        joined = text[: mine.head] + text[after.head :]
        assert new == made.bom + (joined if mine.end == after.head - after.column else plain), (path, text, new)
    elif before is None:
        rest = text[mine.end :]
        blank = re.match(r"(?:[ ]*\r?\n)*", rest)
        assert blank is not None
        assert new == made.bom + text[: mine.start] + rest[blank.end() :], (path, text, new)
    else:
        rest = text[mine.end :]
        blank = re.match(r"(?:[ ]*\r?\n)*", rest)
        kept = before is not None and before.end == mine.start and isinstance(blank, re.Match)
        expected = [made.bom + text[: mine.gap] + rest]
        if kept and blank is not None and before is not None and _last_text_keeps(text[before.head : before.end]):
            expected.append(made.bom + text[: mine.gap] + rest[blank.end() :])
        assert new in expected, (path, text, new)


def _last_text_keeps(text: str) -> bool:
    """Whether a piece of text ends in a block scalar that keeps blank lines."""
    headers = re.findall(r"[-:]\s+[|>][1-9]?([-+]?)", text)
    return bool(headers) and headers[-1] == "+"


def _ends(text: str, entry: Entry) -> bool:
    return text[: entry.end].endswith("\n")


def _inserted(made: Made, new: str, place: int) -> None:
    """Only put in at a place; behind a last line without a break, that break and a sign in the header at most."""
    if place == len(made.text) and not _closed(made):
        body = new[len(made.bom) :]
        if not body.startswith(made.text):
            header = re.compile(r"([|>])([1-9]?)[-+]?")
            old = header.sub(r"\1\2", made.text)
            assert header.sub(r"\1\2", body).startswith(old.rstrip(" ")), (made.text, new)
        return
    _unchanged(made, new, place, place)


def insert_one(made: Made, random: Random) -> None:
    """Put an item into any list."""
    path = random.choice(made.lists) if made.lists else None
    if path is None:
        return
    items = at(made.value, path)
    index = random.randrange(len(items) + 1)
    value = any_value(random)
    new = editing_text.insert(made.bom + made.text, path, index, value)
    wanted = deepcopy(made.value)
    at(wanted, path).insert(index, value)
    assert alike(read(new), wanted), (path, index, value, made.text, new)
    _check_inserted(made, new, path, index, len(items))


def _check_inserted(made: Made, new: str, path: Path, index: int, count: int) -> None:
    outer = made.entries[path]
    if count == 0:
        if outer.flow:
            _unchanged(made, new, outer.value, outer.value_end)
            return
        middle = _unchanged(made, new, outer.mark, outer.end)
        assert all(comment in middle for comment in _comments(made.text[outer.value_end : outer.end]))
        return
    after = made.entries[*path, index] if index < count else None
    before = made.entries[*path, index - 1] if index else None
    if made.entries[*path, 0].flow:
        start = before.value_end if before is not None else outer.value + 1
        end = after.head if after is not None else outer.value_end - 1
        middle = _unchanged(made, new, start, end)
        for comment in _comments(made.text[start:end]):
            assert comment in middle
    elif after is not None:
        _inserted(made, new, after.head if after.shares else after.start)
    else:
        assert before is not None
        _inserted(made, new, before.end)


def add_one(made: Made, random: Random) -> None:
    """Add a key to any mapping, in a place that an order of keys gives."""
    path = random.choice(made.maps)
    keys = list(at(made.value, path))
    name = random.choice([word for word in WORDS if word not in keys])
    order = random.sample(WORDS, len(WORDS)) if random.random() < 0.7 else []
    value = any_value(random)
    new = editing_text.set_value(made.bom + made.text, (*path, name), value, order)
    before = [key for key in keys if key in order and order.index(key) < order.index(name)]
    place = keys.index(before[-1]) + 1 if before else 0 if order and keys else len(keys)
    wanted = deepcopy(made.value)
    around = at(wanted, path)
    old = dict(around)
    around.clear()
    around.update({key: old[key] for key in keys[:place]}, **{name: value})
    around.update({key: old[key] for key in keys[place:]})
    assert alike(read(new), wanted), (path, name, value, order, made.text, new)
    if not keys:
        _check_inserted(made, new, path, 0, 0)
    elif made.entries[*path, keys[0]].flow:
        outer = made.entries[path]
        start = made.entries[*path, keys[place - 1]].value_end if place else outer.value + 1
        end = made.entries[*path, keys[place]].head if place < len(keys) else outer.value_end - 1
        middle = _unchanged(made, new, start, end)
        assert all(comment in middle for comment in _comments(made.text[start:end]))
    elif place:
        _inserted(made, new, made.entries[*path, keys[place - 1]].end)
    else:
        first = made.entries[*path, keys[0]]
        _inserted(made, new, first.head if first.shares else first.start)


def set_one(made: Made, random: Random) -> None:
    """Set any value to another."""
    path = random.choice(list(made.entries))
    value = any_value(random)
    new = editing_text.set_value(made.bom + made.text, path, value)
    wanted = deepcopy(made.value)
    at(wanted, path[:-1])[path[-1]] = value
    got = read(new)
    assert got == wanted, (path, value, made.text, new)
    mine = made.entries[path]
    text = made.text
    if alike(at(made.value, path), value):
        assert new == made.bom + text
        return
    if mine.flow:
        _unchanged(made, new, mine.value, mine.value_end)
        return
    middle = _unchanged(made, new, mine.mark, mine.end)
    one_line = not isinstance(value, (list, dict)) and not (isinstance(value, str) and "\n" in value)
    if mine.kind in ("word", "brackets") and one_line:
        _unchanged(made, new, mine.value, mine.value_end)
    elif mine.kind in ("word", "brackets", "empty"):
        comments = _comments(text[mine.value_end : mine.end])
        assert all(comment in middle for comment in comments), (path, value, text, new)
    elif mine.kind == "text" and one_line:
        _unchanged(made, new, mine.value, mine.end - len(text[mine.line : mine.end].lstrip("\r\n")))


def rewrite_some(made: Made, random: Random) -> None:
    """Change several texts at once."""
    paths = [path for path, each in made.entries.items() if each.kind == "word"]
    chosen = random.sample(paths, min(len(paths), random.randrange(4)))
    values = {path: any_text(random) for path in chosen}
    new = editing_text.set_scalars(made.bom + made.text, values)
    wanted = deepcopy(made.value)
    for path, value in values.items():
        at(wanted, path[:-1])[path[-1]] = value
    assert alike(read(new), wanted), (values, made.text, new)


def rename_one(made: Made, random: Random) -> None:
    """Give a key another name."""
    paths = [path for path in made.entries if isinstance(path[-1], str)]
    path = random.choice(paths)
    old = at(made.value, path[:-1])
    name = random.choice([word for word in WORDS if word not in old])
    new = editing_text.rename_key(made.bom + made.text, path, name)
    assert list(at(read(new), path[:-1])) == [name if key == path[-1] else key for key in old]
    mine = made.entries[path]
    assert alike(at(read(new), (*path[:-1], name)), at(made.value, path))
    if mine.flow:
        assert _unchanged(made, new, mine.head, mine.value).strip("'\" :") == name
    else:
        assert _unchanged(made, new, mine.head, mine.mark).strip("'\" :") == name


def double_one(made: Made, random: Random) -> None:
    """Double an item."""
    full = [path for path in made.lists if at(made.value, path)]
    if not full:
        return
    path = random.choice(full)
    items = at(made.value, path)
    index = random.randrange(len(items))
    new = editing_text.duplicate(made.bom + made.text, path, index)
    wanted = deepcopy(made.value)
    at(wanted, path).insert(index, deepcopy(items[index]))
    assert alike(read(new), wanted), (path, index, made.text, new)
    mine = made.entries[*path, index]
    if not mine.flow:
        _check_inserted(made, new, path, index + 1, len(items))
        last = len(new)
        if not _closed(made) and mine.end == len(made.text):
            return  # its last text may say - now
        own = _lines(made.text[mine.start : mine.end])
        assert _holds(_lines(new[len(made.bom) + mine.start : last]), own + own), (path, index, made.text, new)


def move_one(made: Made, random: Random) -> None:
    """Move an item within its list or into another."""
    full = [path for path in made.lists if at(made.value, path)]
    if not full:
        return
    path = random.choice(full)
    items = at(made.value, path)
    index = random.randrange(len(items))
    to = random.choice([each for each in made.lists if each[: len(path) + 1] != (*path, index)])
    if random.random() < 0.5:
        to = path
    wanted = deepcopy(made.value)
    target = at(wanted, to)
    value = at(wanted, path).pop(index)
    place = random.randrange(len(target) + 1)
    target.insert(place, value)
    new = editing_text.move(made.bom + made.text, path, index, to, place)
    assert alike(read(new), wanted), (path, index, to, place, made.text, new)
    for comment in copy(made.text, path, index).comments:
        assert comment.strip() in new
    assert sorted(_all_comments(new)) == sorted(_all_comments(made.bom + made.text)), (
        path,
        index,
        to,
        place,
        made.text,
        new,
    )


def _all_comments(text: str) -> list[str]:
    """The comments that the maker writes, wherever they are."""
    found: list[str] = re.findall(
        r"#(?: why| it's: a \[note\]|no space| - step: no| \"quoted| key: value| two|(?=\r|\n|$))", text
    )
    return found


def _lines(text: str) -> list[str]:
    return [line.strip() for line in text.splitlines() if line.strip()]


def _holds(lines: list[str], wanted: list[str]) -> bool:
    """Whether lines begin with those wanted, in order, with others between at most."""
    rest = iter(lines)
    return all(any(line == each for line in rest) for each in wanted)


EDITS = (
    remove_one, insert_one, add_one, set_one, set_one, rewrite_some, rename_one, double_one, move_one, move_one,
)  # fmt: skip
