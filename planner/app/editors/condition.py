"""A new condition, asked for in two questions: what it is kept for, and what it means."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.editors.editor import Editing
from planner.app.frame.choose import Choose
from planner.files.editing.job import add_condition
from planner.files.plankeys import BUILD, TEXT, Field
from planner.files.yaml.places import Value
from planner.session.writing.desk import Outcome, Task
from planner.session.writing.targets import Target
from planner.telling.looks import line

if TYPE_CHECKING:
    from planner.app.frame.host import Host


def ask_condition(shell: Host, name: str, made: Callable[[str], None]) -> None:
    """Ask about a new condition and declare it; ``made`` is told its name."""
    question = [
        line(("new condition ", "title"), (name, "strong")),
        (),
        line("Is it kept for each side, or is it one fact for the whole build?"),
    ]
    answers = [
        ("side", "For each side: it can hold on one side and not on the other"),
        ("job", "On the job: one fact for the whole build"),
    ]

    def means(on: str | None) -> None:
        if on is None:
            return
        from planner.app.editors.line import LineEditor

        where = "on each side" if on == "side" else "on the job"
        field = Field(("means",), TEXT, f"what is so when {name} holds; {where}")

        def task(value: Value) -> Task:
            return Task(f"declared {name}", lambda texts: add_condition(texts, name, on, str(value or "")))

        def done(outcome: Outcome | None) -> None:
            if outcome is not None:
                made(name)

        shell.push_screen(LineEditor(Editing(Target(BUILD, ""), field, None, task)), done)

    shell.push_screen(Choose(question, answers), means)
