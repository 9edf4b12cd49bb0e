"""Leaving while something is on no disk yet: it would be lost, so this one time it is asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.frame.choose import Choose
from planner.plan.words import counted
from planner.session.loose import EDIT, Loose
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.app.frame.host import Host


def _edit_question(loose: Loose) -> tuple[list[Line], list[tuple[str, str]]]:
    lines = [
        line(("An edit is not on the disk", "trap")),
        (),
        line(loose.why),
        (),
        line("It is kept only as long as this build is open here."),
    ]
    answers = [
        ("stay", "Stay here"),
        ("again", "Try once more to save it, then leave"),
        ("lose", "Leave, and lose the edit"),
    ]
    return lines, answers


def _numbers_question(loose: Loose) -> tuple[list[Line], list[tuple[str, str]]]:
    lines = [
        line((f"{counted(loose.changes, 'change')} of numbers not saved", "trap")),
        (),
        line("These changes are not saved; s on the numbers screen saves it."),
    ]
    return lines, [("go", "Go to the numbers"), ("lose", "Leave, and lose what was typed")]


def ask_leave(shell: Host, loose: tuple[Loose, ...], then: Callable[[], None]) -> None:
    """Ask about each thing in turn: save it, give it up, or stay; then leave."""
    if not loose:
        then()
        return
    first, rest = loose[0], loose[1:]
    lines, answers = _edit_question(first) if first.what == EDIT else _numbers_question(first)

    def take(answer: str | None) -> None:
        if answer == "go":
            shell.go("numbers")
        elif answer == "lose":
            ask_leave(shell, rest, then)
        elif answer == "again" and first.again is not None:
            if first.again():
                ask_leave(shell, rest, then)
            else:
                again = first._replace(why=shell.opened.desk.unsaved) if shell.opened and shell.opened.desk else first
                ask_leave(shell, (again, *rest), then)

    shell.push_screen(Choose(lines, answers), take)
