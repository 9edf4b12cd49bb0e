"""A calendar in lines of text: shift by shift, publish dates, what must be ordered by when."""

from __future__ import annotations

from collections.abc import Sequence

from planner.files.times.shifts import show_day, show_time
from planner.plan.calendar.results import Publish, Results, Spell
from planner.plan.calendar.values import Part
from planner.plan.words import show_duration
from planner.session.calendar import Made
from planner.session.onebuild import OneBuild


def day(minute: int, zone: str | None) -> str:
    """A minute as ``Sat 2027-02-13 19:30``."""
    return show_day(minute * 60, zone)


def clock(minute: int, zone: str | None) -> str:
    """A minute as ``19:30``."""
    return show_time(minute * 60, zone)


def spell_head(spell: Spell, zone: str | None) -> str:
    """When and where a shift is."""
    return f"{day(spell.start, zone)}-{clock(spell.end, zone)}  {spell.place}"


def part_says(part: Part, one: OneBuild, ends: dict[str, int]) -> str:
    """What is done in a part, whether it goes on, and who is needed."""
    if part.name not in one.live.by_name:
        return f"{part.name}  once more, before leaving"
    op = one.live.by_name[part.name]
    more = "" if ends.get(part.name) == part.end else "  (goes on in the next shift)"
    hands = f"  ({op.step.hands} people)" if op.step.hands > 1 else ""
    return f"{part.name}{hands}{more}"


def publish_says(each: Publish, zone: str | None) -> str:
    """Whether a publish date is met."""
    if each.ready is None:
        ready = "nothing left to do"
    elif each.late:
        ready = f"ready {day(each.ready, zone)}  ✗ late by {show_duration(each.late * 60)}"
    else:
        spare = each.due - each.ready
        ready = f"ready {day(each.ready, zone)}  ✓ met" + (f", {show_duration(spare * 60)} to spare" if spare else "")
    return f"episode {each.episode}  due {day(each.due, zone)}  {ready}"


def last_ends(results: Results) -> dict[str, int]:
    """When each operation ends in the calendar."""
    found: dict[str, int] = {}
    for spell in results.spells:
        for part in spell.parts:
            found[part.name] = max(found.get(part.name, 0), part.end)
    return found


def calendar_lines(one: OneBuild, made: Made) -> list[str]:
    """All of a calendar."""
    results, zone = made.results, made.shop.timezone
    ends = last_ends(results)
    count = len(results.spells)
    lines = [
        f"{one.plan.build.name}: {count} shift{'' if count == 1 else 's'}, done {day(results.finish, zone)},"
        f" {results.set_ups} set-up change{'' if results.set_ups == 1 else 's'}"
        if count
        else f"{one.plan.build.name}: nothing is left to book"
    ]
    for spell in results.spells:
        lines += ["", spell_head(spell, zone)]
        for part in spell.parts:
            mark = "*" if part.name in results.critical else " "
            lines.append(f"  {clock(part.start, zone)}-{clock(part.end, zone)} {mark} {part_says(part, one, ends)}")
        lines += [f"    cools, dries or comes: {name} until {day(until, zone)}" for name, until in spell.cooling]
    if results.publish:
        lines += ["", "Publish dates", *(f"  {publish_says(each, zone)}" for each in results.publish)]
    if results.order_by:
        lines += ["", "Start no later than (a long wait hangs on it)"]
        lines += [f"  {name}  {day(latest, zone)}" for name, latest in results.order_by]
    if results.critical:
        lines += ["", "* on the critical path: put off, it puts off the end"]
    return lines


def room_lines(results: Results, names: Sequence[str]) -> list[str]:
    """How long operations may be put off, hours not counted."""
    return [f"  {name}  {show_duration(results.floats[name] * 60)}" for name in names if name in results.floats]
