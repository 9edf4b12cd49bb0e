"""Leaving while numbers that were typed are in no file yet: they would be lost, so this is asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.frame.ask import Ask
from planner.telling.looks import counted, line

if TYPE_CHECKING:
    from planner.app.shell import PlannerApp


def ask_leave(shell: PlannerApp, then: Callable[[], None]) -> None:
    """Go back to them, or give them up."""
    lines = [
        line((f"{counted(shell.tried, 'change')} of numbers not saved", "trap")),
        (),
        line("What was typed stands in no file yet; s on the numbers screen saves it."),
    ]
    answers = [("stay", "Go to the numbers"), ("lose", "Leave, and lose what was typed")]

    def take(answer: str | None) -> None:
        if answer == "stay":
            shell.go("numbers")
        elif answer == "lose":
            shell.tried = 0
            then()

    shell.push_screen(Ask(lines, answers), take)
