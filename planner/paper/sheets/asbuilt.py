"""The as-built sheet for whoever inspects the work: what was done, read and signed, and what is open. Pure.

A record and not an approval: nothing here says that the work is fit for the road.
"""

from __future__ import annotations

from collections.abc import Iterator

from planner.paper.facts import Facts
from planner.paper.ground.tree import (
    SMALL,
    STRONG,
    Blank,
    Block,
    Caution,
    Column,
    Document,
    Heading,
    Para,
    Row,
    Says,
    Table,
    Text,
    cell,
    row,
    say,
    stack,
)
from planner.paper.sheets import common
from planner.plan.debts import is_sign_off
from planner.plan.expand import Operation
from planner.plan.fill import references
from planner.plan.model import GAP, TRAP
from planner.plan.readings import reads_where
from planner.plan.ticks import ACCEPTED, NOTE, READING, Event
from planner.plan.words import counted
from planner.session.asfound import changed
from planner.telling.naming import words_of

RECORD = "RECORD, NOT APPROVAL. It shows what was written down. Whether the work is fit for the road is for inspection."
_JOINS = frozenset({"welded", "tacked", "coupon-good"})
_LOOKS = frozenset({"inspect", "check", "measure"})


def document(facts: Facts) -> Document:
    """The paper."""
    blocks: tuple[Block, ...] = (
        Caution(RECORD),
        _who(),
        *_joints(facts),
        *_numbers(facts),
        *_readings(facts),
        *_looked(facts),
        *_accepted(facts),
        *_open(facts),
    )
    return facts.document("as-built", "As-built sheet", blocks)


def _who() -> Table:
    rows = (
        Row((stack((Blank("Vehicle or frame number", 32),)), stack((Blank("Made by", 45),)))),
        Row((stack((Blank("Looked over by", 50),)), stack((Blank("licence", 45),)))),
        Row((stack((Blank("Signed", 50),)), stack((Blank("date", 30),)))),
    )
    return Table((Column("", 1), Column("", 1)), rows)


def _ops(facts: Facts) -> list[Operation]:
    """The planned operations, and rework that was done."""
    planned = facts.operations()
    names = {op.name for op in planned}
    done = {op.name: op for op, _ in facts.one.live.done if op.name not in names and op.step.rework}
    return [*planned, *done.values()]


def _when(facts: Facts, op: Operation) -> str:
    from planner.files.times.shifts import show_day

    at = facts.one.live.times.get(op.name)
    return "open" if at is None or facts.one.live.is_open(op) else show_day(at, facts.zone)


def _joints(facts: Facts) -> list[Block]:
    """Welds and coupons, a row a step and side: when, with which settings and filler; what was noted, else blanks."""
    kinds = facts.one.plan.build.kinds
    joints: dict[tuple[str, str | None], list[Operation]] = {}
    for op in _ops(facts):
        kind = kinds.get(op.step.kind or "")
        if kind is not None and any(ref.name in _JOINS for ref in kind.gives):
            joints.setdefault((op.step.id, op.side), []).append(op)
    if not joints:
        return []
    columns = (Column("Weld, tack or coupon", 2), Column("Done", 1.6), Column("Settings and filler", 2.6))
    says = "As noted when it was ticked. Write what is not: process, current, filler and its batch, gas, preheat."
    return [
        Heading("Welds and coupons"),
        say(says, SMALL),
        Table(columns, tuple(_joint(facts, ops) for ops in joints.values())),
    ]


def _joint(facts: Facts, ops: list[Operation]) -> Row:
    first = ops[0]
    side = f", {first.side}" if first.side else ""
    what = stack(
        (Text(f"{first.step.id}{side}", STRONG),),
        (Text(f"{first.step.kind} on {first.step.piece or 'the job'}", SMALL),),
    )
    done = [op for op in ops if not facts.one.live.is_open(op)]
    when = [(Text(f"{len(done)} of {len(ops)} done"),)] if len(ops) > 1 else []
    times = [(Text(f"{f'{op.round}: ' if op.round else ''}{_when(facts, op)}"),) for op in done]
    texts = dict.fromkeys(str(each.raw.get("text", "")) for op in ops for each in _remarks(facts, op, NOTE))
    notes = [(Text(text),) for text in texts]
    blanks: list[Para] = [(Blank("settings", 38),), (Blank("filler", 42),)]
    return Row((what, stack(*when, *times) if when or times else cell("open"), stack(*(notes or blanks))))


def _remarks(facts: Facts, op: Operation, did: str) -> list[Event]:
    return [event for event in facts.one.ticks.remarks.get(op.name, ()) if event.did == did]


