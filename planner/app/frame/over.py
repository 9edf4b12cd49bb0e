"""A full screen laid over another one: it asks for something, and goes when it has it or is left."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Click, ScreenResume
from textual.widgets import Input

from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.page import Page


class Over(Page, inherit_bindings=False):
    """A page over a page. A key that the line to type into does not take moves the list below it."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("over")
    DEFAULT_CSS = """
    Over Input { margin: 0 1; }
    Over LineList { height: 1fr; margin: 0 1; }
    """

    def body(self) -> ComposeResult:
        """Nothing yet."""
        yield from ()

    @property
    def rows(self) -> LineList:
        """The list that the arrows move."""
        return self.query_one(LineList)

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Draw for the first time; back from the help all is as it was left."""
        self.draw_all()

    def action_row(self, by: int) -> None:
        """The list's cursor up or down, while something else has the keys."""
        if self.query(LineList):
            self.rows.move_to(self.rows.cursor + by)

    def action_rows(self, pages: int) -> None:
        """A page up or down."""
        if self.query(LineList):
            self.action_row(pages * max(1, self.rows.size.height // self.rows.row_height - 1))

    def action_leave(self) -> None:
        """Leave, and change nothing."""
        self.dismiss(None)

    def action_back(self) -> None:
        """A step back; from the first, leave."""
        self.action_leave()

    def on_click(self, event: Click) -> None:
        """Typing goes on after a click into the list."""
        fields = [field for field in self.query(Input) if field.display]
        if fields and isinstance(event.widget, LineList):
            fields[0].focus()


def quiet_input(hint: str = "", *, longest: int = 500, replace: bool = False) -> Input:
    """A line to type into, as all screens have it; ``replace``: typing replaces what is proposed in it."""
    field = Input(placeholder=hint, max_length=longest, select_on_focus=replace)
    field.cursor_blink = False
    return field
