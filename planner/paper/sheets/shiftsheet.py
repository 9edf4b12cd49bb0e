"""The job sheet of one shift of the calendar: its work in the order in which it is booked, with times."""

from __future__ import annotations

from itertools import groupby
from typing import NamedTuple

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import SMALL, STRONG, Block, Heading, Row, Says, Table, Text, cell, say
from planner.paper.sheets import common, steprows
from planner.plan.calendar.values import Part
from planner.plan.debts import standing_debts
from planner.plan.expand import Operation
from planner.session.calendar import NoCalendarError, make_calendar
from planner.telling.calendar import clock, spell_head


class Shift(NamedTuple):
    """A shift that is to come: its day and times in words, what is booked in it, and what is said of the booking."""

    head: str
    spell: str
    parts: list[tuple[Part, Operation]]
    notes: tuple[str, ...]


def shift_of(facts: Facts) -> Shift:
    """The shift that was asked for. Raises NothingToPrintError where there is no such shift."""
    try:
        made = make_calendar(facts.one)
    except NoCalendarError as error:
        raise NothingToPrintError(f"there is no calendar, so there are no shifts: {error.says}") from error
    number = facts.asked.shift or 1
    if not 1 <= number <= len(made.results.spells):
        raise NothingToPrintError(f"--shift {number}: the calendar has {len(made.results.spells)} shifts to come")
    spell = made.results.spells[number - 1]
    ops = made.operations()
    parts = [(part, ops[part.name.strip("()")]) for part in spell.parts if part.name.strip("()") in ops]
    says = spell_head(spell, facts.zone)
    return Shift(says[:14], says, parts, tuple(made.notes))


def shift_blocks(facts: Facts) -> tuple[str, tuple[Block, ...]]:
    """The title of the sheet and its blocks. Raises NothingToPrintError where there is no such shift."""
    shift = shift_of(facts)
    notes = tuple(say(f"! {note}", SMALL) for note in shift.notes)
    blocks = (say(shift.spell, STRONG), *steprows.legend(facts), *notes, _table(facts, shift.parts))
    return f"Job sheet, {shift.head}", (*blocks, *_foot(facts, shift.parts))


def _table(facts: Facts, parts: list[tuple[Part, Operation]]) -> Table:
    plan = facts.one.plan
    rows: list[Row] = []
    for index, group in groupby(parts, key=lambda each: each[1].stage):
        some = list(group)
        episode, stage = plan.stages[index]
        rows.append(Row((cell(Text(f"{episode.number}: {stage.title}", STRONG)),), strong=True))
        said: set[str] = set()
        for _, run in groupby(some, key=lambda each: each[1].step.id):
            mine = list(run)
            times = f"{clock(mine[0][0].start, facts.zone)}–{clock(mine[-1][0].end, facts.zone)}"
            unique = list({op.name: op for _, op in mine}.values())
            row = steprows.step_row(facts, unique, (Text(times, STRONG),))
            rows += [*steprows.caution_rows(facts, unique, said), row]
    return Table(steprows.columns(facts), tuple(rows))


def _foot(facts: Facts, parts: list[tuple[Part, Operation]]) -> tuple[Block, ...]:
    one = facts.one
    after = [op for op, _ in one.live.done] + [op for _, op in parts]
    names = standing_debts(one.plan, after)
    if not names:
        return (say("Nothing is owed when this shift ends."),)
    return (Heading("Debts when this shift ends", 2), *(Says(para) for para in common.debt_words(facts, names)))
