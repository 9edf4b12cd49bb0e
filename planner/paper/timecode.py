"""Time code labels: frames counted from midnight and back, drop-frame counting among them. Pure.

Source: SMPTE ST 12-1: at 30 000/1001 frames a second the labels 00 and 01 (at 60 000/1001: 00 to 03) are left out at
the start of every minute but each tenth, so that the labels keep up with the clock. A label left out is no time.
"""

from __future__ import annotations

import re
from fractions import Fraction
from typing import NamedTuple

#: Frames a second, as cameras name them.
RATES: dict[str, Fraction] = {
    "23.976": Fraction(24000, 1001),
    "24": Fraction(24),
    "25": Fraction(25),
    "29.97": Fraction(30000, 1001),
    "30": Fraction(30),
    "47.952": Fraction(48000, 1001),
    "48": Fraction(48),
    "50": Fraction(50),
    "59.94": Fraction(60000, 1001),
    "60": Fraction(60),
}
_SAME = {"23.98": "23.976", "23.97": "23.976", "47.95": "47.952", "24.0": "24", "25.0": "25", "30.0": "30"}
_LABEL = re.compile(r"(\d\d):(\d\d):(\d\d)([:;])(\d\d)", re.ASCII)


class TimecodeError(ValueError):
    """A label or a rate that cannot be; the message says why in one line."""


class Rate(NamedTuple):
    """A frame rate and how its labels count."""

    name: str
    drop: bool

    @property
    def fps(self) -> Fraction:
        """Frames that really go by in a second."""
        return RATES[self.name]

    @property
    def nominal(self) -> int:
        """Frames that the labels count in a second."""
        return round(self.fps)

    @property
    def dropped(self) -> int:
        """Labels left out at the start of most minutes."""
        return self.nominal // 15 if self.drop else 0

    @property
    def day(self) -> int:
        """Labels in twenty-four hours."""
        return self.nominal * 86_400 - self.dropped * 9 * 6 * 24


def rate_of(name: str, label: str) -> Rate:
    """The rate of a camera whose time code was seen as ``label``; a semicolon in it says drop-frame."""
    known = _SAME.get(name, name)
    if known not in RATES:
        raise TimecodeError(f"“{name}” is not a frame rate known here; write one of {', '.join(RATES)}")
    drop = ";" in label
    if drop and known not in ("29.97", "59.94"):
        raise TimecodeError(f"{label}: a semicolon is drop-frame, which only 29.97 and 59.94 have; write : or the rate")
    return Rate(known, drop)


def frames_of(label: str, rate: Rate) -> int:
    """The frame of a label, from midnight.

    >>> frames_of("00:01:00;02", Rate("29.97", True)), frames_of("01:00:00;00", Rate("29.97", True))
    (1800, 107892)
    """
    match = _LABEL.fullmatch(label)
    if match is None:
        raise TimecodeError(f"“{label}” is not a time code such as 10:22:33:12, or 10:22:33;12 for drop-frame")
    hours, minutes, seconds, frame = (int(match.group(i)) for i in (1, 2, 3, 5))
    if hours > 23 or minutes > 59 or seconds > 59 or frame >= rate.nominal:
        raise TimecodeError(f"{label} is out of range at {rate.name} frames a second")
    if rate.drop and seconds == 0 and frame < rate.dropped and minutes % 10:
        raise TimecodeError(f"{label} does not exist: drop-frame leaves it out")
    minute = hours * 60 + minutes
    return (minute * 60 + seconds) * rate.nominal + frame - rate.dropped * (minute - minute // 10)


def label_of(frame: int, rate: Rate) -> str:
    """The label of a frame counted from midnight; past midnight it starts again.

    >>> label_of(1799, Rate("29.97", True)), label_of(17982, Rate("29.97", True))
    ('00:00:59;29', '00:10:00;00')
    """
    frame %= rate.day
    if rate.drop:
        ten = rate.nominal * 600 - 9 * rate.dropped
        minute = rate.nominal * 60 - rate.dropped
        tens, rest = divmod(frame, ten)
        frame += rate.dropped * 9 * tens
        if rest >= rate.nominal * 60:
            frame += rate.dropped * ((rest - rate.nominal * 60) // minute + 1)
    seconds, within = divmod(frame, rate.nominal)
    mark = ";" if rate.drop else ":"
    return f"{seconds // 3600:02}:{seconds // 60 % 60:02}:{seconds % 60:02}{mark}{within:02}"
