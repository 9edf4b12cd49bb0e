"""Why a tick is refused, as data: each surface says what to do about it in its own words."""

from __future__ import annotations

from enum import Enum


class Reason(Enum):
    """What stands against a tick."""

    FINDINGS = "findings"  # it would spring traps or gaps
    DONE_ALREADY = "done already"
    NOTHING_TO_UNDO = "nothing to undo"
    HOLD = "hold"  # its reading is missing, is no reading, or does not show that it lies within its limits
    NO_READING = "no reading"  # what was typed is none of its number
    NOT_DONE_YET = "not done yet"  # so it cannot be done once more
