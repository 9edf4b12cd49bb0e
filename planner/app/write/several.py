"""What is done to several marked steps at once: delete, duplicate, move, and give a kind, a piece or sides."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import TYPE_CHECKING, Protocol

from planner.app.editors.editor import Editing
from planner.app.frame.choose import Choose
from planner.files.editing.several import each_of, move_together
from planner.files.editing.spots import Edit, Spot, Texts
from planner.files.editing.steps import delete_step, duplicate_step
from planner.files.plankeys import CHOICE, STEP_FIELDS, Field
from planner.files.yaml.places import Value
from planner.plan.words import counted
from planner.session.writing.choices import Choice
from planner.session.writing.desk import Outcome, Task
from planner.session.writing.targets import edit_each
from planner.telling.looks import line

if TYPE_CHECKING:
    from textual.app import App

    from planner.app.frame.host import Host, Written
    from planner.plan.model import Build
    from planner.session.writing.rows import WriteRow

GIVEN = ("kind", "piece")  # what several steps may be given, beside their sides


class Several(Protocol):
    """What these take of whoever writes."""

    app: App[object]
    shell: Host
    page: Written

    @property
    def build(self) -> Build:
        """The build as it is now."""

    def edit_with(
        self,
        says: str,
        make: Callable[[Texts], Edit],
        after: Callable[[Outcome], Hashable] | None = None,
        *,
        takes_out: bool = False,
    ) -> None:
        """Keep an edit, and go where ``after`` says."""

    def did(self, outcome: Outcome | None, after: Callable[[Outcome], Hashable] | None = None) -> None:
        """Say what came of an edit."""


def ids_of(rows: Sequence[WriteRow]) -> list[str]:
    """The ids of the steps of rows."""
    return [row.step.id for row in rows if row.step is not None]


def said_of(rows: Sequence[WriteRow]) -> str:
    """One step by its name, several by their number."""
    return rows[0].said if len(rows) == 1 else counted(len(rows), "step")


def delete_all(writer: Several, rows: Sequence[WriteRow]) -> None:
    """Delete the marked steps, once that was asked."""
    says, ids = said_of(rows), ids_of(rows)
    question = [line((f"Delete the {len(ids)} steps that are marked?", "title")), (), line(", ".join(ids))]
    question += [line(), line("U undoes it.")]

    def take(answer: str | None) -> None:
        if answer == "go":
            writer.edit_with(f"deleted {says}", lambda texts: each_of(texts, ids, delete_step), takes_out=True)

    answers = [("stay", "Leave them"), ("go", f"Delete {says}")]
    writer.app.push_screen(Choose(question, answers), take)


def duplicate_all(writer: Several, rows: Sequence[WriteRow]) -> None:
    """Each marked step once more, behind itself; the copies are marked then, to be moved on."""

    def after(outcome: Outcome) -> str | None:
        if outcome.plan is None:
            return None
        fresh = [step.id for _, stage in outcome.plan.stages for step in stage.steps if step.id not in outcome.known]
        writer.page.mark_steps(fresh)
        return fresh[0] if fresh else None

    ids = ids_of(rows)
    says = f"duplicated {said_of(rows)}; the copies are marked, m moves them"
    writer.edit_with(says, lambda texts: each_of(texts, ids, duplicate_step), after)


def move_all(writer: Several, rows: Sequence[WriteRow]) -> None:
    """Move the marked steps to the end of a stage, in the order of the plan."""
    from planner.app.editors.pick import PickOne

    ids = ids_of(rows)
    places = [
        (Spot(episode.place.path, index), stage.title, f"episode {episode.number}  {episode.title}")
        for episode in writer.build.episodes
        for index, stage in enumerate(episode.stages)
    ]
    offers = [Choice(at, title, where) for at, (_, title, where) in enumerate(places)]
    field = Field(("move",), CHOICE, f"{said_of(rows)}: to the end of which stage")

    def task(value: Value) -> Task:
        def make(texts: Texts) -> Edit:
            return move_together(texts, ids, places[value][0]) if isinstance(value, int) else Edit({})

        return Task(f"moved {said_of(rows)}", make, value=value)

    def done(outcome: Outcome | None) -> None:
        if outcome is not None:
            writer.did(outcome, lambda _: ids[0])

    writer.app.push_screen(PickOne(Editing(rows[0].target, field, None, task), offers), done)


def give(writer: Several, rows: Sequence[WriteRow]) -> None:
    """Ask what the steps are to be given."""
    question = [line((f"Give {said_of(rows)}", "title")), *([(), line(", ".join(ids_of(rows)))] if rows[1:] else [])]
    answers = [("kind", "a kind of work"), ("piece", "a piece"), ("sides", "sides, some only, with the reason")]

    def take(answer: str | None) -> None:
        if answer in GIVEN:
            _give_field(writer, rows, answer)
        elif answer == "sides":
            from planner.app.editors.sides import ask_sides

            ask_sides(writer.shell, rows[0].target, None, writer.did, more=[row.target for row in rows[1:]])

    writer.app.push_screen(Choose(question, answers), take)


def _give_field(writer: Several, rows: Sequence[WriteRow], key: str) -> None:
    """A kind out of those there are; a piece, typed or out of those that are used."""
    from planner.app.editors.line import LineEditor
    from planner.app.editors.pick import PickOne

    field = next(each for each in STEP_FIELDS if each.key == key)
    targets = [row.target for row in rows]

    def task(value: Value) -> Task:
        says = f"{key} {value} for {said_of(rows)}" if value is not None else f"no {key} for {said_of(rows)}"
        return Task(says, lambda texts: edit_each(texts, targets, {field: value}), value=value)

    def done(outcome: Outcome | None) -> None:
        if outcome is not None:
            writer.did(outcome)

    editing = Editing(targets[0], field, None, task)
    writer.app.push_screen(PickOne(editing) if field.sort == CHOICE else LineEditor(editing), done)
