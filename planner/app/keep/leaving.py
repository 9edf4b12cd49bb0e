"""Leaving while the disk refuses an edit: it would be lost, so this one time it is asked."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.frame.ask import Ask
from planner.files.disk.saving import ChangedOutsideError
from planner.session.writing.desk import desk_of
from planner.telling.looks import line

if TYPE_CHECKING:
    from planner.app.shell import PlannerApp


def ask_leave(shell: PlannerApp, then: Callable[[], None]) -> None:
    """Try once more to save, or give the edit up, or stay."""
    lines = [
        line(("An edit is not on the disk", "trap")),
        (),
        line(shell.unsaved),
        (),
        line("It is kept only as long as this build is open here."),
    ]
    answers = [
        ("stay", "Stay here"),
        ("again", "Try once more to save it, then leave"),
        ("lose", "Leave, and lose the edit"),
    ]

    def take(answer: str | None) -> None:
        if answer == "again" and shell.opened is not None:
            desk = desk_of(shell.opened)
            try:
                saved = desk.save_again(shell.opened)
            except ChangedOutsideError as error:
                shell.unsaved = f"{desk.short(error.path)} was changed outside; W on the plan shows both texts"
                saved = False
            if saved:
                shell.unsaved = ""
                then()
            else:
                ask_leave(shell, then)
        elif answer == "lose":
            shell.unsaved = ""
            then()

    shell.push_screen(Ask(lines, answers), take)
