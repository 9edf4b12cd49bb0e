"""A long search beside the screen: what is looked for, for how long, and a key that stops it with the best so far."""

from __future__ import annotations

import time
from asyncio import FIRST_COMPLETED, ensure_future, sleep, to_thread, wait
from collections.abc import Callable
from typing import TYPE_CHECKING, ClassVar, TypeVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.widgets import Static

from planner.app.draw.drawing import content
from planner.app.draw.linelist import bindings_of
from planner.app.frame.choose import BOX
from planner.app.frame.stands import StandingModal
from planner.telling.looks import bar, line

if TYPE_CHECKING:
    from planner.app.frame.host import Host

Found = TypeVar("Found")
_UNSEEN = 0.4  # seconds after which a search is worth a word


class Looking(StandingModal[None]):
    """Stands while a search runs; ``stopped`` once it was told to stop."""

    DEFAULT_CSS = f"Looking {BOX}"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("looking")

    def __init__(self, what: str, most: float) -> None:
        super().__init__()
        self.what, self.most = what, most
        self.began = time.monotonic()
        self.stopped = False

    def compose(self) -> ComposeResult:
        """What is looked for, and how long it has been."""
        with Vertical(classes="box"):
            yield Static(id="looking", markup=False)

    def on_mount(self) -> None:
        """Go on with the time."""
        self.show_time()
        self.set_interval(0.5, self.show_time)

    def show_time(self) -> None:
        """The time that has gone, of the most that it takes."""
        if not self.stands:
            return
        gone = min(self.most, time.monotonic() - self.began)
        rest = "  stopping" if self.stopped else f"  {gone:.0f} s of at most {self.most:.0f} s"
        lines = [
            line((f"… {self.what}", "title")),
            (*bar(int(gone * 10), int(self.most * 10), 24), *line((rest, "dim"))),
            line(("Esc", "key"), " stop, and take the best so far"),
        ]
        self.query_one(Static).update(content(lines, self.app.theme))

    def action_stop(self) -> None:
        """Stop the search; it goes once the search has."""
        self.stopped = True
        self.show_time()


async def looked_for(shell: Host, what: str, most: float, search: Callable[[Callable[[], bool]], Found]) -> Found:
    """Run a search beside the screen; it is handed what tells it to stop. In a worker only."""
    page = Looking(what, most)
    running = ensure_future(to_thread(search, lambda: page.stopped))
    await wait([running, ensure_future(sleep(_UNSEEN))], return_when=FIRST_COMPLETED)
    if not running.done():
        shell.push_screen(page)
        await wait([running])
        page.dismiss(None)
    return running.result()


def still_asked(shell: Host, page: object, opened: object) -> bool:
    """Whether what was looked for is still wanted: not once it was asked for twice, or its screen or build was left."""
    return shell.opened is opened and not shell.covered and shell.page is page
