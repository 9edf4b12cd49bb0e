"""A step that is done on some sides only: which, and why."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from planner.app.editors.editor import Editing
from planner.files.editing.spots import Edit
from planner.files.plankeys import STEP_FIELDS
from planner.files.yaml.places import Value
from planner.plan.words import counted
from planner.session.writing.choices import Choice
from planner.session.writing.desk import Outcome, Task
from planner.session.writing.fields import value_at
from planner.session.writing.targets import Target, edit_each
from planner.telling.looks import line

if TYPE_CHECKING:
    from planner.app.editors.pick import PickMany
    from planner.app.frame.host import Host

WHY = next(field for field in STEP_FIELDS if field.key == "why")
SIDES_FIELD = next(field for field in STEP_FIELDS if field.key == "sides")


def ask_sides(
    shell: Host,
    target: Target,
    values: Value,
    done: Callable[[Outcome | None], None],
    first: str = "",
    more: Sequence[Target] = (),
) -> None:
    """Choose the sides of a step, and of ``more``, then say why: one edit. ``first``: chosen at first."""
    from planner.app.editors.line import LineEditor
    from planner.app.editors.pick import PickMany

    targets = (target, *more)
    name = target.step if not more else counted(len(targets), "step")
    verb = "are" if more else "is"
    sides = shell.whole().one.plan.build.sides
    old = value_at(values, ("sides",))
    why = value_at(values, ("why",))
    chosen: list[Value] = list(old) if isinstance(old, list) else [first] if first in sides else []

    def task(value: Value) -> Task:
        return Task(
            f"{name} on {', '.join(map(str, value)) if isinstance(value, list) else 'each side'}",
            lambda texts: edit_each(texts, targets, {SIDES_FIELD: value, **({} if why is None else {WHY: why})}),
        )

    def picked(value: Value, pick: PickMany) -> None:
        if not value:
            pick.draw_strip([line(("✗ choose one side at least; Space chooses", "trap"))])
            return

        def reason(text: Value) -> Task:
            def make(texts: object) -> Edit:
                return edit_each(texts, targets, {SIDES_FIELD: value, WHY: text})  # type: ignore[arg-type]

            return Task(f"{name} on {', '.join(map(str, value))} only: {text}", make)  # type: ignore[arg-type]

        pick.dismiss(None)
        field = WHY._replace(says=f"why {name} {verb} done on {', '.join(map(str, value))} only")  # type: ignore[arg-type]
        shell.push_screen(LineEditor(Editing(target, field, why, reason, values)), done)

    offers = [Choice(side, side, f"the {side} side") for side in sides]
    editing = Editing(target, SIDES_FIELD, chosen, task, values)
    shell.push_screen(PickMany(editing, offers, then=picked))
