"""Every action by name: what can be asked for on a screen, in groups, and what typed words find of it. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from planner.app.keys.table import BY_ID, EVERYWHERE, KEYS, LISTS, OVER, Key, keys_of, shown_key

LEAVING = "leaving"
COLOURS = "colours"
#: The screens of which every action can be asked for from everywhere, in the order of their groups.
FULL = ("plan", "camera", "traps", "numbers", "calendar", "series", "write", "builds", "problems")
_LEAVES = ("everywhere.quit", "app.leave", "app.interrupt")
_ITSELF = ("app.actions", "everywhere.help", "over.help")  # who looks at the page has found it


class Entry(NamedTuple):
    """An action: its id, its group, the keys that do it, and what it does."""

    id: str
    group: str
    keys: str
    says: str
    word: str = ""  # the same in a word, as the line of keys has it


def key_entries(keys: Iterable[Key], changed: Mapping[str, str], here: str) -> list[Entry]:
    """Keys in the groups that the table has; those of the screen ``here`` first, those that leave last and as one."""
    found = [*keys]
    leaves = [key for key in found if key.id in _LEAVES]
    entries = [_entry(key, changed, _group_of(key)) for key in found if key not in leaves]
    entries.sort(key=lambda each: (each.group != here, each.group == EVERYWHERE))
    if leaves:
        names = ", ".join(shown_key(changed.get(key.id, key.key)) for key in leaves)
        entries.append(Entry(leaves[0].id, LEAVING, names, leaves[0].says))
    return entries


def _group_of(key: Key) -> str:
    if key.where in LISTS:
        return "lists and texts"
    return EVERYWHERE if key.where == "app" else key.where


def _entry(key: Key, changed: Mapping[str, str], group: str) -> Entry:
    return Entry(key.id, group, shown_key(changed.get(key.id, key.key)), key.says, key.short)


def all_entries(here: str, bound: Sequence[str], changed: Mapping[str, str], colours: Mapping[str, str]) -> list[Entry]:
    """Every action that can be asked for: on a full screen those of all screens, each saying once; on any other
    (a question, a form, a page laid over another) what it is bound to. The colours follow, then leaving, once."""
    if here in FULL:
        keys = [*keys_of(here), *(key for screen in FULL if screen != here for key in KEYS if key.where == screen)]
    elif here in OVER:
        keys = keys_of(here)
    else:
        keys = [BY_ID[each] for each in bound if each in BY_ID] + [key for key in KEYS if key.where == "app"]
    entries: list[Entry] = []
    said: set[str] = set()
    for each in key_entries([key for key in keys if key.where not in LISTS], changed, here):
        if each.id not in _ITSELF and each.says not in said:
            said.add(each.says)
            entries.append(each)
    at = len(entries) - (entries[-1].group == LEAVING if entries else 0)
    entries[at:at] = [Entry(f"{COLOURS}.{each}", COLOURS, "", says) for each, says in colours.items()]
    return entries


def matching(entries: Sequence[Entry], typed: str) -> list[Entry]:
    """The entries that have every typed word in their name, their group or as their key; the order stays.

    Where words begin with what was typed, what only has it within one is left out: roll is not scroll.
    """
    wanted = typed.casefold().split()
    texts = [f" {each.group} {each.says} {each.word}".casefold() for each in entries]
    for before in (" ", ""):
        found = [
            each
            for each, text in zip(entries, texts, strict=True)
            if all(f"{before}{word}" in text or word == each.keys.casefold() for word in wanted)
        ]
        if found:
            return found
    return []
