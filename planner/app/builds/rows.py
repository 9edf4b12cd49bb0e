"""What the list of builds shows of each: how far it is a side, what comes next, when, and what is wrong, in words."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from planner.app.draw.drawing import shortened
from planner.plan.words import counted
from planner.telling.looks import LEVEL_GLYPHS, Line, bar, level_words, line, progress_words

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild

HEIGHTS = (9, 6, 4)  # rows of one build, with the empty one: as high as all builds have room for
_DAYS_AHEAD = 14
_SHORT = 30  # characters of what a step does, so that what is wrong with it has room on the line


class Row(NamedTuple):
    """What the list shows of one build."""

    folder: Path
    name: str = ""
    done: int = 0
    total: int = 0
    counts: tuple[tuple[str, int], ...] = ()
    problems: int = 0
    read: bool = False
    checked: tuple[int, int] = (0, 0)  # steps that are checked at all, of how many
    debts: int = 0
    sides: tuple[tuple[str, int, int], ...] = ()  # of what is done a side: its name, done, in all
    now: Line = ()  # the one thing to do now
    ahead: str = ""  # the next shift and the next date to publish
    last: str = ""  # what was ticked last, and when
    wrong: tuple[tuple[str, str], ...] = ()  # traps and gaps that stand: level and words
    owed: tuple[str, ...] = ()  # debts in words


def row_lines(row: Row, width: int, height: int = 4) -> list[Line]:
    """A build in so many lines, the last of them empty: what matters first, each line cut where it must be."""
    folder = row.folder.name
    if not row.read:
        return [line((f" {folder}", "strong")), line(("   … reading", "dim"))]
    if row.problems:
        says = f"   ✗ cannot be read: {counted(row.problems, 'problem')}; open it to see them"
        return [line((f" {folder}", "strong")), line((says, "trap"))]
    name = line((f" {row.name}", "strong"))
    room = width - sum(len(piece.text) for piece in name) - len(folder) - 1
    where = (" " * room + folder + " ", "dim") if room > 1 else ""
    progress = progress_words(row.done, row.total)
    debts = ("   " + counted(row.debts, "debt"), "notice") if row.debts else ""
    thin = bar(row.done, row.total, min(24, width - 66))
    found = level_words(dict(row.counts), row.checked)
    lines = [
        (*name, *line(where)),
        (*line("   "), progress, *line("   "), *thin, *line("   " if thin else ""), *found, *line(debts)),
        (*line("   "), *row.now),
    ]
    return [*lines[:2], *(shortened(each, width - 1) for each in [lines[2], *_more_lines(row)][: height - 3])]


def _more_lines(row: Row) -> list[Line]:
    """What is shown where there is room for it, what matters most first."""
    lines = []
    wrong = [line(("   ", ""), (f"{LEVEL_GLYPHS[level]} {level}   ", level), says) for level, says in row.wrong]
    lines += wrong[:1]
    if row.sides:
        each = "   ".join(f"{side} {done}/{total}" for side, done, total in row.sides)
        lines.append(line(("   sides    ", "head"), each))
    lines += [
        line((f"   {word:<9}", "head"), says) for word, says in (("ahead", row.ahead), ("last", row.last)) if says
    ]
    lines += [line(("   open     ", "head"), says) for says in row.owed[:1]]
    return [*lines, *wrong[1:]]


def read_row(folder: Path, clock: Callable[[], float] = time.time) -> Row:
    """Read one build for the list; never raises for what is in it."""
    from planner.plan.fates import checked_steps
    from planner.session.onebuild import OneBuild, UnusableError
    from planner.session.opened import Opened
    from planner.session.rightnow import right_now
    from planner.telling.finding import rows_of, sentence
    from planner.telling.now import now_line
    from planner.telling.step import meaning

    try:
        one = OneBuild(folder, clock=clock)
    except UnusableError as error:
        return Row(folder, problems=len(error.problems), read=True)
    opened = Opened(folder, one)  # counts as the build's own screens do
    standing = [finding for finding in opened.findings() if not finding.history]
    rows = [row for row in rows_of([each for each in standing if each.level != "notice"]) if row.findings][:4]
    debts = one.live.debts()
    return Row(
        folder,
        one.plan.build.name,
        one.ticked(),
        len(one.plan.operations),
        tuple(opened.counts().items()),
        0,
        True,
        checked_steps(one.plan),
        len(debts),
        _sides(one),
        now_line(one, right_now(one)),
        _ahead(one),
        _last(one),
        tuple((row.first.level, sentence(one.plan, row, _SHORT)) for row in rows),
        tuple(meaning(one, each) for each in debts[:1]),
    )


def _sides(one: OneBuild) -> tuple[tuple[str, int, int], ...]:
    """How far each side is, and what is done once for all of them."""
    found: dict[str, list[int]] = {side: [0, 0] for side in (*one.plan.build.sides, "once")}
    for op in one.plan.operations:
        count = found[op.side or "once"]
        count[0] += not one.live.is_open(op)
        count[1] += 1
    return tuple((side, done, total) for side, (done, total) in found.items() if total)


def _ahead(one: OneBuild) -> str:
    """The next shift, and the next date on which an episode goes out."""
    build, now = one.plan.build, one.clock()
    parts = []
    if build.shop.hours or build.shop.desk:
        from planner.files.times.shifts import shifts_of, show_day, show_time

        shift = next((each for each in shifts_of(build.shop, now, _DAYS_AHEAD) if each.end * 60 > now), None)
        if shift is not None:
            zone = build.shop.timezone
            start, end = show_day(shift.start * 60, zone), show_time(shift.end * 60, zone)
            parts.append(
                f"{start}-{end} in the {shift.place}" if shift.place == "shop" else f"{start}-{end} at the desk"
            )
    dates = [(each.publish, each.number) for each in build.episodes if each.publish is not None]
    coming = min(((publish[1], publish[0], number) for publish, number in dates if publish[1] > now), default=None)
    if coming is not None:
        parts.append(f"episode {coming[2]} goes out {coming[1]}")
    return "; ".join(parts)


def _last(one: OneBuild) -> str:
    if not one.live.done:
        return ""
    from planner.files.times.zones import show_clock

    op, at = one.live.done[-1]
    side = f", {op.side} side" if op.side else ""
    return f"{show_clock(at, one.plan.build.shop.timezone, one.clock())}  {one.said(op)}{side}"
