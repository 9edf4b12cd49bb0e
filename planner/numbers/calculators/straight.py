"""Straightness: tilt from readings at clock positions, run-out, what a bearing takes, what an instrument can see."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.calculators.bearingslopes import BEARINGS
from planner.numbers.calculators.bearingslopes import SOURCE as _SLOPES
from planner.numbers.clock import READINGS_HELP, At, Wave, clock_text, parse_readings, wave
from planner.numbers.lengths import FINE, TextError
from planner.numbers.quantity import Quantity, atan, depending, exact, reading
from planner.numbers.verdict import CANNOT_TELL, INSIDE, OUTSIDE, Verdict, verdict

_PLANE = "least squares of c + a cos t + b sin t"
_GEOMETRY = "geometry"
_PRACTICE = "common practice, no source"
_ISO = "ISO 14253-1, decision rules"
_NO_DOUBT = "no ± is stated for the readings: write plus-minus, what the instrument may be off"
_FINEST = 0.002  # millimetres: what the best dial of a small shop is good to; common practice, no source
_FAR = 4.0  # a reading this many of its own standard uncertainties off the plane was not read there


def tilt(given: Given, sheet: Sheet) -> None:
    """How a face stands to its axis, from a dial's readings round it, and what that does at the tyre.

    Seen facing the face from outside; twelve is up. A reading is larger where the face stands further out. Camber is
    the tilt's part toward twelve, toe its part toward three.

    Formula
        reading(t) = c + a cos t + b sin t, least squares; tilt = atan(sqrt(a^2 + b^2) / radius), toward atan2(b, a);
        camber = atan(a / radius); toe = atan(b / radius); toe at the tyre = tyre x b / radius
    Source
        least squares, any textbook of statistics; verdict: ISO 14253-1; uncertainty by JCGM 100

    >>> from planner.numbers.registry import figure
    >>> found = figure("tilt", {"readings": "12:00 0.2 mm; 3:00 0.1 mm; 6:00 0 mm; 9:00 0.1 mm", "radius": "100 mm"})
    >>> round(math.radians(found.value("tilt")), 6), found.results["toward"]
    (0.001, '12:00')
    """
    found = _read(given, sheet)
    if found is None:
        return
    readings, plane = found
    radius = given.need("radius")
    a, b = plane.cosine / radius, plane.sine / radius
    size = _size(a, b)
    sheet.give("tilt", atan(size), "atan(sqrt(a^2 + b^2) / radius)", _PLANE)
    sheet.give("toward", _toward(a, b, size), "atan2(b, a): where the face stands out most", _PLANE)
    sheet.give("camber", atan(a), "atan(a / radius)", _PLANE)
    sheet.give("toe", atan(b), "atan(b / radius)", _PLANE)
    if given.has("tyre"):
        sheet.give("toe-at-tyre", given.need("tyre") * b, "tyre x b / radius", _GEOMETRY)
        sheet.give("camber-at-tyre", given.need("tyre") * a, "tyre x a / radius", _GEOMETRY)
    _off(sheet, readings, plane)
    if given.has("bearing"):
        low, high = BEARINGS[given.text("bearing")]
        said = verdict(size.value, size.plus_minus, most=low)
        answer = said.answer if said.answer != OUTSIDE or size.value > high else "in the doubtful range"
        sheet.give("verdict", f"{answer}: at most {low:g} to {high:g} rad", "tilt against the bearing's slope", _SLOPES)
        if said.answer != INSIDE:
            finer = _finer(given, said) or "draw it back"
            sheet.warn(f"TILT IS NOT SHOWN TO BE WITHIN {low:g} RAD: {answer}; {finer}")
    _against(given, sheet, plane)
    sheet.warn(
        "read cold: within 2 K of the air, top and bottom alike; 5 K across 76 mm of tube over 600 mm is 0.47 mrad"
    )


def _against(given: Given, sheet: Sheet, plane: Wave) -> None:
    """How far the face stands out at the radius, up and aside, and the answer where a limit is given."""
    up = sheet.give("up", plane.cosine, "a: what twelve stands out over the middle", _PLANE)
    aside = sheet.give("aside", plane.sine, "b: what three stands out over the middle", _PLANE)
    limit = given.get("limit")
    if limit is None:
        return
    size = _size(up, aside)
    found = verdict(size.value, size.plus_minus, most=limit.value)
    length = given.show.length
    told = (
        f"up {length(up.value, FINE)}, toward three {length(aside.value, FINE)}; ± {length(size.plus_minus, FINE)};"
        f" limit {length(limit.value, FINE)}: {found.answer.upper()}"
    )
    finer = _finer(given, found) if found.answer == CANNOT_TELL else ""
    said = f"{told}, {finer}" if finer else told
    sheet.give("against-limit", said, "sqrt(a^2 + b^2) against limit, with its ±", _ISO)
    if found.answer != INSIDE:
        sheet.warn(f"NOT SHOWN TO BE WITHIN THE LIMIT: {said}")


def _finer(given: Given, found: Verdict) -> str:
    """How good the readings must be to settle what cannot be told; empty where it can be."""
    wide = given.default("plus-minus", 0.0).value
    if found.answer != CANNOT_TELL or not found.doubt or not wide:
        return ""
    need = wide * abs(found.room) / found.doubt
    if need < _FINEST:
        return "and no dial would settle it: work on it until it is well inside"
    return f"read again with a dial that is good to ± {given.show.at_most(need)}"


def _read(given: Given, sheet: Sheet) -> tuple[list[At], Wave] | None:
    """The readings and the plane through them; None with the reason refused."""
    wide = given.default("plus-minus", 0.0).value
    try:
        readings = parse_readings(given.text("readings"), "readings", wide / math.sqrt(3.0))
    except TextError as error:
        sheet.refuse("readings", str(error))
        return None
    if len(readings) < 3:
        sheet.refuse("readings", f"are {len(readings)}: three settle a plane, four or more show a bad one")
        return None
    try:
        plane = wave(readings)
    except ValueError:
        sheet.refuse("readings", "lie too near together to settle a plane; spread them round the clock")
        return None
    if not any(each.value.u for each in readings):
        sheet.warn(_NO_DOUBT)
    each, off = max(zip(readings, plane.off, strict=True), key=lambda row: abs(row[1]))
    if len(readings) > 3 and each.value.u and abs(off) > _FAR * each.value.u:
        says = (
            f"at {clock_text(each.degrees)} is {given.show.length(abs(off), FINE)} off the plane of the others, far"
            " beyond what the instrument may be off: a burr, or a slip; read it again, and the others too"
        )
        sheet.refuse("readings", says)
    return readings, plane


def _size(a: Quantity, b: Quantity) -> Quantity:
    size = math.hypot(a.value, b.value)
    if size == 0.0:
        return Quantity(0.0, a.terms)
    return depending(size, [(a, a.value / size), (b, b.value / size)])


def _toward(a: Quantity, b: Quantity, size: Quantity) -> str:
    if size.value <= 1e-12:
        return "nowhere"
    said = clock_text(math.degrees(math.atan2(b.value, a.value)))
    return f"{said}, in doubt" if size.value < size.plus_minus else said


def _off(sheet: Sheet, readings: list[At], plane: Wave) -> None:
    spare = len(readings) - 3
    if not spare:
        sheet.warn("three readings fit any plane: they cannot show a bad one; read a fourth")
        return
    rest = math.sqrt(sum(off * off for off in plane.off) / spare)
    sheet.give("residual", exact(rest), "sqrt(sum(off^2) / (n - 3))", _PLANE)


def runout(given: Given, sheet: Sheet) -> None:
    """Run-out of something that turns: how far its middle is off, from a dial's full reading or readings round it.

    Formula
        full reading = 2 eccentricity (a circle); from readings: eccentricity = sqrt(a^2 + b^2) of c + a cos t + b sin t
    Source
        geometry; verdict: ISO 14253-1

    >>> from planner.numbers.registry import figure
    >>> found = figure("runout", {"reading": "0.10 mm ± 0.01", "limit": "0.15 mm"})
    >>> found.value("eccentricity"), found.results["verdict"]
    (0.05, 'inside')
    """
    full = given.get("reading")
    if (full is None) is not given.has("readings"):
        sheet.refuse("reading", "or readings: give one of them, the full reading or readings round the clock")
        return
    if full is None:
        found = _read(given, sheet)
        if found is None:
            return
        readings, plane = found
        size = _size(plane.cosine, plane.sine)
        sheet.give("eccentricity", size, "sqrt(a^2 + b^2)", _PLANE)
        sheet.give("toward", _toward(plane.cosine, plane.sine, size), "atan2(b, a)", _PLANE)
        _off(sheet, readings, plane)
        full = 2 * size
    else:
        if not full.u and given.has("plus-minus"):
            full += reading("runout.plus-minus", 0.0, given.need("plus-minus").value / math.sqrt(3.0))
        if not full.u:
            sheet.warn(_NO_DOUBT)
        sheet.give("eccentricity", full / 2, "reading / 2", _GEOMETRY)
    sheet.give("full", full, "2 x eccentricity", _GEOMETRY)
    limit = given.get("limit")
    if limit is not None:
        judged = verdict(full.value, full.plus_minus, most=limit.value)
        sheet.give("verdict", judged.answer, "full reading against limit, with its ±", _ISO)
        if judged.answer == CANNOT_TELL:
            need = abs(judged.room)
            how = f"read again to ± {given.show.at_most(need)} or better" if need >= _FINEST else "work on it"
            sheet.warn(f"CANNOT TELL whether it is within the limit: {how}")


_READINGS = Input("readings", "text", READINGS_HELP.replace("write them as", "where and what:"), needed=True)
_WIDE = Input("plus-minus", "length", "what the instrument may be off at each reading", 0.0, 5.0)
_KIND = Input("bearing", "text", "what the tilt is judged for", choices=tuple(BEARINGS))

TILT = Calculator(
    "tilt",
    "how a face tilts, from readings round it, and toe and camber at the tyre",
    (
        _READINGS,
        Input("radius", "length", "at which the dial runs, from the middle", 5.0, 1000.0, needed=True),
        _WIDE,
        Input("tyre", "length", "diameter of the tyre", 200.0, 2000.0, taken="tyre.diameter"),
        _KIND,
        Input("limit", "length", "most that the face may stand out at that radius", 0.001, 20.0),
    ),
    (
        Output("tilt", "deg", "of the face to square"),
        Output("toward", "text", "where the face stands out most"),
        Output("camber", "deg", "part of the tilt toward twelve"),
        Output("toe", "deg", "part of the tilt toward three"),
        Output("toe-at-tyre", "mm", "across the tyre's diameter, toward three"),
        Output("camber-at-tyre", "mm", "across the tyre's diameter, toward twelve"),
        Output("up", "mm", "how far the face stands out at twelve, at that radius", rounding=FINE),
        Output("aside", "mm", "how far the face stands out at three, at that radius", rounding=FINE),
        Output("residual", "mm", "what the readings are off the plane; beside the instrument's ±", rounding=FINE),
        Output("verdict", "text", "for the bearing named"),
        Output("against-limit", "text", "inside, outside or cannot tell, and how good the dial must be"),
    ),
    tilt,
)

RUNOUT = Calculator(
    "runout",
    "how far the middle of something that turns is off",
    (
        Input("reading", "length", "full reading of the dial over one turn", 0.0, 50.0),
        _READINGS._replace(needed=False),
        _WIDE,
        Input("limit", "length", "most full reading that is allowed", 0.001, 50.0),
    ),
    (
        Output("eccentricity", "mm", "how far the middle is off", rounding=FINE),
        Output("toward", "text", "where it stands out most"),
        Output("full", "mm", "full reading of a dial", rounding=FINE),
        Output("residual", "mm", "what the readings are off a round path", rounding=FINE),
        Output("verdict", "text", "inside, outside or cannot tell"),
    ),
    runout,
)
