"""Touching hot metal, and watching for fire: how hot for how long, and how long one stays."""

from __future__ import annotations

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.quantity import exact

_TOUCH = "ISO 13732-1, bare metal, from memory"
_OSHA = "29 CFR 1910.252(a)(2)(iii)"
_NFPA = "NFPA 51B-2019, as quoted"
#: At most so hot (degrees C) for so long (s).
_LIMITS = ((43.0, 28_800.0, "8 h"), (48.0, 600.0, "10 min"), (51.0, 60.0, "1 min"))
_NEAR = 35 * 304.8


def touch(given: Given, sheet: Sheet) -> None:
    """For how long bare metal of a temperature may be touched by a hand.

    Formula
        43 C for 8 h, 48 C for 10 min, 51 C for 1 min; at the hot end of the reading's ±
    Source
        ISO 13732-1, bare metal, from memory

    >>> from planner.numbers.registry import figure
    >>> figure("touch", {"metal": "45 C"}).value("at-most")
    600.0
    """
    metal = given.need("metal")
    hot = metal.value + metal.plus_minus
    longest = next((row for row in _LIMITS if hot <= row[0] + 1e-9), None)
    sheet.give("at-most", exact(0.0 if longest is None else longest[1]), "by temperature, at its hot end", _TOUCH)
    sheet.give("says", "not with a bare hand" if longest is None else f"at most {longest[2]}", "by temperature", _TOUCH)
    if longest is None:
        sheet.warn("HOT: gloves for hot work, and say so on the piece; hot metal and cold metal look alike")
    sheet.warn("cold enough to touch is not cold enough to measure straightness by")


def watch(given: Given, sheet: Sheet) -> None:
    """How long the fire is watched after hot work, and whether somebody must.

    Formula
        at least 30 min; 1 h wanted; a watch where anything that burns is nearer than 35 ft
    Source
        29 CFR 1910.252(a)(2)(iii); 1 h: NFPA 51B-2019, as quoted

    >>> from planner.numbers.registry import figure
    >>> found = figure("watch", {})
    >>> found.value("least"), found.value("wanted")
    (1800.0, 3600.0)
    """
    sheet.give("least", exact(1800.0), "30 min", _OSHA)
    sheet.give("wanted", exact(3600.0), "1 h", _NFPA)
    near = given.get("nearest")
    if near is not None and near.value - near.plus_minus >= _NEAR:
        sheet.warn("nothing that burns is within 35 ft: watch all the same; sparks roll, and walls have back sides")
    else:
        sheet.warn("what burns and is within 35 ft goes away or under a blanket; somebody watches, with water or foam")
    sheet.warn("look again before locking up; local rules come first")


TOUCH = Calculator(
    "touch",
    "for how long hot bare metal may be touched",
    (Input("metal", "temperature", "of the metal, by thermometer", -40.0, 1200.0, needed=True),),
    (
        Output("at-most", "s", "how long a bare hand may stay on it", rounding="down"),
        Output("says", "text", "the same in words"),
    ),
    touch,
)

WATCH = Calculator(
    "watch",
    "how long the fire is watched after hot work",
    (Input("nearest", "length", "to the nearest thing that burns", 0.0, 100_000.0),),
    (
        Output("least", "s", "after the last spark"),
        Output("wanted", "s", "after the last spark, as shown on the timer"),
    ),
    watch,
)
