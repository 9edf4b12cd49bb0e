"""Nothing of the person's file is lost: random files in many hands, random edits, every byte accounted for."""

from __future__ import annotations

from copy import deepcopy
from random import Random
from typing import Any

import pytest
import yaml

from planner.files.yaml import edit as editing_text
from planner.files.yaml import places as editing_tree
from tests.files.yaml.checking import EDITS, at
from tests.files.yaml.making import make
from tests.files.yaml.pools import WORDS, any_value
from tests.files.yaml.reading import read

CHUNKS = 20
FILES = 100  # a chunk; each is edited once by each of the ten edits: 20,000 in all


@pytest.mark.parametrize("seed", range(200))
def test_a_made_file_says_what_its_maker_meant(seed: int) -> None:
    """The maker and the product's reader agree, or nothing below would mean anything."""
    for each in range(seed * 10, seed * 10 + 10):
        made = make(Random(each))
        assert repr(read(made.bom + made.text)) == repr(made.value)
        assert repr(editing_tree.parse(made.bom + made.text).value) == repr(made.value)


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_an_edit_touches_only_its_own(chunk: int) -> None:
    """Reading back gives exactly what was meant, and every byte that is not the edit's own is as it was."""
    for seed in range(chunk * FILES, (chunk + 1) * FILES):
        made = make(Random(seed))
        for number, edit in enumerate(EDITS):
            edit(made, Random(seed * 100 + number))


@pytest.mark.parametrize("chunk", range(8))
def test_edits_upon_edits(chunk: int) -> None:
    """A dozen edits one after the other: the text that one leaves is good for the next."""
    for seed in range(chunk * 60, (chunk + 1) * 60):
        _edited(seed, 12)


@pytest.mark.parametrize("chunk", range(2))
def test_without_the_c_parser(chunk: int, monkeypatch: pytest.MonkeyPatch) -> None:
    """PyYAML's own parser marks a few things elsewhere; the edits come out the same."""
    texts = [_edited(seed, 6) for seed in range(chunk * 40, (chunk + 1) * 40)]
    monkeypatch.setattr(editing_tree, "_Loader", yaml.SafeLoader)
    editing_tree.parse.cache_clear()
    assert [_edited(seed, 6) for seed in range(chunk * 40, (chunk + 1) * 40)] == texts
    editing_tree.parse.cache_clear()


def all_paths(value: Any, path: tuple[str | int, ...] = ()) -> list[tuple[str | int, ...]]:
    """The way to everything in a value."""
    pairs: list[tuple[str | int, Any]] = []
    if isinstance(value, dict):
        pairs = list(value.items())
    elif isinstance(value, list):
        pairs = list(enumerate(value))
    return [each for key, inner in pairs for each in ((*path, key), *all_paths(inner, (*path, key)))]


def _edited(seed: int, count: int) -> str:
    made = make(Random(seed))
    random = Random(seed)
    text, value = made.bom + made.text, deepcopy(made.value)
    for _ in range(count):
        if not value:
            break
        text = _one_more(text, value, random)
        assert read(text) == value
        assert text.startswith("\ufeff") == bool(made.bom)
    return text


def _one_more(text: str, value: Any, random: Random) -> str:
    """Make an edit of a text, and the same of the value that it says."""
    paths = all_paths(value)
    lists = [path for path in paths if isinstance(at(value, path), list)]
    full = [path for path in lists if at(value, path)]
    kind = random.choice(("set", "remove", "insert", "add", "double", "move"))
    path = random.choice(paths)
    if kind == "remove":
        del at(value, path[:-1])[path[-1]]
        return editing_text.remove(text, path)
    if kind == "insert" and lists:
        path, fresh = random.choice(lists), [any_value(random) for _ in range(random.randrange(1, 3))]
        index = random.randrange(len(at(value, path)) + 1)
        at(value, path)[index:index] = fresh
        return editing_text.insert(text, path, index, *fresh)
    if kind == "add":
        path = random.choice([(), *(path for path in paths if isinstance(at(value, path), dict))])
        key, new = random.choice(WORDS), any_value(random)
        at(value, path)[key] = new
        return editing_text.set_value(text, (*path, key), new)
    if kind in ("double", "move") and full:
        path = random.choice(full)
        index = random.randrange(len(at(value, path)))
        if kind == "double":
            at(value, path).insert(index, deepcopy(at(value, path)[index]))
            return editing_text.duplicate(text, path, index)
        to = random.choice([each for each in lists if each[: len(path) + 1] != (*path, index)])
        target = at(value, to)
        item = at(value, path).pop(index)
        place = random.randrange(len(target) + 1)
        target.insert(place, item)
        return editing_text.move(text, path, index, to, place)
    new = any_value(random)
    at(value, path[:-1])[path[-1]] = new
    return editing_text.set_value(text, path, new)
