"""The desks of all builds whose numbers were looked at, so that nothing typed is lost between screens and builds."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol, TypeVar

from planner.session.numbers.desk import Desk

if TYPE_CHECKING:
    from planner.session.numbers.file import Now
    from planner.session.opened import Opened

Result = TypeVar("Result")


class Holder(Protocol):
    """Whoever holds the build that is open, and can work beside the screen."""

    opened: Opened | None

    def beside(self, work: Callable[[], Result], done: Callable[[Result], None]) -> None:
        """Do work beside the screen, then hand its result over."""


class Shelf:
    """A desk a build, and what its files looked like when they were last read."""

    def __init__(self) -> None:
        self.desks: dict[Path, Desk] = {}
        self._seen: dict[Path, object] = {}

    def unsaved(self) -> int:
        """How many changes are in no file yet, in all builds."""
        return sum(len(desk.draft.unsaved()) for desk in self.desks.values())

    def look(self, shell: Holder, taken: Callable[[], None]) -> None:
        """Read the numbers of the open build beside the screen, where they are new or their file changed."""
        from planner.files.disk.watching import plan_signature
        from planner.files.layout import NUMBERS_FILE
        from planner.session.numbers.file import read_now

        opened = shell.opened
        if opened is None:
            return
        folder, build = opened.folder, opened.one.plan.build
        lengths = build.show.get("lengths")
        files = tuple(each for each in plan_signature(folder) if each[0] == NUMBERS_FILE)
        text = held_text(opened)
        now = (files, build.sides, lengths, text)
        if self._seen.get(folder) == now:
            return
        self._seen[folder] = now

        def take(read: Now) -> None:
            if self._seen.get(folder) == now:
                self.take(shell, folder, read, taken)
                taken()

        shell.beside(lambda: read_now(folder, build.sides, lengths, text), take)

    def take(self, shell: Holder, folder: Path, read: Now, redraw: Callable[[], None]) -> None:
        """Put what was read on the build's desk."""
        opened = shell.opened
        if opened is None:
            return
        sides = opened.one.plan.build.sides
        if folder in self.desks:
            self.desks[folder].take(read, sides)
        else:
            self.desks[folder] = Desk(read, sides, shell.beside, redraw)


def held_text(opened: Opened) -> str | None:
    """What numbers.yaml says where the disk has refused it; None: what is on the disk counts."""
    from planner.files.layout import NUMBERS_FILE

    return opened.desk.held(str(opened.folder / NUMBERS_FILE)) if opened.desk is not None else None
