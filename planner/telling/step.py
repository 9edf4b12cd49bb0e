"""What a step needs, gives and spoils, how it stands, what is wrong with it and how that is cured. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

from planner.plan.debts import is_sign_off
from planner.plan.expand import Operation
from planner.plan.messages import split_grounded
from planner.plan.model import GAP, NOTICE, Finding
from planner.plan.stories import condition_of
from planner.plan.ticks import INSIDE, Event
from planner.plan.words import counted, show_duration
from planner.telling.finding import Row, called, names_of, shown_name, words_of
from planner.telling.looks import LEVEL_GLYPHS, Line, Piece, line, literal
from planner.telling.times import clock_words

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened


def meaning(one: OneBuild, grounded: str) -> str:
    """A condition in its own words, with its side."""
    name, side = split_grounded(grounded)
    known = one.plan.build.conditions.get(name)
    where = f", {side} side" if side else ""
    return f"{known.means if known else name}{where}"


def conditions(one: OneBuild, word: str, names: Iterable[str], now: bool = False) -> list[Line]:
    """Conditions in their own words; with ``now``, whether each holds."""
    lines = []
    facts: dict[str, list[str]] = {}  # of a condition kept part by part there are many: it is one line
    for name in sorted(names):
        part = one.plan.parts.get(name)
        facts.setdefault(name if part is None else part.condition, []).append(name)
    for name, parts_of in facts.items():
        parts: list[Piece | tuple[str, str] | str] = [(f"{word:<7}", "head")]
        if now:
            missing = [each for each in parts_of if not one.live.holds(each)]
            parts.append(("✗ missing  " if missing else "✓ holds    ", "trap" if missing else "done"))
        parts += [meaning(one, name), (f"  {name}", "dim")]
        lines.append(line(*parts))
        word = ""
    return lines


def state_line(opened: Opened, op: Operation) -> Line:
    """How an operation stands, by glyph and word."""
    one = opened.one
    state = one.state_of(op)
    if state.done:
        when = opened.local(one.live.times[op.name])
        filmed = ("   ✗ not filmed", "trap") if op.name in one.not_filmed else ""
        count = one.live.times_done(op)
        return line((f"✓ done {when}{f', {count} times' if count > 1 else ''}", "done"), filmed)
    if opened.is_left_out(op):
        return line(("✗ left out of the sequence of its stage", "trap"))
    if state.waiting_until is not None:
        left = clock_words(state.waiting_until - one.clock())
        return line((f"◷ waiting, {left} more", "waits"))
    if state.ready:
        return line(("▸ ready", "ready"))
    if state.ahead:
        return line(("▹ ahead", "not-yet"), ("  its stage has not come: earlier work is open", "dim"))
    return line(("· not yet", "not-yet"))


def camera_words(one: OneBuild, op: Operation) -> Piece:
    """Whether the camera sees it, in words."""
    instead = one.filmed_instead.get(op.name)
    if instead is not None:
        return Piece(literal(f"● ON CAMERA for {shown_name(instead)}"), "trap")
    return Piece("● ON CAMERA", "trap") if op.on_camera else Piece("○ OFF CAMERA", "strong")


def side_words(op: Operation) -> str:
    """The side of an operation, and its round."""
    where = f"{op.side} side" if op.side else "done once"
    if op.round is None:
        return where
    return f"{where}, round {op.round}" + (f" of {op.step.rounds}" if op.lap is None else "")


def finding_lines(opened: Opened, finding: Finding) -> list[Line]:
    """A finding with its cause and its repair."""
    glyph = LEVEL_GLYPHS[finding.level]
    head = f"{glyph} was a {finding.level}" if finding.history else f"{glyph} {finding.level}"
    one_way = ("  cannot be undone", "trap") if finding.one_way else ""
    lines = [line((head, finding.level), one_way)]
    lines.append(line(said_with_repair(opened, finding)))
    return [*lines, *repair_lines(opened, finding), line((names_of(Row((finding,))), "dim"))]


def said_with_repair(opened: Opened, finding: Finding) -> str:
    """What a finding says; where a repair was found, that says what to do."""
    repairs = opened.known_repairs()
    return words_of(opened.one.plan, finding, cured=repairs is not None and finding.id in repairs.by_finding)


def repair_lines(opened: Opened, finding: Finding) -> list[Line]:
    """The proved repair, or why there is none to show; a change of the order can cure only what an order causes."""
    ordered = finding.condition is not None or finding.rule == "after-broken"
    beside = finding.rule in ("side-missed", "lopsided", "turn-broken")
    if finding.history or finding.level == NOTICE or not (ordered or beside):
        return []
    repairs = opened.known_repairs()
    if repairs is None:
        return [line(("Repair ", "head"), ("… looking for one", "dim"))]
    repair = repairs.by_finding.get(finding.id)
    if repair is not None:
        from planner.telling.change import repair_says, why_says  # only where one was found

        plan, words = opened.one.plan, called(opened.one.plan)
        why = f"  {why_says(finding, repair, words)} Tried on the whole plan: it breaks nothing"
        lines = [line(("Repair ", "head"), repair_says(plan, finding, repair, words), (why, "dim"))]
        for each in repairs.further.get(finding.id, ()):
            other = repair_says(plan, finding, each, words)
            lines.append(line(("    or ", "head"), other, (f"  {why_says(finding, each, words)}", "dim")))
        return lines
    if repairs.stopped:
        return [line(("Repair ", "head"), ("none found in two seconds; there may still be one", "dim"))]
    if finding.level == GAP or beside:
        return []  # what to add is said already
    return [line(("Repair ", "head"), ("no single change cures this", "dim"))]


def needed_lines(one: OneBuild, op: Operation) -> list[Line]:
    """What an operation needs, steps before it included, with how it stands now."""
    lines = conditions(one, "needs", op.needs, now=True)
    open_now = set(one.live.open_after(op))
    for _, step in op.after:
        mark = ("✗ open     ", "trap") if step in open_now else ("✓ complete ", "done")
        lines.append(line((f"{'' if lines else 'needs':<7}", "head"), mark, f"the step {step}, all of it, before this"))
    return lines


def moved_lines(one: OneBuild, op: Operation) -> list[Line]:
    """What a number of this step was when it was done, here or on another side, where it is something else now."""
    return [
        line(
            ("▲ number ", "trap"), f"{shown_name(name)} was done to {each.name} {each.then.shown}, now {each.now.shown}"
        )
        for name, each in one.moved_beside(op)
    ]


def lasting_lines(one: OneBuild, op: Operation) -> list[Line]:
    """Until when an open operation may begin, where something that it needs lasts only so long."""
    found = one.live.lasts_until(op) if one.live.is_open(op) else None
    if found is None:
        return []
    until, fact = found
    left = clock_words(max(0.0, until - one.clock()))
    return [line(("in time", "head"), (f" {left} left  ", "waits"), meaning(one, condition_of(one.plan, fact)))]


def hold_lines(one: OneBuild, op: Operation) -> list[Line]:
    """At a sign-off that is open: the hold points that are not passed, and how many are."""
    if not is_sign_off(op.step) or not one.live.is_open(op):
        return []
    holds = [each for each in one.plan.operations if each.step.hold is not None]
    open_ = [each for each in holds if one.live.is_open(each)]
    lines = [
        line(
            (f"{'holds' if not number else '':<7}", "head"),
            ("✗ open     ", "trap"),
            f"{each.name}, {each.step.hold.says if each.step.hold is not None else ''}",
        )
        for number, each in enumerate(open_)
    ]
    passed = len(holds) - len(open_)
    if passed:
        lines.append(line((f"{'' if lines else 'holds':<7}", "head"), (f"✓ {counted(passed, 'hold')} passed", "done")))
    return lines


def debt_lines(one: OneBuild, op: Operation) -> list[Line]:
    """At a sign-off that is open: what was opened and is not closed again."""
    names = one.debts_at(op) if one.live.is_open(op) else ()
    return [
        line((f"{'debts' if not number else '':<7}", "head"), ("✗ open     ", "trap"), meaning(one, name))
        for number, name in enumerate(names)
    ]


def caution_lines(op: Operation) -> list[Line]:
    """The cautions of an operation."""
    return [line(("! ", "mark"), (text, "caution")) for text in op.step.cautions]


def fact_line(op: Operation) -> Line:
    """Kind, piece, time, wait, set-up and hands in one line."""
    step = op.step
    facts = [
        f"kind {step.kind}" if step.kind else "",
        f"piece {step.piece}" if step.piece else "",
        f"time {show_duration(step.time)}" if step.time else "",
        f"wait {show_duration(step.wait)} after" if step.wait else "",
        f"lasts {show_duration(step.lasts)}" if step.lasts else "",
        f"HOLD: {step.hold.says}" if step.hold is not None else "",
        f"set-up {step.setup}" if step.setup else "",
        f"{step.hands} people" if step.hands > 1 else "",
        "at the desk" if step.where == "desk" else "",
        "rework" if step.rework else "",
    ]
    shown = ", ".join(fact for fact in facts if fact)
    return line((shown, "dim")) if shown else ()


def op_lines(opened: Opened, op: Operation) -> list[Line]:
    """Everything about one operation."""
    one = opened.one
    step = op.step
    lines = [
        line((shown_name(op.name), "title"), f"  {side_words(op)}   ", camera_words(one, op)),
        line((one.said(op), "strong")),
        *moved_lines(one, op),
        (*state_line(opened, op), *line(("   one-way: cannot be undone", "trap") if step.one_way else "")),
    ]
    for finding in opened.marks(op.name):
        lines += [(), *finding_lines(opened, finding)]
    for finding in opened.marks(step.id) if step.id != op.name else ():
        lines += [(), *finding_lines(opened, finding)]
    lines.append(())
    lines += needed_lines(one, op)
    lines += lasting_lines(one, op)
    lines += debt_lines(one, op)
    lines += hold_lines(one, op)
    lines += conditions(one, "gives", op.gives | op.job_gives | op.at_once)
    lines += conditions(one, "spoils", op.spoils)
    for caution in caution_lines(op):
        lines.append(caution)
    facts = fact_line(op)
    if facts:
        lines.append(facts)
    lines += said_lines("why", step.why)
    for text in step.note:
        lines += said_lines("note", text)
    lines += remark_lines(opened, op.name)
    lines += link_lines(opened, op)
    return lines


def link_lines(opened: Opened, op: Operation) -> list[Line]:
    """What an open operation waits for, and what waits for it."""
    if not opened.one.live.is_open(op):
        return []
    before, after = opened.neighbours(op.name)
    return [
        line(
            (f"{word:<7}", "head"),
            f"{says} {'; '.join(shown_name(each) for each in names[:_LINKS])}",
            (_more(len(names) - _LINKS), "dim"),
        )
        for word, says, names in (("links", "waits for", before), ("" if before else "links", "ahead of", after))
        if names
    ]


def _more(count: int) -> str:
    return f" and {count} more" if count > 0 else ""


def said_lines(word: str, text: str | None) -> list[Line]:
    """A text of the plan behind its key."""
    return [line((f"{word:<7}", "head"), text)] if text else []


_LINKS = 4  # names of operations in a line
_REMARKS = {"reading": "value", "note": "text", "slate": "take"}


def _verdict(event: Event) -> tuple[str, str]:
    """What was thought of a reading at a hold point, and its limit; nothing of any other remark."""
    verdict, limit = event.raw.get("verdict"), event.raw.get("limit")
    if not isinstance(verdict, str) or not isinstance(limit, str):
        return "", ""
    glyph, look = ("✓", "done") if verdict == INSIDE else ("✗", "trap")
    return f"  {glyph} {verdict}: {limit}", look


def _since(one: OneBuild, name: str, event: Event) -> str:
    """How a reading differs from the metal as it was found."""
    op = one.live.by_name.get(name)
    if event.did != "reading" or op is None or (op.step.hold is None and op.step.reads is None):
        return ""
    from planner.session.asfound import changed

    return changed(one, op, event)


def remark_lines(opened: Opened, name: str) -> list[Line]:
    """Readings, notes and slates of an operation, from the log."""
    one = opened.one
    lines = []
    for event in one.ticks.remarks.get(name, ()):
        if event.did in _REMARKS:
            value = event.raw.get(_REMARKS[event.did], "")
            if "clip" in event.raw:
                value = " ".join(str(event.raw.get(key, "")) for key in ("clip", "timecode", "rate", "camera"))
            when = (f"  {opened.local(event.at)}", "dim")
            lines.append(line((f"{event.did:<8}", "head"), str(value), _verdict(event), when))
            since = _since(one, name, event)
            if since:
                lines.append(line((" " * 8, "head"), since))
        elif event.did == "accepted":
            lines.append(line(("accepted", "head"), f" a warning, and ticked anyway {opened.local(event.at)}"))
    return lines


def empty_cell_lines(
    row_text: str, step_id: str, side: str, why: str | None, marks: Sequence[Finding], opened: Opened
) -> list[Line]:
    """A side that a step does not cover."""
    lines = [
        line((step_id, "title"), f"  {side} side"),
        line((row_text, "strong")),
        line(("– nothing is planned on this side", "dim")),
    ]
    lines += said_lines("why", why)
    for finding in marks:
        lines += [(), *finding_lines(opened, finding)]
    return lines
