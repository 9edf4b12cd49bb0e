"""A calendar in lines of text: shift by shift, publish dates, what must be ordered by when."""

from __future__ import annotations

from collections.abc import Mapping

from planner.files.times.shifts import show_day, show_time
from planner.plan.calendar.jobs import EPISODES
from planner.plan.calendar.results import Publish, Results, Running, Spell
from planner.plan.calendar.values import Part
from planner.plan.expand import Operation
from planner.plan.words import counted, show_duration
from planner.session.calendar import Made
from planner.session.giving import Giving

#: minutes with nothing to do that are worth a word
FREE = 15
_LONG = 60  # minutes of a wait that a person plans by


def day(minute: int, zone: str | None) -> str:
    """A minute as ``Sat 2027-02-13 19:30``."""
    return show_day(minute * 60, zone)


def clock(minute: int, zone: str | None) -> str:
    """A minute as ``19:30``."""
    return show_time(minute * 60, zone)


def spell_head(spell: Spell, zone: str | None) -> str:
    """When and where a shift is."""
    return f"{day(spell.start, zone)}-{clock(spell.end, zone)}  {spell.place}"


def part_says(made: Made, part: Part, ends: Mapping[str, int], ops: Mapping[str, Operation]) -> str:
    """What is done in a part, whether it goes on, and who is needed."""
    op = ops.get(part.name)
    if op is None:
        return f"{part.name}  before leaving; planned again later"
    more = "" if ends.get(part.name) == part.end else "  (goes on in the next shift)"
    hands = f"  ({op.step.hands} people)" if op.step.hands > 1 else ""
    return f"{part.name}{hands}{more}"


def episode_says(number: int) -> str:
    """An episode; of several builds, with the place of its build."""
    place, number = divmod(number, EPISODES)
    return f"episode {number}" + (f" of build {place + 1}" if place else "")


def publish_says(each: Publish, zone: str | None) -> str:
    """Whether a publish date is met."""
    if each.ready is None:
        ready = "nothing left to do"
    elif each.late:
        ready = f"ready {day(each.ready, zone)}  ✗ late by {show_duration(each.late * 60)}"
    else:
        spare = each.due - each.ready
        ready = f"ready {day(each.ready, zone)}  ✓ met" + (f", {show_duration(spare * 60)} to spare" if spare else "")
    return f"{episode_says(each.episode)}  due {day(each.due, zone)}  {ready}"


def last_ends(results: Results) -> dict[str, int]:
    """When each operation ends in the calendar."""
    found: dict[str, int] = {}
    for spell in results.spells:
        for part in spell.parts:
            found[part.name] = max(found.get(part.name, 0), part.end)
    return found


def waits_that_matter(spell: Spell, ends: Mapping[str, int]) -> list[Running]:
    """Of what waits in a shift, what a person has to know: what takes an hour or more, runs well past the shift's
    end, or leaves time to fill. A tack that cools for three minutes while the next is set is not among them."""
    stops = [spell.start, *(part.end for part in spell.parts)]
    starts = [*(part.start for part in spell.parts), spell.end]
    gaps = [(stop, start) for stop, start in zip(stops, starts, strict=True) if start - stop >= FREE]
    return [
        (name, until)
        for name, until in spell.cooling
        if until - max(spell.start, ends.get(name, spell.start)) >= _LONG
        or until - spell.end >= FREE
        or any(stop + FREE <= until <= start for stop, start in gaps)
    ]


def calendar_lines(made: Made) -> list[str]:
    """All of a calendar."""
    results, zone = made.results, made.shop.timezone
    ends, ops = last_ends(results), made.operations()
    count = len(results.spells)
    if not count:
        return [f"{made.title}: nothing is left to book"]
    changes = counted(results.set_ups, "set-up change")
    lines = [f"{made.title}: {counted(count, 'shift')}, done {day(results.finish, zone)}, {changes}"]
    for spell in results.spells:
        lines += ["", spell_head(spell, zone)]
        for part in spell.parts:
            mark = "*" if part.name in results.critical else " "
            hours = f"{clock(part.start, zone)}-{clock(part.end, zone)}"
            lines.append(f"  {hours} {mark} {part_says(made, part, ends, ops)}")
        lines += [f"    waits: {name} until {day(until, zone)}" for name, until in waits_that_matter(spell, ends)]
    if results.publish:
        lines += ["", "Publish dates", *(f"  {publish_says(each, zone)}" for each in results.publish)]
    if results.order_by:
        lines += ["", "Start no later than (a long wait hangs on it)"]
        lines += [f"  {name}  {day(latest, zone)}" for name, latest in results.order_by]
    if results.critical:
        lines += ["", "* on the critical path: put off, it puts off the end, were hours and hands endless"]
    return lines


_DAY_NAMES = {
    "mon": "Mondays", "tue": "Tuesdays", "wed": "Wednesdays", "thu": "Thursdays", "fri": "Fridays",
    "sat": "Saturdays", "sun": "Sundays",
}  # fmt: skip


def giving_lines(found: Giving, zone: str | None) -> list[str]:
    """What would have to give, a way a line."""
    if not found.late:
        return []
    lines = [f"Late by {show_duration(found.late * 60)} in all. What would have to give:"]
    for more in found.hours[:4]:
        left = f"late by {show_duration(more.late * 60)} in all" if more.late else "every date is met"
        hour = "an hour" if more.minutes == 60 else f"{more.minutes // 60} hours"
        where = "in the shop" if more.place == "shop" else "at the desk"
        lines.append(f"  {hour} more {where} on {_DAY_NAMES[more.day]}: {left}")
    dates = [
        f"{episode_says(each.episode)} {counted(each.weeks, 'week')} later, {day(each.due, zone)}"
        for each in found.dates
    ]
    return [*lines, *(f"  {says}" for says in dates)]
