"""Driveline: joint angles in space, how unevenly the joints turn, fork phasing, and slip left over the travel."""

from __future__ import annotations

import math
from collections.abc import Sequence

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import DOWN, UP
from planner.numbers.quantity import Quantity, acos, atan, cos, exact, sqrt, tan, through

_JOINT = "Khurmi & Gupta, Theory of Machines, ch. 9: w2/w1 = cos b / (1 - sin^2 b cos^2 t)"
_SPACE = "geometry: directions in space"
_RESIDUAL = "SAE AE-7, 3.1.1 (as quoted); turned planes added as second harmonics, from memory"
_PRACTICE = "common practice, no source"
#: (angle x speed)^2 in rad/s2, SAE AE-7, 3.1.1 (as quoted).
LIMIT = 400.0
_LEAST_ANGLE = 0.5
_RAD = math.pi / 180.0
_LAYOUT = ("gearbox", "pinion", "drop", "shaft")
_FURTHER = (
    "bump",
    "droop",
    "slip-in",
    "slip-out",
    "pinion-bump",
    "pinion-droop",
    "back-bump",
    "back-droop",
    "path",
    "phase",
)
_PLACES = ("bump", "ride", "droop")
Vector = tuple[float, float, float]


def driveline(given: Given, sheet: Sheet) -> None:
    """How unevenly a joint turns, from its angle; or a whole layout over the travel of its axle.

    Slopes are those of the gearbox's and the pinion's axes seen from the side, falling toward the rear positive (a
    pinion with its nose up has a positive slope). Both are taken as parallel to the car seen from above. Offsets are
    toward the second side. Give either the angle of one joint, or gearbox, pinion, drop and shaft.

    Formula
        compound: tan^2 = tan^2(angle) + tan^2(plan-angle); fluctuation (most less least speed, in parts of the mean)
        = 1 / cos b - cos b; acceleration = most of w^2 cos b sin^2 b sin 2t / (1 - sin^2 b cos^2 t)^2;
        unit-ratio: tan^2 t = cos b; a layout: angles between directions in space;
        residual = sqrt(|b1^2 - b2^2 e^(2 i (phasing - phase))|), which is sqrt(|b1^2 - b2^2|) in one plane;
        excitation = (residual x speed)^2, at most 400 rad/s2; back = rise tan(path)
    Source
        Khurmi & Gupta, Theory of Machines, ch. 9 (single joint); SAE AE-7, 3.1.1, as quoted (residual and limit); its
        form for turned planes from memory

    >>> from planner.numbers.registry import figure
    >>> found = figure("driveline", {"angle": "2.15 deg", "plan-angle": "2.5 deg"})
    >>> round(found.value("compound"), 2)
    3.3
    """
    if given.has("most-fluctuation"):
        part = given.need("most-fluctuation")
        half = (sqrt(part * part + 4) - part) / 2
        formula = "acos((sqrt(f^2 + 4) - f) / 2), f = most-fluctuation"
        sheet.give("angle-allowed", acos(half), formula, _JOINT)
    layout = [key for key in _LAYOUT if given.has(key)]
    further = [key for key in _FURTHER if given.has(key)]
    if given.has("angle"):
        if layout:
            sheet.refuse("angle", f"and {layout[0]} say the same thing; give the angle of one joint, or a layout")
        elif further:
            sheet.refuse(further[0], "is not used with the angle of one joint; leave it out, or give a layout")
        _single(given, sheet)
    elif layout:
        for key in _LAYOUT:
            if key not in layout:
                sheet.refuse(key, f"is missing: a layout needs {', '.join(_LAYOUT)}")
        sheet.stop_if_refused()
        _whole(given, sheet)
    elif given.has("plan-angle") or further or not given.has("most-fluctuation"):
        sheet.refuse("angle", f"is missing: give the angle of one joint, or a layout: {', '.join(_LAYOUT)}")


def _single(given: Given, sheet: Sheet) -> None:
    angle, above = given.need("angle"), given.get("plan-angle")
    if above is None:
        sheet.give("compound", angle, "angle, seen square to it", _SPACE)
        _turning(given, sheet, angle)
        return
    slope = tan(angle) ** 2 + tan(above) ** 2
    compound = exact(0.0) if slope.value <= 0 else atan(sqrt(slope))
    sheet.give("compound", compound, "atan(sqrt(tan^2(angle) + tan^2(plan-angle)))", _SPACE)
    _turning(given, sheet, compound)


