"""A build's calendar: its hours and what remains of it, joined."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from planner.files.times.shifts import shifts_of
from planner.plan.calendar.jobs import Booking, job_of, minutes
from planner.plan.calendar.results import Results, results_of
from planner.plan.calendar.search import find_calendar, never
from planner.plan.calendar.values import DESK, SHOP, Booked, Job, NeverFitsError, Shift, TooShortError
from planner.plan.expand import Operation
from planner.plan.findings import Order, check
from planner.plan.live import Live
from planner.plan.model import Finding, Shop
from planner.plan.words import show_duration
from planner.session.onebuild import OneBuild

#: how far ahead a calendar looks
YEARS = 20
_FIRST_DAYS = 364

#: rules that say that an order is wrong; the rest stands beside the calendar and does not block it
BLOCKING = frozenset({"other-side", "given-later", "spoiled", "after-broken", "turn-broken", "cycle", "gone-off"})


class NoCalendarError(Exception):
    """Why there is no calendar, in one line that says what to change; ``traps``: the order is at fault."""

    def __init__(self, says: str, traps: Sequence[Finding] = ()) -> None:
        super().__init__(says)
        self.says, self.traps = says, tuple(traps)


class Made(NamedTuple):
    """A calendar with what it was made of."""

    results: Results
    shop: Shop
    booking: Booking
    booked: Booked
    shifts: tuple[Shift, ...]
    notes: tuple[str, ...]  # what has to be said beside it, a line each


def make_calendar(
    one: OneBuild,
    start: float | None = None,
    *,
    shop: Shop | None = None,
    pace: float = 1.0,
    tries: int | None = None,
    stop: Callable[[], bool] = never,
) -> Made:
    """The calendar of what remains, from ``start`` (UTC seconds; now) on. Raises NoCalendarError.

    ``shop``: other hours than the build's, to try them out. ``pace``: how many times as long as planned it takes.
    """
    live = one.live
    now = one.clock() if start is None else start
    shop = live.plan.build.shop if shop is None else shop
    notes: list[str] = []
    order = good_order(live, notes)
    booking = job_of(live, order, now, pace)
    check_hours(live, booking, shop)
    booked, shifts = book(live, booking.job, shop, now, tries, stop)
    notes += _notes(live, booking, now)
    waits = [minutes(op.step.wait) for op in booking.ops]
    running = [(wait.cause, minutes(wait.until)) for wait in live.running(now)]
    results = results_of(booking.job, booked, shifts, waits, running, _ready(live))
    return Made(results, shop, booking, booked, shifts, tuple(notes))


def good_order(live: Live, notes: list[str]) -> list[Operation]:
    """What remains, as written where that is good, else in a good order that is found; notes say so.

    Raises NoCalendarError where there is none.
    """
    done = [op for op, _ in live.done]
    order = live.remaining()
    bad = _blocking(live, order)
    if not bad:
        return order
    from planner.plan.repairs import find_repairs

    first = bad
    for _ in range(2 * len(first)):
        repairs = find_repairs(live.plan, done, order, bad, never)
        better = [
            [live.by_name[name] for name in repair.order]
            for finding in bad
            for repair in (repairs.by_finding.get(finding.id), *repairs.further.get(finding.id, ()))
            if repair is not None and repair.kind != "rework" and not repair.partial
        ]
        fewer = [found[len(done) :] if len(found) > len(order) else found for found in better]
        fewer = [found for found in fewer if len(_blocking(live, found)) < len(bad)]
        if not fewer:
            break
        order = fewer[0]
        bad = _blocking(live, order)
        if not bad:
            notes.append(f"as written, {_named(first)}; this calendar goes by another order, which mends that")
            return order
    raise NoCalendarError(
        f"no order of what remains is good: {_named(bad)}; see planner check, mend it, then make the calendar", bad
    )


def _named(findings: Sequence[Finding]) -> str:
    """What fails, and where."""
    said = [f"{f.at} {f'needs {f.condition}' if f.condition else f'stands too early ({f.rule})'}" for f in findings]
    return "; ".join(said[:3]) + (f"; and {len(said) - 3} more" if len(said) > 3 else "")


def _blocking(live: Live, order: Sequence[Operation]) -> list[Finding]:
    done = [op for op, _ in live.done]
    found = check(live.plan, Order((*done, *order), len(done)))
    return [finding for finding in found if not finding.history and finding.rule in BLOCKING]


def check_hours(live: Live, booking: Booking, shop: Shop) -> None:
    """Raise NoCalendarError where the build says no hours at all for work that it has."""
    where = live.plan.build.place
    if not any(shop.hours.values()) and not any(shop.desk.values()):
        raise NoCalendarError(
            f"{where}: the build says no hours, so nothing can be booked; write shop: with timezone: and hours:, such"
            ' as hours: {sat: "08:00-12:00"}'
        )
    task = next((task for task in booking.job.tasks if task.place == SHOP), None)
    if task is not None and not any(shop.hours.values()):
        raise NoCalendarError(f"{where}: {task.name} is work in the shop, and shop: says desk: hours only; add hours:")


def book(
    live: Live, job: Job, shop: Shop, now: float, tries: int | None, stop: Callable[[], bool]
) -> tuple[Booked, tuple[Shift, ...]]:
    """The best calendar found, in as many years of shifts as it takes."""
    days = _FIRST_DAYS
    while True:
        try:
            shifts = shifts_of(shop, now, days)
        except OverflowError:
            raise NoCalendarError("the calendar runs past the year 9999; choose an earlier --from") from None
        try:
            found = find_calendar(job, shifts, tries, stop)
        except NeverFitsError as error:
            if days < _FIRST_DAYS * YEARS and not error.longest:
                days *= YEARS  # nothing but days away so far
                continue
            if not shifts:
                where = live.plan.build.place
                raise NoCalendarError(
                    f"{where}: no shift is left within {YEARS} years; add hours, or take away what is away:"
                ) from None
            raise NoCalendarError(_never(live, error, shop)) from None
        except TooShortError as error:
            if days >= _FIRST_DAYS * YEARS:
                raise NoCalendarError(_too_long(live, job, error)) from None
            days = min(days * 4, _FIRST_DAYS * YEARS)
            continue
        return found, tuple(shifts)


def _never(live: Live, error: NeverFitsError, shop: Shop) -> str:
    task = error.task
    step = live.by_name[task.name].step
    key = "desk:" if task.place == DESK and any(shop.desk.values()) else "hours:"
    whose = "the longest shift"
    if task.helped and shop.helper is not None:
        key, whose = "helper:", "the longest that the helper is there"
    behind = error.needed - task.minutes
    more = f" and {show_duration(behind * 60)} to close behind it what may not stay open" if behind > 0 else ""
    go = "in one go" if task.whole else "and cannot be split over these shifts"
    room = show_duration(max(0, error.longest + behind) * 60) if error.longest else "none"
    return (
        f"{step.place}: {task.name} takes {show_duration(task.minutes * 60)} {go}{more}; {whose} is {room}: give a"
        f" longer one ({key} in build.yaml), or part the step in two"
    )


def _too_long(live: Live, job: Job, error: TooShortError) -> str:
    task = error.task
    index = job.tasks.index(task)
    earlier, lag = max(job.before[index], key=lambda each: each[1], default=(index, 0))
    step = live.by_name[job.tasks[earlier].name].step
    if lag >= 365 * 24 * 60:
        return (
            f"{step.place}: wait: of {job.tasks[earlier].name} is {show_duration(lag * 60)}; the calendar looks"
            f" {YEARS} years ahead, and {task.name} does not come in them: shorten the wait"
        )
    return (
        f"{step.place}: {task.name} does not come within {YEARS} years of these hours; add hours, or take away what"
        " is away: in build.yaml"
    )


def _ready(live: Live) -> dict[int, int]:
    """Of every episode that was worked on, when its last tick was."""
    found: dict[int, int] = {}
    for op, at in live.done:
        number = live.plan.stages[op.stage][0].number
        found[number] = max(found.get(number, 0), minutes(at))
    return found


def _notes(live: Live, booking: Booking, now: float) -> list[str]:
    """What a person has to know to trust this calendar."""
    found = []
    left = {task.episode for task in booking.job.tasks}
    for episode in live.plan.build.episodes:
        if episode.publish is not None and episode.publish[1] < now and episode.number in left:
            found.append(
                f"{episode.place.path}: publish: {episode.publish[0]} of episode {episode.number} is before the"
                " calendar begins, and work of it is left: write a later date"
            )
    gaps = [f for f in live.findings() if f.level == "gap" and f.condition is not None and not f.history]
    for finding in gaps:
        found.append(f"{finding.at} needs {finding.condition}, which nothing gives: booked without it")
    if booking.untimed:
        found.append(f"without a time: {_some(booking.untimed)}; booked as if done at once: write time: on the step")
    helped = live.plan.build.shop.helper is None
    two = list(dict.fromkeys(op.step.id for op in booking.ops if op.step.hands > 1))
    if two and helped:
        found.append(f"two people are needed for {_some(two)}; shop: in build.yaml says no helper: hours")
    return found


def _some(names: Sequence[str]) -> str:
    return ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
