"""How a piece comes, asked when steps name it for the first time: one question, and Esc is an answer."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planner.app.frame.ask import Type
from planner.app.keep.keeping import keep
from planner.files.editing.job import set_comes
from planner.files.editing.spots import Edit, Texts, applied
from planner.plan.comes import WAYS, Comes, ComesError, read_all, read_comes
from planner.session.writing.desk import Outcome, Task
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.app.frame.host import Host
    from planner.app.keep.keeping import Done
    from planner.plan.expand import Plan


def pieces_named(plan: Plan) -> set[str]:
    """Every piece that the build or a step of it names."""
    used = {step.piece for _, stage in plan.stages for step in stage.steps if step.piece}
    return used | set(plan.build.pieces)


def new_pieces(before: set[str], outcome: Outcome | None) -> list[str]:
    """The pieces that an edit named for the first time."""
    if outcome is None or outcome.plan is None:
        return []
    return sorted(pieces_named(outcome.plan) - before)


def ask_comes(shell: Host, pieces: Sequence[str], done: Done, typed: str = "", wrong: str = "") -> None:
    """Ask how new pieces come, and write what does not hold of them yet; done with nothing where nothing is said."""
    if not pieces:
        return

    def take(answer: str | None) -> None:
        if not answer:
            return
        try:
            comes = _read(answer, pieces)
        except ComesError as error:
            ask_comes(shell, pieces, done, answer, str(error))
            return
        says = "; ".join(f"{each.piece} comes {', '.join(each.ways)}" for each in comes)
        keep(shell, Task(says, lambda texts: _written(texts, comes)), done)

    example = "oily, bearings-in" if len(pieces) == 1 else f"{pieces[0]} oily, bearings-in; {pieces[-1]} painted"
    shell.push_screen(Type(_question(pieces, wrong), example, typed), take)


def _question(pieces: Sequence[str], wrong: str) -> list[Line]:
    what = f"How does the {pieces[0]} come?" if len(pieces) == 1 else f"How do these come: {', '.join(pieces)}?"
    return [
        line((what, "title")),
        line("What does not hold yet is written down, and asked for before the work that needs it."),
        line(f"It may come {', '.join(WAYS)}."),
        line(("Esc where it comes clean and bare, or nobody knows.", "dim")),
        *([line((wrong, "trap"))] if wrong else []),
    ]


def _read(answer: str, pieces: Sequence[str]) -> tuple[Comes, ...]:
    """What was typed: ways alone where there is one piece, else each with its piece."""
    first = answer.replace(",", " ").split()[0] if answer.split() else ""
    if len(pieces) == 1 and first != pieces[0]:
        return (read_comes(f"{pieces[0]} {answer}"),)
    comes = read_all(answer)
    for each in comes:
        if each.piece not in pieces:
            raise ComesError(f"{each.piece} is none of them; there are {', '.join(pieces)}")
    return comes


def _written(texts: Texts, comes: Sequence[Comes]) -> Edit:
    changes: dict[str, str | None] = {}
    for each in comes:
        made = set_comes(texts, each.piece, each.words).changes
        changes.update(made)
        texts = applied(texts, made)
    return Edit(changes)
