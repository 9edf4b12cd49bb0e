"""Which editor a key is edited with, and what is asked beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Protocol

from planner.app.editors.condition import ask_condition
from planner.app.editors.editor import Editing, Editor
from planner.app.editors.sides import ask_sides
from planner.app.write.comes import ask_comes, new_pieces, pieces_named
from planner.files.editing.spots import Edit, Texts, set_at
from planner.files.plankeys import (
    AFTER,
    CHOICE,
    CONDITION,
    CONDITIONS,
    KINDS,
    LISTED,
    NAME,
    PAIRS,
    REFS,
    SIDES,
    STEP,
    SWITCH,
    TEXT,
    TEXTS,
    TURNS,
    WITHOUT,
    WORDS,
    Field,
)
from planner.files.yaml.places import EditError, Value
from planner.plan.words import is_name
from planner.session.writing.choices import Choice
from planner.session.writing.desk import Outcome, Task
from planner.session.writing.fields import shown
from planner.session.writing.targets import Target, after_edit, edit_key, value_of

if TYPE_CHECKING:
    from textual.app import App

    from planner.app.frame.host import Host
    from planner.plan.expand import Plan


class FormHost(Protocol):
    """A form as its editors know it."""

    target: Target
    values: Value

    @property
    def app(self) -> App[object]:
        """The app, as Textual knows it."""

    @property
    def shell(self) -> Host:
        """The app, as far as screens know it."""

    @property
    def plan(self) -> Plan:
        """The plan that is open."""

    def say(self, text: str, how: str = "note") -> None:
        """Say in place what happened."""

    def edited(self, outcome: Outcome | None) -> None:
        """An editor has gone."""


def task_of(target: Target, field: Field, value: Value) -> Task:
    """Setting a key, as a task."""
    what = f" of {target.step}" if target.step else ""
    says = f"{field.key}{what}: {shown(value) or 'taken out'}"
    renamed = {target.step: str(value)} if target.level == STEP and field.key == "step" else {}
    return Task(says, lambda texts: edit_key(texts, target, field, value), None, renamed, 0, value)


class Editors:
    """Opens editors over a form."""

    def __init__(self, form: FormHost) -> None:
        self.form = form

    def edit(self, field: Field) -> None:
        """Edit a key of the form."""
        form = self.form
        target, old = form.target, value_of(form.target, field, form.values)
        editing = Editing(target, field, old, lambda value: task_of(target, field, value), form.values, watched=True)
        if field.sort == SIDES:
            self.edit_sides(editing)
            return
        editor = editor_for(editing, self._side_count(), self._planned(field))
        asks = target.level == STEP and field.key == "piece"
        before = pieces_named(form.plan) if asks else set()

        def done(outcome: Outcome | None) -> None:
            if asks:
                ask_comes(form.shell, new_pieces(before, outcome), form.edited)
            if outcome is not None and (target.level == CONDITION or field.key in ("step", "episode", "stage")):
                form.target = self._moved(target, field, outcome)
            form.edited(outcome)

        form.app.push_screen(editor, done)

    def _side_count(self) -> int:
        return len(self.form.plan.build.sides)

    def _planned(self, field: Field) -> str:
        """What a list of operations begins from: the order as it is planned."""
        plan, target = self.form.plan, self.form.target
        if field.key != "sequence":
            return ""
        for index, (episode, stage) in enumerate(plan.stages):
            if episode.place.path == target.path and stage.title == target.title:
                return "\n".join(op.name for op in plan.operations if op.stage == index)
        return ""

    def _moved(self, target: Target, field: Field, outcome: Outcome) -> Target:
        """The target once its name, its id or its number has changed."""
        if outcome.task.renamed:
            return after_edit(target, field, outcome.task.renamed[target.step])
        if field.key == "episode":
            made = [path for path, text in outcome.edit.changes.items() if text is not None]
            fresh = [path for path in made if path not in outcome.texts]
            return target._replace(path=fresh[0]) if len(fresh) == 1 else target
        return after_edit(target, field, outcome.task.value)

    def edit_sides(self, editing: Editing) -> None:
        """Each, once, or some sides; for these it is asked why."""
        from planner.app.editors.pick import PickOne

        form = self.form
        some = "some sides only: choose them, and say why"
        offers = [
            Choice(None, "each", "on each side"),
            Choice("once", "once", "once for the whole build"),
            Choice("some", "some", some),
        ]
        shown_old = "some" if isinstance(editing.old, list) else None if editing.old == "each" else editing.old

        def task(value: Value) -> Task:
            if value == "some":
                return Task("", lambda texts: Edit({}))
            return editing.task(value)

        def done(outcome: Outcome | None) -> None:
            if outcome is not None and not outcome.task.says:
                ask_sides(form.shell, editing.target, editing.values, form.edited)
            else:
                form.edited(outcome)

        form.app.push_screen(PickOne(editing._replace(old=shown_old, task=task, watched=False), offers), done)

    def add(self) -> None:
        """An entry more: a condition, a kind or a word."""
        form = self.form
        target = form.target
        if target.level not in (CONDITIONS, KINDS, WORDS):
            form.say("entries are added among conditions, kinds and words; Enter on one of these opens them")
            return
        from planner.app.editors.line import LineEditor

        what = {CONDITIONS: "condition", KINDS: "kind", WORDS: "word"}[target.level]
        says = "its name: lower-case letters, digits, hyphens" + (", joined by dots" if what == "condition" else "")
        field = Field((f"new {what}",), NAME, says)

        def task(value: Value) -> Task:
            name = str(value or "")
            if what == "condition":
                return Task("", lambda texts: Edit({}))
            return Task(f"added the {what} {name}", lambda texts: _add_entry(texts, target, what, name))

        if what == "condition":
            from planner.app.frame.ask import Type
            from planner.telling.looks import line

            def named(name: str | None) -> None:
                if name:
                    ask_condition(form.shell, name, lambda made: form.say(f"declared {made}", "good"))

            form.app.push_screen(Type([line(("new condition", "title"), f"   {says}")], "part.fact"), named)
        else:
            form.app.push_screen(LineEditor(Editing(target, field, None, task)), form.edited)


def _add_entry(texts: Texts, target: Target, what: str, name: str) -> Edit:
    if not is_name(name):
        raise EditError(f"“{name}” is not a name; use lower-case letters, digits and hyphens")
    first: dict[str, Value] = {"means": name}
    if what == "word":
        first = {"kept": "side", "means": name}
    return set_at(texts, target.path, (*target.inside, name), first)


def editor_for(editing: Editing, sides: int = 2, first: str = "") -> Editor:
    """The editor for the sort of a field; ``first``: what stands in it where nothing is written."""
    from planner.app.editors.line import LineEditor
    from planner.app.editors.lines import LinesEditor
    from planner.app.editors.pick import PickMany, PickOne

    sort = editing.field.sort
    if sort in (TEXTS, LISTED, PAIRS):
        return LinesEditor(editing, first if editing.old is None else "")
    if sort in (REFS, AFTER, WITHOUT):
        return PickMany(editing)
    if sort in (CHOICE, SWITCH) or (sort == TURNS and sides <= 4):
        return PickOne(editing)
    return LineEditor(editing._replace(field=editing.field._replace(sort=TEXT)) if sort == TURNS else editing)
