"""Undo and redo of edits, over all files of a build, as a value that never changes.

An entry keeps the whole texts before and after of the files that an edit changed. Undoing is an edit like any
other: it is saved with the same care, and refused where a file is not as the edit left it.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple

from planner.files.editing.spots import Edit, Texts

MAX_ENTRIES = 1000
MAX_CHARACTERS = 50_000_000  # kept in all; the oldest entries go first


class Entry(NamedTuple):
    """One edit: what it was, and each file before and after it (None: no such file)."""

    says: str
    files: Mapping[str, tuple[str | None, str | None]]
    join: str | None = None  # edits with the same mark, one after the other, are undone together
    renamed: Mapping[str, str] = MappingProxyType({})  # steps that go by another id since, old -> new


class History(NamedTuple):
    """The edits made, the newest last, and those undone, the next to redo last."""

    past: tuple[Entry, ...] = ()
    future: tuple[Entry, ...] = ()


class ChangedSinceError(Exception):
    """An edit cannot be undone or redone: these files are no longer as it left them."""

    def __init__(self, paths: list[str]) -> None:
        super().__init__(f"changed since then: {', '.join(paths)}")
        self.paths = tuple(paths)


def record(
    history: History,
    says: str,
    texts: Texts,
    edit: Edit,
    join: str | None = None,
    renamed: Mapping[str, str] = MappingProxyType({}),
) -> History:
    """The history with an edit of texts more. What was undone before can no longer be redone.

    ``join``: a mark such as the key that is being typed in; edits with the same mark become one.
    """
    files = {path: (texts.get(path), after) for path, after in edit.changes.items() if texts.get(path) != after}
    if not files:
        return history
    past = history.past
    last = past[-1] if past else None
    if last is not None and join is not None and last.join == join and not history.future:
        merged = {**files, **last.files}
        merged = {path: (merged[path][0], files[path][1] if path in files else merged[path][1]) for path in merged}
        merged = {path: pair for path, pair in merged.items() if pair[0] != pair[1]}
        return History(_kept((*past[:-1], *([Entry(says, merged, join)] if merged else []))))
    return History(_kept((*past, Entry(says, files, join, renamed))))


def _kept(past: tuple[Entry, ...]) -> tuple[Entry, ...]:
    past = past[-MAX_ENTRIES:]
    size = 0
    for count, entry in enumerate(reversed(past)):
        size += sum(len(text or "") for pair in entry.files.values() for text in pair)
        if size > MAX_CHARACTERS and count:
            return past[-count:]
    return past


def undo(history: History, texts: Texts) -> tuple[History, Edit]:
    """The history one edit earlier, and the edit that leads there; nothing changes where there is none.

    Raises ChangedSinceError.
    """
    if not history.past:
        return history, Edit({})
    entry = history.past[-1]
    _check(texts, {path: after for path, (_, after) in entry.files.items()})
    back = {path: before for path, (before, _) in entry.files.items()}
    return History(history.past[:-1], (*history.future, entry)), Edit(back, (entry.says,))


def redo(history: History, texts: Texts) -> tuple[History, Edit]:
    """The history one edit later, and the edit that leads there; nothing changes where there is none.

    Raises ChangedSinceError.
    """
    if not history.future:
        return history, Edit({})
    entry = history.future[-1]
    _check(texts, {path: before for path, (before, _) in entry.files.items()})
    again = {path: after for path, (_, after) in entry.files.items()}
    return History((*history.past, entry), history.future[:-1]), Edit(again, (entry.says,))


def _check(texts: Texts, wanted: Mapping[str, str | None]) -> None:
    changed = [path for path, text in wanted.items() if texts.get(path) != text]
    if changed:
        raise ChangedSinceError(changed)
