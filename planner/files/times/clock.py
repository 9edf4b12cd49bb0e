"""Moments as a person in the shop reads them, with the standard library only: the app shows one with every tick."""

from __future__ import annotations

import zoneinfo
from datetime import UTC, datetime, tzinfo


def _zone(name: str | None) -> tzinfo:
    try:
        return zoneinfo.ZoneInfo(name) if name else UTC
    except (zoneinfo.ZoneInfoNotFoundError, ValueError, OSError):
        return UTC


def show_clock(seconds: float, zone: str | None, now: float) -> str:
    """UTC seconds as ``19:30`` today, as ``2027-02-13 19:30`` on another day; UTC is said where there is no zone.

    >>> show_clock(1800000000, "Europe/Lisbon", 1800003600), show_clock(1800000000, None, 0)
    ('08:00', '2027-01-15 08:00 UTC')
    """
    found = _zone(zone)
    try:
        when, today = datetime.fromtimestamp(seconds, found), datetime.fromtimestamp(now, found)
    except (OverflowError, ValueError, OSError):
        return "at a time out of range"
    shape = "%H:%M" if when.date() == today.date() else "%Y-%m-%d %H:%M"
    return when.strftime(shape) + ("" if zone else " UTC")
