"""A line to type into, under what is asked for."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Input, Static

from planner.app.draw.drawing import content
from planner.app.draw.linelist import bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.choose import BOX, Question
from planner.telling.looks import Line, line


class Type(Question):
    """A line of text; gives what was typed, or nothing when it is left."""

    DEFAULT_CSS = f"Type {BOX}"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("typing")

    def __init__(self, lines: Sequence[Line], hint: str, typed: str = "") -> None:
        super().__init__(lines)
        self.hint = hint
        self.typed = typed  # what stands there already

    def below(self) -> int:
        """The line to type into, and what can be done."""
        return 5

    def compose(self) -> ComposeResult:
        """What is asked for, and the line."""
        with Vertical(classes="box"):
            question = TextPane(id="question")
            question.can_focus = False
            yield question
            field = Input(self.typed, placeholder=self.hint, max_length=500, select_on_focus=False)
            field.cursor_blink = False
            yield field
            yield Static(content([line(("Enter", "key"), " keep it   ", ("Esc", "key"), " cancel")], self.app.theme))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take what was typed; nothing typed is nothing."""
        event.stop()
        self.dismiss(event.value.strip() or None)
