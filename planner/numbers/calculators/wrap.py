"""Marking round a tube: clock positions on a tape, a wrap that does not close, and the unrolled curve of a cut."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from planner.numbers.calculator import Calculator, Given, Input, Item, Output, Result, Sheet
from planner.numbers.lengths import UP
from planner.numbers.quantity import Quantity, atan, depending, exact, tan

_GEOMETRY = "geometry"
_HELIX = "geometry: a flat wrap is a straight line on the unrolled tube"
_PLANE = "geometry: a plane cuts a cylinder in a cosine when unrolled"
_CYLINDERS = "geometry: two cylinders meet where sqrt(R^2 - (r sin t + e)^2) is the height over the other's axis"
_RAD = math.pi / 180.0
_STEPS = 96
_GOLDEN = (math.sqrt(5.0) - 1.0) / 2.0
STRAIGHT, MITRE, SADDLE = "straight", "mitre", "saddle"


def wrap(given: Given, sheet: Sheet) -> None:
    """Distances round a tube, how a wrap closes, and how far a cut stands back at each clock position.

    The curve is measured along the tube, back from a square line round its longest point. Clock positions go
    clockwise, seen facing the end that is cut; twelve is the longest point of a mitre, and of a saddle the side of
    the wide corner. With a wall given, the saddle's bore seats as well as its outside: the deeper of both is cut.

    Formula
        circumference = pi D; round at position n of N: pi D n / N; mismatch = pi D tan(squareness);
        mitre: back = D / 2 tan(angle) (1 - cos t); saddle, axes at the angle, r = D / 2, R = onto / 2, e = sideways:
        along(t) = (sqrt(R^2 - (r sin t + e)^2) - r cos t cos(angle)) / sin(angle), back = along(t) - least along
    Source
        geometry

    >>> from planner.numbers.registry import figure
    >>> found = figure("wrap", {"diameter": "3 in", "squareness": "0.5 deg"})
    >>> round(found.value("circumference"), 3), round(found.value("mismatch"), 3)
    (239.389, 2.089)
    """
    diameter = given.need("diameter")
    around = diameter * math.pi
    sheet.give("circumference", around, "pi diameter", _GEOMETRY)
    squareness, mismatch = given.get("squareness"), given.get("mismatch")
    if squareness is not None and mismatch is not None:
        sheet.refuse("mismatch", "and squareness say the same thing; give one of them")
        return
    if squareness is not None:
        sheet.give("mismatch", around * tan(squareness), "circumference x tan(squareness)", _HELIX)
    elif mismatch is not None:
        sheet.give("squareness", atan(mismatch / around), "atan(mismatch / circumference)", _HELIX)
    count = int(given.default("positions", 12.0).value)
    names = _positions(count)
    rows: list[tuple[Item, ...]] = [(name, around * (i / count)) for i, name in enumerate(names)]
    sheet.give("round", tuple(rows), f"circumference x n / {count}", _GEOMETRY)
    _curve(given, sheet, diameter, names)


def _positions(count: int) -> list[str]:
    """The names of the points: clock hours with their minutes."""
    names = []
    for i in range(count):
        minutes = round(720 * i / count)
        names.append(f"{minutes // 60 or 12}:{minutes % 60:02d}")
    return names


def _curve(given: Given, sheet: Sheet, diameter: Quantity, names: list[str]) -> None:
    kind = given.text("cut")
    angle = given.get("angle")
    if not kind:
        for key in ("angle", "onto", "sideways", "wall"):
            if given.has(key):
                sheet.refuse("cut", f"is missing: with {key} given, write mitre or saddle")
                break
        return
    for key in {STRAIGHT: ("angle", "onto", "sideways", "wall"), MITRE: ("onto", "sideways", "wall")}.get(kind, ()):
        if given.has(key):
            sheet.refuse(key, f"is not used by a {kind} cut; leave it out or choose another cut")
    sheet.stop_if_refused()
    if kind == STRAIGHT:
        flat = _Curve(lambda _: exact(0.0), 0.0, 0.0)
        _give(sheet, names, flat, "0: a square cut is a straight line when unrolled", _GEOMETRY)
    elif kind == MITRE:
        if angle is None:
            sheet.refuse("angle", "is missing: a mitre needs the angle of its cut from square")
        elif not 0 < angle.value <= 75:
            sheet.refuse("angle", "of a mitre is the cut's angle from square, more than 0 and at most 75 deg")
        else:
            rise = diameter / 2 * tan(angle)
            slanted = _Curve(lambda t: rise * (1 - math.cos(t)), math.pi, 0.0)
            _give(sheet, names, slanted, "diameter / 2 x tan(angle) x (1 - cos t)", _PLANE)
    else:
        _saddle(given, sheet, diameter, exact(90.0) if angle is None else angle, names)


class _Curve(NamedTuple):
    """How far a cut stands back at an angle round the tube, and at which angles it does most and least."""

    back: Callable[[float], Quantity]
    deepest: float
    shallowest: float


def _saddle(given: Given, sheet: Sheet, diameter: Quantity, angle: Quantity, names: list[str]) -> None:
    onto = given.get("onto")
    if onto is None:
        sheet.refuse("onto", "is missing: a saddle needs the outside diameter of the tube that it sits on")
        return
    sideways, wall = given.default("sideways", 0.0), given.default("wall", 0.0)
    if not 15 <= angle.value <= 90:
        sheet.refuse("angle", "of a saddle is between the axes of the tubes, 15 to 90 deg")
    if diameter.value / 2 + abs(sideways.value) > onto.value / 2 * (1 + 1e-12):
        least = given.show.length(diameter.value + 2 * abs(sideways.value), UP)
        sheet.refuse("onto", f"is too small: the tube reaches past it; it must be at least {least} across")
    if 2 * wall.value >= diameter.value:
        sheet.refuse("wall", f"leaves no bore; it must be less than {given.show.length(diameter.value / 2, 'down')}")
    sheet.stop_if_refused()
    if diameter.value / 2 + abs(sideways.value) > 0.98 * onto.value / 2:
        sheet.warn("the tubes are nearly tangent: the curve is steep there, and small errors move it far")
    shape = _Shape(diameter / 2, onto / 2, sideways, wall, angle)
    plain = tuple(each.value for each in shape)  # where, is found on bare numbers; how far, with its doubt after
    deepest, shallowest = _extremes(lambda t: _touch(plain, t)[0])
    sheet.work("longest-point", exact(shallowest / _RAD), "deg", "t where along is least", _CYLINDERS)
    low = _along(shape, shallowest)
    formula = "(sqrt(R^2 - (r sin t + e)^2) - r cos t cos(angle)) / sin(angle) - its least"
    _give(sheet, names, _Curve(lambda t: _along(shape, t) - low, deepest, shallowest), formula, _CYLINDERS)


class _Shape(NamedTuple):
    """The tube that is cut, and how it meets the one that it sits on."""

    outer: Quantity
    run: Quantity
    sideways: Quantity
    wall: Quantity
    angle: Quantity


def _touch(shape: tuple[float, ...], t: float) -> tuple[float, float, float]:
    """How far from where the axes meet the tube touches the other one, at angle t round it; at what radius and height.

    A cut that stands square to the tube's wall touches first somewhere between bore and outside: the farthest of
    all those radii holds.
    """
    radius, run, sideways, wall, angle = shape
    s, c = math.sin(t), math.cos(t)
    sin_a, cos_a = math.sin(angle * _RAD), math.cos(angle * _RAD)
    if wall:
        # along() is hollow downwards in the radius: its top is where the slope is nothing, else at an end
        bore = radius - wall
        if abs(s) < 1e-12:
            radius = bore if c * cos_a > 0 else radius
        else:
            slope = -c * cos_a / s
            top = (run * slope / math.sqrt(1 + slope * slope) - sideways) / s
            radius = min(max(top, bore), radius)
    across = radius * s + sideways
    height = math.sqrt(max(0.0, run * run - across * across))
    return (height - radius * c * cos_a) / sin_a, radius, height


def _along(shape: _Shape, t: float) -> Quantity:
    """The same with its uncertainty."""
    outer, run, sideways, wall, angle = shape
    value, radius, height = _touch(tuple(each.value for each in shape), t)
    s, c = math.sin(t), math.cos(t)
    sin_a, cos_a = math.sin(angle.value * _RAD), math.cos(angle.value * _RAD)
    across = radius * s + sideways.value
    steep = max(height, 1e-9 * run.value)
    by_radius = (-across * s / steep - c * cos_a) / sin_a
    at_bore = wall.value > 0 and radius == outer.value - wall.value
    at_end = by_radius if at_bore or radius == outer.value else 0.0
    return depending(
        value,
        [
            (outer, at_end),
            (wall, -at_end if at_bore else 0.0),
            (run, run.value / steep / sin_a),
            (sideways, -across / steep / sin_a),
            (angle, (radius * c - value * cos_a / sin_a) * _RAD),
        ],
    )


def _extremes(curve: Callable[[float], float]) -> tuple[float, float]:
    """Where a curve round the tube is largest and where it is smallest: the best of a ring, then closed in on."""
    ring = [curve(2 * math.pi * i / _STEPS) for i in range(_STEPS)]
    most = max(range(_STEPS), key=ring.__getitem__)
    least = min(range(_STEPS), key=ring.__getitem__)
    return _close_in(curve, 1.0, most), _close_in(curve, -1.0, least)


def _close_in(curve: Callable[[float], float], sign: float, nearest: int) -> float:
    """The top (sign 1) or bottom (-1) of a curve beside a point of the ring, by golden sections."""
    step = 2 * math.pi / _STEPS
    middle = nearest * step
    low, high = middle - step, middle + step
    a, b = high - _GOLDEN * (high - low), low + _GOLDEN * (high - low)
    at_a, at_b = sign * curve(a), sign * curve(b)
    for _ in range(34):  # as near as the curve's last digits tell two points apart
        if at_a < at_b:
            low, a, at_a = a, b, at_b
            b = low + _GOLDEN * (high - low)
            at_b = sign * curve(b)
        else:
            high, b, at_b = b, a, at_a
            a = high - _GOLDEN * (high - low)
            at_a = sign * curve(a)
    return max((middle, (low + high) / 2), key=lambda t: sign * curve(t)) % (2 * math.pi)


def _give(sheet: Sheet, names: list[str], curve: _Curve, formula: str, source: str) -> None:
    """The points of the curve, its deepest and its shallowest."""
    rows: list[tuple[Item, ...]] = []
    for i, name in enumerate(names):
        rows.append((name, _clean(curve.back(2 * math.pi * i / len(names)))))
    sheet.give("curve", tuple(rows), formula, source)
    sheet.give("deepest", _clean(curve.back(curve.deepest)), "most of the curve, anywhere round", source)
    sheet.give("shallowest", _clean(curve.back(curve.shallowest)), "least of the curve, anywhere round", source)


def curve_of(result: Result) -> Callable[[float], float] | None:
    """How far the cut of a result stands back, in mm, at any angle round the tube: radians clockwise from twelve,
    facing the end that is cut. None where no cut is asked for; the formulas are those of ``wrap``.

    >>> from planner.numbers.registry import figure
    >>> back = curve_of(figure("wrap", {"diameter": "60 mm", "cut": "mitre", "angle": "45 deg"}))
    >>> [round(back(turn), 6) for turn in (0.0, math.pi / 2, math.pi)]
    [0.0, 30.0, 60.0]
    """
    diameter = result.given_number("diameter")
    kind, angle = result.given_text("cut"), result.given_number("angle")
    if diameter is None or not kind:
        return None
    if kind == STRAIGHT:
        return lambda _: 0.0
    if kind == MITRE:
        rise = diameter / 2 * math.tan((angle or 0.0) * _RAD)
        return lambda turn: rise * (1 - math.cos(turn))
    given = {key: result.given_number(key) or 0.0 for key in ("onto", "sideways", "wall")}
    shape = (diameter / 2, given["onto"] / 2, given["sideways"], given["wall"], 90.0 if angle is None else angle)
    _, shallowest = _extremes(lambda turn: _touch(shape, turn)[0])
    low = _touch(shape, shallowest)[0]
    return lambda turn: _touch(shape, turn)[0] - low


def _clean(value: Quantity) -> Quantity:
    """Binary dust beside nothing is nothing."""
    return Quantity(0.0, value.terms) if abs(value.value) < 1e-9 else value


WRAP = Calculator(
    "wrap",
    "distances round a round tube, how a wrap closes, and the unrolled curve of a cut",
    (
        Input("diameter", "length", "outside diameter of the tube", 5.0, 2000.0, needed=True),
        Input("squareness", "angle", "how far from square the wrap lies", 0.0, 45.0),
        Input("mismatch", "length", "how far its ends miss each other along the tube", 0.0, 2000.0),
        Input("positions", "count", "points round the tube, else 12", 3.0, 72.0),
        Input("cut", "text", "shape of the cut, else no curve is given", choices=(STRAIGHT, MITRE, SADDLE)),
        Input("angle", "angle", "mitre: from square; saddle: of the axes, else 90 deg", 0.0, 90.0),
        Input("onto", "length", "saddle: outside diameter of the tube that it sits on", 5.0, 2000.0),
        Input("sideways", "length", "saddle: from axis to axis, toward three o'clock", -999.0, 999.0),
        Input("wall", "length", "saddle: wall of the tube that is cut, else none", 0.0, 100.0),
    ),
    (
        Output("circumference", "mm", "once round the outside"),
        Output("mismatch", "mm", "how far its ends miss each other along the tube"),
        Output("squareness", "deg", "how far from square the wrap lies, from the mismatch measured"),
        Output("round", "list", "distance round from twelve o'clock to each clock position"),
        Output("curve", "list", "at each clock position, how far the cut stands back from the longest point"),
        Output("deepest", "mm", "the most that the cut stands back, anywhere round"),
        Output("shallowest", "mm", "the least that the cut stands back, anywhere round"),
    ),
    wrap,
)
