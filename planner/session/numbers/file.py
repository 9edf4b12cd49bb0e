"""The file of numbers as the screen takes it in, and writing what was changed on the screen into its own lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from planner.files.editing.spots import Edit, Texts
from planner.files.layout import NUMBERS_FILE
from planner.files.yaml.places import EditError
from planner.files.yaml.tree import Problem, Problems
from planner.numbers.calculator import Show
from planner.numbers.readings import Measured
from planner.session.numbers.draft import Change, Outcomes, Sections, Where, input_of, meant
from planner.session.writing.desk import Task

_NEW = "format: 1\n"


class Now(NamedTuple):
    """The file of numbers at one moment; its problems where it cannot be read."""

    text: str | None  # None: there is no such file
    sections: Sections
    problems: tuple[Problem, ...]
    show: Show
    outcomes: Outcomes
    measured: Measured = MappingProxyType({})  # what ticks have read


def read_now(folder: Path, sides: Sequence[str], lengths: str | None, text: str | None = None) -> Now:
    """Read the file of numbers and work everything out; what is wrong with the file is kept, not raised.

    ``text``: what it says, where that is not on the disk yet.
    """
    from planner.files.build.numbers import read_numbers, work_out
    from planner.files.disk.plainfile import read_plain
    from planner.files.layout import MAX_BYTES
    from planner.files.yaml.tree import decode, parse
    from planner.numbers.showing import parse_show
    from planner.session.readings import measured_in

    path = folder / NUMBERS_FILE
    problems = Problems()
    show = (parse_show(lengths) if lengths else None) or Show()
    try:
        raw = read_plain(path, MAX_BYTES + 1) if text is None else text.encode("utf-8")
    except FileNotFoundError:
        return Now(None, {}, (), show, {})
    except OSError as error:
        problems.add(str(path), 1, 1, f"cannot be read: {error.strerror or error}")
        return Now(None, {}, tuple(problems.found), show, {})
    body = decode(raw, str(path), problems)
    tree = None if body is None else parse(body, str(path), problems)
    if tree is not None:
        file = read_numbers(path, tree, sides, problems)
        if not problems.found:
            measured = measured_in(folder)
            found = work_out(file, tuple(sides), lengths, measured)
            return Now(raw.decode("utf-8"), file.sections, (), found.show, found.outcomes, measured)
    return Now(None, {}, tuple(problems.found), show, {})


def save_task(folder: Path, now: Now, changes: Mapping[Where, Change]) -> Task:
    """The edit of the build that writes changed inputs into the lines that they stand in.

    It is refused where the file is no longer the one that was read: what was typed is held against what the file
    says before it is written over it.
    """
    path = str(folder / NUMBERS_FILE)

    def make(texts: Texts) -> Edit:
        text = texts.get(path)
        if text != now.text:
            raise EditError(f"{NUMBERS_FILE} was changed at this very moment; save once more")
        return Edit({path: edited(_NEW if text is None else text, changes)})

    names = ", ".join(dict.fromkeys(".".join(where) for where in changes))
    return Task(f"saved in {NUMBERS_FILE}: {names}", make, fresh=True)


def edited(text: str, changes: Mapping[Where, Change]) -> str:
    """The text of a file of numbers with other inputs; nothing but their lines is touched."""
    for (name, key), change in changes.items():
        old, new = meant(change.old), meant(change.new)
        if isinstance(old, Mapping) and isinstance(new, Mapping):
            for side in dict.fromkeys((*old, *new)):
                if old.get(side) != new.get(side):
                    text = _with(text, (name, key, side), new.get(side))
        else:
            text = _with(text, (name, key), new)
    return text


def _with(text: str, path: tuple[str, ...], value: str | Mapping[str, str] | None) -> str:
    from planner.files.yaml.edit import get, set_value
    from planner.numbers.calculator import DEFAULT_SIDES
    from planner.numbers.registry import CALCULATORS, calculator

    name, key = path[:2]
    if value is None:
        return _without(text, path)
    if not get(text, (name,)):  # a section of its own lines, even while it holds but one short value
        text = set_value(text, (name,), {key: {"": ""}}, ("format", *CALCULATORS))
    order = DEFAULT_SIDES if len(path) > 2 else tuple(each.key for each in calculator(name).inputs)
    if isinstance(value, Mapping):
        return set_value(text, path, {side: _scalar(name, key, each) for side, each in value.items()}, order)
    return set_value(text, path, _scalar(name, key, value), order)


def _without(text: str, path: tuple[str, ...]) -> str:
    """An input taken out; where a comment would go with it, the key stays and only its value goes."""
    from planner.files.yaml.edit import get, remove, set_value

    if get(text, path) is None:
        return text
    found = remove(text, path)
    return found if found.count("#") == text.count("#") else set_value(text, path, None)


def _scalar(name: str, key: str, text: str) -> str | int | float:
    """A text as it is written: a plain number without quotes where it reads back as typed."""
    if input_of(name, key).kind in ("count", "number"):
        for kind in (int, float):
            try:
                value = kind(text)
            except ValueError:
                continue
            if str(value) == text:
                return value
    return text
