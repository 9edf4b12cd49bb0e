"""Which waits run, which are over, and whether the bell rings. Pure: it is told the waits and the time."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.plan.live import Wait

FILMING = 12 * 3600  # seconds that a bell stays off at most: forgotten for ever, a wait would be missed
RINGS = 60  # once a second, so a minute long
SHOWN_FOR = 900  # seconds that a wait that is over stays on the screen


def off_since(kept: str, now: float) -> bool:
    """Whether the bell was turned off, by what was kept of it, and that is no longer ago than one filming lasts.

    >>> off_since("off 1000", 1000 + 3600), off_since("off 1000", 1000 + 86400), off_since("", 0), off_since("off x", 0)
    (True, False, False, False)
    """
    word, _, since = kept.partition(" ")
    return word == "off" and since.isdecimal() and 0 <= now - int(since) < FILMING


class Ringer:
    """Remembers the waits it has seen running, so that it notices when one is over."""

    def __init__(self, *, off: bool = False) -> None:
        self.off = off  # somebody is filming: what is over is shown, and not heard
        self.running: dict[str, float] = {}  # operation -> until, in UTC seconds
        self.over: dict[str, float] = {}
        self.left = 0  # rings that are still to come

    def look(self, waits: Sequence[Wait], now: float) -> bool:
        """Take in the waits of this second; whether the bell rings."""
        current = {wait.cause: wait.until for wait in waits}
        for cause, until in self.running.items():
            if cause not in current and until <= now:
                self.over[cause] = until
                self.left = RINGS
        for cause in [c for c, until in self.over.items() if c in current or now - until > SHOWN_FOR]:
            del self.over[cause]
        self.running = current
        if not self.over:
            self.left = 0
        if not self.left:
            return False
        self.left -= 1
        return not self.off

    def silence(self) -> bool:
        """Ring no more for what is over; whether it was ringing."""
        was, self.left = self.left > 0 and not self.off, 0
        return was

    def attend(self) -> None:
        """Somebody ticked: what was over has been seen."""
        self.left = 0
        self.over = {}
