"""A cut that is not square: how far the end tilts when it is closed up, and what that is at the tyre."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.calculators.bearingslopes import BEARINGS, SOURCE
from planner.numbers.clock import parse_clock
from planner.numbers.lengths import TextError
from planner.numbers.quantity import Quantity, atan
from planner.numbers.verdict import INSIDE, OUTSIDE, verdict

_GEOMETRY = "geometry"


def skew(given: Given, sheet: Sheet) -> None:
    """Toe and camber that a skewed cut leaves when its faces are closed on each other.

    Seen facing the end from outside; twelve is up. The end leans away from its long point. Camber is the part of the
    lean toward twelve, toe the part toward three: as in ``tilt``, positive where the face stands out there.

    Formula
        lean = atan(out / diameter); with t the clock angle of the long point: camber = lean cos t; toe = lean sin t;
        at the tyre: tyre tan(lean) cos t and sin t; at the flange: flange tan(lean)
    Source
        geometry; Budynas & Nisbett, Shigley's Mechanical Engineering Design, Table 7-2 (slope at a bearing)

    >>> from planner.numbers.registry import figure
    >>> found = figure("skew", {"out": "1 mm", "diameter": "75 mm", "long-point": "3:00", "tyre": "750 mm"})
    >>> round(found.value("toe-at-tyre"), 6), round(found.value("camber-at-tyre"), 6)
    (10.0, 0.0)
    """
    slope = given.need("out") / given.need("diameter")
    try:
        where = math.radians(parse_clock(given.text("long-point")))
    except TextError as error:
        sheet.refuse("long-point", str(error))
        return
    up, aside = math.cos(where), math.sin(where)
    sheet.give("lean", atan(slope), "atan(out / diameter)", _GEOMETRY)
    sheet.give("camber", atan(_part(slope, up)), "atan(out / diameter x cos t)", _GEOMETRY)
    sheet.give("toe", atan(_part(slope, aside)), "atan(out / diameter x sin t)", _GEOMETRY)
    tyre = given.get("tyre")
    if tyre is not None:
        sheet.give("camber-at-tyre", tyre * _part(slope, up), "tyre x out / diameter x cos t", _GEOMETRY)
        sheet.give("toe-at-tyre", tyre * _part(slope, aside), "tyre x out / diameter x sin t", _GEOMETRY)
    if given.has("bearing"):
        if not slope.u:
            sheet.warn("no ± is stated for out: write what the square and feeler may be off, such as ± 0.1 mm")
        low, high = BEARINGS[given.text("bearing")]
        answer = verdict(slope.value, slope.plus_minus, most=low).answer
        if answer == OUTSIDE and slope.value <= high:
            answer = "in the doubtful range"
        sheet.give("verdict", f"{answer}: at most {low:g} to {high:g} rad", "lean against the bearing's slope", SOURCE)
        if answer != INSIDE:
            most = given.show.limit(low * given.need("diameter").value)
            sheet.warn(f"A FACE THIS FAR OUT IS NOT SHOWN TO BE GOOD FOR THE BEARING: at most {most}; dress it square")
    sheet.warn("dress the face to its line; never pull a skewed joint straight with the weld")


def _part(slope: Quantity, share: float) -> Quantity:
    return slope * (0.0 if abs(share) < 1e-12 else share)


SKEW = Calculator(
    "skew",
    "toe and camber at the tyre from a cut that is not square",
    (
        Input("out", "length", "how far the face is out of square across the tube", 0.0, 100.0, needed=True),
        Input("diameter", "length", "of the tube", 10.0, 400.0, needed=True),
        Input("long-point", "text", "clock position of the longest point of the end that moves", needed=True),
        Input("tyre", "length", "diameter of the tyre", 200.0, 2000.0, taken="tyre.diameter"),
        Input("bearing", "text", "what the lean is judged for", choices=tuple(BEARINGS)),
    ),
    (
        Output("lean", "deg", "of the end when the faces are closed"),
        Output("camber", "deg", "part of the lean toward twelve"),
        Output("toe", "deg", "part of the lean toward three"),
        Output("camber-at-tyre", "mm", "across the tyre's diameter, toward twelve"),
        Output("toe-at-tyre", "mm", "across the tyre's diameter, toward three"),
        Output("verdict", "text", "for the bearing named"),
    ),
    skew,
)
