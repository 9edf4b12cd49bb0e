"""A value of several lines: texts, or listed names."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import TextArea

from planner.app.draw.linelist import bindings_of
from planner.app.draw.textbox import TextBox, in_measure
from planner.app.editors.editor import Editing, Editor
from planner.session.writing.fields import as_typed, from_typed
from planner.telling.looks import line


class LinesEditor(Editor, inherit_bindings=False):
    """Several lines; Enter begins a new one."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("lines")
    KEYS_SAID = (("Ctrl+T", "keep them", "keep"), ("Esc", "cancel", "leave"), ("Enter", "a new line", ""))
    DEFAULT_CSS = """
    LinesEditor TextArea, LinesEditor TextArea:focus { height: 9; border: none; padding: 0; background: $panel; }
    LinesEditor.-low TextArea, LinesEditor.-low TextArea:focus { height: 6; }
    """

    def __init__(self, editing: Editing, typed: str = "") -> None:
        super().__init__(editing)
        self.first = typed or as_typed(editing.field, editing.old)

    def body(self) -> ComposeResult:
        """The lines."""
        yield TextBox(in_measure(self.first), soft_wrap=True, tab_behavior="focus", id="lines")

    def begin(self) -> None:
        """Stand at the end."""
        super().begin()
        area = self.query_one(TextArea)
        area.cursor_blink = False
        area.focus()
        area.move_cursor(area.document.end)

    def _value(self) -> object:
        typed = self.query_one(TextArea).text
        return from_typed(self.field, typed, self.editing.old)

    def on_text_box_cut(self, event: TextBox.Cut) -> None:
        """Say that not all of it was taken in."""
        event.stop()
        self.draw_strip([line((f"✗ too long: {event.left:,} characters were not taken in", "trap"))])

    def on_text_area_changed(self, event: TextArea.Changed) -> None:
        """Work out what it comes to when no more is typed."""
        event.stop()
        self.try_value(self._value())  # type: ignore[arg-type]

    def action_keep(self) -> None:
        """Keep what is typed."""
        self.keep_value(self._value())  # type: ignore[arg-type]
