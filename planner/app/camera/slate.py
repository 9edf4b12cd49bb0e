"""The slate: held before the camera so that picture and log can be matched."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Click, Key
from textual.widgets import Static

from planner.app.draw.big import big
from planner.app.draw.drawing import content
from planner.app.frame.stands import StandingModal
from planner.telling.finding import shown_name
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.session.opened import Opened


def slate_lines(opened: Opened, op: Operation, take: int, now: float) -> list[Line]:
    """What stands on the slate."""
    one = opened.one
    episode, stage = one.plan.stages[op.stage]
    return [
        line((one.plan.build.name, "strong")),
        line(f"episode {episode.number}  {episode.title}"),
        line(stage.title),
        (),
        line((shown_name(op.name), "title"), ("" if op.side else "   once", "strong")),
        line(one.said(op)),
        line(opened.local(now)),
        (),
        *(line((row, "strong")) for row in big(f"take {take}") or ()),
        (),
    ]


class Slate(StandingModal[None], inherit_bindings=False):
    """Any key or click takes it away."""

    DEFAULT_CSS = """
    Slate { align: center middle; }
    #card { width: 90%; max-width: 70; height: auto; padding: 1 3; background: $background; border: heavy $foreground; }
    """
    BINDINGS: ClassVar[list[BindingType]] = []

    def __init__(self, opened: Opened, op: Operation, take: int) -> None:
        super().__init__()
        self.lines = slate_lines(opened, op, take, opened.clock())

    def compose(self) -> ComposeResult:
        """The card."""
        with Vertical(id="card"):
            yield Static(content(self.lines, self.app.theme), markup=False)
            yield Static(content([line(("any key takes the slate away", "dim"))], self.app.theme), markup=False)

    def on_key(self, event: Key) -> None:
        """Any key takes it away, and does nothing else."""
        event.stop()
        self.dismiss(None)

    def on_click(self, event: Click) -> None:
        """So does a click."""
        self.dismiss(None)
