"""Local times, time zones and durations, against the IANA time zone database (Python's zoneinfo) read backwards."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.times.hours import parse_instant
from planner.files.times.zones import local_to_utc
from planner.plan.words import parse_duration
from tests.badinput.asking import EPISODE, loaded, told
from tests.badinput.samples import SMALL_EPISODE, SMALL_JOB, write
from tests.files.log.making import tick, write_build


def publish(folder: Path, zone: str, when: str) -> Path:
    """A build in that zone with an episode published then."""
    job = SMALL_JOB + f"shop: {{timezone: {zone}}}\n"
    episode = SMALL_EPISODE.replace("stages:", f"publish: {when}\nstages:")
    return write(folder, {"build.yaml": job, EPISODE: episode})


def utc(text: str) -> float:
    """UTC seconds of an ISO time with its offset."""
    return datetime.fromisoformat(text).timestamp()


#: Local times and the instants they are, by the rules published in the IANA database. EU: last Sunday of March and
#: October, 01:00 UTC. US: second Sunday of March, first of November, 02:00 local. Lord Howe: half an hour.
REAL = [
    ("Europe/Lisbon", "2027-02-13 17:00", "2027-02-13T17:00:00+00:00"),
    ("Europe/Lisbon", "2027-07-13 17:00", "2027-07-13T17:00:00+01:00"),
    ("Europe/Lisbon", "2027-03-28 00:59", "2027-03-28T00:59:00+00:00"),
    ("Europe/Lisbon", "2027-03-28 02:00", "2027-03-28T02:00:00+01:00"),
    ("Europe/Lisbon", "2027-10-31 01:30", "2027-10-31T01:30:00+01:00"),  # twice: the earlier, still summer time
    ("Europe/Lisbon", "2027-10-31 02:00", "2027-10-31T02:00:00+00:00"),
    ("America/New_York", "2026-11-01 01:30", "2026-11-01T01:30:00-04:00"),  # twice
    ("America/New_York", "2026-03-08 03:00", "2026-03-08T03:00:00-04:00"),
    ("Australia/Lord_Howe", "2027-04-04 01:45", "2027-04-04T01:45:00+11:00"),  # twice, by half an hour
    ("Asia/Kolkata", "2027-01-01 00:00", "2027-01-01T00:00:00+05:30"),
    ("UTC", "2028-02-29 23:59", "2028-02-29T23:59:00+00:00"),
]

#: Times that the clocks jump over, by the same rules; Samoa went without a whole day when it crossed the date line.
SKIPPED = [
    ("Europe/Lisbon", "2027-03-28 01:00"),
    ("Europe/Lisbon", "2027-03-28 01:59"),
    ("America/New_York", "2026-03-08 02:30"),
    ("Australia/Lord_Howe", "2026-10-04 02:15"),
    ("Pacific/Apia", "2011-12-30 12:00"),
]


@pytest.mark.parametrize(("zone", "written", "instant"), REAL)
def test_a_local_time_is_the_instant_of_the_published_rules(
    tmp_path: Path, zone: str, written: str, instant: str
) -> None:
    assert loaded(publish(tmp_path, zone, written)).episodes[0].publish == (written, utc(instant))
    assert parse_instant(written, zone) == utc(instant)


@pytest.mark.parametrize(("zone", "written"), SKIPPED)
def test_a_local_time_that_does_not_exist_is_a_problem(tmp_path: Path, zone: str, written: str) -> None:
    ((file, line, column, message),) = told(publish(tmp_path, zone, written))
    assert (file, line, column) == (EPISODE, 4, 10)
    assert message == f"publish: {written} does not exist in {zone}: the clocks go forward over it; choose another time"
    assert isinstance(parse_instant(written, zone), str)


ZONES = ["Europe/Lisbon", "America/New_York", "Australia/Lord_Howe", "Asia/Kolkata", "America/St_Johns", "Africa/Cairo"]


def first_instant(naive: datetime, zone: str) -> float | None:
    """The first instant at which a clock on the wall of that zone shows this, found by looking at the clock."""
    info = ZoneInfo(zone)
    middle = naive.replace(tzinfo=UTC)
    offsets = {(middle + timedelta(hours=hours)).astimezone(info).utcoffset() for hours in range(-48, 49, 1)}
    hits = []
    for offset in offsets:
        assert offset is not None
        instant = middle - offset
        if instant.astimezone(info).replace(tzinfo=None) == naive:
            hits.append(instant.timestamp())
    return min(hits, default=None)


CHANGES = [datetime(2027, 3, 28, 1), datetime(2026, 11, 1, 1), datetime(2027, 4, 4, 2), datetime(2026, 10, 4, 2)]


@settings(max_examples=300, deadline=None)
@given(
    st.sampled_from(ZONES),
    st.one_of(
        st.datetimes(datetime(2026, 1, 1), datetime(2029, 1, 1)),
        st.builds(
            lambda at, minutes: at + timedelta(minutes=minutes), st.sampled_from(CHANGES), st.integers(-200, 200)
        ),
    ),
)
def test_any_local_time_against_a_clock_on_the_wall(zone: str, when: datetime) -> None:
    naive = when.replace(second=0, microsecond=0)
    written = naive.strftime("%Y-%m-%d %H:%M")
    found = local_to_utc(written, zone)
    expected = first_instant(naive, zone)
    if expected is None:
        assert isinstance(found, str) and "does not exist" in found
    else:
        assert found == expected == parse_instant(written, zone)


@pytest.mark.parametrize(
    "written",
    ["1930", "19:30", "now", "today", "2027", "2027-02", "2027-02-13T", "2027-02-13/2027-02-14", "P1D", "13.2.2027",
     "2027-02-13/19:30", "12:", "2027-02-30T10:00", "2027-02-13T25:00", "", " ", "2027-02-13T19-30", "\x1b[31m",
     "2027-02-13T10:00+99:00", "٢٠٢٧-02-13T10:00", "0001-01-01T00:00+14:00", "9999-12-31T23:59"],
)  # fmt: skip
def test_what_is_no_time_is_refused_and_nothing_is_recorded(tmp_path: Path, written: str) -> None:
    """Half a time is a guess, and a guess must not get into the record of the work."""
    folder = write_build(tmp_path)
    for option in ("--at", "--now"):
        said = tick(folder, "brush@left", option, written)
        assert said.code == 2, said
        assert option in said.json["problems"][0]["message"]
        assert "\x1b" not in said.err
    assert not (folder / "log").exists()


@pytest.mark.parametrize(
    ("written", "instant"),
    [
        ("2027-02-13T19:30Z", "2027-02-13T19:30:00+00:00"),
        ("2027-02-13 19:30", "2027-02-13T19:30:00+00:00"),
        ("2027-02-13T19:30:15+01:00", "2027-02-13T19:30:15+01:00"),
        ("20270213T1930Z", "2027-02-13T19:30:00+00:00"),
        ("2027-02-13", "2027-02-13T00:00:00+00:00"),
        ("2027-W06-6T19:30", "2027-02-13T19:30:00+00:00"),  # ISO 8601: Saturday of week 6
        ("2027-044T19:30", "2027-02-13T19:30:00+00:00"),  # ISO 8601: day 44
    ],
)
def test_a_typed_time_is_that_of_iso_8601(written: str, instant: str) -> None:
    """Weeks and days of the year as datetime.fromisoformat and strptime of the standard library have them."""
    assert parse_instant(written) == utc(instant)
    assert datetime.fromisoformat("2027-W06-6").date() == datetime.strptime("2027-044", "%Y-%j").date()


def test_a_typed_time_without_an_offset_is_in_the_builds_zone(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    job = folder / "build.yaml"
    job.write_text(job.read_text(encoding="utf-8") + "shop: {timezone: Asia/Kolkata}\n", encoding="utf-8")
    assert tick(folder, "brush@left", "--at", "2027-02-13 19:30").json["at"] == "2027-02-13T14:00:00.000Z"


DURATIONS = {
    "90 s": 90,
    "0 s": 0,
    "20 min": 20 * 60,
    "1 h": 3600,
    "1 h 30 min": 5400,
    "1 day": 86400,
    "21 days": 21 * 86400,  # of 24 hours each, also across a change of the clocks
    "1 day 2 h 3 min 4 s": 86400 + 7200 + 180 + 4,
    "99999 days": 99999 * 86400,
}


@pytest.mark.parametrize(("written", "seconds"), DURATIONS.items())
def test_durations(written: str, seconds: int) -> None:
    assert parse_duration(written) == seconds


@pytest.mark.parametrize(
    "written",
    ["", " ", "s", "min", "20", "20 minutes", "20 mins", "1.5 h", "1,5 h", "-5 min", "+5 min", "5 min 1 h", "1 h 1 h",
     "1 H", "20  min", " 20 min", "20 min ", "1 h, 30 min", "1 h\n30 min", "٢ min", "1000000 days", "1e3 s", "PT5M"],
)  # fmt: skip
def test_what_is_no_duration(written: str) -> None:
    assert parse_duration(written) is None
