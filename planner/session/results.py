"""What comes of asking the build that is open, as data: each surface says it in its own words."""

from __future__ import annotations

from enum import Enum
from typing import NamedTuple

from planner.plan.expand import Operation
from planner.plan.model import Finding


class Reason(Enum):
    """What stands against a tick."""

    FINDINGS = "findings"  # it would spring traps or gaps
    DONE_ALREADY = "done already"
    NOTHING_TO_UNDO = "nothing to undo"
    HOLD = "hold"  # its reading is missing, is no reading, or does not show that it lies within its limits
    NO_READING = "no reading"  # what was typed is none of its number
    NOT_DONE_YET = "not done yet"  # so it cannot be done once more


class Refusal(NamedTuple):
    """A tick that was not recorded: what it would have led to, and what could be done instead."""

    op: str
    says: str
    findings: tuple[Finding, ...]
    instead: str | None
    reason: Reason = Reason.FINDINGS
    verdict: str | None = None  # of the reading at a hold point, which is recorded all the same
    judged: str = ""  # what is said of that reading alone


class Ticked(NamedTuple):
    """A tick that is on the disk."""

    op: str
    did: str
    at: float
    accepted: tuple[str, ...]  # ids of the findings that the person took on
    next: str | None
    until: float | None = None  # when the wait is over that a thermometer has corrected, in UTC seconds


class OperationState(NamedTuple):
    """Where one operation stands now."""

    op: Operation
    episode: int
    stage: str
    done: bool
    ready: bool
    waiting_until: float | None  # UTC seconds
    missing: tuple[str, ...]  # needs that do not hold
    after: tuple[str, ...] = ()  # steps that must be complete first and are not
    ahead: bool = False  # nothing is against it but that it would begin its stage ahead of open work
    debts: tuple[str, ...] = ()  # of a sign-off that is open: what was opened and is not closed again
