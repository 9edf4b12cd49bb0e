"""What is said where something is read: what is asked for, what was read before, and the verdict."""

from __future__ import annotations

from planner.plan.expand import Operation
from planner.session.asking import Asked
from planner.session.results import Refusal
from planner.telling.looks import Line, line

_LOOKS = {"inside": "done", "outside": "trap", "cannot tell": "notice"}
_GLYPHS = {"inside": "✓", "outside": "✗", "cannot tell": "?"}


def asking_lines(op: Operation, said: str, asked: Asked, wrong: str = "") -> list[Line]:
    """What is asked for at a tick: the limits or the number, what the step says, what was read before."""
    head = f"reading {asked.says}" if asked.says is not None else f"reading of {asked.number}"
    lines = [line((wrong, "trap"))] if wrong else []
    lines += [line(("HOLD " if asked.must else "READ ", "title"), (op.name, "strong"), f"   {head}"), line(said)]
    if not asked.must:
        lines.append(line(("Enter alone ticks it without a reading; the number stays planned.", "dim")))
    for number, each in enumerate(asked.earlier):
        word = "as found " if number == 0 else "latest   "
        lines.append(line((word, "head"), each.typed, (f"  at {each.op}", "dim")))
    return lines


def verdict_lines(op: Operation, refusal: Refusal) -> list[Line]:
    """A reading that does not pass: the verdict in capitals, and what it means."""
    verdict = refusal.verdict or ""
    says = refusal.says.removeprefix(f"{op.name}: ")
    lines = [
        line((f"{_GLYPHS.get(verdict, '✗')} {verdict.upper()}", _LOOKS.get(verdict, "trap")), f"   {op.name}"),
        (),
        line(says),
        (),
        line("It is not done, and what it would have given does not hold."),
    ]
    if refusal.instead is not None:
        lines.append(line(("recover  ", "head"), refusal.instead))
    return lines


__all__ = ["asking_lines", "verdict_lines"]
