"""Why an operation is the one to do now, or is not one for tonight."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from planner.plan import now as known
from planner.plan.messages import split_grounded
from planner.plan.now import Choice, Reason
from planner.plan.words import show_duration
from planner.telling.finding import shown_name
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.session.onebuild import OneBuild
    from planner.session.rightnow import Now


def reason_says(reason: Reason, called: Callable[[str], str] = str) -> str:
    """One reason in words; ``called`` says what operations are called."""
    what, name, seconds = reason
    about = called(name)
    long = show_duration(max(0, int(seconds)))
    return {
        known.TRAP: f"it would spring a trap at {about}",
        known.TOO_LONG: f"it needs {long}, more than is left",
        known.CLOSING: f"with {about}, which must follow before leaving, it needs {long}",
        known.HELPER: f"it needs {int(seconds)} people",
        known.CRITICAL: f"on the critical path: {long} of work and waits hang on it",
        known.SETUP: f"the set-up stands: {about}",
        known.NEW_SETUP: f"it needs another set-up: {about}",
        known.FILLS: f"it fills the wait of {about}, {long} more",
        known.CLOSES: f"it closes what is owed: {about}",
        known.LONG_WAIT: f"its wait of {long} can run without you",
        known.CAMERA: f"the camera stands right: {about}",
        known.AHEAD: f"ahead of {about}, which cannot be done yet",
        known.NEXT: "next as planned",
        known.FITS: f"it fits, with {long} to spare",
    }[what]


def reasons_say(choice: Choice, called: Callable[[str], str] = str) -> list[str]:
    """All reasons of a choice."""
    return [reason_says(reason, called) for reason in choice.why]


def choice_line(choice: Choice) -> str:
    """A choice in one line."""
    return f"{choice.op.name}: {'; '.join(reasons_say(choice)) or 'nothing is against it'}"


def owed_later(found: Now) -> str:
    """What is owed, but not tonight: each name once, its sides behind it."""
    names = _sides_of([debt for debt in found.debts if debt not in found.tonight])
    return ", ".join(f"{name} ({', '.join(sides)})" if sides else name for name, sides in names.items())


def _sides_of(debts: Sequence[str]) -> dict[str, list[str]]:
    """The names of what is owed, each once, and the sides on which it is."""
    found: dict[str, list[str]] = {}
    for debt in debts:
        name, side = split_grounded(debt)
        found.setdefault(name, []).extend([side] if side else [])
    return found


def owed_in_words(one: OneBuild, debts: Sequence[str]) -> list[str]:
    """What is owed in the words of its conditions, each once, its sides behind it."""
    conditions = one.plan.build.conditions
    return [
        f"{conditions[name].means if name in conditions else name}"
        + (f", {' and '.join(each)} side{'s' if len(each) > 1 else ''}" if each else "")
        for name, each in _sides_of(debts).items()
    ]


def now_lines(one: OneBuild, found: Now, most: int = 4) -> list[Line]:
    """What to do now and why, what does not fit and why, what waits."""
    from planner.files.times.hours import show_local

    zone = one.plan.build.shop.timezone
    lines: list[Line] = []
    if not found.open:
        lines.append(line(("◷ closed by its hours", "waits")))
    elif found.until is not None:
        lines.append(line((f"until {show_local(found.until, zone)}", "dim")))
    fit = [each for each in found.choices if each.fits]
    for index, each in enumerate(fit[:most]):
        lines.append(
            line(
                ("now  " if not index else "or   ", "head"),
                (shown_name(each.op.name), "strong"),
                f"  {one.said(each.op)}",
            )
        )
        lines += [line(("     ", ""), (f"{'; '.join(reasons_say(each, shown_name))}", "dim"))]
    for each in [each for each in found.choices if not each.fits][: most if found.open else 1]:
        against = [reason_says(reason, shown_name) for reason in each.why if reason.what in known.AGAINST]
        why = "; ".join(against) if found.open else "closed"
        lines.append(
            line(("not now  ", "notice"), (shown_name(each.op.name), "strong"), f"  {one.said(each.op)}: {why}")
        )
    lines += [
        line(("◷ waits  ", "waits"), f"{shown_name(each.cause)} until {show_local(each.until, zone)}")
        for each in found.waiting
    ]
    lines += [line(("! close  ", "caution"), f"{says}, before you leave") for says in owed_in_words(one, found.tonight)]
    if not found.choices:
        following = one.live.next()
        lines.append(
            line("nothing is left" if following is None else f"nothing may begin; next is {shown_name(following.name)}")
        )
    return lines


def _next(one: OneBuild, op: Operation) -> tuple[str, tuple[str, str]]:
    """An operation by what it does, its side, its step last."""
    return f"{one.said(op)}{f', {op.side} side' if op.side else ''}", (f"  {op.step.id}", "dim")


def now_line(one: OneBuild, found: Now) -> Line:
    """The one thing to do now, in one line."""
    best = next((each for each in found.choices if each.fits), None)
    if best is not None:
        return line(("▸ now  ", "ready"), *_next(one, best.op))
    following = one.live.next()
    if following is None:
        return ()
    wait = min(found.waiting, default=None)
    if not found.open:
        return line(("◷ closed by its hours; next  ", "waits"), *_next(one, following))
    if wait is not None:
        from planner.files.times.hours import show_local

        until = show_local(wait.until, one.plan.build.shop.timezone)
        return line(("◷ waits  ", "waits"), f"{shown_name(wait.cause)} until {until}")
    return line(("· next  ", "not-yet"), *_next(one, following))
