"""Hours of the week as shifts: local time made into UTC, with what clock changes do to it.

A shift begins and ends in hours that exist: where the clocks skip its beginning or its end, it begins or ends where
they skip; an hour that occurs twice is the earlier.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from planner.plan.calendar.values import DESK, SHOP, Shift, Span
from planner.plan.model import Shop

_DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
_DAY = timedelta(days=1)

Hours = Mapping[str, tuple[Span, ...]]


def _instant(local: datetime, zone: ZoneInfo) -> float:
    """UTC seconds of a local time: of two, the earlier; of one that is skipped, the moment that it is skipped at."""
    early = local.replace(tzinfo=zone, fold=0)
    seconds = early.timestamp()
    if datetime.fromtimestamp(seconds, zone).replace(tzinfo=None) == local:
        return seconds
    before, behind = sorted((seconds, local.replace(tzinfo=zone, fold=1).timestamp()))
    offset = datetime.fromtimestamp(before, zone).utcoffset()
    low, high = int(before), int(behind) + 1
    while high - low > 1:
        middle = (low + high) // 2
        if datetime.fromtimestamp(middle, zone).utcoffset() == offset:
            low = middle
        else:
            high = middle
    return high


def _spans(day: date, hours: Hours, zone: ZoneInfo) -> list[Span]:
    """The spans of a day in minutes since 1970, none of them empty."""
    found = []
    for begin, end in hours.get(_DAYS[day.weekday()], ()):
        midnight = datetime.combine(day, datetime.min.time())
        start = -int(-_instant(midnight + timedelta(minutes=begin), zone) // 60)
        stop = int(_instant(midnight + timedelta(minutes=end), zone) // 60)
        if start < stop:
            found.append((start, stop))
    return found


def shifts_of(shop: Shop, since: float, days: int) -> list[Shift]:
    """The shifts of so many days from ``since`` (UTC seconds) on, by start; one that runs already begins then.

    Raises OverflowError where the days run out of the years that there are.
    """
    zone = ZoneInfo(shop.timezone or "UTC")
    first = datetime.fromtimestamp(since, zone).date() - _DAY
    now = -int(-since // 60)
    away = sorted(shop.away)
    begins = [begin for begin, _ in away]
    lasts = [max(last for _, last in away[: index + 1]) for index in range(len(away))]
    found: list[Shift] = []
    for number in range(days + 2):
        day = first + number * _DAY
        row = bisect_right(begins, day.toordinal()) - 1
        if row >= 0 and day.toordinal() <= lasts[row]:
            continue
        helped = None if shop.helper is None else _spans(day, shop.helper, zone)
        for place, hours in ((SHOP, shop.hours), (DESK, shop.desk)):
            for start, end in _spans(day, hours, zone):
                begin = max(start, now)
                if begin < end:
                    found.append(Shift(begin, end, place, None if helped is None else _within(helped, begin, end)))
    return sorted(found, key=lambda shift: shift[:3])


def _within(spans: list[Span], begin: int, end: int) -> tuple[Span, ...]:
    """The stretches of spans between begin and end; those that touch made one."""
    found: list[Span] = []
    for start, stop in spans:
        start, stop = max(start, begin), min(stop, end)  # noqa: PLW2901
        if found and start <= found[-1][1] and stop > start:
            found[-1] = (found[-1][0], max(stop, found[-1][1]))
        elif start < stop:
            found.append((start, stop))
    return tuple(found)


def first_instant(day: str, zone: str) -> float | str:
    """UTC seconds at which a date such as 2027-03-01 begins in a zone, or what is wrong with it."""
    try:
        found = date.fromisoformat(day)
        where = ZoneInfo(zone)
        seconds = _instant(datetime.combine(found, datetime.min.time()), where)
        begins = datetime.fromtimestamp(seconds, where).date()
    except (ValueError, OverflowError, OSError):
        return f"“{day}” is not a date such as 2027-03-01"
    return (
        seconds
        if begins == found
        else f"{day} does not exist in {zone}: the calendar there goes on over it; choose another day"
    )


def day_number(minute: int, zone: str | None) -> int:
    """The day on the wall of a minute since 1970, counted from 0001-01-01, a Monday, as day 1."""
    return datetime.fromtimestamp(minute * 60, ZoneInfo(zone) if zone else UTC).toordinal()


def day_of_week(number: int) -> str:
    """``mon`` … ``sun``."""
    return _DAYS[(number - 1) % 7]


def day_words(number: int) -> str:
    """A day by its number, as ``2027-02-13``."""
    return date.fromordinal(number).isoformat()


def weeks_later(minute: int, weeks: int, zone: str | None) -> int:
    """The same time on the wall so many weeks later, in minutes since 1970."""
    return on_day(minute, day_number(minute, zone) + 7 * weeks, zone)


def on_day(minute: int, number: int, zone: str | None) -> int:
    """The same time on the wall on the day of that number, in minutes since 1970."""
    where = ZoneInfo(zone or "UTC")
    local = datetime.fromtimestamp(minute * 60, where).replace(tzinfo=None)
    return int(_instant(local + timedelta(days=number - local.toordinal()), where) // 60)


def show_day(seconds: float, zone: str | None) -> str:
    """UTC seconds as ``Sat 2027-02-13 19:30`` in a zone."""
    when = datetime.fromtimestamp(seconds, ZoneInfo(zone) if zone else UTC)
    return f"{_DAYS[when.weekday()].title()} {when:%Y-%m-%d %H:%M}"


def show_time(seconds: float, zone: str | None) -> str:
    """UTC seconds as ``19:30`` in a zone."""
    return f"{datetime.fromtimestamp(seconds, ZoneInfo(zone) if zone else UTC):%H:%M}"
