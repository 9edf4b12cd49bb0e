"""A build's calendar: its hours and what remains of it, joined."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from planner.files.times.shifts import shifts_of
from planner.plan.calendar.jobs import EPISODES, Booking, job_of, joined, minutes
from planner.plan.calendar.results import Results, results_of
from planner.plan.calendar.search import find_calendar, never, order_of
from planner.plan.calendar.values import DESK, SHOP, Booked, NeverFitsError, Shift, TooShortError
from planner.plan.expand import Operation
from planner.plan.findings import Order, check
from planner.plan.live import Live
from planner.plan.model import Finding, Place, Shop
from planner.plan.words import show_duration
from planner.session.onebuild import OneBuild, UnusableError

if TYPE_CHECKING:
    from planner.plan.orders.scope import Scope

#: how far ahead a calendar looks
YEARS = 20
_FIRST_DAYS = 364
_SEARCH = 10.0  # seconds that are spent looking for a good order

#: rules that say that an order is wrong; the rest stands beside the calendar and does not block it
BLOCKING = frozenset({"other-side", "given-later", "spoiled", "after-broken", "turn-broken", "cycle", "gone-off"})


class NoCalendarError(Exception):
    """Why there is no calendar, in one line that says what to change; ``traps``: the order is at fault."""

    def __init__(self, says: str, traps: Sequence[Finding] = ()) -> None:
        super().__init__(says)
        self.says, self.traps = says, tuple(traps)


class Made(NamedTuple):
    """A calendar with what it was made of."""

    title: str
    results: Results
    shop: Shop
    booking: Booking
    booked: Booked
    shifts: tuple[Shift, ...]
    notes: tuple[str, ...]  # what has to be said beside it, a line each
    pace: float = 1.0

    def operations(self) -> dict[str, Operation]:
        """The operations by the names that they have here."""
        return {task.name: op for task, op in zip(self.booking.job.tasks, self.booking.ops, strict=True)}


def make_calendar(
    ones: OneBuild | Sequence[OneBuild],
    start: float | None = None,
    *,
    shop: Shop | None = None,
    pace: float = 1.0,
    tries: int | None = None,
    stop: Callable[[], bool] = never,
) -> Made:
    """The calendar of what remains, from ``start`` (UTC seconds; now) on. Raises NoCalendarError.

    Of several builds, for one pair of hands in the hours of the first: its publish dates count first, and so on.
    ``shop``: other hours than the build's, to try them out. ``pace``: how many times as long as planned it takes.
    """
    builds = [ones] if isinstance(ones, OneBuild) else list(ones)
    first = builds[0]
    now = first.clock() if start is None else start
    shop = first.plan.build.shop if shop is None else shop
    notes: list[str] = []
    bookings: list[tuple[str, Booking]] = []
    running: list[tuple[str, int]] = []
    ready: dict[int, int] = {}
    for place, one in enumerate(builds):
        name = one.folder.resolve().name
        own: list[str] = []
        try:
            order = good_order(one.live, own, stop)
        except NoCalendarError as error:
            if len(builds) == 1:
                raise
            raise NoCalendarError(f"{name}: {error.says}", error.traps) from None
        booking = job_of(one.live, order, now, pace)
        check_hours(one.live, booking, shop)
        own += _notes(one.live, booking, shop, now)
        notes += [f"{name}: {note}" for note in own] if len(builds) > 1 else own
        bookings.append((name, booking))
        head = f"{name}:" if len(builds) > 1 else ""
        running += [(head + wait.cause, minutes(wait.until)) for wait in one.live.running(now)]
        ready.update({place * EPISODES + number: when for number, when in _ready(one.live).items()})
    booking = bookings[0][1] if len(builds) == 1 else joined(bookings)
    booked, shifts = book(booking, shop, first.plan.build.place, now, tries, stop)
    notes += _unmet(booking, booked, shifts)
    title = first.plan.build.name if len(builds) == 1 else ", then ".join(one.plan.build.name for one in builds)
    return _made(title, booking, booked, shifts, shop, tuple(notes), running, ready, pace)


def others_of(one: OneBuild, folder: Path, clock: Callable[[], float]) -> tuple[OneBuild, ...]:
    """The other builds of a folder that can be read and have work left, by name."""
    from planner.files.disk.watching import ShelfError, build_folders

    try:
        folders = build_folders(folder)
    except ShelfError:
        return ()
    found = []
    for each in folders:
        if each.resolve() != one.folder.resolve():
            with suppress(UnusableError):
                found.append(OneBuild(each, clock=clock))
    return tuple([other for other in found if other.live.remaining()])


def _made(
    title: str,
    booking: Booking,
    booked: Booked,
    shifts: tuple[Shift, ...],
    shop: Shop,
    notes: tuple[str, ...],
    running: Sequence[tuple[str, int]],
    ready: Mapping[int, int],
    pace: float,
) -> Made:
    waits = [minutes(op.step.wait) for op in booking.ops]
    results = results_of(booking.job, booked, shifts, waits, running, ready)
    return Made(title, results, shop, booking, booked, shifts, notes, pace)


def again(made: Made, shop: Shop, due: Mapping[int, int], place: Place, stop: Callable[[], bool] = never) -> Made:
    """What a calendar comes to with other hours or publish dates (episode -> minute); quick, from where it stands.

    Raises NoCalendarError.
    """
    job = made.booking.job._replace(due=due)
    booking = made.booking._replace(job=job)
    now = made.results.start * 60
    booked, shifts = book(booking, shop, place, now, 60, stop, order_of(made.booked))
    return _like(made, booking, shop, booked, shifts)


def refined(made: Made, place: Place, stop: Callable[[], bool] = never) -> Made:
    """The best calendar that is found in full of one that was made in haste: that one, where there is no better.

    Stopped, the best so far.
    """
    try:
        booked, shifts = book(made.booking, made.shop, place, made.results.start * 60, None, stop)
    except NoCalendarError:
        return made
    return made if made.booked.cost <= booked.cost else _like(made, made.booking, made.shop, booked, shifts)


def _like(made: Made, booking: Booking, shop: Shop, booked: Booked, shifts: tuple[Shift, ...]) -> Made:
    """The same work booked otherwise."""
    mine = {task.name for task in booking.job.tasks}
    running = {each for spell in made.results.spells for each in spell.cooling if each[0] not in mine}
    ready = {each.episode: each.ready for each in made.results.publish if each.ready is not None}
    gone = _unmet(made.booking, made.booked, made.shifts)
    notes = (*(note for note in made.notes if note not in gone), *_unmet(booking, booked, shifts))
    return _made(made.title, booking, booked, shifts, shop, notes, sorted(running), ready, made.pace)


def _searched(scope: Scope, stop: Callable[[], bool]) -> list[Operation] | None:
    """A good order of all that remains where no single repairs lead to one; None: none was found in time."""
    from planner.plan.orders.best import find_order

    begin = time.monotonic()

    def over() -> bool:
        return stop() or time.monotonic() - begin > _SEARCH

    found = find_order(scope, over, hurry=lambda: True)
    return None if found.order is None else list(found.order)


def good_order(live: Live, notes: list[str], stop: Callable[[], bool] = never) -> list[Operation]:
    """What remains, as written where that is good, else in a good order that is found; notes say so.

    Raises NoCalendarError where there is none.
    """
    done = [op for op, _ in live.done]
    order = live.remaining()
    bad = _blocking(live, order)
    if not bad:
        return order
    from planner.plan.orders.mended import mended
    from planner.plan.orders.scope import scope_of

    note = f"as written, {_named(bad)}; this calendar goes by another order, which mends that"
    scope = scope_of(live.plan, done, order, lambda op: True)
    for better in mended(scope, stop, rework=False, matters=_blocks, most=2 * len(bad)):
        if not _blocking(live, better):
            notes.append(note)
            return list(better)
    found = _searched(scope, stop)
    if found is not None:
        notes.append(note)
        return found
    if stop():
        raise NoCalendarError(f"stopped before a good order was found; as written, {_named(bad)}", bad)
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
    return [finding for finding in found if not finding.history and _blocks(finding)]


def _blocks(finding: Finding) -> bool:
    """Whether a finding keeps an order from being booked."""
    return finding.rule in BLOCKING


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
    booking: Booking,
    shop: Shop,
    where: Place,
    now: float,
    tries: int | None,
    stop: Callable[[], bool],
    seed: Sequence[int] | None = None,
) -> tuple[Booked, tuple[Shift, ...]]:
    """The best calendar found, in as many years of shifts as it takes."""
    days = _FIRST_DAYS
    while True:
        try:
            shifts = shifts_of(shop, now, days)
        except OverflowError:
            raise NoCalendarError("the calendar runs past the year 9999; choose an earlier --from") from None
        try:
            return find_calendar(booking.job, shifts, tries, stop, seed), tuple(shifts)
        except NeverFitsError as error:
            if days < _FIRST_DAYS * YEARS and not error.longest:
                days *= YEARS  # nothing but days away so far
                continue
            if not shifts:
                raise NoCalendarError(
                    f"{where}: no shift is left within {YEARS} years; add hours, or take away what is away:"
                ) from None
            raise NoCalendarError(_never(booking, error, shop)) from None
        except TooShortError as error:
            if days >= _FIRST_DAYS * YEARS:
                raise NoCalendarError(_too_long(booking, error)) from None
            days = min(days * 4, _FIRST_DAYS * YEARS)


def _never(booking: Booking, error: NeverFitsError, shop: Shop) -> str:
    task = error.task
    step = booking.ops[booking.job.tasks.index(task)].step
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


def _too_long(booking: Booking, error: TooShortError) -> str:
    task, job = error.task, booking.job
    index = job.tasks.index(task)
    earlier, lag = max(job.before[index], key=lambda each: each[1], default=(index, 0))
    step = booking.ops[earlier].step
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


def _notes(live: Live, booking: Booking, shop: Shop, now: float) -> list[str]:
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
    two = list(dict.fromkeys(op.step.id for op in booking.ops if op.step.hands > 1))
    if two and shop.helper is None:
        found.append(f"two people are needed for {_some(two)}; shop: in build.yaml says no helper: hours")
    return found


def _unmet(booking: Booking, booked: Booked, shifts: Sequence[Shift]) -> list[str]:
    """What this calendar does not keep: what no longer lasts, and what stands open and its first shift cannot hold."""
    first = next((shift for shift in shifts if shift.place == SHOP), None)
    job = booking.job
    there = {part.name.strip("()") for part in booked.parts if first is not None and part.end <= first.end}
    left = sorted({job.closing[debt].name for debt in job.standing} - there)
    return [
        *_gone(booking, booked),
        *(f"{name} is owed from what was done, and the first shift is too short for it" for name in left),
    ]


def _gone(booking: Booking, booked: Booked) -> list[str]:
    """What no calendar was found for in which it begins while all that it relies on lasts."""
    tasks = booking.job.tasks
    return [
        f"{tasks[taker].name} begins when {tasks[giver].name} no longer lasts ({show_duration(most * 60)}): do"
        f" {tasks[giver].name} once more right before it"
        for giver, takers in booking.job.lasting.items()
        for taker, most in takers
        if booked.starts[taker] > booked.ends[giver] + most
    ]


def _some(names: Sequence[str]) -> str:
    return ", ".join(names[:4]) + (f" and {len(names) - 4} more" if len(names) > 4 else "")
