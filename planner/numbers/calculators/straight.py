"""Straightness: tilt from readings at clock positions, run-out, what a bearing takes, what an instrument can see."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.calculators.bearingslopes import BEARINGS
from planner.numbers.calculators.bearingslopes import SOURCE as _SLOPES
from planner.numbers.clock import READINGS_HELP, At, Wave, clock_text, parse_clock, parse_readings, wave
from planner.numbers.lengths import TextError
from planner.numbers.quantity import Quantity, atan, depending, exact
from planner.numbers.verdict import CANNOT_TELL, OUTSIDE, verdict

_PLANE = "least squares of c + a cos t + b sin t"
_GEOMETRY = "geometry"
_PRACTICE = "common practice, no source"
_ISO = "ISO 14253-1, decision rules"
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
        if said.answer != "inside":
            sheet.warn(f"TILT IS NOT SHOWN TO BE WITHIN {low:g} RAD: {answer}; read again more finely, or draw it back")
    sheet.warn(
        "read cold: within 2 K of the air, top and bottom alike; 5 K across 76 mm of tube over 600 mm is 0.47 mrad"
    )


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
        sheet.warn("no ± is stated for the readings: write plus-minus, what the instrument may be off")
    each, off = max(zip(readings, plane.off, strict=True), key=lambda row: abs(row[1]))
    if len(readings) > 3 and each.value.u and abs(off) > _FAR * each.value.u:
        says = (
            f"at {clock_text(each.degrees)} is {given.show.length(abs(off))} off the plane of the others, far beyond"
            " what the instrument may be off: a burr, or a slip; read it again, and the others too"
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
        sheet.give("eccentricity", full / 2, "reading / 2", _GEOMETRY)
    sheet.give("full", full, "2 x eccentricity", _GEOMETRY)
    limit = given.get("limit")
    if limit is not None:
        answer = verdict(full.value, full.plus_minus, most=limit.value).answer
        sheet.give("verdict", answer, "full reading against limit, with its ±", _ISO)
        if answer == CANNOT_TELL:
            sheet.warn("CANNOT TELL whether it is within the limit: read again with a finer instrument")


def bearing(given: Given, sheet: Sheet) -> None:
    """What slope a bearing takes, as a dial shows it at a radius round the face.

    Formula
        full reading = 2 radius x slope; one side against the middle: radius x slope
    Source
        Budynas & Nisbett, Shigley's Mechanical Engineering Design, Table 7-2

    >>> from planner.numbers.registry import figure
    >>> found = figure("bearing", {"bearing": "tapered-roller", "radius": "50 mm"})
    >>> round(found.value("full-least"), 6), round(found.value("full-most"), 6)
    (0.05, 0.12)
    """
    low, high = BEARINGS[given.text("bearing")]
    radius = given.need("radius")
    sheet.give("full-least", 2 * radius * low, "2 radius x strict slope", _SLOPES)
    sheet.give("full-most", 2 * radius * high, "2 radius x wide slope", _SLOPES)
    sheet.give("slope-least", exact(math.degrees(low)), "strict slope", _SLOPES)
    sheet.give("slope-most", exact(math.degrees(high)), "wide slope", _SLOPES)
    sheet.warn("between the two the bearing's load and make decide: ask its maker; under the strict slope is good")


def sees(given: Given, sheet: Sheet) -> None:
    """The least bend that each way of looking can show; equal lengths prove nothing about straightness.

    Formula
        tape: acos(1 - tape / length); straight edge and feeler: feeler / length; dial, full reading: dial / (2 radius);
        four readings of ± dial: 2 (dial / sqrt 3) / sqrt 2 / radius
    Source
        geometry; that a tape can miss three degrees: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("sees", {"length": "600 mm", "tape": "0.8 mm"})
    >>> round(found.value("by-tape"), 1)
    3.0
    """
    length = given.need("length")
    tape, feeler, dial = given.default("tape", 0.8), given.default("feeler", 0.05), given.default("dial", 0.01)
    if tape.value >= length.value:
        sheet.refuse("tape", "is as long as what it measures")
        return
    bent = math.degrees(math.acos(1 - tape.value / length.value))
    sheet.give("by-tape", exact(bent), "acos(1 - tape / length)", _GEOMETRY)
    sheet.give("aside", exact(length.value * math.sin(math.radians(bent))), "length x sin(by-tape)", _GEOMETRY)
    sheet.give("by-straight-edge", atan(feeler / length), "atan(feeler / length)", _GEOMETRY)
    radius = given.get("radius")
    if radius is not None:
        sheet.give("by-dial", atan(dial / radius / 2), "atan(dial / (2 radius))", _GEOMETRY)
        four = dial * (2 / math.sqrt(6)) / radius
        sheet.give("by-four-readings", atan(four), "atan(2 dial / sqrt 6 / radius)", _GEOMETRY)
    sheet.warn("a tape can miss 3 degrees (common practice, no source): never judge straightness by lengths alone")


def pull(given: Given, sheet: Sheet) -> None:
    """Where the next bead or heat draws a tilted face back: a direction to try, never a promise.

    Formula
        what is heated shrinks as it cools: heat-at = where the face stands out; never-at = opposite
    Source
        common practice, no source

    >>> from planner.numbers.registry import figure
    >>> figure("pull", {"toward": "1:30", "metal": "mild-steel"}).results["heat-at"]
    '1:30'
    """
    try:
        where = parse_clock(given.text("toward"))
    except TextError as error:
        sheet.refuse("toward", str(error))
        return
    if given.text("metal") != "mild-steel":
        sheet.refuse("metal", "is not plain mild steel: do not heat it to move it; ask who knows that metal")
        return
    sheet.give("heat-at", clock_text(where), "where the face stands out", _PRACTICE)
    sheet.give("never-at", clock_text(where + 180.0), "opposite", _PRACTICE)
    sheet.warn("small, one spot at a time, then cold to within 2 K of the air and read again; never quench")
    sheet.warn("a direction to try, no promise: how far it moves is not worked out here; never heat an axle shaft")


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
    ),
    (
        Output("tilt", "deg", "of the face to square"),
        Output("toward", "text", "where the face stands out most"),
        Output("camber", "deg", "part of the tilt toward twelve"),
        Output("toe", "deg", "part of the tilt toward three"),
        Output("toe-at-tyre", "mm", "across the tyre's diameter, toward three"),
        Output("camber-at-tyre", "mm", "across the tyre's diameter, toward twelve"),
        Output("residual", "mm", "what the readings are off the plane; beside the instrument's ±"),
        Output("verdict", "text", "for the bearing named"),
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
        Output("eccentricity", "mm", "how far the middle is off"),
        Output("toward", "text", "where it stands out most"),
        Output("full", "mm", "full reading of a dial"),
        Output("residual", "mm", "what the readings are off a round path"),
        Output("verdict", "text", "inside, outside or cannot tell"),
    ),
    runout,
)

BEARING = Calculator(
    "bearing",
    "the slope that a bearing takes, as a dial shows it",
    (
        _KIND._replace(needed=True, doc="which sort"),
        Input("radius", "length", "at which the dial runs, from the middle", 5.0, 1000.0, needed=True),
    ),
    (
        Output("full-least", "mm", "full reading at the strict slope", rounding="down"),
        Output("full-most", "mm", "full reading at the widest slope", rounding="down"),
        Output("slope-least", "deg", "strict slope"),
        Output("slope-most", "deg", "widest slope"),
    ),
    bearing,
)

SEES = Calculator(
    "sees",
    "the least bend that tape, straight edge, dial or four readings can show",
    (
        Input("length", "length", "over which it is looked at", 20.0, 4000.0, needed=True),
        Input("radius", "length", "at which a dial runs round the face", 5.0, 1000.0),
        Input("tape", "length", "what the tape can tell apart, else 0.8 mm", 0.01, 10.0),
        Input("feeler", "length", "the thinnest feeler, else 0.05 mm", 0.005, 2.0),
        Input("dial", "length", "what the dial may be off, else 0.01 mm", 0.0005, 1.0),
    ),
    (
        Output("by-tape", "deg", "least bend that lengths can show"),
        Output("aside", "mm", "how far the end is aside at that bend"),
        Output("by-straight-edge", "deg", "least bend by straight edge and feeler"),
        Output("by-dial", "deg", "least tilt by the full reading of a dial"),
        Output("by-four-readings", "deg", "least tilt by four readings"),
    ),
    sees,
)

PULL = Calculator(
    "pull",
    "where heat or the next bead draws a tilted face back",
    (
        Input("toward", "text", "where the face stands out most, as a clock position", needed=True),
        Input("metal", "text", "what the tube is", needed=True, choices=("mild-steel", "cast", "alloy", "unknown")),
    ),
    (
        Output("heat-at", "text", "where the next bead or heat goes"),
        Output("never-at", "text", "where it makes things worse"),
    ),
    pull,
)