def _numbers(facts: Facts) -> list[Block]:
    """Every number that a step works to or reads: as planned, and as read where it was."""
    one = facts.one
    names: dict[str, None] = {}
    for op in _ops(facts):
        names.update(dict.fromkeys(each.name for each in references(op.step.do)))
        where = reads_where(op)
        if where is not None:
            names[where[0]] = None
    rows = []
    for name in names:
        for side, number in (one.plan.build.numbers.get(name) or {}).items():
            if facts.asked.side not in (None, side) and side:
                continue
            before = (one.planned_numbers().get(name) or {}).get(side)
            measured = len(number) == 4 and number[3]
            blank = stack((Blank("", 40),)) if number[0] is not None else ()
            after = stack((Text(common.exact(number)),)) if measured else blank
            planned = common.bare(before) if before is not None else ""
            what = stack((Text(words_of(name)),), (Text(name, SMALL),))
            rows.append(Row((what, cell(side or "job"), cell(planned), after)))
    if not rows:
        return []
    columns = (Column("Number", 1.6), Column("Side", 1), Column("Before: planned", 2.2), Column("After: measured", 2.2))
    return [Heading("Numbers, before and after"), Table(columns, tuple(rows))]


def _readings(facts: Facts) -> list[Block]:
    """Hold points with their verdicts, and every other reading of the log."""
    rows = []
    for op in _ops(facts):
        found = _remarks(facts, op, READING)
        limit = op.step.hold.says if op.step.hold is not None else ""
        if not found and not limit:
            continue
        what = stack((Text(op.name, STRONG),), (Text(op.step.do, SMALL),))
        if not found:
            rows.append(Row((what, cell(limit), stack((Blank("", 20),)), cell(Text("OPEN", STRONG)))))
        for event in found:
            verdict = str(event.raw.get("verdict", "")) or ("no limit" if not limit else "")
            shown = str(event.raw.get("limit", limit))
            since = changed(facts.one, op, event)
            value = stack(
                (Text(str(event.raw.get("value", "")), STRONG),),
                *([(Text(since),)] if since else []),
                (Text(_at(facts, event), SMALL),),
            )
            rows.append(Row((what, cell(shown), value, cell(verdict))))
    if not rows:
        return []
    columns = (Column("Held or read at", 2.6), Column("Limit", 1.4), Column("Reading", 1.6), Column("Verdict", 1.2))
    return [Heading("Holds and readings"), Table(columns, tuple(rows))]


def _at(facts: Facts, event: Event) -> str:
    from planner.files.times.shifts import show_day

    return f"{show_day(event.at, facts.zone)}, {event.by}"


def _looked(facts: Facts) -> list[Block]:
    """Checks, inspections and sign-offs: when, and a blank for who."""
    rows = [
        Row(
            (
                stack((Text(op.step.kind or "", STRONG), Text(f" {op.name}")), (Text(op.step.do, SMALL),)),
                cell(_when(facts, op)),
                stack((Blank("", 34),)),
            )
        )
        for op in _ops(facts)
        if op.step.kind in _LOOKS or is_sign_off(op.step)
    ]
    if not rows:
        return []
    columns = (Column("Check, inspection or sign-off", 3), Column("Done", 1.5), Column("Who looked", 1.6))
    return [Heading("Looked at"), Table(columns, tuple(rows))]


def _accepted(facts: Facts) -> list[Block]:
    """Warnings that were ticked over, and rework that was done."""
    lines = list(_passed_over(facts))
    lines += [
        (Text("rework ", STRONG), Text(f"{op.name}: {op.step.do}, {_when(facts, op)}"))
        for op in dict.fromkeys(op for op, _ in facts.one.live.done)
        if op.step.rework
    ]
    return [Heading("Put right, or ticked against a warning"), *(Says(line) for line in lines)] if lines else []


def _passed_over(facts: Facts) -> Iterator[Para]:
    for op in _ops(facts):
        for event in _remarks(facts, op, ACCEPTED):
            named = event.raw.get("findings")
            which = ", ".join(str(each) for each in named) if isinstance(named, list) else ""
            yield (Text("ticked anyway ", STRONG), Text(f"{op.name}, {_at(facts, event)}: {which}"))


def _open(facts: Facts) -> list[Block]:
    """Operations to come, debts, and findings that stand."""
    one = facts.one
    left = [op for op in facts.operations() if one.live.is_open(op)]
    blocks: list[Block] = [Heading("What is open")]
    if left:
        steps = list(dict.fromkeys(op.step.id for op in left))
        blocks += [say(f"{counted(len(left), 'operation')} not done:", STRONG), say(", ".join(steps))]
    debts = common.debt_words(facts, one.live.debts())
    blocks += [say("Debts, opened and not closed:", STRONG), *(Says(each) for each in debts)] if debts else []
    found = [each for each in one.found() if each.level in (TRAP, GAP) and not each.history]
    if found:
        rows = tuple(row(cell(Text(each.level, STRONG)), each.told()) for each in found)
        blocks += [say("Findings that stand:", STRONG), Table((Column("", 0.6), Column("", 6)), rows)]
    if len(blocks) == 1:
        blocks.append(say("Nothing: every operation is ticked, no debt stands, and the plan has neither trap nor gap."))
    return blocks
