"""A value that is typed in one line, with what is used elsewhere offered below it."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Sequence
from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from planner.app.draw.drawing import cut
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.editors.editor import Editing, Editor
from planner.plan.fill import Numbers, filled, references
from planner.session.writing.choices import Choice, choices, number_choices
from planner.session.writing.desk import desk_of
from planner.session.writing.fields import as_typed, from_typed
from planner.telling.looks import Line, line

MOST_OFFERED = 200


class Lowered(NamedTuple):
    """A choice with its words in lower case, so that looking among thousands of them stays quick."""

    text: str
    says: str
    choice: Choice


def lowered(offers: Sequence[Choice]) -> list[Lowered]:
    """Choices made ready for being looked through."""
    return [Lowered(each.text.lower(), each.says.lower(), each) for each in offers]


def matching(offers: Sequence[Lowered], typed: str) -> list[Lowered]:
    """Those that have what is typed in them: first those that begin with it, then by name, then by what they mean."""
    low = typed.strip().lower()
    begin = [each for each in offers if each.text.startswith(low)]
    if len(begin) == len(offers):
        return begin
    name = [each for each in offers if low in each.text and not each.text.startswith(low)]
    mean = [each for each in offers if low in each.says and low not in each.text]
    return begin + name + mean


def braced(typed: str, cursor: int) -> str | None:
    """What is typed of a number in braces before the cursor; None where none is begun."""
    before = typed[:cursor]
    at = before.rfind("{")
    return before[at:] if at >= 0 and "}" not in before[at:] else None


class LineEditor(Editor, inherit_bindings=False):
    """One line."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("editor")

    def __init__(self, editing: Editing) -> None:
        super().__init__(editing)
        self.offers: list[Lowered] = []
        self.offered: list[Choice] = []
        self.numbers: Numbers = {}

    def body(self) -> ComposeResult:
        """The line, and what is offered."""
        field = Input(as_typed(self.field, self.editing.old), max_length=2000, select_on_focus=False)
        field.cursor_blink = False
        yield field
        yield LineList(self._offer_line, id="offers")

    def begin(self) -> None:
        """Stand at the end of the line."""
        super().begin()
        field = self.query_one(Input)
        field.focus()
        field.cursor_position = len(field.value)
        self.offers = lowered(choices(self.plan.build, self.editing.target, self.field, self.editing.values))
        self.query_one(LineList).can_focus = False
        self.offer()
        if self.field.key == "do":
            self.shell.run_worker(self._find_numbers(), group="trying")

    async def _find_numbers(self) -> None:
        plan = self.plan
        self.numbers = plan.build.numbers or await to_thread(desk_of(self.shell.whole()).numbers, plan)
        if self.stands:
            self.offer()
            self.draw_strip([])

    def offer(self) -> None:
        """Offer what goes with what is typed."""
        field = self.query_one(Input)
        begun = braced(field.value, field.cursor_position) if self.numbers else None
        if begun is not None:
            self.offered = [each.choice for each in matching(lowered(number_choices(self.numbers)), begun)]
        elif self.field.key == "do":
            self.offered = []
        else:
            typed = "" if field.value == as_typed(self.field, self.editing.old) else field.value
            self.offered = [each.choice for each in matching(self.offers, typed)[:MOST_OFFERED]]
        rows = self.query_one(LineList)
        rows.display = bool(self.offered)
        rows.cursor = 0
        rows.set_rows(range(len(self.offered)))

    def _offer_line(self, index: int, width: int) -> list[Line]:
        if index >= len(self.offered):
            return []
        offer = self.offered[index]
        room = min(36, max(18, width // 2))
        return [line((cut(f" {offer.text}", room), "strong"), " ", (offer.says, "dim"))]

    def advice(self) -> list[Line]:
        """How a text with numbers reads on each side at present."""
        typed = self.query_one(Input).value
        if not self.numbers or not references(typed):
            return []
        sides = self.plan.build.sides
        texts = {side: filled(typed, self.numbers, side, sides) for side in sides}
        if len(set(texts.values())) == 1:
            return [line(("reads ", "head"), next(iter(texts.values())))]
        return [line((f"{side} ", "head"), text) for side, text in texts.items()]

    def on_input_changed(self, event: Input.Changed) -> None:
        """Offer at once, and work out what it comes to when no more is typed."""
        event.stop()
        self.offer()
        if self.advice():
            self.draw_strip([])
        self.try_value(from_typed(self.field, event.value, self.editing.old))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Keep what is typed."""
        event.stop()
        self.action_keep()

    def action_keep(self) -> None:
        """Keep what is typed."""
        self.keep_value(from_typed(self.field, self.query_one(Input).value, self.editing.old))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Take in what was clicked."""
        event.stop()
        self.action_complete()

    def action_complete(self) -> None:
        """Take what is offered into the line."""
        rows, field = self.query_one(LineList), self.query_one(Input)
        if rows.cursor >= len(self.offered):
            return
        text = self.offered[rows.cursor].text
        begun = braced(field.value, field.cursor_position)
        if begun is not None and self.numbers:
            at = field.cursor_position - len(begun)
            field.value = field.value[:at] + text + field.value[field.cursor_position :].removeprefix("}")
            field.cursor_position = at + len(text)
        else:
            field.value = text
            field.cursor_position = len(text)
        field.focus()

    def action_row(self, by: int) -> None:
        """Among what is offered."""
        rows = self.query_one(LineList)
        rows.move_to(rows.cursor + by)

    def action_rows(self, pages: int) -> None:
        """A page of what is offered."""
        self.action_row(pages * max(1, self.query_one(LineList).size.height - 1))
