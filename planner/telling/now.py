"""Why an operation is the one to do now, or is not one for tonight."""

from __future__ import annotations

from planner.plan import now as known
from planner.plan.now import Choice, Reason
from planner.plan.words import show_duration


def reason_says(reason: Reason) -> str:
    """One reason in words."""
    what, about, seconds = reason
    long = show_duration(max(0, int(seconds)))
    return {
        known.TRAP: f"it would spring a trap at {about}",
        known.TOO_LONG: f"it needs {long}, more than is left",
        known.CLOSING: f"with {about}, which must follow before leaving, it needs {long}",
        known.HELPER: f"it wants {int(seconds)} people",
        known.CRITICAL: f"on the critical path: {long} of work and waits hang on it",
        known.SETUP: f"the set-up stands: {about}",
        known.NEW_SETUP: f"it wants another set-up: {about}",
        known.FILLS: f"it fills the wait of {about}, {long} more",
        known.CLOSES: f"it closes what is owed: {about}",
        known.LONG_WAIT: f"its wait of {long} can run without you",
        known.CAMERA: f"the camera stands right: {about}",
        known.NEXT: "next as planned",
        known.FITS: f"it fits, with {long} to spare",
    }[what]


def reasons_say(choice: Choice) -> list[str]:
    """All reasons of a choice."""
    return [reason_says(reason) for reason in choice.why]


def choice_line(choice: Choice) -> str:
    """A choice in one line."""
    return f"{choice.op.name}: {'; '.join(reasons_say(choice)) or 'nothing is against it'}"
