"""Shafts in hand: the shafts one has, or a donor's, say where the housing is cut, and whether both sides can."""

from __future__ import annotations

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import DOWN, UP
from planner.numbers.quantity import Quantity

_BY_NAME = "by definition of the readings"
CAN, GROWS, NOT_SURE = "can", "would have to grow", "cannot tell"


def shafts(given: Given, sheet: Sheet) -> None:
    """``narrow`` the other way round: from the lengths of shafts that are there to the width and the cuts.

    Both shafts are taken to end inward where the present ones end, in the same side gears, and to have their bearing
    and seal where the finished flange-to-plate says. A positive pinion offset lies toward the second side.

    Formula
        c = P - L; P' = in-hand + c; F' = P' + P'; pads = F' + t + t; new-offset = (P' - P') / 2; half = P' - e';
        shorten = (P - e) - half; a side can where shorten is not negative
    Source
        by definition of the readings; uncertainty by JCGM 100

    >>> from planner.numbers.registry import figure
    >>> found = figure("shafts", {
    ...     "pinion-to-flange": {"driver": "31 in", "passenger": "29 in"}, "flange-to-plate": "3 in",
    ...     "shaft": {"driver": "30 in", "passenger": "28 in"}, "hat": "1/4 in",
    ...     "in-hand": {"driver": "27 in", "passenger": "25 in"}})
    >>> round(found.value("pads") / 25.4, 6), [round(found.value("shorten", side) / 25.4, 6) for side in found.sides]
    (54.5, [3.0, 3.0])
    """
    ends = {side: _end(given, side) for side in given.sides}
    first, second = given.sides
    flanges = ends[first] + ends[second]
    hats = given.default("hat", 0.0, first) + given.default("hat", 0.0, second)
    sheet.give("flange-to-flange", flanges, "pinion-to-flange + pinion-to-flange", _BY_NAME)
    pads = sheet.give("pads", flanges + hats, "flange-to-flange + hat + hat", _BY_NAME)
    formula = f"(P' {first} - P' {second}) / 2, + toward {second}"
    sheet.give("new-offset", (ends[first] - ends[second]) / 2, formula, _BY_NAME)
    for side, end in ends.items():
        sheet.give("pinion-to-flange", end, "in-hand + (P - L)", _BY_NAME, side)
        half, shorten = _half(given, side, end)
        sheet.give("half", half, "pinion-to-flange - e'", _BY_NAME, side)
        sheet.give("shorten", shorten, "(P - e) - half", _BY_NAME, side)
        answer = _answer(shorten)
        sheet.give("can", answer, "shorten against nothing, with its ±", _BY_NAME, side)
        if answer == GROWS:
            least = given.need("in-hand", side).value + shorten.value
            sheet.warn(
                f"THE {side.upper()} SHAFT IS TOO LONG FOR THIS HOUSING by {given.show.length(-shorten.value, UP)}: a"
                f" shaft of at most {given.show.length(least, DOWN)} fits that side, and a housing is only shortened"
            )
        elif answer == NOT_SURE:
            sheet.warn(f"whether the {side} side can is within its doubt; measure that shaft and side more closely")
    _the_other_way(given, sheet)
    _wanted(given, sheet, pads)
    sheet.warn("for the lines to cut at, write pads and new-offset into narrow, as its pads and its pinion")
    sheet.warn(
        "before a cut: spline, teeth, length of full teeth, bearing, seal and retention of the shafts in hand must be"
        " those of this housing and its gears; never cut, weld or sleeve a shaft to make it fit"
    )


def _end(given: Given, side: str, of: str | None = None) -> Quantity:
    """Pinion line to flange with the shaft in hand of a side, or of the other one."""
    return given.need("in-hand", of or side) + given.need("pinion-to-flange", side) - given.need("shaft", side)


def _half(given: Given, side: str, end: Quantity) -> tuple[Quantity, Quantity]:
    plate = given.need("flange-to-plate", side)
    half = end - (given.get("finished-flange-to-plate", side) or plate)
    return half, given.need("pinion-to-flange", side) - plate - half


def _answer(shorten: Quantity) -> str:
    if shorten.value >= shorten.plus_minus - NOTHING:
        return CAN
    return GROWS if shorten.value < -shorten.plus_minus - NOTHING else NOT_SURE


def _the_other_way(given: Given, sheet: Sheet) -> None:
    """Whether the two shafts would do with their sides changed."""
    first, second = given.sides
    if not given.is_sided("in-hand"):
        return
    answers = {
        side: _answer(_half(given, side, _end(given, side, other))[1])
        for side, other in ((first, second), (second, first))
    }
    told = "; ".join(f"{side} {answer}" for side, answer in answers.items())
    sheet.give("swapped", told, "the same with the sides of the shafts changed", _BY_NAME)


def _wanted(given: Given, sheet: Sheet, pads: Quantity) -> None:
    """The width that these shafts make, against the widths that fit."""
    for key, sign, what in (("pads-least", 1, "narrower than the least"), ("pads-most", -1, "wider than the most")):
        limit = given.get(key)
        if limit is None:
            continue
        room = (pads - limit) * sign
        if room.value < -NOTHING:
            sheet.warn(f"THESE SHAFTS MAKE THE AXLE {what.upper()} that fits, by {given.show.length(-room.value, UP)}")
        elif room.value < room.plus_minus:
            sheet.warn(f"whether it comes out {what} that fits is within its doubt; measure more closely")


def _length(key: str, doc: str, low: float, high: float, taken: str | None = None, *, needed: bool = True) -> Input:
    return Input(key, "length", doc, low, high, needed=needed, sided=True, taken=taken)


SHAFTS = Calculator(
    "shafts",
    "shafts in hand, or a donor's: how wide they make the axle, where to cut, whether both sides can",
    (
        _length("in-hand", "wheel face of the flange to the inner end of the shaft that is there", 100.0, 1600.0),
        _length("pinion-to-flange", "P, present, pinion line to the wheel face of the flange", 100.0, 1600.0),
        _length("flange-to-plate", "e, present, wheel face of the flange to the plate face", 0.0, 400.0),
        _length("shaft", "L, present, wheel face of the flange to the inner end of the shaft", 100.0, 1600.0),
        _length("finished-flange-to-plate", "e', with the shaft in hand, else as at present", 0.0, 400.0, needed=False),
        _length("hat", "t, hat, drum or spacer between flange and wheel, else none", 0.0, 150.0, needed=False),
        Input("pads-least", "length", "the narrowest that fits", 400.0, 2600.0, taken="fit.pads-least"),
        Input("pads-most", "length", "the widest that fits", 400.0, 2600.0, taken="fit.pads-most"),
    ),
    (
        Output("pads", "mm", "pad to pad width that these shafts make: write it as pads of narrow"),
        Output("flange-to-flange", "mm", "F', wheel face to wheel face"),
        Output("new-offset", "mm", "pinion offset, + toward the second side: write it as pinion of narrow"),
        Output("pinion-to-flange", "mm", "P', pinion line to the wheel face of the flange", True),
        Output("half", "mm", "h', pinion line to the finished plate face", True),
        Output("shorten", "mm", "what this side of the housing loses", True),
        Output("can", "text", "whether the side can: can, would have to grow, cannot tell", True),
        Output("swapped", "text", "the same with the shafts' sides changed"),
    ),
    shafts,
    sides=2,
)
