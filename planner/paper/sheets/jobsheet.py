"""The job sheet for the wall: the steps of an episode or a shift, with boxes a side. Pure but for the calendar.

A number that is another on the other side stands large in the column of its side, so that none is carried across.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import groupby

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import (
    SMALL,
    STRONG,
    Block,
    Document,
    Heading,
    NewPage,
    Para,
    Row,
    Says,
    Table,
    Text,
    say,
    stack,
)
from planner.paper.sheets import common, steprows
from planner.plan.debts import standing_debts
from planner.plan.expand import Operation
from planner.plan.model import SIDE_FIRST, Stage


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError where there is no step, or no such shift."""
    if facts.asked.shift is not None:
        from planner.paper.sheets.shiftsheet import shift_blocks

        title, blocks = shift_blocks(facts)
        return facts.document("job-sheet", title, blocks)
    plan = facts.one.plan
    ops = facts.operations()
    if not ops:
        raise NothingToPrintError("there is no step in this part of the build")
    found: list[Block] = []
    for episode in plan.build.episodes:
        mine = [op for op in ops if plan.stages[op.stage][0].number == episode.number]
        if mine:
            alone = facts.asked.episode is not None  # the title says which it is
            head = () if alone else (Heading(f"Episode {episode.number}: {episode.title}"),)
            found += [*([NewPage()] if found else []), *head, *steprows.legend(facts), _table(facts, mine)]
    until = ops[-1]
    which = "".join(f", episode {e.number}: {e.title}" for e in plan.build.episodes if e.number == facts.asked.episode)
    return facts.document("job-sheet", f"Job sheet{which}", (*found, *_foot(facts, until)))


def _table(facts: Facts, ops: Sequence[Operation]) -> Table:
    """Operations as rows, a row a step, under their stages."""
    rows: list[Row] = []
    for index, group in groupby(ops, key=lambda op: op.stage):
        some = [*group, *_reworks(facts, index)]
        stage = facts.one.plan.stages[index][1]
        rows.append(Row((stack((Text(stage.title, STRONG),), _way(stage, facts.sides)),), strong=True))
        said: set[str] = set()
        for found in steprows.by_step(some):
            rows += [*steprows.caution_rows(facts, found, said), steprows.step_row(facts, found)]
    return Table(steprows.columns(facts), tuple(rows))


def _reworks(facts: Facts, stage: int) -> Iterator[Operation]:
    """The rework of a stage that is not put in yet."""
    planned = {op.step.id for op in facts.one.plan.operations}
    for op in facts.one.plan.reworks.values():
        if op.stage == stage and op.step.id not in planned and (op.side is None or op.side in facts.sides):
            yield op


def _way(stage: Stage, sides: Sequence[str]) -> Para:
    """In which order the boxes of a stage are ticked, where it is not simply downwards."""
    says = []
    if stage.sequence:
        says.append(f"in this order: {', '.join(stage.sequence)}")
    elif stage.pace == SIDE_FIRST and len(sides) > 1:
        first = stage.first if stage.first in sides else sides[0]
        says.append(f"down the whole {first} column first, then the next")
    if stage.rounds > 1:
        says.append(f"the whole list {stage.rounds} times: every box 1, then every box 2")
    if stage.any_time:
        says.append("may be begun any time")
    return (Text("; ".join(says), SMALL),) if says else ()


def _foot(facts: Facts, until: Operation) -> tuple[Block, ...]:
    """The debts that stand now, and those that will once everything up to an operation is done."""
    one = facts.one
    now = list(one.live.debts())
    done = [op for op, _ in one.live.done]
    for op in one.live.remaining():
        done.append(op)
        if op.name == until.name:
            break
    later = [name for name in standing_debts(one.plan, done) if name not in now]
    blocks: list[Block] = []
    for title, names in (
        ("Debts: opened, and to be closed again", now),
        ("Still owed when this sheet is done, and closed later", later),
    ):
        if names:
            blocks += [Heading(title, 2), *(Says(para) for para in common.debt_words(facts, names))]
    return tuple(blocks) or (say("Nothing is owed when this sheet is done."),)
