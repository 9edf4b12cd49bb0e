"""A screen that knows whether it still stands: workers and timers must not draw on what is being taken away."""

from __future__ import annotations

from typing import TypeVar

from textual.await_complete import AwaitComplete
from textual.events import ScreenResume
from textual.screen import ModalScreen, Screen

Result = TypeVar("Result")


class Standing(Screen[Result], inherit_bindings=False):
    """From its answer on nothing is drawn on it, nothing is done on it, and it is answered no second time."""

    gone = False
    late: tuple[Result | None] | None = None  # the answer, while another screen lies over this one

    @property
    def stands(self) -> bool:
        """Whether there are widgets to draw into: not before the first drawing, nor once it is being left."""
        return self.is_mounted and self.is_running and self.is_attached and not self.gone

    def dismiss(self, result: Result | None = None) -> AwaitComplete:
        """Go, with an answer; a screen that lies over this one stays, and this one goes when it has gone."""
        if self.gone:
            return AwaitComplete()
        self.gone = True
        if not self.is_active:  # the library would take away whatever is on top
            self.late = (result,)
            return AwaitComplete()
        return super().dismiss(result)

    def on_screen_resume(self, event: ScreenResume) -> None:
        """What lay over it has gone: so does this, if it was answered meanwhile."""
        if self.late is not None:
            (result,), self.late = self.late, None
            super().dismiss(result)

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """A key that comes after the answer is nobody's."""
        return super().check_action(action, parameters) and not self.gone


class StandingModal(Standing[Result], ModalScreen[Result], inherit_bindings=False):
    """The same over another screen, which shows through."""

    # The library takes such rules from the first of several bases only.
    DEFAULT_CSS = """
    StandingModal {
        layout: vertical; overflow-y: auto; background: $background 60%;
        &:ansi { background: transparent; }
    }
    """
