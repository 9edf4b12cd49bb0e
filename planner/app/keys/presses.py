"""Whether a press of a key that acts is a press of its own, or a key that is held and repeats itself. Pure."""

from __future__ import annotations

PAUSE = 0.7  # seconds after an act without another: longer than a key is held before it repeats itself
REPEATS = 0.25  # seconds between two presses that a hand seldom makes: the key is held
LONG_AGO = float("-inf")

#: Actions that record, take back or take out, as the table of keys names them: each takes a press of its own. Not
#: those that only move, nor undo and redo of edits, which take each other back.
ONCE = frozenset(
    {
        "tick",
        "again",
        "undo",
        "rolling",
        "slate",
        "not_filmed",
        "clear",
        "put_back",
        "copy_build",
        "remove_build",
        "write('duplicate')",
        "write('delete')",
    }
)


class Presses:
    """Remembers the latest act and the latest press that was passed over after it; it is told the time."""

    def __init__(self) -> None:
        self.action = ""
        self.acted_at = self.passed_at = LONG_AGO

    def press(self, action: str, now: float) -> bool:
        """An action was asked for; whether it may be done. Any other action in between means that no key is held, and
        a clock that was set back holds nothing up."""
        action = action.rpartition("screen.")[2]
        if action != self.action or action not in ONCE:
            self.action, self.acted_at, self.passed_at = action, LONG_AGO, LONG_AGO
        held = 0 <= now - self.acted_at < PAUSE or 0 <= now - self.passed_at < REPEATS
        if held:
            self.passed_at = now
        elif action in ONCE:
            self.acted_at = now
        return not held
