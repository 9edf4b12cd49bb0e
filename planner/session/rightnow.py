"""What to do now in the build that is open, by its hours."""

from __future__ import annotations

from typing import NamedTuple

from planner.plan.live import Wait
from planner.plan.messages import split_grounded
from planner.plan.now import Choice, Hours, choices
from planner.session.onebuild import OneBuild


class Now(NamedTuple):
    """What may begin, what waits, and what is owed."""

    at: float
    until: float | None  # the end of the time there is; None: nobody said
    open: bool  # whether the place of the first choice is open
    choices: tuple[Choice, ...]
    waiting: tuple[Wait, ...]
    debts: tuple[str, ...]
    tonight: tuple[str, ...] = ()  # those of the debts that are due before leaving


def right_now(one: OneBuild, at: float | None = None, length: float | None = None) -> Now:
    """What to do at that time (now), for so many seconds (to the end of the shift that runs)."""
    now = one.clock() if at is None else at
    hours, until = _hours(one, now, length)
    one.look(now)
    found = choices(one.live, now, hours)
    open_ = hours.until is None or bool(hours.until)
    debts = tuple(one.live.debts())
    tonight = due_tonight(one)
    return Now(now, until, open_, tuple(found), tuple(one.live.running(now)), debts, tonight)


def due_tonight(one: OneBuild) -> tuple[str, ...]:
    """The debts that were opened by what was done and are due before leaving."""
    return tuple(name for name in one.live.debts() if _is_due_tonight(one, name))


def _is_due_tonight(one: OneBuild, debt: str) -> bool:
    known = one.plan.build.conditions.get(split_grounded(debt)[0])
    return known is not None and known.word is not None and known.word.owed == "shift"


def _hours(one: OneBuild, now: float, length: float | None) -> tuple[Hours, float | None]:
    if length is not None:
        return Hours({"shop": now + length, "desk": now + length}), now + length
    shop = one.plan.build.shop
    if not shop.hours and not shop.desk:
        return Hours(None), None
    from planner.files.times.shifts import shifts_of

    until: dict[str, float] = {}
    for shift in shifts_of(shop, now, 1):
        if shift.start * 60 <= now + 60 and shift.end * 60 > now:
            until.setdefault(shift.place, shift.end * 60)
    if not shop.desk and "shop" in until:
        until["desk"] = until["shop"]
    return Hours(until), max(until.values(), default=None)
