"""What the calculators take besides lengths: angles, speeds, torques, forces, stresses, counts and words."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from typing import NamedTuple

from planner.numbers.lengths import (
    COMMA,
    LENGTH_HELP,
    ONE,
    Ratio,
    TextError,
    Typed,
    decimal_ratio,
    parse_length,
    parse_spread,
    plus,
    times,
)

_KILOGRAM = decimal_ratio("9.80665")
_POUND = decimal_ratio("4.4482216152605")  # newtons: 0.45359237 kg at 9.80665 m/s2, both exact by definition
_POUND_FOOT = times(_POUND, decimal_ratio("0.3048"))
_PI, _PI_BELOW = math.pi.as_integer_ratio()


class Unit(NamedTuple):
    """A kind of value: its base unit, how it is written, and an example for messages."""

    base: str
    spellings: Mapping[str, Ratio]
    example: str


_TORQUES = {
    **dict.fromkeys(("nm", "n.m", "n·m", "n*m", "n m"), ONE),
    **dict.fromkeys(("knm", "kn.m", "kn·m", "kn*m", "kn m"), (1000, 1)),
    **dict.fromkeys(
        (
            "lb-ft",
            "lbs-ft",
            "lbf-ft",
            "ft-lb",
            "ft-lbs",
            "ft/lb",
            "ft/lbs",
            "ft-lbf",
            "ft lbs",
            "lb.ft",
            "lbf.ft",
            "ft.lb",
            "lb ft",
            "lbf ft",
            "ft lb",
            "lb·ft",
        ),
        _POUND_FOOT,
    ),
    **dict.fromkeys(
        ("lb-in", "lbf-in", "in-lb", "in-lbs", "in-lbf", "lb.in", "lb in", "lbf in", "in lb"),
        times(_POUND_FOOT, (1, 12)),
    ),
}

KINDS: Mapping[str, Unit] = {
    "length": Unit("mm", {}, "54 7/8 in or 1394 mm"),
    "angle": Unit(
        "deg",
        {
            **dict.fromkeys(("deg", "°", "degree", "degrees"), ONE),
            "rad": (180 * _PI_BELOW, _PI),
            "mrad": (180 * _PI_BELOW, 1000 * _PI),
        },
        "30 deg",
    ),
    "speed": Unit(
        "rpm",
        {
            **dict.fromkeys(("rpm", "1/min", "rev/min", "r/min"), ONE),
            "rad/s": (30 * _PI_BELOW, _PI),
        },
        "1500 rpm",
    ),
    "torque": Unit("N.m", _TORQUES, "340 N.m or 250 lb-ft"),
    "force": Unit(
        "N",
        {
            "n": ONE, "kn": (1000, 1), "lb": _POUND, "lbf": _POUND, "lbs": _POUND,
            "kg": _KILOGRAM, "kgf": _KILOGRAM,
        },
        "4500 N or 1000 lbf",
    ),
    "stress": Unit(
        "MPa",
        {
            "mpa": ONE, **dict.fromkeys(("n/mm2", "n/mm²", "n/mm^2"), ONE), "gpa": (1000, 1),
            "psi": times(_POUND, (100, 64516)), "ksi": times(_POUND, (100_000, 64516)),
        },
        "250 MPa or 36 ksi",
    ),
    "temperature": Unit(
        "C",
        {
            **dict.fromkeys(("c", "°c", "deg c", "degc"), ONE),
            **dict.fromkeys(("f", "°f", "deg f", "degf"), (5, 9)),
            "k": ONE,
        },
        "45 C or 113 F",
    ),
    "volts": Unit("V", {"v": ONE}, "24 V"),
    "amps": Unit("A", {"a": ONE}, "180 A"),
    "travel": Unit(
        "mm/s",
        {
            "mm/s": ONE, "mm/min": (1, 60), "cm/min": (1, 6), "m/min": (1000, 60),
            **dict.fromkeys(("in/min", "ipm"), (254, 600)), "in/s": (254, 10),
        },
        "5 mm/s or 12 in/min",
    ),
    "wind": Unit(
        "m/s", {"m/s": ONE, "km/h": (10, 36), "mph": (44704, 100_000), "ft/min": (3048, 600_000)}, "1 m/s"
    ),
    "area": Unit("mm2", {"mm2": ONE, "mm²": ONE, "in2": (64516, 100), "in²": (64516, 100)}, "30 mm2"),
    "heat": Unit(
        "kJ/mm",
        {"kj/mm": ONE, "j/mm": (1, 1000), "kj/cm": (1, 10), "kj/m": (1, 1000), "kj/in": (10, 254), "j/in": (1, 25400)},
        "0.8 kJ/mm",
    ),
    "percent": Unit("%", dict.fromkeys(("", "%"), ONE), "0.18 %"),
    "time": Unit("s", {"s": ONE, "min": (60, 1), "h": (3600, 1)}, "20 min"),
    "number": Unit("", {"": ONE, "%": (1, 100)}, "0.5"),
    "count": Unit("", {"": ONE}, "30"),
}  # fmt: skip

#: What a result is said in when an input of its kind was typed so: the factor, and the name that it goes by.
_ANSWERS: Mapping[str, Mapping[Ratio, str]] = {
    "torque": {_POUND_FOOT: "lb-ft", times(_POUND_FOOT, (1, 12)): "lb-in", (1000, 1): "kN.m"},
    "stress": {KINDS["stress"].spellings["psi"]: "psi", KINDS["stress"].spellings["ksi"]: "ksi", (1000, 1): "GPa"},
    "force": {_POUND: "lbf", _KILOGRAM: "kgf", (1000, 1): "kN"},
    "heat": {(10, 254): "kJ/in", (1, 10): "kJ/cm"},
    "travel": {(254, 600): "in/min", (254, 10): "in/s", (1, 60): "mm/min", (1, 6): "cm/min"},
    "temperature": {(5, 9): "F"},
}


class Asked(NamedTuple):
    """A unit that was asked in: the base unit, its name, and how many of the base unit it is; degrees F begin at 32."""

    base: str
    name: str
    factor: float
    zero: float = 0.0


def asked_in(kind: str, text: str) -> Asked | None:
    """The unit in which a value was typed, where results answer in it; None for the base unit and others.

    >>> asked_in("torque", "250 ft-lbs ± 10").name, asked_in("stress", "250 MPa"), asked_in("length", "3 in")
    ('lb-ft', None, None)
    """
    answers = _ANSWERS.get(kind)
    if answers is None:
        return None
    for part in re.split(r"±|\+/-|\+-|\.\.| step ", text.lower()):
        match = _PART.fullmatch(part.strip())
        factor = KINDS[kind].spellings.get(match.group(3).strip()) if match else None
        if factor is not None and factor in answers:
            name = answers[factor]
            return Asked(KINDS[kind].base, name, factor[0] / factor[1], 32.0 if name == "F" else 0.0)
    return None


_PART = re.compile(r"([-+]?)\s*(\d{1,12}(?:\.\d{1,12})?|\.\d{1,12})\s*(.*)", re.ASCII)


def _zero_of(text: str) -> Ratio:
    """Where a scale of temperature begins, in degrees C: taken off once from the value, never from its ±."""
    parts = re.split(r"±|\+/-|\+-| step ", text.lower())
    unit = next((part.strip()[-1:] for part in parts if part.strip()[-1:].isalpha()), "")
    return {"f": (-160, 9), "k": (-27315, 100)}.get(unit, (0, 1))


def allowed(kind: str) -> str:
    """What may be written for a kind of value."""
    return LENGTH_HELP if kind == "length" else f"write it as {KINDS[kind].example}"


def parse_value(kind: str, text: str) -> Typed:
    """A value of a kind in its base unit; raises TextError with what is allowed.

    >>> parse_value("torque", "250 lb-ft").number
    338.954...
    >>> parse_value("angle", "0.5 deg ± 0.1").deviation
    0.0577...
    >>> [round(parse_value("temperature", text).number, 6) for text in ("113 F ± 9", "45 C", "318.15 K")]
    [45.0, 45.0, 45.0]
    """
    if kind == "length":
        return parse_length(text)
    unit = KINDS[kind]

    def read(part: str, default: str | None) -> tuple[Ratio, str]:
        match = _PART.fullmatch(part)
        if match is None:
            raise TextError(f"“{text}” cannot be read; {allowed(kind)}")
        sign, digits, written = match.groups()
        written = written.strip()
        if written.startswith(",") and written[1:2].isdigit():
            raise TextError(f"“{text}” {COMMA}")
        if not written and "" not in unit.spellings:
            if default is None:
                raise TextError(f"“{text}” has no unit; {allowed(kind)}")
            written = default
        factor = unit.spellings.get(written)
        if factor is None:
            if "" in unit.spellings:
                raise TextError(f"“{text}” is a plain number, without a unit; {allowed(kind)}")
            raise TextError(f"“{text}”: {written} is not a unit that is known here; {allowed(kind)}")
        above, below = times(decimal_ratio(digits), factor)
        return (-above if sign == "-" else above, below), written

    typed = parse_spread(text, read, allowed(kind))
    if kind == "temperature":
        typed = typed._replace(ratio=plus(typed.ratio, _zero_of(text)))
    if kind == "count" and (typed.form != "exact" or typed.ratio[0] % typed.ratio[1]):
        raise TextError(f"“{text}” is not a whole number; {allowed(kind)}")
    return typed
