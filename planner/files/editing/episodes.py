"""Adding, doubling, moving, taking out and renumbering episodes, with every reference following."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Mapping
from pathlib import PurePath

from planner.files.editing.names import rename_in
from planner.files.editing.spots import (
    EPISODE_KEYS,
    Edit,
    Texts,
    edit_of,
    episode_paths,
    in_order,
    items_of,
    job_path,
    steps_in,
    text_at,
)
from planner.files.editing.steps import fresh_ids, told, unlink
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value, parse
from planner.files.yaml.style import Style, map_lines, style_of

_FILE = re.compile(r"(\d{1,4})-([a-z0-9-]+)\.yaml")
_MAX = 9999


def number_of(path: str) -> int:
    """The number in an episode's file name. Raises EditError where there is none."""
    return int(_parts(path)[0])


def _parts(path: str) -> tuple[str, str]:
    found = _FILE.fullmatch(PurePath(path).name)
    if found is None:
        raise EditError(f"{PurePath(path).name} is not named as an episode; call it 01-slug.yaml")
    return found.group(1), found.group(2)


def slug_of(title: str, fallback: str = "episode") -> str:
    """A title as it stands in a file name: its words in lower-case letters, digits and hyphens."""
    plain = unicodedata.normalize("NFKD", title.casefold()).encode("ascii", "ignore").decode("ascii")
    words = re.findall(r"[a-z0-9]+", plain.replace("'", ""))
    return "-".join(words)[:40].strip("-") or fallback


def add_episode(texts: Texts, title: str, number: int | None = None, values: Mapping[str, Value] | None = None) -> Edit:
    """A new episode without stages; by default the last. One that has the number, and those behind, go up by one."""
    if not title.strip():
        raise EditError("an episode needs a title")
    work, notes, number = _room(texts, number)
    path = _new_path(work, number, slug_of(title))
    keys = in_order({"format": 1, "episode": number, "title": title, "stages": [], **(values or {})}, EPISODE_KEYS)
    style = _habits(texts)
    work[path] = "".join(line + style.newline for line in map_lines(keys, 0, style, ""))
    return edit_of(texts, work, notes)


def duplicate_episode(texts: Texts, path: str) -> Edit:
    """An episode once more, with the next number; its steps get ids of their own, and it has no date yet."""
    text = text_at(texts, path)
    ids = [str(step.get("step")) for _, step in steps_in(text)]
    renamed = fresh_ids(texts, ids)
    text = rename_in(text, renamed)
    work, notes, number = _room(texts, number_of(path) + 1)
    text = editing_text.set_value(text, ("episode",), number)
    notes += told(renamed)
    if editing_text.get(text, ("publish",)) is not None:
        text = editing_text.remove(text, ("publish",))
        notes.append("the copy has no publish date; give it one of its own")
    work[_new_path(work, number, _parts(path)[1])] = text
    return edit_of(texts, work, notes)


def delete_episode(texts: Texts, path: str) -> Edit:
    """Take an episode out, and every ``after`` and ``sequence`` entry that names one of its steps."""
    text = text_at(texts, path)
    if len(episode_paths(texts)) < 2:
        raise EditError("a build needs at least one episode; add another first")
    ids = [str(step.get("step")) for _, step in steps_in(text)]
    work: dict[str, str] = {other: each for other, each in texts.items() if other != path}
    notes = unlink(work, ids)
    number = number_of(path)
    for other in episode_paths(work):
        if "refers-to" in work[other] and _refers(work[other], {number: number}):
            notes.append(f"episode {number_of(other)} still refers to episode {number}")
    return edit_of(texts, {**work, path: None}, notes)


def move_episode(texts: Texts, path: str, index: int) -> Edit:
    """Move an episode to ``index`` in the order of episodes; the numbers that there are are shared out anew."""
    paths = sorted(episode_paths(texts), key=number_of)
    if path not in paths or not 0 <= index < len(paths):
        raise EditError("there is no such place for this episode")
    numbers = [number_of(each) for each in paths]
    order = [each for each in paths if each != path]
    order.insert(index, path)
    return renumber(texts, {number_of(each): number for each, number in zip(order, numbers, strict=True)})


def renumber(texts: Texts, numbers: Mapping[int, int]) -> Edit:
    """Episodes under other numbers (old -> new): in the file, in its name, and in every ``refers-to``."""
    work = _renumbered(texts, {old: new for old, new in numbers.items() if old != new})
    return edit_of(texts, work)


def _renumbered(texts: Texts, numbers: Mapping[int, int]) -> dict[str, str | None]:
    paths = {number_of(path): path for path in episode_paths(texts)}
    missing = [old for old in numbers if old not in paths]
    if missing:
        raise EditError(f"there is no episode {missing[0]}")
    final = [numbers.get(number, number) for number in paths]
    for number in final:
        if not 1 <= number <= _MAX:
            raise EditError(f"{number} is not a number for an episode; they go from 1 to {_MAX}")
        if final.count(number) > 1:
            raise EditError(f"two episodes would have the number {number}; choose another")
    work: dict[str, str | None] = dict(texts)
    for old in numbers:
        work[paths[old]] = None
    for old, path in paths.items():
        text = texts[path]
        target = path
        if old in numbers:
            digits, slug = _parts(path)
            target = str(PurePath(path).with_name(f"{numbers[old]:0{len(digits)}d}-{slug}.yaml"))
            text = editing_text.set_value(text, ("episode",), numbers[old])
        if "refers-to" in text:
            for index, new in _refers(text, numbers).items():
                text = editing_text.set_value(text, ("refers-to", index), new)
        work[target] = text
    return work


def _refers(text: str, numbers: Mapping[int, int]) -> dict[int, int]:
    """Which items of ``refers-to`` name one of some episodes, and what they become."""
    found: dict[int, int] = {}
    for index, item in enumerate(items_of(editing_text.get(text, ("refers-to",)))):
        number = int(item) if isinstance(item, str) and re.fullmatch(r"[1-9]\d{0,3}", item) else item
        if isinstance(number, int) and not isinstance(number, bool) and number in numbers:
            found[index] = numbers[number]
    return found


def _room(texts: Texts, number: int | None) -> tuple[dict[str, str | None], list[str], int]:
    """The texts with a number free for one more episode."""
    present = sorted(number_of(path) for path in episode_paths(texts))
    if number is None:
        number = (present[-1] if present else 0) + 1
    shift: dict[int, int] = {}
    free = number
    while free in present:
        shift[free] = free + 1
        free += 1
    notes = [f"episodes {number} to {free - 1} go up by one"] if len(shift) > 1 else []
    notes += [f"episode {number} becomes {free}"] if len(shift) == 1 else []
    if not 1 <= number <= _MAX:
        raise EditError(f"{number} is not a number for an episode; they go from 1 to {_MAX}")
    return _renumbered(texts, shift), notes, number


def _new_path(work: Mapping[str, str | None], number: int, slug: str) -> str:
    home = PurePath(job_path({path: text for path, text in work.items() if text is not None})).parent / "episodes"
    taken = [path for path, text in work.items() if text is not None]
    digits = max([2, *(len(_parts(path)[0]) for path in taken if PurePath(path).parent.name == "episodes")])
    return str(home / f"{number:0{digits}d}-{slug}.yaml")


def _habits(texts: Texts) -> Style:
    """How the last episode is written, or build.yaml where there is none."""
    paths = episode_paths(texts) or [job_path(texts)]
    return style_of(parse(texts[paths[-1]]))
