"""Time zones and local times of plan files, with the standard library only.

Every check reads the publish dates, so this stays clear of the heavier calendar library.
"""

from __future__ import annotations

import re
import zoneinfo
from datetime import UTC, datetime

_LOCAL = re.compile(r"(\d{4})-(\d\d)-(\d\d)[ T](\d\d):(\d\d)", re.ASCII)


def known_zone(name: str) -> bool:
    """Whether name is a time zone."""
    return _zone(name) is not None


def _zone(name: str) -> zoneinfo.ZoneInfo | None:
    try:
        return zoneinfo.ZoneInfo(name)
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        return None


def all_zones() -> set[str]:
    """Every zone name; slow, for the nearest spelling only."""
    return zoneinfo.available_timezones()


def local_to_utc(text: str, zone: str) -> float | str:
    """UTC seconds of a local time ``2027-02-13 17:00``, or what is wrong with it.

    A time that occurs twice is the earlier; one that a clock change skips does not exist.
    """
    match = _LOCAL.fullmatch(text)
    if match is None:
        return f"“{text}” is not a date and time such as 2027-02-13 17:00"
    try:
        naive = datetime(*(int(part) for part in match.groups()))  # type: ignore[arg-type]
    except ValueError as error:
        return f"“{text}” is not a date: {error}"
    return to_utc(naive, zone, text)


def to_utc(naive: datetime, zone: str, text: str) -> float | str:
    """UTC seconds of a local time that was written as ``text``, or what is wrong with it."""
    found = _zone(zone)
    if found is None:
        return f"there is no time zone “{zone}”"
    local = naive.replace(tzinfo=found, fold=0)
    try:
        instant = local.astimezone(UTC)
        back = instant.astimezone(found).replace(tzinfo=None)
    except OverflowError:
        return f"“{text}” is too far away"
    if back != naive:
        return f"{text} does not exist in {zone}: the clocks go forward over it; choose another time"
    return instant.timestamp()


def show_clock(seconds: float, zone: str | None, now: float) -> str:
    """UTC seconds as ``19:30`` today, as ``2027-02-13 19:30`` on another day; UTC is said where there is no zone.

    >>> show_clock(1800000000, "Europe/Lisbon", 1800003600), show_clock(1800000000, None, 0)
    ('08:00', '2027-01-15 08:00 UTC')
    """
    found = (_zone(zone) if zone else None) or UTC
    try:
        when, today = datetime.fromtimestamp(seconds, found), datetime.fromtimestamp(now, found)
    except (OverflowError, ValueError, OSError):
        return "at a time out of range"
    shape = "%H:%M" if when.date() == today.date() else "%Y-%m-%d %H:%M"
    return when.strftime(shape) + ("" if zone else " UTC")
