"""The weeks under a mouse: a flag is dragged to another day, a day is clicked."""

from __future__ import annotations

from textual.events import Click, MouseDown, MouseMove, MouseUp
from textual.message import Message

from planner.app.draw.linelist import LineList

Spot = tuple[int, int, int]  # week, column of the screen, line within the week


class WeekRows(LineList):
    """A list of weeks that tells where on a day the mouse did something."""

    class Pressed(Message):
        """A day was clicked."""

        def __init__(self, spot: Spot) -> None:
            super().__init__()
            self.spot = spot

    class Carried(Message):
        """The mouse went from one spot to another with its button down; ``over``: and has let go there."""

        def __init__(self, begin: Spot, end: Spot, over: bool) -> None:
            super().__init__()
            self.begin, self.end, self.over = begin, end, over

    held: Spot | None = None  # where the button went down
    carried = False  # the click that comes with letting go is none

    def _spot(self, x: int, y: int) -> Spot:
        week, part = divmod(y + self.scroll_offset.y, self.row_height)
        return week, x, part

    def on_mouse_down(self, event: MouseDown) -> None:
        """Something may be taken hold of here."""
        self.carried = False
        self.held = self._spot(event.x, event.y)
        self.capture_mouse()

    def on_mouse_move(self, event: MouseMove) -> None:
        """It is carried along."""
        spot = self._spot(event.x, event.y)
        if self.held is not None and spot != self.held:
            self.post_message(self.Carried(self.held, spot, over=False))

    def on_mouse_up(self, event: MouseUp) -> None:
        """It is let go."""
        begin, spot = self.held, self._spot(event.x, event.y)
        self.held = None
        self.release_mouse()
        if begin is not None and spot != begin:
            self.carried = True
            self.post_message(self.Carried(begin, spot, over=True))

    def on_click(self, event: Click) -> None:
        """A click is for the day, and not for the week as a whole."""
        event.prevent_default()
        if not self.carried:
            self.post_message(self.Pressed(self._spot(event.x, event.y)))
        self.carried = False
