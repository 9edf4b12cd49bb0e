"""A list whose rows are drawn when they come into view: ten thousand cost no more than ten."""

from __future__ import annotations

from collections.abc import Callable, Hashable, Sequence
from typing import ClassVar

from rich.style import Style
from textual.binding import Binding, BindingType
from textual.events import Click, Resize
from textual.geometry import Region, Size
from textual.message import Message
from textual.scroll_view import ScrollView
from textual.strip import Strip

from planner.app.draw.drawing import strip
from planner.app.keys.table import KEYS
from planner.telling.looks import Line

#: Draws a row: its index and the width there is, as many lines as a row is high.
Draw = Callable[[int, int], Sequence[Line]]


def bindings_of(where: str) -> list[BindingType]:
    """The bindings of one screen or kind of widget, from the table of keys."""
    return [Binding(key.key, key.action, key.says, id=key.id, show=False) for key in KEYS if key.where == where]


def ids_of(screen: type) -> list[str]:
    """The ids of the bindings that a class of screen has, its own first."""
    bound = [each for kind in screen.__mro__ for each in kind.__dict__.get("BINDINGS", ())]
    return [each.id for each in bound if isinstance(each, Binding) and each.id]


class LineList(ScrollView, can_focus=True, inherit_bindings=False):
    """Rows of one height under a cursor."""

    DEFAULT_CSS = """
    LineList { height: 1fr; scrollbar-size-vertical: 1; scrollbar-gutter: stable; overflow-x: hidden; }
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("list")

    class Moved(Message):
        """The cursor is on another row; ``by_hand``: a person moved it, and not the screen itself."""

        def __init__(self, rows: LineList, by_hand: bool = True) -> None:
            super().__init__()
            self.rows = rows
            self.by_hand = by_hand

        @property
        def control(self) -> LineList:
            """The list itself."""
            return self.rows

    class Chosen(Message):
        """The row under the cursor was asked for, by key or by mouse."""

        def __init__(self, rows: LineList) -> None:
            super().__init__()
            self.rows = rows

        @property
        def control(self) -> LineList:
            """The list itself."""
            return self.rows

    def __init__(self, draw: Draw, *, row_height: int = 1, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.draw = draw
        self.row_height = row_height
        self.names: Sequence[Hashable] = ()
        self.cursor = 0
        self.under = Style.null()

    def set_rows(self, names: Sequence[Hashable]) -> None:
        """Take new rows; the cursor stays on the row of the same name where there is one."""
        old = self.names[self.cursor] if self.cursor < len(self.names) else None
        self.names = names
        if old is not None and old in names:
            self.cursor = names.index(old)
        self.cursor = max(0, min(self.cursor, len(names) - 1))
        self._fit()
        self.refresh()

    def _fit(self) -> None:
        self.virtual_size = Size(self.size.width, len(self.names) * self.row_height)

    def on_resize(self, event: Resize) -> None:
        """Keep the width of the rows that of the widget, and the cursor in sight."""
        self._fit()
        self.show_cursor()
        self.refresh()

    @property
    def name_at_cursor(self) -> Hashable | None:
        """The name of the row under the cursor."""
        return self.names[self.cursor] if self.cursor < len(self.names) else None

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines that are asked for; the widget's own style is worked out once for all of them."""
        self.under = self.rich_style
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        """One line of the widget, by its place on the screen."""
        width = self.scrollable_content_region.width
        row, part = divmod(y + self.scroll_offset.y, self.row_height)
        palette = self.app.theme
        under = self.under
        if row >= len(self.names):
            return strip((), width, palette, under)
        lines = self.draw(row, width)
        base = ""
        if row == self.cursor and part < len(lines):  # a line between two rows belongs to neither
            base = "cursor" if self.has_focus else "row"
        return strip(lines[part] if part < len(lines) else (), width, palette, under, base)

    def refresh_row(self, row: int) -> None:
        """Draw one row again."""
        y = row * self.row_height - self.scroll_offset.y
        self.refresh(Region(0, y, self.size.width, self.row_height))

    def move_to(self, row: int, *, by_hand: bool = True) -> None:
        """Put the cursor on a row and bring it into view."""
        row = max(0, min(row, len(self.names) - 1))
        if row == self.cursor or not self.names:
            return
        old, self.cursor = self.cursor, row
        self.refresh_row(old)
        self.refresh_row(row)
        self.show_cursor()
        self.post_message(self.Moved(self, by_hand))

    def show_cursor(self) -> None:
        """Scroll just so far that the cursor can be seen."""
        top = self.cursor * self.row_height
        self.show_lines(top, top + self.row_height)

    def show_lines(self, top: int, bottom: int) -> None:
        """Scroll just so far that these lines can be seen."""
        height = self.scrollable_content_region.height
        if not height:
            return
        here = self.scroll_offset.y
        if top < here:
            self.scroll_to(y=top, animate=False)
        elif bottom > here + height:
            self.scroll_to(y=bottom - height, animate=False)

    # What keys and mouse do

    def action_up(self) -> None:
        """To the row above."""
        self.move_to(self.cursor - 1)

    def action_down(self) -> None:
        """To the row below."""
        self.move_to(self.cursor + 1)

    def _page(self) -> int:
        return max(1, self.size.height // self.row_height - 1)

    def action_page_up(self) -> None:
        """A page up."""
        self.move_to(self.cursor - self._page())

    def action_page_down(self) -> None:
        """A page down."""
        self.move_to(self.cursor + self._page())

    def action_first(self) -> None:
        """To the first row."""
        self.move_to(0)

    def action_last(self) -> None:
        """To the last row."""
        self.move_to(len(self.names) - 1)

    def action_choose(self) -> None:
        """Ask for the row under the cursor."""
        if self.names:
            self.post_message(self.Chosen(self))

    def on_click(self, event: Click) -> None:
        """A click puts the cursor there; on the cursor, or twice, it asks for the row."""
        row = (event.y + self.scroll_offset.y) // self.row_height
        if 0 <= row < len(self.names):
            asked = row == self.cursor or event.chain > 1
            self.move_to(row)
            if asked:
                self.post_message(self.Chosen(self))
