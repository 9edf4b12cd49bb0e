"""Hours made into shifts, over every kind of clock change; judged by zoneinfo minute by minute."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.times.shifts import first_instant, shifts_of
from planner.plan.model import Shop

#: zones with a gap at midnight, half an hour of summer time, a day that never was, and the common ones
ZONES = (
    "Europe/Lisbon", "America/Halifax", "America/New_York", "Australia/Lord_Howe", "America/Sao_Paulo",
    "Africa/Cairo", "Asia/Beirut", "Pacific/Apia", "America/Caracas", "Antarctica/Troll", "Asia/Kathmandu", "UTC",
)  # fmt: skip
DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
CHANGES = {
    "Europe/Lisbon": date(2027, 3, 27), "America/Halifax": date(2026, 10, 31), "America/New_York": date(2026, 3, 7),
    "Australia/Lord_Howe": date(2026, 10, 3), "America/Sao_Paulo": date(2018, 11, 3), "Africa/Cairo": date(2026, 4, 23),
    "Asia/Beirut": date(2026, 3, 28), "Pacific/Apia": date(2011, 12, 29), "America/Caracas": date(2016, 4, 30),
}  # fmt: skip


def stamp(text: str) -> int:
    return int(datetime.fromisoformat(text).timestamp() // 60)


def spans(zone: str, hours: str, day: str, days: int = 1) -> list[tuple[int, int]]:
    pairs = []
    for span in hours.split():
        ends = [int(end[:2]) * 60 + int(end[3:]) for end in span.split("-")]
        pairs.append((ends[0], ends[1]))
    shop = Shop(zone, dict.fromkeys(DAYS, tuple(pairs)))
    since = first_instant(day, zone)
    assert isinstance(since, float | int)
    until = (date.fromisoformat(day) + timedelta(days=days)).isoformat()
    end = first_instant(until, zone)
    assert isinstance(end, float | int)
    return [(s.start, s.end) for s in shifts_of(shop, since, days + 1) if s.start * 60 < end]


def test_elapsed_time_over_a_clock_change() -> None:
    """IANA tz: Sat 2026-03-07 20:00 to Sun 08:00 in New York is 11 h."""
    found = spans("America/New_York", "08:00-20:00", "2026-03-07", 2)
    assert found[1][0] - found[0][1] == 11 * 60


def test_hours_that_are_skipped_are_not_worked() -> None:
    """IANA tz: in Lisbon on 2027-03-28 the clocks go from 01:00 to 02:00."""
    assert spans("Europe/Lisbon", "01:15-01:45", "2027-03-28") == []
    skipped = stamp("2027-03-28T01:00+00:00")
    assert spans("Europe/Lisbon", "01:15-03:00", "2027-03-28") == [(skipped, skipped + 60)]
    assert spans("Europe/Lisbon", "00:15-01:30", "2027-03-28") == [(skipped - 45, skipped)]


def test_an_hour_that_occurs_twice_is_the_earlier() -> None:
    """IANA tz: in Lisbon on 2026-10-25 the clocks go from 02:00 back to 01:00."""
    first = stamp("2026-10-25T00:30+00:00")  # 01:30 of summer time
    assert spans("Europe/Lisbon", "01:30-03:00", "2026-10-25") == [(first, first + 150)]
    assert spans("Europe/Lisbon", "00:30-01:30", "2026-10-25") == [(first - 60, first)]


def test_a_day_that_never_was_has_no_shift() -> None:
    """IANA tz: Samoa left out 2011-12-30."""
    found = spans("Pacific/Apia", "09:00-17:00", "2011-12-29", 2)
    assert [datetime.fromtimestamp(start * 60, ZoneInfo("Pacific/Apia")).day for start, _ in found] == [29]
    assert first_instant("2011-12-30", "Pacific/Apia") == (
        "2011-12-30 does not exist in Pacific/Apia: the calendar there goes on over it; choose another day"
    )


def test_days_away_and_the_helper() -> None:
    away = (date(2027, 3, 1).toordinal(), date(2027, 3, 7).toordinal())
    shop = Shop("Europe/Lisbon", {"mon": ((600, 720),)}, {}, {"mon": ((660, 900),)}, (away,))
    since = first_instant("2027-02-28", "Europe/Lisbon")
    assert isinstance(since, float | int)
    found = shifts_of(shop, since, 14)
    assert [(s.start, s.helped) for s in found] == [
        (stamp("2027-03-08T10:00+00:00"), ((stamp("2027-03-08T11:00+00:00"), stamp("2027-03-08T12:00+00:00")),)),
    ]


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(ZONES),
    st.integers(-2, 400),
    st.lists(st.integers(0, 96), min_size=2, max_size=6, unique=True),
    st.booleans(),
)
def test_every_shift_lies_in_hours_that_exist(zone: str, offset: int, quarters: list[int], near: bool) -> None:
    """Each minute of a shift, read on the wall by zoneinfo, lies in the hours of its day; none overlap."""
    quarters = sorted(quarters)[: len(quarters) // 2 * 2]
    pairs = tuple((15 * a, 15 * b) for a, b in zip(quarters[::2], quarters[1::2], strict=True))
    base = CHANGES.get(zone, date(2027, 1, 1)) if near else date(2026, 1, 1)
    day = base + timedelta(days=offset % 4 if near else offset)
    where = ZoneInfo(zone)
    since = datetime.combine(day, datetime.min.time(), UTC).timestamp()
    found = shifts_of(Shop(zone, dict.fromkeys(DAYS, pairs)), since, 3)
    reached = 0
    for shift in found:
        assert shift.start < shift.end
        assert shift.start >= reached
        reached = shift.end
        for minute in range(shift.start, shift.end):
            wall = datetime.fromtimestamp(minute * 60, where)
            at = wall.hour * 60 + wall.minute
            folded = wall.fold == 1
            assert folded or any(a <= at < b for a, b in pairs)
