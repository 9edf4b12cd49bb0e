"""Whether a press of the tick key is a press of its own, or a key that is held and repeats itself. Pure."""

from __future__ import annotations

PAUSE = 0.7  # seconds after a tick without another: longer than a key is held before it repeats itself
REPEATS = 0.25  # seconds between two presses that a hand seldom makes: the key is held
LONG_AGO = float("-inf")


class Presses:
    """Remembers the latest tick and the latest press that was passed over after it; it is told the time."""

    def __init__(self) -> None:
        self.ticked_at = self.passed_at = LONG_AGO

    def press(self, now: float) -> bool:
        """The key was pressed; whether it may tick. A clock that was set back holds nothing up."""
        held = 0 <= now - self.ticked_at < PAUSE or 0 <= now - self.passed_at < REPEATS
        if held:
            self.passed_at = now
        return not held

    def tick(self, now: float) -> None:
        """Something was ticked."""
        self.ticked_at = now

    def let_go(self) -> None:
        """Another key was pressed: this one is not held."""
        self.ticked_at = self.passed_at = LONG_AGO