def _turning(given: Given, sheet: Sheet, angle: Quantity) -> None:
    """How unevenly one joint turns what it drives."""
    across = cos(angle)
    sheet.give("fluctuation", 1 / across - across, "1 / cos(compound) - cos(compound)", _JOINT)
    sheet.give("unit-ratio", atan(sqrt(across)), "atan(sqrt(cos(compound)))", _JOINT)
    if given.has("speed"):
        (found,) = through(lambda v: (_acceleration(v[0], v[1]),), (angle, given.need("speed")))
        formula = "most of speed^2 cos b sin^2 b sin 2t / (1 - sin^2 b cos^2 t)^2"
        sheet.give("acceleration", found, formula, _JOINT)
    elif not given.has("shaft"):
        sheet.warn("no speed was given: no acceleration is worked out")


def _acceleration(degrees: float, rpm: float) -> float:
    """The most that one joint speeds up what it drives, rad/s2; the exact place of the most, not its usual estimate."""
    b, speed = degrees * _RAD, rpm * math.pi / 30
    part = math.sin(b) ** 2
    if part == 0:
        return 0.0
    mean, swing = 1 - part / 2, part / 2
    c = (math.sqrt(mean**2 + 8 * swing**2) - mean) / (2 * swing)
    return speed**2 * math.cos(b) * part * math.sqrt(1 - c * c) / (mean - swing * c) ** 2


def _whole(given: Given, sheet: Sheet) -> None:
    """A layout at bump, ride and droop."""
    for place in ("bump", "droop"):
        for key in (f"pinion-{place}", f"back-{place}"):
            if given.has(key) and not given.has(place):
                sheet.refuse(place, f"is missing: with {key} given, give how far the pinion moves")
    reach = math.hypot(given.need("drop").value, _offset(given).value)
    if given.need("shaft").value <= reach + NOTHING:
        least = given.show.length(reach, UP)
        sheet.refuse(
            "shaft", f"does not reach: drop and offset alone are {least}; measure joint centre to joint centre"
        )
    sheet.stop_if_refused()
    for place in _PLACES:
        if place == "ride" or given.has(place):
            _place(given, sheet, place)


def _offset(given: Given) -> Quantity:
    return given.default("pinion-offset", 0.0) - given.default("gearbox-offset", 0.0)


def _place(given: Given, sheet: Sheet, place: str) -> None:
    """Angles and slip with the axle at one place of its travel."""
    pinion = given.need("pinion")
    rise, back = exact(0.0), exact(0.0)
    if place != "ride":
        rise = given.need(place) * (1 if place == "bump" else -1)
        back = _back(given, sheet, place, rise)
        if given.has(f"pinion-{place}"):
            pinion = given.need(f"pinion-{place}")
        else:
            sheet.warn("the pinion is taken to keep its slope over the travel; measure it at bump and droop")
    ride = given.need("shaft")
    facts = (given.need("gearbox"), pinion, given.need("drop"), _offset(given), ride, rise, back)
    phase = given.default("phase", 0.0)
    front, rear, twist, residual, length = through(_angles, (*facts, phase))
    sheet.give(f"front-{place}", front, "angle between gearbox axis and shaft", _SPACE)
    sheet.give(f"rear-{place}", rear, "angle between shaft and pinion axis", _SPACE)
    if place == "ride":
        sheet.give("compound", front, "front-ride", _SPACE)
        _turning(given, sheet, front)
        sheet.give("phasing", twist, "angle between the planes of the two joints, about the shaft", _SPACE)
        for name, angle in (("front", front), ("rear", rear)):
            if angle.value < _LEAST_ANGLE:
                sheet.warn(
                    f"the {name} joint runs nearly straight: under about half a degree its needles wear flats"
                    " (common practice, no source)"
                )
    formula = "sqrt(|front^2 - rear^2 e^(2 i (phasing - phase))|)"
    sheet.give(f"residual-{place}", residual, formula, _RESIDUAL)
    _limits(given, sheet, place, (front, rear, residual))
    sheet.give(f"length-{place}", length, "joint centre to joint centre", _SPACE)
    for key, left, formula in (
        ("slip-in", length - ride, f"slip-in + length-{place} - shaft"),
        ("slip-out", ride - length, f"slip-out - length-{place} + shaft"),
    ):
        if given.has(key):
            rest = given.need(key) + left
            sheet.give(f"{key}-{place}", rest, formula, _SPACE)
            what = "bottoms" if key == "slip-in" else "comes out of its engagement"
            if rest.value < -NOTHING:
                sheet.warn(f"THE SLIP {what} at {place}: it lacks {given.show.length(-rest.value, UP)}")
            elif rest.value < rest.plus_minus:
                wide = given.show.brief(rest.plus_minus, UP)
                told = f"{given.show.length(rest.value, DOWN)} is left, ± {wide}"
                sheet.warn(f"the slip is within its doubt of where it {what} at {place}: {told}; measure more closely")


