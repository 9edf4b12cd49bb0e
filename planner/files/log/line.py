"""One line of a tick log: what makes it a record, and how records of several devices join."""

from __future__ import annotations

import json
from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any, NamedTuple, TypeGuard

from planner.plan.ticks import KNOWN, Event

VERSION = 1
MAX_N = 1 << 53  # orders a record; no clock and no counting on from one comes to more, so larger is damage
_MAX_DEPTH = 16  # a record is flat but for a short list; what nests deeper could not be written out again
#: Times that a shop can have, in UTC seconds: the years 1900 to 3000. No wait added to one leaves the calendar.
EARLIEST, LATEST = -2208988800.0, 32503680000.0


class LogNotice(NamedTuple):
    """Something in a log that is kept but not used: where, and why."""

    path: str
    line: int
    says: str

    def __str__(self) -> str:
        return f"{self.path}:{self.line}: {self.says}"


def iso(seconds: float) -> str:
    """UTC seconds as ISO 8601."""
    return datetime.fromtimestamp(seconds, UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _refuse(word: str) -> float:
    raise ValueError(f"{word} is not a number")


def _finite(digits: str) -> float:
    value = float(digits)
    return value if abs(value) != float("inf") else _refuse(digits)


# Without what JSON itself does not know, so that whatever is read can be printed as JSON again.
_DECODER = json.JSONDecoder(parse_constant=_refuse, parse_float=_finite)


def read_line(line: bytes) -> Event | str:
    """One line as an event, or why it is not used."""
    try:
        raw = _DECODER.decode(line.decode("utf-8-sig"))
    except (ValueError, RecursionError):
        return "this line is damaged and is skipped; it stays in the file"
    if not isinstance(raw, dict):
        return "this line is not a record and is skipped; it stays in the file"
    version = raw.get("v")
    if type(version) is int and version > VERSION:
        return f"this line was written by a newer planner (v {version}); it is kept and not used: update this one"
    n, by, did, op, at = raw.get("n"), raw.get("by"), raw.get("did"), raw.get("op"), raw.get("at")
    ours = type(version) is int and version == VERSION
    if ours and type(n) is int and n >= MAX_N:
        return "this line's n is larger than any clock gives; it is left out of the order and stays in the file"
    if not ours or not _numbers(n) or not isinstance(by, str) or not isinstance(did, str):
        return "this line lacks a usable v, n, by or did and is skipped; it stays in the file"
    if did not in KNOWN:
        return f"this line says that something was “{did[:40]}”, which is not known here; it stays in the file"
    if op is not None and not isinstance(op, str):
        return "this line's op is not an operation's name; it is skipped and stays in the file"
    seconds = _seconds(at)
    if seconds is None:
        return "this line's at is not a time; it is skipped and stays in the file"
    if line.count(b"[") + line.count(b"{") > _MAX_DEPTH and _deep(raw):
        return "this line is nested too deeply and is skipped; it stays in the file"
    return Event(n, by, seconds, op, did, raw)


def _numbers(n: Any) -> TypeGuard[int]:
    return type(n) is int and 0 <= n < MAX_N


def _seconds(at: object) -> float | None:
    """UTC seconds of a stored time."""
    try:
        when = datetime.fromisoformat(at if isinstance(at, str) else "")
        seconds = (when if when.tzinfo is not None else when.replace(tzinfo=UTC)).timestamp()
    except (ValueError, OverflowError):
        return None
    return seconds if EARLIEST <= seconds <= LATEST else None


def _deep(value: Any) -> bool:
    """Whether lists and objects stand in one another too deeply; level by level, so that depth costs no stack."""
    level = [value]
    for _ in range(_MAX_DEPTH):
        inner: list[Any] = []
        for each in level:
            inner += each.values() if isinstance(each, dict) else each if isinstance(each, list) else ()
        if not inner:
            return False
        level = inner
    return True


def merge(events: Sequence[Event]) -> list[Event]:
    """Events of all devices ordered by (n, by), exact doubles dropped; the same for any order they come in."""
    ordered = sorted(events, key=lambda event: event[:2])
    out: list[Event] = []
    index = 0
    while index < len(ordered):
        place = ordered[index][:2]
        end = index + 1
        while end < len(ordered) and ordered[end][:2] == place:
            end += 1
        if end == index + 1:
            out.append(ordered[index])
        else:  # a file that was copied, or one name on two machines: by time and text, each once
            texts = {json.dumps(event.raw, sort_keys=True): event for event in ordered[index:end]}
            out += [texts[text] for text in sorted(texts, key=lambda text: (texts[text].at, text))]
        index = end
    return out
