"""A text in pieces, folded to the width there is and scrolled; drawn line by line like the lists."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.style import Style
from textual.binding import BindingType
from textual.events import Resize
from textual.geometry import Region, Size
from textual.scroll_view import ScrollView
from textual.strip import Strip

from planner.app.draw.drawing import fold, strip
from planner.app.draw.linelist import bindings_of
from planner.telling.looks import Line


class TextPane(ScrollView, can_focus=True, inherit_bindings=False):
    """Lines of text."""

    DEFAULT_CSS = """TextPane { scrollbar-size-vertical: 1; scrollbar-gutter: stable; overflow-x: hidden; }"""
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("text")

    def __init__(self, *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(id=id)
        self.lines: Sequence[Line] = ()
        self.folded: list[Line] = []
        self.under = Style.null()

    def show_lines(self, lines: Sequence[Line], *, top: bool = False) -> None:
        """Show other lines; ``top``: from their beginning."""
        self.lines = lines
        self.fold_again()
        if top and self.scroll_offset.y:
            self.scroll_to(y=0, animate=False)

    def fold_again(self) -> None:
        """Fold the lines to the width there is now."""
        width = self.scrollable_content_region.width
        self.folded = fold(self.lines, width)
        size = Size(width, len(self.folded))
        if size != self.virtual_size:
            self.virtual_size = size
        self.refresh()

    def on_resize(self, event: Resize) -> None:
        """The width changed."""
        self.fold_again()

    def render_lines(self, crop: Region) -> list[Strip]:
        """The lines that are asked for; the widget's own style is worked out once for all of them."""
        self.under = self.rich_style
        return super().render_lines(crop)

    def render_line(self, y: int) -> Strip:
        """One line, by its place on the screen."""
        index = y + self.scroll_offset.y
        width = self.scrollable_content_region.width
        pieces = self.folded[index] if index < len(self.folded) else ()
        return strip(pieces, width, self.app.theme, self.under)

    def action_scroll_page_up(self) -> None:
        """A page up."""
        self.scroll_page_up(animate=False)

    def action_scroll_page_down(self) -> None:
        """A page down."""
        self.scroll_page_down(animate=False)
