"""A history of edits as plain data for the next run, and back; only what fits the files as they are by then.

Of each file that an edit changed, the stretch that differs is kept with where it stands, and a digest of the whole
text on either side. Going back from the texts on the disk, an edit whose digest does not fit ends what can be undone:
nobody's later work is ever written over.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from hashlib import blake2b
from typing import Any

from planner.files.editing.history import Entry, History
from planner.files.editing.spots import Texts
from planner.files.layout import BUILD_FILE, EPISODE_FILE, EPISODES, NUMBERS_FILE

_EPISODE = re.compile(f"{EPISODES}/{EPISODE_FILE.pattern}")
MOST = 200  # edits kept
MOST_CHARACTERS = 2_000_000  # in their stretches, the newest first

#: Entries that were packed before, by identity: the entry itself, so that the identity stays its own, and its data.
Packed = Mapping[int, tuple[Entry, dict[str, Any]]]


def pack(history: History, short: Callable[[str], str], known: Packed) -> tuple[Packed, dict[str, Any]]:
    """The history as data that JSON can hold, and what of it need not be worked out again the next time.

    ``short`` gives a path from the build's folder on.
    """
    fresh: dict[int, tuple[Entry, dict[str, Any]]] = {}

    def packed(entries: Sequence[Entry], room: int) -> list[dict[str, Any]]:
        out: list[dict[str, Any]] = []
        for entry in reversed(entries[-MOST:]):
            found = known.get(id(entry)) or (entry, _entry(entry, short))
            room -= sum(_size(each) for each in found[1]["files"].values())
            if room < 0:
                break
            fresh[id(entry)] = found
            out.append(found[1])
        return out[::-1]

    past = packed(history.past, MOST_CHARACTERS)
    future = packed(history.future, MOST_CHARACTERS)
    return fresh, {"format": 1, "past": past, "future": future}


def _size(change: Mapping[str, Any]) -> int:
    return len(change["old"] or "") + len(change["new"] or "")


def _entry(entry: Entry, short: Callable[[str], str]) -> dict[str, Any]:
    data: dict[str, Any] = {"says": entry.says, "files": {short(p): _change(*pair) for p, pair in entry.files.items()}}
    if entry.renamed:
        data["renamed"] = dict(entry.renamed)
    return data


def _change(before: str | None, after: str | None) -> dict[str, Any]:
    if before is None or after is None:
        return {"at": 0, "old": before, "new": after, "was": _digest(before), "is": _digest(after)}
    start = _alike(before, after)
    end = _alike(before[start:][::-1], after[start:][::-1])
    return {
        "at": start,
        "old": before[start : len(before) - end],
        "new": after[start : len(after) - end],
        "was": _digest(before),
        "is": _digest(after),
    }


def _alike(one: str, other: str) -> int:
    """How many characters two texts begin with alike; by halving, since comparing stretches is fast."""
    low, high = 0, min(len(one), len(other))
    while low < high:
        middle = (low + high + 1) // 2
        if one[low:middle] == other[low:middle]:
            low = middle
        else:
            high = middle - 1
    return low


def _digest(text: str | None) -> str:
    return "" if text is None else blake2b(text.encode("utf-8", "surrogatepass"), digest_size=12).hexdigest()


def unpack(data: object, texts: Texts, full: Callable[[str], str]) -> History:
    """The history that data tell of, as far as it fits the texts there are; empty for data that are no history."""
    if not isinstance(data, dict) or data.get("format") != 1:
        return History()
    past = _steps(data.get("past"), texts, full, "is", "was")
    future = _steps(data.get("future"), texts, full, "was", "is")
    return History(past, future)


def _steps(data: object, texts: Texts, full: Callable[[str], str], here: str, there: str) -> tuple[Entry, ...]:
    """The entries, the nearest last, each walked away from the texts as they are."""
    work: dict[str, str | None] = dict(texts)
    found: list[Entry] = []
    for each in reversed(data if isinstance(data, list) else []):
        entry = _walked(each, work, full, here, there)
        if entry is None:
            break
        found.append(entry)
    return tuple(reversed(found))


def _walked(
    data: object, work: dict[str, str | None], full: Callable[[str], str], here: str, there: str
) -> Entry | None:
    """One entry, with the texts taken to its other side; None where it does not fit or cannot be read."""
    files = data.get("files") if isinstance(data, dict) else None
    if not isinstance(data, dict) or not isinstance(data.get("says"), str) or not isinstance(files, dict):
        return None
    pairs: dict[str, tuple[str | None, str | None]] = {}
    for name, change in files.items():
        if name not in (BUILD_FILE, NUMBERS_FILE) and not _EPISODE.fullmatch(name):
            return None  # no file of a plan: nothing else may ever be written from here
        path = full(name)
        now = work.get(path)
        if not isinstance(change, dict) or _digest(now) != change.get(here):
            return None
        mine, other = ("new", "old") if here == "is" else ("old", "new")
        then = _replaced(now, change.get("at"), change.get(mine), change.get(other))
        if _digest(then) != change.get(there):
            return None
        pairs[path] = (then, now) if here == "is" else (now, then)
    for path, (before, after) in pairs.items():
        work[path] = before if here == "is" else after
    renamed = data.get("renamed", {})
    if not isinstance(renamed, dict) or not all(isinstance(value, str) for value in renamed.values()):
        return None
    return Entry(data["says"], pairs, None, renamed)


def _replaced(now: str | None, at: object, mine: object, other: object) -> str | None:
    if now is None or mine is None or other is None:
        return other if isinstance(other, str) else None
    if not isinstance(at, int) or not isinstance(mine, str) or not isinstance(other, str):
        return None
    return now[:at] + other + now[at + len(mine) :]