def _back(given: Given, sheet: Sheet, place: str, rise: Quantity) -> Quantity:
    """How far the pinion's joint moves to the rear: measured, or by the slope of the axle's path, else not at all."""
    if given.has(f"back-{place}"):
        if given.has("path"):
            sheet.refuse("path", f"and back-{place} say the same thing; give one of them")
        return given.need(f"back-{place}")
    if given.has("path"):
        return rise * tan(given.need("path"))
    if given.has("slip-in") or given.has("slip-out"):
        sheet.warn(
            "the axle's path is taken as straight up and down: a spring or link that carries it back or forward moves"
            " the slip by as much; give path, or back-bump and back-droop measured on the car"
        )
    return exact(0.0)


def _limits(given: Given, sheet: Sheet, place: str, found: tuple[Quantity, Quantity, Quantity]) -> None:
    front, rear, residual = found
    if given.has("joint-limit"):
        limit = given.need("joint-limit").value
        for name, angle in (("front", front), ("rear", rear)):
            if angle.value > limit:
                sheet.warn(f"the {name} joint stands at {angle.value:.1f} deg at {place}: its limit is {limit:g} deg")
    if not given.has("speed"):
        sheet.warn("no speed was given: no acceleration is worked out")
        return
    speed = given.need("speed") * (math.pi / 30)
    allowed = 20 / speed / _RAD
    excitation = (residual * _RAD * speed) ** 2
    sheet.give(f"excitation-{place}", excitation, f"(residual-{place} x speed)^2", _RESIDUAL)
    if place == "ride":
        sheet.give("residual-allowed", allowed, "sqrt(400 rad/s2) / speed", _RESIDUAL)
    if excitation.value > LIMIT:
        sheet.warn(
            f"at {place} the pinion is shaken by {excitation.value:.0f} rad/s2, over the limit of 400 (SAE AE-7,"
            f" 3.1.1, as quoted): residual {residual.value:.2f} deg, at most {allowed.value:.2f} deg at this speed"
        )


def _angles(facts: Sequence[float]) -> tuple[float, float, float, float, float]:
    """Front and rear joint, angle between their planes, residual (all degrees), and length of the shaft.

    The car's axes: rearward, toward the second side, up; the gearbox's joint is where they begin.
    """
    gearbox, pinion, drop, offset, ride, rise, back, phase = facts
    run = math.sqrt(ride**2 - drop**2 - offset**2) + back
    place = (run, offset, rise - drop)
    length = math.sqrt(_dot(place, place))
    axis = (run / length, offset / length, (rise - drop) / length)
    first, last = _sloping(gearbox), _sloping(pinion)
    front, rear = _between(first, axis), _between(axis, last)
    twist = 0.0
    if front > 1e-9 and rear > 1e-9:
        one, two = _cross(first, axis), _cross(axis, last)
        twist = math.atan2(_dot(_cross(one, two), axis), _dot(one, two)) / _RAD
        twist = (twist + 90.0) % 180.0 - 90.0  # a joint's plane has no front and back
    turned = 2 * (twist - phase) * _RAD
    left = complex(front**2 - rear**2 * math.cos(turned), rear**2 * math.sin(turned))
    return front, rear, twist, math.sqrt(abs(left)), length


def _sloping(degrees: float) -> Vector:
    return (math.cos(degrees * _RAD), 0.0, -math.sin(degrees * _RAD))


