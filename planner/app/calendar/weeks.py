"""Weeks drawn as rows: a day a column, its shifts as bars, their first work, waits as tails, publish dates as flags."""

from __future__ import annotations

from typing import NamedTuple

from planner.app.draw.drawing import cut
from planner.files.times.shifts import day_number, day_words
from planner.plan.calendar.jobs import EPISODES
from planner.plan.calendar.results import Publish, Spell
from planner.session.calendar import Made
from planner.telling.finding import shown_name
from planner.telling.looks import HERE, Line, Piece, line

ROWS = 3  # lines a week
_LABEL = 7
_LONG = 6 * 60  # minutes of waiting from which a tail is drawn


class Day(NamedTuple):
    """One day: what is booked, and the minutes of shifts with nothing in them."""

    spells: tuple[Spell, ...]
    idle: int
    flags: tuple[Publish, ...]


class Weeks(NamedTuple):
    """A calendar by days. ``first``: the Monday, by its number, of the first week."""

    first: int
    number: int
    days: dict[int, Day]
    tails: tuple[tuple[str, int, int], ...]  # operation, day and column part (of 8) where it begins and ends: x8
    spells: tuple[Spell, ...]  # in order, to step through


def weeks_of(made: Made) -> Weeks:
    """A calendar by weeks, from its first day to the last that matters."""
    zone = made.shop.timezone
    spells = made.results.spells
    start = day_number(made.results.start, zone)
    last = max([start, *(day_number(spell.end, zone) for spell in spells)])
    flags: dict[int, list[Publish]] = {}
    for each in made.results.publish:
        flags.setdefault(day_number(each.due, zone), []).append(each)
    last = max([last, *(day for day in flags if day >= start)])
    mine: dict[int, list[Spell]] = {}
    for spell in spells:
        mine.setdefault(day_number(spell.start, zone), []).append(spell)
    booked = {(spell.start, spell.place) for spell in spells}
    idle: dict[int, int] = {}
    for shift in made.shifts:
        if (shift.start, shift.place) not in booked:
            day = day_number(shift.start, zone)
            if day > last:
                break
            idle[day] = idle.get(day, 0) + shift.end - shift.start
    days = {
        day: Day(tuple(mine.get(day, ())), idle.get(day, 0), tuple(flags.get(day, ())))
        for day in {*mine, *idle, *flags}
    }
    tails = []
    for task, op, end in zip(made.booking.job.tasks, made.booking.ops, made.booked.ends, strict=True):
        until = end + -(-op.step.wait // 60)
        if until - end >= _LONG:
            tails.append((task.name, day_number(end, zone), day_number(until, zone)))
    first = start - (start - 1) % 7
    return Weeks(first, (last - first) // 7 + 1, days, tuple(tails), spells)


def week_lines(weeks: Weeks, index: int, width: int, chosen: Spell | None) -> list[Line]:
    """The three lines of one week."""
    room = _room(width)
    monday = weeks.first + 7 * index
    label = day_words(monday)
    heads: list[Piece] = [Piece(cut(f" {label[5:]}", _LABEL), "head")]
    works: list[Piece] = [Piece(cut(f" {label[:4]}" if index == 0 or label[5:7] == "01" else "", _LABEL), "dim")]
    for offset in range(7):
        day = weeks.days.get(monday + offset)
        here = day is not None and chosen is not None and chosen in day.spells
        heads += _head(day, room, here)
        works.append(Piece(cut(_work(day, room, chosen if here else None), room), "" if here else "dim"))
    return [tuple(heads), tuple(works), _tail_line(weeks, monday, room)]


def day_names(width: int) -> Line:
    """What stands over the columns."""
    room = _room(width)
    names = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
    return (Piece(cut(" week", _LABEL), "dim"), *(Piece(cut(f" {name}", room), "dim") for name in names))


def _room(width: int) -> int:
    """How wide a day is drawn."""
    return max(4, (width - _LABEL) // 7)


def day_at(weeks: Weeks, week: int, column: int, width: int) -> int | None:
    """The number of the day that is drawn there; None: no day is."""
    offset = (column - _LABEL) // _room(width)
    return weeks.first + 7 * week + offset if 0 <= offset < 7 and 0 <= week < weeks.number else None


def flag_at(weeks: Weeks, week: int, column: int, width: int) -> Publish | None:
    """The flag that is drawn there or, on a day with flags, the nearest before it."""
    number = day_at(weeks, week, column, width)
    day = weeks.days.get(number) if number is not None else None
    if day is None or not day.flags:
        return None
    left = (column - _LABEL) % _room(width) - 1
    for flag in day.flags[:-1]:
        left -= len(_flag(flag)) + 1
        if left < 0:
            return flag
    return day.flags[-1]


def _flag(flag: Publish) -> str:
    return f"⚑{flag.episode % EPISODES}{'✗' if flag.late else '✓'}"


def _head(day: Day | None, room: int, here: bool) -> list[Piece]:
    """The shifts of a day: an hour a mark, filled where it is booked; how many operations; who is chosen."""
    if day is None or not (day.spells or day.idle):
        return [Piece(cut("–", room), "dim")]
    mark = HERE if here else " "
    bars: list[Piece] = []
    left = room - 4
    for spell in day.spells:
        hours = max(1, min(left, -(-(spell.end - spell.start) // 60)))
        used = sum(part.end - part.start for part in spell.parts)
        full = max(1, round(hours * used / (spell.end - spell.start)))
        on, off = ("▪", "▫") if spell.place == "desk" else ("▮", "▯")
        bars.append(Piece(on * full + off * (hours - full), "ready" if here else "number"))
        left = max(0, left - hours)
    if not day.spells:
        bars.append(Piece("▯" * max(1, min(left, -(-day.idle // 60))), "dim"))
    count = sum(len(spell.parts) for spell in day.spells)
    text = str(count) if count else ""
    size = sum(len(piece.text) for piece in bars)
    return [Piece(mark, "mark"), *bars, Piece(cut(f" {text}", max(0, room - 1 - size)), "dim")]


def _work(day: Day | None, room: int, chosen: Spell | None) -> str:
    if day is None or not day.spells:
        return ""
    spell = chosen or day.spells[0]
    return " " + cut(shown_name(spell.parts[0].name), room - 2) if room > 3 else ""


def _tail_line(weeks: Weeks, monday: int, room: int) -> Line:
    """Waits that run in this week, the longest of them, and its publish dates."""
    cells = [" "] * (7 * room)
    running = [tail for tail in weeks.tails if tail[1] < monday + 7 and tail[2] >= monday]
    running.sort(key=lambda tail: tail[1] - tail[2])
    more = f" +{len(running) - 1}" if len(running) > 1 else ""
    for name, begin, end in running[:1]:
        first = max(0, begin - monday) * room + (1 if begin >= monday else 0)
        stop = min(7, end - monday + 1) * room - (1 if end < monday + 7 else 0)
        text = f"◷ {shown_name(name)}{more} "
        drawn = (text + "┄" * (7 * room))[: max(0, stop - first)]
        cells[first : first + len(drawn)] = drawn
    looks = ["waits"] * len(cells)
    for offset in range(7):
        day = weeks.days.get(monday + offset)
        at = offset * room + 1
        for flag in day.flags if day is not None else ():
            text = _flag(flag)[: max(0, (offset + 1) * room - at)]
            for step, letter in enumerate(text):
                cells[at + step], looks[at + step] = letter, "trap" if flag.late else "done"
            at += len(text) + 1
    pieces: list[Piece] = [Piece(" " * _LABEL)]
    begin = 0
    for index in range(1, len(cells) + 1):
        if index == len(cells) or looks[index] != looks[begin]:
            pieces.append(Piece("".join(cells[begin:index]), looks[begin]))
            begin = index
    return line(*pieces)
