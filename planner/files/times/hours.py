"""Times as people type and read them. The one home of pendulum: everybody else sees UTC seconds."""

from __future__ import annotations

import contextlib
import re

import pendulum
from pendulum.parsing.exceptions import ParserError

from planner.files.times.zones import to_utc

#: A whole date of ISO 8601 to begin with: by month, by day of the year or by week. Less is more guess than time:
#: ``1930`` would be a year, ``19:30`` that time of whatever day the machine believes in.
_DATED = re.compile(r"[0-9]{4}-?(?:[0-9]{2}-?[0-9]{2}|[0-9]{3}|W[0-9]{2}-?[0-9])(?![0-9])")


def parse_instant(text: str, zone: str | None = None) -> float | str:
    """UTC seconds of a typed time, or what is wrong with it.

    ISO 8601, with an offset or in ``zone`` (UTC when there is none); a space may stand for the T. A local time
    that occurs twice is the earlier; one that a clock change skips does not exist.
    """
    typed = text.strip().replace(" ", "T", 1)
    found = None
    if _DATED.match(typed):
        # TypeError: half of a span, 2027-02-13/19:30
        with contextlib.suppress(ParserError, ValueError, OverflowError, TypeError):
            found = pendulum.parse(typed, tz="UTC")
    if not isinstance(found, pendulum.DateTime):
        return f"“{text}” is not a time such as 2027-02-13T19:30 or 2027-02-13T19:30Z"
    has_offset = not set("Zz+-").isdisjoint(typed.partition("T")[2])
    try:
        return found.timestamp() if has_offset or zone is None else to_utc(found.naive(), zone, text)
    except (ValueError, OverflowError):
        return f"“{text}” is not a time: its offset from UTC is out of range"


def show_local(seconds: float, zone: str | None) -> str:
    """UTC seconds as ``2027-02-13 19:30`` in zone, or in UTC and saying so."""
    when = pendulum.from_timestamp(seconds, tz=zone or "UTC")
    return when.format("YYYY-MM-DD HH:mm") + ("" if zone else " UTC")