def _dot(a: Vector, b: Vector) -> float:
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def _cross(a: Vector, b: Vector) -> Vector:
    return (a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0])


def _between(a: Vector, b: Vector) -> float:
    """The angle between two directions; by its tangent, which is good near nothing as well."""
    across = _cross(a, b)
    return math.atan2(math.sqrt(_dot(across, across)), _dot(a, b)) / _RAD


_WHERE = {"bump": "at bump", "ride": "at ride height", "droop": "at droop"}

DRIVELINE = Calculator(
    "driveline",
    "joint angles, how unevenly they turn, phasing, and slip left over the travel",
    (
        Input("angle", "angle", "between the two shafts of one joint, seen from the side", 0.0, 45.0),
        Input("plan-angle", "angle", "between them seen from above, else none", 0.0, 45.0),
        Input("speed", "speed", "of the driveline", 1.0, 20_000.0),
        Input("most-fluctuation", "number", "the most that one joint may swing the speed, as 12 %", 0.0001, 0.7),
        Input("gearbox", "angle", "slope of the gearbox's output, falling to the rear positive", -20.0, 20.0),
        Input("pinion", "angle", "slope of the pinion at ride height, falling to the rear positive", -30.0, 30.0),
        Input("pinion-bump", "angle", "the same at bump, else as at ride height", -40.0, 40.0),
        Input("pinion-droop", "angle", "the same at droop, else as at ride height", -40.0, 40.0),
        Input("drop", "length", "how far the pinion's joint lies below the gearbox's", -1000.0, 1000.0),
        Input(
            "pinion-offset",
            "length",
            "pinion line from the car's middle",
            -500.0,
            500.0,
            taken="narrow.new-offset",
        ),
        Input("gearbox-offset", "length", "gearbox line from the car's middle, else on it", -500.0, 500.0),
        Input("shaft", "length", "joint centre to joint centre at ride height", 100.0, 4000.0),
        Input("bump", "length", "how far the pinion's joint rises from ride height", 0.0, 500.0),
        Input("droop", "length", "how far it falls from ride height", 0.0, 500.0),
        Input("back-bump", "length", "how far it moves to the rear at bump, else not", -200.0, 200.0),
        Input("back-droop", "length", "how far it moves to the rear at droop, else not", -200.0, 200.0),
        Input("path", "angle", "slope of the axle's path, to the rear as it rises positive, else upright", -30.0, 30.0),
        Input("slip-in", "length", "how far the slip can still go in at ride height", 0.0, 500.0),
        Input("slip-out", "length", "how far it can still come out and be engaged enough", 0.0, 500.0),
        Input("phase", "angle", "of the rear fork, its top toward the first side, else in line", -90.0, 90.0),
        Input("joint-limit", "angle", "the most that a joint can stand, from its maker", 1.0, 60.0),
    ),
    (
        Output("compound", "deg", "angle of the joint in space; of a layout, the front joint at ride height"),
        Output("fluctuation", "", "most less least speed behind that joint, in parts of the mean"),
        Output("acceleration", "rad/s2", "the most that this joint speeds up what it drives"),
        Output("unit-ratio", "deg", "turn from the fastest point to where both shafts turn alike"),
        Output("angle-allowed", "deg", "angle at which one joint swings the speed by most-fluctuation"),
        Output("phasing", "deg", "turn of the rear fork that cancels best, its top toward the first side"),
        Output("residual-allowed", "deg", "the most residual angle at this speed"),
        *(
            Output(f"{key}-{place}", unit, f"{doc} {where}", rounding=rounding)
            for key, unit, doc, rounding in (
                ("front", "deg", "angle of the front joint in space", "nearest"),
                ("rear", "deg", "angle of the rear joint in space", "nearest"),
                ("residual", "deg", "angle of one joint that shakes the pinion as much", "nearest"),
                ("excitation", "rad/s2", "how the pinion is shaken", "nearest"),
                ("length", "mm", "of the shaft", "nearest"),
                ("slip-in", "mm", "slip left to go in", DOWN),
                ("slip-out", "mm", "slip left to come out", DOWN),
            )
            for place, where in _WHERE.items()
        ),
    ),
    driveline,
)
