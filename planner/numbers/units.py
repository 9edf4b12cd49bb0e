"""What the calculators take besides lengths: angles, speeds, torques, forces, stresses, counts and words."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from fractions import Fraction
from typing import NamedTuple

from planner.numbers.lengths import LENGTH_HELP, TextError, Typed, parse_length, parse_spread

_POUND = Fraction("4.4482216152605")  # newtons: 0.45359237 kg at 9.80665 m/s2, both exact by definition
_FOOT = Fraction("0.3048")
_DEGREE = Fraction(180) / Fraction(math.pi)


class Unit(NamedTuple):
    """A kind of value: its base unit, how it is written, and an example for messages."""

    base: str
    spellings: Mapping[str, Fraction]
    example: str


_TORQUES = {
    **dict.fromkeys(("nm", "n.m", "n·m", "n*m", "n m"), Fraction(1)),
    **dict.fromkeys(("knm", "kn.m", "kn·m", "kn*m", "kn m"), Fraction(1000)),
    **dict.fromkeys(
        ("lb-ft", "lbf-ft", "ft-lb", "ft-lbf", "lb.ft", "lbf.ft", "ft.lb", "lb ft", "lbf ft", "ft lb", "lb·ft"),
        _POUND * _FOOT,
    ),
    **dict.fromkeys(("lb-in", "lbf-in", "in-lb", "in-lbf", "lb.in", "lb in", "lbf in", "in lb"), _POUND * _FOOT / 12),
}

KINDS: Mapping[str, Unit] = {
    "length": Unit("mm", {}, "54 7/8 in or 1394 mm"),
    "angle": Unit(
        "deg",
        {
            **dict.fromkeys(("deg", "°", "degree", "degrees"), Fraction(1)),
            "rad": _DEGREE,
            "mrad": _DEGREE / 1000,
        },
        "30 deg",
    ),
    "speed": Unit(
        "rpm",
        {
            **dict.fromkeys(("rpm", "1/min", "rev/min", "r/min"), Fraction(1)),
            "rad/s": Fraction(30) / Fraction(math.pi),
        },
        "1500 rpm",
    ),
    "torque": Unit("N.m", _TORQUES, "340 N.m or 250 lb-ft"),
    "force": Unit(
        "N",
        {
            "n": Fraction(1), "kn": Fraction(1000), "lb": _POUND, "lbf": _POUND, "lbs": _POUND,
            "kg": Fraction("9.80665"), "kgf": Fraction("9.80665"),
        },
        "4500 N or 1000 lbf",
    ),
    "stress": Unit(
        "MPa",
        {
            "mpa": Fraction(1), "n/mm2": Fraction(1), "n/mm²": Fraction(1), "gpa": Fraction(1000),
            "psi": _POUND / Fraction("645.16"), "ksi": _POUND / Fraction("0.64516"),
        },
        "250 MPa or 36 ksi",
    ),
    "time": Unit("s", {"s": Fraction(1), "min": Fraction(60), "h": Fraction(3600)}, "20 min"),
    "number": Unit("", {"": Fraction(1), "%": Fraction(1, 100)}, "0.5"),
    "count": Unit("", {"": Fraction(1)}, "30"),
}  # fmt: skip

_PART = re.compile(r"([-+]?)\s*(\d{1,12}(?:\.\d{1,12})?|\.\d{1,12})\s*(.*)", re.ASCII)


def allowed(kind: str) -> str:
    """What may be written for a kind of value."""
    return LENGTH_HELP if kind == "length" else f"write it as {KINDS[kind].example}"


def parse_value(kind: str, text: str) -> Typed:
    """A value of a kind in its base unit; raises TextError with what is allowed.

    >>> float(parse_value("torque", "250 lb-ft").value)
    338.954...
    >>> float(parse_value("angle", "0.5 deg ± 0.1").deviation)
    0.0577...
    """
    if kind == "length":
        return parse_length(text)
    unit = KINDS[kind]

    def read(part: str, default: str | None) -> tuple[Fraction, str]:
        match = _PART.fullmatch(part)
        if match is None:
            raise TextError(f"“{text}” cannot be read; {allowed(kind)}")
        sign, digits, written = match.groups()
        written = written.strip()
        if not written and "" not in unit.spellings:
            if default is None:
                raise TextError(f"“{text}” has no unit; {allowed(kind)}")
            written = default
        factor = unit.spellings.get(written)
        if factor is None:
            if "" in unit.spellings:
                raise TextError(f"“{text}” is a plain number, without a unit; {allowed(kind)}")
            raise TextError(f"“{text}”: {written} is no unit that is known here; {allowed(kind)}")
        return (-1 if sign == "-" else 1) * Fraction(digits) * factor, written

    typed = parse_spread(text, read, allowed(kind))
    if kind == "count" and (typed.form != "exact" or typed.value.denominator != 1):
        raise TextError(f"“{text}” is no whole number; {allowed(kind)}")
    return typed
