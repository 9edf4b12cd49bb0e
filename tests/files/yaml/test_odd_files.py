"""Odd but lawful YAML, and files with slips in them: an edit is right or refused, never wrong and never a crash."""

from __future__ import annotations

from random import Random
from typing import Any

import pytest

from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, parse
from planner.files.yaml.tree import Problems, decode
from planner.files.yaml.tree import parse as read_tree
from tests.files.yaml.checking import at
from tests.files.yaml.making import make
from tests.files.yaml.pools import any_value
from tests.files.yaml.test_splices import all_paths

ODD = [
    "? a\n: b\nc: [1\n  , 2\n  , 3]\n",
    "{a: b, c: {d:\n  [1, 2]}, ? e : f, g}\n",
    "- - - x\n    - y\n-\n\n  - z\n-   # c\n  - w\n",
    "a:\t# c\n  - b\t# d\n  - c:\te\n",
    "a: |2\n    x\n   y\n\nb: [a: 1, b: 2, {c}]\n",
    "? |\n  a\n: b\n",
    "? a\n? b\n: - c\n  - d\nc:\n",
    "[a, [b,\nc], {d: e,\n f: g}\n]\n",
    "a: 'x\n  y'\n\"b\": d\n",
    "a: [\n]\nb: {\n# c\n}\n",
    "{a: [\n# 1\nb # 2\n# 3\n,c # 4\n]}\n",
    "a:\n- b:\n  - c:\n    - d\n    # x\n   # y\n  # z\n # w\n# v\n",
    "a: >\n\n\n  x\n\nb: |+\n\n\nc: |-\n\n",
    "a: x\n y\n  z\nb: 1\n",
    "a:\n  'b':\n    - c\n\n\n\n    - d\n\n  e: f",
    "-\n-\n- a\n-",
    "a: \n  # x\n  b # y\n  # z\nc: d\n",
    "%YAML 1.1\n---\na: [b]\n...\n",
    "a: {b: c\n  }\nd: e\r\nf:\r\n  - g\n  - h\r\n",
]
FILES = 1600
CHUNKS = 8


def _mutated(text: str, random: Random) -> str:
    """A text with one to three slips: something lost, put in, or doubled."""
    letters = list(text)
    for _ in range(random.randrange(1, 4)):
        place = random.randrange(len(letters) + 1)
        roll = random.random()
        if roll < 0.4 and letters:
            del letters[min(place, len(letters) - 1)]
        elif roll < 0.8:
            letters.insert(place, random.choice(" \n:-,[]{}#|>'\"? ab\t\r&*!"))
        else:
            letters[place:place] = letters[place : place + random.randrange(12)]
    return "".join(letters)


def _can_be_read(text: str) -> bool:
    problems = Problems()
    body = decode(text.encode("utf-8"), "", problems)
    return body is not None and read_tree(body, "", problems) is not None and not problems.found


@pytest.mark.parametrize("text", ODD)
def test_odd_files(text: str) -> None:
    """Every edit that is not refused reads back as meant (the editor proves it; here it must not crash)."""
    assert _can_be_read(text)
    done = sum(_edit(text, Random(seed)) for seed in range(40))
    assert done >= 20


@pytest.mark.parametrize("chunk", range(CHUNKS))
def test_files_with_slips(chunk: int) -> None:
    """What the reader takes, the editor takes; what it refuses is refused with a place."""
    done = taken = 0
    for seed in range(chunk * FILES // CHUNKS, (chunk + 1) * FILES // CHUNKS):
        random = Random(seed)
        text = _mutated(ODD[seed % len(ODD)] if seed % 3 else make(Random(seed)).text, random)
        if _can_be_read(text):
            taken += 1
            done += sum(_edit(text, random) for _ in range(6))
        elif decode(text.encode("utf-8"), "", Problems()) is not None:
            with pytest.raises(EditError, match=r"line \d+, column \d+: "):
                parse(text)
    assert done > 3 * taken > 100


def _edit(text: str, random: Random) -> bool:
    """One edit; whether it was made."""
    value = parse(text).value
    paths = all_paths(value)
    lists = [path for path in [(), *paths] if isinstance(at(value, path), list)]
    kind = random.choice(("remove", "set", "insert", "double", "move"))
    try:
        if kind in ("remove", "set") and paths:
            path = random.choice(paths)
            new: Any = (
                editing_text.remove(text, path)
                if kind == "remove"
                else editing_text.set_value(text, path, any_value(random))
            )
        elif lists:
            path, to = random.choice(lists), random.choice(lists)
            count = len(at(value, path))
            if kind == "insert" or not count:
                new = editing_text.insert(text, path, random.randrange(count + 1), any_value(random))
            elif kind == "double":
                new = editing_text.duplicate(text, path, random.randrange(count))
            else:
                new = editing_text.move(text, path, random.randrange(count), to, 0)
        else:
            return True
    except EditError:
        return False
    return isinstance(new, str)
