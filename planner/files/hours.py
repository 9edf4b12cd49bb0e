"""Times as people type and read them. The one home of pendulum: everybody else sees UTC seconds."""

from __future__ import annotations

import pendulum
from pendulum.parsing.exceptions import ParserError


def parse_instant(text: str, zone: str | None = None) -> float | str:
    """UTC seconds of a typed time, or what is wrong with it.

    ISO 8601, with an offset or in ``zone`` (UTC when there is none); a space may stand for the T.
    """
    try:
        found = pendulum.parse(text.strip().replace(" ", "T", 1), tz=zone or "UTC")
    except (ParserError, ValueError, OverflowError):
        found = None
    if not isinstance(found, pendulum.DateTime):
        return f"“{text}” is not a time such as 2027-02-13T19:30 or 2027-02-13T19:30Z"
    return found.timestamp()


def show_local(seconds: float, zone: str | None) -> str:
    """UTC seconds as ``2027-02-13 19:30`` in zone, or in UTC and saying so."""
    when = pendulum.from_timestamp(seconds, tz=zone or "UTC")
    return when.format("YYYY-MM-DD HH:mm") + ("" if zone else " UTC")
