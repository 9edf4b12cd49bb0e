"""What bend can be seen, what slope a bearing takes, and where a tilted face is drawn back."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.calculators.bearingslopes import BEARINGS
from planner.numbers.calculators.bearingslopes import SOURCE as _SLOPES
from planner.numbers.clock import clock_text, parse_clock
from planner.numbers.lengths import FINE, TextError
from planner.numbers.quantity import atan, exact

_GEOMETRY = "geometry"
_PRACTICE = "common practice, no source"


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


BEARING = Calculator(
    "bearing",
    "the slope that a bearing takes, as a dial shows it",
    (
        Input("bearing", "text", "which sort", needed=True, choices=tuple(BEARINGS)),
        Input("radius", "length", "at which the dial runs, from the middle", 5.0, 1000.0, needed=True),
    ),
    (
        Output("full-least", "mm", "full reading at the strict slope", rounding=FINE),
        Output("full-most", "mm", "full reading at the widest slope", rounding=FINE),
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
        Output("aside", "mm", "how far the end is aside at that bend", rounding=FINE),
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
