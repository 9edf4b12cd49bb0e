"""A calendar for calendar programs: RFC 5545, written by the icalendar library.

Every entry has an identifier made of what it is and not of when the file was written, so that importing a later file
changes what moved and doubles nothing.
"""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime, timedelta

from icalendar import Alarm, Calendar, Event

from planner.files.times.shifts import show_day
from planner.plan.debts import LONG_WAIT
from planner.session.calendar import Made
from planner.telling.calendar import clock, episode_says, last_ends, part_says
from planner.telling.looks import literal


def ics(made: Made, name: str, now: float, alarm: int | None = None) -> bytes:
    """The file. ``name``: the build's folder; ``now``: UTC seconds, when it is made; ``alarm``: seconds before."""
    found = Calendar()
    found.add("prodid", "-//planner//calendar//EN")
    found.add("version", "2.0")
    found.add("calscale", "GREGORIAN")
    found.add("x-wr-calname", literal(made.title))
    stamp = _moment(now / 60)
    for event in (*_shifts(made, name, alarm), *_waits(made, name), *_dates(made, name)):
        event.add("dtstamp", stamp)
        found.add_component(event)
    return bytes(found.to_ical())


def _moment(minute: float) -> datetime:
    return datetime.fromtimestamp(int(minute * 60), UTC)


def _event(uid: str, name: str, says: str, start: int, end: int | None, busy: bool) -> Event:
    event = Event()
    event.add("uid", f"{uid}@{name}.planner.invalid")
    event.add("summary", literal(says))
    event.add("dtstart", _moment(start))
    if end is not None:
        event.add("dtend", _moment(end))
    event.add("transp", "OPAQUE" if busy else "TRANSPARENT")
    return event


def _shifts(made: Made, name: str, alarm: int | None) -> list[Event]:
    """One entry a shift, from its first work to its last; told apart by day, place and how-manieth of that day."""
    zone = made.shop.timezone
    ends, ops = last_ends(made.results), made.operations()
    count: Counter[str] = Counter()
    found = []
    for spell in made.results.spells:
        day = f"{show_day(spell.start * 60, zone)[4:14]}-{spell.place}"
        count[day] += 1
        says = f"{made.title}: {spell.place}"
        event = _event(f"shift-{day}-{count[day]}", name, says, spell.start, spell.end, busy=True)
        lines = [
            f"{clock(part.start, zone)}-{clock(part.end, zone)} {part_says(made, part, ends, ops)}"
            for part in spell.parts
        ]
        event.add("description", "\n".join(literal(line) for line in lines))
        event.add("location", spell.place)
        if alarm is not None:
            bell = Alarm()
            bell.add("action", "DISPLAY")
            bell.add("description", literal(says))
            bell.add("trigger", -timedelta(seconds=alarm))
            event.add_component(bell)
        found.append(event)
    return found


def _waits(made: Made, name: str) -> list[Event]:
    """Long waits, and the days on which what was ordered should be there."""
    found = []
    for task, op, end in zip(made.booking.job.tasks, made.booking.ops, made.booked.ends, strict=True):
        if op.step.wait < LONG_WAIT:
            continue
        until = end + -(-op.step.wait // 60)
        if op.step.kind == "order":
            found.append(
                _event(f"comes-{task.name}", name, f"{made.title}: {task.name} should come", until, until, False)
            )
        else:
            found.append(_event(f"wait-{task.name}", name, f"{made.title}: {task.name} waits", end, until, False))
    return found


def _dates(made: Made, name: str) -> list[Event]:
    found = []
    for each in made.results.publish:
        says = f"{made.title}: {episode_says(each.episode)} is published" + (" (late)" if each.late else "")
        found.append(_event(f"publish-{each.episode}", name, says, each.due, each.due, False))
    return found
