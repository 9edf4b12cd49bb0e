"""One shift in full: what to do in order, what cools meanwhile, what must be closed before leaving, what to film."""

from __future__ import annotations

from planner.plan.calendar.results import Spell
from planner.plan.calendar.values import Part
from planner.plan.expand import Operation
from planner.plan.fill import said
from planner.plan.words import show_duration
from planner.session.calendar import Made
from planner.session.onebuild import OneBuild
from planner.session.rightnow import due_tonight
from planner.session.whatif import Trial
from planner.telling.calendar import (
    FREE,
    clock,
    day,
    episode_says,
    last_ends,
    publish_says,
    spell_head,
    waits_that_matter,
)
from planner.telling.finding import shown_name
from planner.telling.looks import Line, line


def shift_lines(one: OneBuild, made: Made, spell: Spell) -> list[Line]:
    """The shift as it is to be worked through."""
    zone = made.shop.timezone
    ends, ops = last_ends(made.results), made.operations()
    lines = [line((spell_head(spell, zone), "head"))]
    setup = _setup_before(made, spell, ops)
    free = spell.start
    for part in spell.parts:
        op = ops.get(part.name)
        lines += _free_lines(spell, free, part.start, zone)
        free = part.end
        if op is not None and op.step.setup is not None and op.step.setup != setup:
            if setup is not None:
                lines.append(line(("             ", ""), (f"↻ set-up: {op.step.setup}", "caution")))
            setup = op.step.setup
        lines += _part_lines(one, made, part, op, ends)
    lines += _free_lines(spell, free, spell.end, zone)
    lines += _cooling(spell, ends, zone)
    if spell == made.results.spells[0]:
        lines += [
            line(("  close      ", "caution"), f"{name}: open from what was done; see to it before you leave")
            for name in due_tonight(one)
        ]
    lines += _closing(made, spell)
    if any(part.name in made.results.critical for part in spell.parts):
        lines.append(line(("◆ no slack   ", "number"), "by links and waits, were hours and hands endless"))
    return [*lines, *_filming(spell, ops), *_cautions(spell, ops)]


def _part_lines(one: OneBuild, made: Made, part: Part, op: Operation | None, ends: dict[str, int]) -> list[Line]:
    zone = made.shop.timezone
    hours = f"{clock(part.start, zone)}-{clock(part.end, zone)}  "
    if op is None:
        name = shown_name(part.name.strip("()"))
        return [line((hours, "dim"), (f"{name}, before leaving; planned again later", "caution"))]
    critical = ("◆ ", "number") if part.name in made.results.critical else "  "
    words = "" if op.on_camera or op.step.where == "desk" else "  OFF CAMERA"
    hands = f"  {op.step.hands} people" if op.step.hands > 1 else ""
    more = "" if ends.get(part.name) == part.end else "  goes on in the next shift"
    found = [
        line(
            (hours, "number"),
            critical,
            (shown_name(part.name), "strong"),
            (words, "on-word"),
            (hands + more, "caution"),
        )
    ]
    known = one.plan.by_name.get(op.name)  # work of another build that shares the hands has numbers of its own
    does = said(one.plan.build, op.step, op.side) if known is not None and known.step is op.step else op.step.do
    wait = f"; then it waits {show_duration(op.step.wait)}" if op.step.wait and not more else ""
    return [*found, line(("             ", "mark"), (does + wait, ""))]


def _free_lines(spell: Spell, start: int, end: int, zone: str | None) -> list[Line]:
    """A quarter of an hour or more in which nothing can be done but wait, and for what."""
    if end - start < FREE:
        return []
    last = max([(until, name) for name, until in spell.cooling if until <= end], default=None)
    why = f", until {shown_name(last[1])} has waited" if last is not None and last[0] > start else ""
    return [line((f"{clock(start, zone)}-{clock(end, zone)}  ", "dim"), (f"· {end - start} min free{why}", "waits"))]


def _setup_before(made: Made, spell: Spell, ops: dict[str, Operation]) -> str | None:
    """The set-up that stands when the shift begins."""
    last = made.booking.job.setup
    for earlier in made.results.spells:
        if earlier.start >= spell.start:
            break
        for part in earlier.parts:
            op = ops.get(part.name)
            last = op.step.setup if op is not None and op.step.setup is not None else last
    return last


def _cooling(spell: Spell, ends: dict[str, int], zone: str | None) -> list[Line]:
    """What waits since before the shift, or when its last work is done; what is shorter is said with its step."""
    today = day(spell.end, zone).rpartition(" ")[0]
    found = []
    mine, last = {part.name for part in spell.parts}, spell.parts[-1].end
    for name, until in waits_that_matter(spell, ends):
        if name in mine and until <= last:
            continue
        when = day(until, zone)
        shown = clock(until, zone) if when.rpartition(" ")[0] == today else when
        found.append(line(("◷ waits      ", "waits"), f"{shown_name(name)} until {shown}"))
    return found


def _closing(made: Made, spell: Spell) -> list[Line]:
    """What must be closed before leaving: by the planned work, or once more."""
    job = made.booking.job
    known = {task.name: task for task in job.tasks}
    names = [
        job.closing[debt].name
        for part in spell.parts
        for debt in sorted(known[part.name].opens if part.name in known else ())
    ]
    booked = {part.name for part in spell.parts}  # what is done once more stands in the list already
    return [
        line(("  close      ", "caution"), f"{shown_name(name)}, before you leave")
        for name in dict.fromkeys(names)
        if f"({name})" not in booked
    ]


def _filming(spell: Spell, ops: dict[str, Operation]) -> list[Line]:
    found: dict[str, None] = {}
    for part in spell.parts:
        op = ops.get(part.name)
        for shot in op.step.shots if op is not None and op.on_camera else ():
            found[f"{op.step.id if op else ''}: {shot}"] = None
    return [line(("● film       ", "on-word"), shot) for shot in found]


def _cautions(spell: Spell, ops: dict[str, Operation]) -> list[Line]:
    found = dict.fromkeys(
        caution for part in spell.parts if part.name in ops for caution in ops[part.name].step.cautions
    )
    return [line(("! caution    ", "caution"), caution) for caution in found]


def dates_lines(made: Made) -> list[Line]:
    """Publish dates, met or missed, and by when long waits have to begin."""
    zone = made.shop.timezone
    lines = [line(("⚑ ", "trap" if each.late else "done"), publish_says(each, zone)) for each in made.results.publish]
    return [
        *lines,
        *(line(("◷ start by   ", "waits"), f"{name}  {day(at, zone)}") for name, at in made.results.order_by),
    ]


def whatif_lines(base: Made, trial: Trial, now: Made) -> list[Line]:
    """What is tried, and what moves by it."""
    zone = base.shop.timezone
    says = trial.says(base)
    before = {each.episode: each for each in base.results.publish}
    moved = []
    for each in now.results.publish:
        old = before[each.episode]
        if each.due != old.due:
            says.append(f"publish of {episode_says(each.episode)}: {day(each.due, zone)}")
        if each.late != old.late:
            was = f"late by {show_duration(old.late * 60)}" if old.late else "met"
            now_ = f"late by {show_duration(each.late * 60)}" if each.late else "met"
            moved.append(f"{episode_says(each.episode)}: {was} → {now_}")
    if not says:
        return []
    if now.results.finish != base.results.finish:
        moved.append(f"done {day(base.results.finish, zone)} → {day(now.results.finish, zone)}")
    return [
        line(("what if  ", "head"), "; ".join(says)),
        line(("moves    ", "head"), "; ".join(moved) or "nothing that counts"),
    ]
