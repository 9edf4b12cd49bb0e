"""What is said where something is read: what is asked for, what was read before, and the verdict."""

from __future__ import annotations

from planner.plan.expand import Operation
from planner.plan.words import show_duration
from planner.session.asking import Asked
from planner.session.results import Refusal, Ticked
from planner.telling.finding import shown_name
from planner.telling.looks import Line, line

_LOOKS = {"inside": "done", "outside": "trap", "cannot tell": "notice"}
_GLYPHS = {"inside": "✓", "outside": "✗", "cannot tell": "?"}


def asking_lines(op: Operation, said: str, asked: Asked, wrong: str = "") -> list[Line]:
    """What is asked for at a tick: the limits or the number, what the step says, what was read before."""
    head = f"reading {asked.says}" if asked.says is not None else f"reading of {asked.number}"
    if asked.warmth:
        head = "how hot it is now, by thermometer"
    lines = [line((wrong, "trap"))] if wrong else []
    lines += [
        line(("HOLD " if asked.must else "READ ", "title"), (shown_name(op.name), "strong"), f"   {head}"),
        line(said),
    ]
    if asked.warmth:
        lines.append(line(("The wait follows what you type, and is never shorter than that allows.", "dim")))
    elif not asked.must:
        lines.append(line(("Enter alone ticks it without a reading; the number stays planned.", "dim")))
    for number, each in enumerate(asked.earlier):
        word = "as found " if number == 0 else "latest   "
        lines.append(line((word, "head"), each.typed, (f"  at {shown_name(each.op)}", "dim")))
    return lines


def cooled_says(result: Ticked, clock: str) -> str:
    """What a thermometer made of a wait; ``clock``: when it is over, as the shop's clock shows it.

    >>> cooled_says(Ticked("rest", "reading", 0.0, (), None, 3900.0), "Sat 19:05")
    'rest: its wait is over Sat 19:05, 1 h 5 min after the reading'
    >>> cooled_says(Ticked("rest", "reading", 60.0, (), None, 60.0), "Sat 18:01")
    'rest: the reading ends its wait'
    """
    left = round(((result.until or 0.0) - result.at) / 60)
    if left <= 0:
        return f"{shown_name(result.op)}: the reading ends its wait"
    return f"{shown_name(result.op)}: its wait is over {clock}, {show_duration(60 * left)} after the reading"


def verdict_lines(op: Operation, refusal: Refusal, since: str) -> list[Line]:
    """A reading that does not pass: the verdict in capitals, how it differs from what was found, what it means."""
    verdict = refusal.verdict or ""
    lines = [
        line(
            (f"{_GLYPHS.get(verdict, '✗')} {verdict.upper()}", _LOOKS.get(verdict, "trap")), f"   {shown_name(op.name)}"
        ),
        (),
        line(refusal.judged),
        *([line(since)] if since else []),
        (),
        line("It is not done, and what it would have given does not hold."),
    ]
    if refusal.instead is not None:
        lines.append(line(("recover  ", "head"), shown_name(refusal.instead)))
    return lines


__all__ = ["asking_lines", "cooled_says", "verdict_lines"]
