"""Whether a reading lies within its limit, where three answers are possible.

Source: ISO 14253-1, decision rules: conformance is proved inside the limit less U, non-conformance beyond the limit
plus U, and between the two nothing is proved.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

INSIDE, OUTSIDE, CANNOT_TELL = "inside", "outside", "cannot tell"
_DUST = 1e-9


class Verdict(NamedTuple):
    """What was judged, and the answer. ``room`` is how far the value is from the nearest limit, inside positive."""

    value: float
    doubt: float
    least: float | None
    most: float | None
    answer: str
    room: float


def verdict(value: float, doubt: float, least: float | None = None, most: float | None = None) -> Verdict:
    """The verdict on a value with its expanded uncertainty U (``doubt``), all in one unit. ValueError without limits.

    >>> [verdict(each, 0.004, most=0.010).answer for each in (0.006, 0.011, 0.015)]
    ['inside', 'cannot tell', 'outside']
    """
    if least is None and most is None:
        raise ValueError("a verdict wants a limit")
    rooms = [*([most - value] if most is not None else []), *([value - least] if least is not None else [])]
    room = min(rooms)
    dust = _DUST * max(1.0, abs(value))
    answer = INSIDE if room >= doubt - dust else OUTSIDE if room < -doubt - dust else CANNOT_TELL
    return Verdict(value, doubt, least, most, answer, room)


def settles(found: Verdict, instruments: Mapping[str, float]) -> str | None:
    """The coarsest instrument (name -> its U) that would settle what cannot be told; None where none would.

    >>> settles(verdict(0.011, 0.004, most=0.010), {"feeler": 0.002, "dial": 0.0005, "laser": 0.0001})
    'dial'
    """
    enough = [(doubt, name) for name, doubt in instruments.items() if doubt < abs(found.room) - _DUST]
    return max(enough)[1] if enough else None
