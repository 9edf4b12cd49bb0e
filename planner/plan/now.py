"""What to do now: the operations that may begin, what speaks for each, and what does not fit before closing.

Reasons are data; words are made of them at the edge. Minutes and seconds as their names say; instants in UTC seconds.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.plan.calendar.jobs import job_of
from planner.plan.expand import Operation
from planner.plan.live import Live
from planner.plan.model import Finding
from planner.plan.orders.links import links_of

#: What speaks for an operation, and what against it.
TRAP, TOO_LONG, CLOSING, HELPER = "trap", "too-long", "closing", "helper"
CRITICAL, SETUP, NEW_SETUP, FILLS, CLOSES, LONG_WAIT, CAMERA, AHEAD, NEXT, FITS = (
    "critical", "set-up", "new-set-up", "fills", "closes", "long-wait", "camera", "ahead", "next", "fits",
)  # fmt: skip
AGAINST = frozenset({TRAP, TOO_LONG, CLOSING, HELPER})
_LONG = 3600  # a wait worth beginning early, in seconds


class Reason(NamedTuple):
    """One thing that speaks for or against an operation now: what it is, whom or what it is about, and how long."""

    what: str
    about: str = ""
    seconds: float = 0


class Choice(NamedTuple):
    """An operation that may begin now."""

    op: Operation
    ends: float
    fits: bool
    why: tuple[Reason, ...]


class Hours(NamedTuple):
    """Until when each place is open; a place that is not named is closed, and None: there are no hours at all."""

    until: Mapping[str, float] | None


def choices(live: Live, now: float, hours: Hours) -> list[Choice]:
    """What may begin now, the best first: what fits, keeps the set-up, is on the critical path; then as planned."""
    remaining = live.remaining()
    open_now = [op for op in remaining if live.is_ready(op, now) and not live.is_ahead(op, now)]
    waits = live.running(now)
    if not open_now and not waits:
        # What is next as planned cannot be done, and no wait will help: what is free further on is better than nothing.
        open_now = [op for op in remaining if live.is_ahead(op, now) and not _traps(live, op, now)]
    if not open_now:
        return []
    booking = job_of(live, remaining, now)
    tasks = {task.name: task for task in booking.job.tasks}
    tails = _tails(live, remaining)
    longest = max(tails.values(), default=0)
    setup = next((op.step.setup for op, _ in reversed(live.done) if op.step.setup is not None), None)
    side = next((op.side for op, _ in reversed(live.done) if op.on_camera and op.side is not None), None)
    following = live.next()
    found = []
    for op in open_now:
        task = tasks.get(op.name)
        seconds = (task.minutes * 60) if task is not None else (op.step.time or 0)
        ends = now + seconds
        until = None if hours.until is None else hours.until.get(op.step.where, now)
        why: list[Reason] = []
        trap = next(iter(_traps(live, op, now)), None)
        if trap is not None:
            why.append(Reason(TRAP, trap.at))
        if until is not None and ends > until:
            why.append(Reason(TOO_LONG, "", seconds))
        elif until is not None and task is not None:
            closing = [booking.job.closing[fact] for fact in task.opens - task.closes if fact in booking.job.closing]
            last = max(closing, key=lambda each: each.minutes, default=None)
            if last is not None and ends + last.minutes * 60 > until:
                why.append(Reason(CLOSING, last.name, seconds + last.minutes * 60))
        if op.step.hands > 1:
            why.append(Reason(HELPER, "", op.step.hands))
        fits = not any(reason.what in AGAINST - {HELPER} for reason in why)
        if tails.get(op.name, 0) == longest and longest:
            why.append(Reason(CRITICAL, "", longest))
        if op.step.setup is not None and setup is not None:
            why.append(Reason(SETUP if op.step.setup == setup else NEW_SETUP, op.step.setup))
        if task is not None and task.closes:
            closed = next((debt for debt in live.debts() if any(debt in fact for fact in task.closes)), None)
            if closed is not None:
                why.append(Reason(CLOSES, closed))
        if op.step.wait >= _LONG:
            why.append(Reason(LONG_WAIT, "", op.step.wait))
        if waits and fits:
            why.append(Reason(FILLS, waits[0].cause, waits[0].until - now))
        if op.on_camera and op.side is not None and op.side == side:
            why.append(Reason(CAMERA, side))
        ahead = live.ahead_of(op)
        if ahead is not None:
            why.append(Reason(AHEAD, ahead.name))
        if op is following:
            why.append(Reason(NEXT))
        if fits and until is not None:
            why.append(Reason(FITS, "", until - ends))
        found.append(Choice(op, ends, fits, tuple(why)))
    place = {op.name: index for index, op in enumerate(remaining)}

    def rank(choice: Choice) -> tuple[object, ...]:
        whats = {reason.what for reason in choice.why}
        return (
            not choice.fits,
            CLOSES not in whats,
            NEW_SETUP in whats,
            CRITICAL not in whats,
            place[choice.op.name],
        )

    return sorted(found, key=rank)


def _traps(live: Live, op: Operation, now: float) -> list[Finding]:
    """What would be sprung by doing op now; that it is ahead is a reason of its own."""
    return [finding for finding in live.would_find(op, now) if finding.rule != "ahead"]


def _tails(live: Live, remaining: Sequence[Operation]) -> dict[str, int]:
    """For each operation, the seconds from its beginning to the end of all that must follow it, hours endless."""
    links = links_of(live.plan, [op for op, _ in live.done], remaining).links
    after: dict[int, int] = {}
    tails = [0] * len(remaining)
    behind: dict[int, list[tuple[int, int]]] = {}
    for link in links:
        behind.setdefault(link.before, []).append((link.after, link.wait))
    for index in range(len(remaining) - 1, -1, -1):
        after[index] = max((tails[each] + wait for each, wait in behind.get(index, ())), default=0)
        tails[index] = (remaining[index].step.time or 0) + after[index]
    return {op.name: tails[index] for index, op in reversed(list(enumerate(remaining)))}
