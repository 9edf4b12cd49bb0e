"""What the ticks of all devices add up to."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple, TypeGuard

from planner.plan.fill import Kept
from planner.plan.names import failed_name, renamed_op
from planner.plan.words import is_name

DONE, UNDONE, AGAIN, READING, NOTE = "done", "undone", "again", "reading", "note"
SLATE, ROLLING, STOPPED, LATE, ACCEPTED, RENAMED = "slate", "rolling", "stopped", "late", "accepted", "renamed"
COPIED = "copied"

_HUGE = 1e300  # no number of a shop is

#: The verdict on a reading by which a hold point is passed; with any other the operation is not done.
INSIDE = "inside"

KNOWN = frozenset({DONE, UNDONE, AGAIN, READING, NOTE, SLATE, ROLLING, STOPPED, LATE, ACCEPTED, RENAMED, COPIED})


class Event(NamedTuple):
    """One line of a log. ``n`` orders it, ``at`` says when it happened (UTC seconds)."""

    n: int
    by: str
    at: float
    op: str | None
    did: str
    raw: Mapping[str, Any]  # as stored


class Entry(NamedTuple):
    """An operation as it was really done, in its place in the order."""

    op: str
    at: float
    numbers: Mapping[str, Kept] = {}  # what its step showed then
    reading: str | None = None  # as it was typed


class Corrected(NamedTuple):
    """What a thermometer made of a wait that runs: whose it is, and how many seconds it lasts from its tick."""

    op: str
    wait: int


class Ticks(NamedTuple):
    """The state of all ticks."""

    entries: tuple[Entry, ...]  # in actual order, each done-again once more, undone ones taken out
    doubles: tuple[Event, ...]  # done where it was done already: two devices that had not met
    not_filmed: frozenset[str]
    remarks: Mapping[str, tuple[Event, ...]]  # readings, notes, slates and the like, by operation
    corrected: Mapping[int, tuple[Corrected, ...]] = {}  # after so many entries


def replay(events: Iterable[Event]) -> Ticks:
    """The state that merged events lead to; they must be in merged order.

    ``undone`` takes back the latest done of its operation. A second ``done`` that another device wrote before
    it knew of the first changes nothing, so that one undo is enough to take it back. What was recorded of a step
    before it was ``renamed`` is about the step it has become.
    """
    entries: list[Entry | Corrected | None] = []
    cooled: dict[int, list[int]] = {}  # the place of an entry -> those of what a thermometer made of its wait
    standing: dict[str, list[int]] = {}
    doubles: list[Event] = []
    not_filmed: set[str] = set()
    remarks: dict[str, list[Event]] = {}
    typed: dict[str, Event] = {}  # the latest reading of an operation, until it is known which doing it belongs to

    def settle(op: str) -> None:
        """A reading that no tick brought along belongs to the doing that stood when it was taken."""
        own, event = standing.get(op), typed.pop(op, None)
        entry = entries[own[-1]] if own else None
        if event is not None and own and isinstance(entry, Entry):
            entries[own[-1]] = entry._replace(reading=event.raw["value"])

    for event in under_new_names(list(events)):
        op, did = event.op, event.did
        if op is None or did == RENAMED:
            continue
        own = standing.setdefault(op, [])
        if did in (DONE, AGAIN, LATE):
            if did == LATE:
                not_filmed.add(op)
            if did == AGAIN or not own:
                brought = typed.get(op)
                if brought is not None and own and (brought.by, brought.at) != (event.by, event.at):
                    settle(op)
                    brought = None
                typed.pop(op, None)
                own.append(len(entries))
                entries.append(
                    Entry(op, event.at, _numbers_of(event), None if brought is None else brought.raw["value"])
                )
            elif did == DONE:
                doubles.append(event)
        elif did == UNDONE:
            settle(op)
            typed.pop(op, None)
            if own:
                gone = own.pop()
                for place in (gone, *cooled.pop(gone, ())):
                    entries[place] = None
            if not own:
                not_filmed.discard(op)
        else:
            remarks.setdefault(op, []).append(event)
            wait = event.raw.get("wait_s")
            if did == READING and own and _is_number(wait):
                cooled.setdefault(own[-1], []).append(len(entries))
                entries.append(Corrected(op, max(0, int(wait))))
            elif did == READING and event.raw.get("verdict", INSIDE) != INSIDE:
                entries.append(Entry(failed_name(op), event.at))
            elif did == READING and isinstance(event.raw.get("value"), str):
                typed[op] = event
    for op in list(typed):
        settle(op)
    walked: list[Entry] = []
    corrected: dict[int, tuple[Corrected, ...]] = {}
    for entry in entries:
        if isinstance(entry, Entry):
            walked.append(entry)
        elif entry is not None:
            corrected[len(walked)] = (*corrected.get(len(walked), ()), entry)
    return Ticks(
        tuple(walked),
        tuple(doubles),
        frozenset(not_filmed),
        {op: tuple(found) for op, found in remarks.items()},
        corrected,
    )


def _numbers_of(event: Event) -> dict[str, Kept]:
    """The numbers that a tick kept; none in the ticks of older programs, and what is no number is left out."""
    stored = event.raw.get("numbers")
    found: dict[str, Kept] = {}
    for name, item in stored.items() if isinstance(stored, Mapping) else ():
        if not isinstance(item, Mapping) or not isinstance(item.get("shown"), str):
            continue
        value, doubt = item.get("value"), item.get("plus_minus")
        if value is None or _is_number(value):
            doubt = abs(float(doubt)) if _is_number(doubt) else 0.0
            kept = None if value is None else float(value)
            found[str(name)] = Kept(kept, doubt, item["shown"], item.get("measured") is True)
    return found


def _is_number(value: object) -> TypeGuard[float]:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < _HUGE


def numbers_record(numbers: Mapping[str, Kept]) -> dict[str, Any]:
    """The numbers that a step shows, as a tick keeps them; nothing where there are none."""
    rows = {
        name: {
            "value": each.value,
            "plus_minus": each.plus_minus or None,
            "shown": each.shown,
            "measured": each.measured,
        }
        for name, each in numbers.items()
    }
    return {"numbers": rows} if rows else {}


def under_new_names(events: Sequence[Event]) -> Sequence[Event]:
    """Events with each operation as it is called after all renaming that follows them.

    From the end backwards: a name counts up to the record that took it away, so that a step made later under the
    old id is another step.
    """
    if not any(event.did == RENAMED for event in events):
        return events
    names: dict[str, str] = {}
    found: list[Event] = []
    for event in reversed(events):
        if event.op is None:
            continue
        if event.did == RENAMED:
            to = event.raw.get("to")
            if isinstance(to, str) and is_name(to) and is_name(event.op):
                names[event.op] = names.get(to, to)
            continue
        found.append(event._replace(op=renamed_op(event.op, names)))
    return found[::-1]
