"""Narrowing a housing: from the readings of a tape to the lines that are cut, on each side."""

from __future__ import annotations

from typing import NamedTuple

from planner.numbers.calculator import NOTHING, Calculator, Given, RefusedError, Sheet
from planner.numbers.calculators.narrowcut import Cut, cut_side
from planner.numbers.calculators.narrowform import INPUTS, OUTPUTS
from planner.numbers.inputs import span_text
from planner.numbers.lengths import DOWN, UP, TextError
from planner.numbers.quantity import Quantity, exact, reading
from planner.numbers.tally import add_up
from planner.numbers.units import parse_value

_BY_NAME = "by definition of the readings"
_SHAFT = next(each for each in INPUTS if each.key == "shaft")


class _Side(NamedTuple):
    """The readings of one side, and which way a positive pinion offset counts there."""

    name: str
    sign: float
    pinion: Quantity  # P, pinion line to flange
    plate: Quantity  # e, flange to plate face
    shaft: Quantity | None  # L
    hat: Quantity  # t
    finished: Quantity  # e'

    @property
    def overlap(self) -> Quantity | None:
        """How much shorter the shaft is than the way to the pinion line."""
        return None if self.shaft is None else self.pinion - self.shaft


def narrow(given: Given, sheet: Sheet) -> None:
    """Where to cut a housing so that its wheel pads come to the width wanted, side by side, with what follows.

    x runs inward from that side's present plate face. A positive pinion offset lies toward the second side
    (passenger). Shorten is what the side loses; between is how far apart its two lines are; waste is the piece
    that falls out between two saw cuts: three numbers, never one.

    Formula
        F' = W' - t_d - t_p; o = (P_d - P_p)/2; c = P - L;
        o' = o (keep), 0 (centre), as stated, or (c_d - c_p)/2 (equal-shafts);
        P'_d = F'/2 + o'; P'_p = F'/2 - o'; h = P - e; h' = P' - e'; R = h - h'; N = R + g - s;
        x1 = a; x2 = a + N; saw edges x1 + m and x2 - m; waste = N - 2m - 2k; tube left = h - x2 - q;
        L' = P' - c; H' = F' - e'_d - e'_p; a new end: x2 = R + n + g - s
    Source
        by definition of the readings; kerf, dressing, gap and shrinkage: common practice, no source;
        uncertainty by JCGM 100

    >>> from planner.numbers.registry import figure
    >>> found = figure("narrow", {
    ...     "flange-to-flange": "60 in", "pinion-to-flange": {"driver": "31 in", "passenger": "29 in"},
    ...     "flange-to-plate": "3 in", "plate-to-plate": "54 in", "shaft": {"driver": "30 in", "passenger": "28 in"},
    ...     "pads": "54 1/2 in", "hat": "1/4 in", "first-line": "4 in", "kerf": "1/8 in", "gap": "1/16 in",
    ...     "shrinkage": "0.020..0.080 in"})
    >>> [round(found.value("shorten", side) / 25.4, 6) for side in ("driver", "passenger")]
    [3.0, 3.0]
    >>> round(found.value("second-line", "driver") / 25.4, 4), round(found.value("shaft", "driver") / 25.4, 4)
    (7.0125, 27.0)
    """
    sides = [_side(given, name, sign) for name, sign in zip(given.sides, (1.0, -1.0), strict=True)]
    driver, passenger = sides
    for side in sides:
        _reaches(given, sheet, side)
    _closings(given, sheet, driver, passenger)
    pads = given.need("pads")
    flanges = pads - driver.hat - passenger.hat
    sheet.give("flange-to-flange", flanges, "pads - hat - hat", _BY_NAME)
    if flanges.value <= 0:
        sheet.refuse("pads", "leaves nothing between the flanges; check pads and hat")
        sheet.stop_if_refused()
    offset = (driver.pinion - passenger.pinion) / 2
    sheet.give("offset", offset, f"(P {driver.name} - P {passenger.name}) / 2", _BY_NAME)
    new_offset = _new_offset(given, sheet, driver, passenger, offset)
    sheet.give("brackets-move", new_offset - offset, f"new-offset - offset, + toward {passenger.name}", _BY_NAME)
    cuts = []
    for side in sides:
        new_pinion = flanges / 2 + side.sign * new_offset
        sign = "+" if side.sign > 0 else "-"
        formula = f"flange-to-flange / 2 {sign} new-offset"
        pinion = sheet.give("pinion-to-flange", new_pinion, formula, _BY_NAME, side.name)
        present, planned = side.pinion - side.plate, new_pinion - side.finished
        sheet.work("present half", present, "mm", "P - e", _BY_NAME, side.name)
        half = _half(given, sheet, side, planned, pinion)
        shorten = present - planned  # the lines stay where they were planned, whatever is measured behind the cut
        sheet.give("shorten", shorten, "present half - half", _BY_NAME, side.name)
        cuts.append(Cut(side.name, present, shorten))
        if side.overlap is not None:
            sheet.work("c", side.overlap, "mm", "P - L", _BY_NAME, side.name)
            _shaft(given, sheet, side, half)
    _lengthened(given, sheet, sides, cuts, new_offset)
    _worth(given, sheet, driver, passenger, cuts)
    for cut in cuts:
        cut_side(given, sheet, cut, cuts)
    sheet.give("plate-to-plate", flanges - driver.finished - passenger.finished, "flange-to-flange - e' - e'", _BY_NAME)
    _sums(given, sheet)
    _remarks(given, sheet, cuts)


def _sums(given: Given, sheet: Sheet) -> None:
    """What a tape adds up must add up as it is shown."""
    for whole, part in (("flange-to-flange", "pinion-to-flange"), ("plate-to-plate", "half")):
        add_up(sheet, given.show, (whole, None), [(part, side) for side in given.sides])
    for side in given.sides:
        add_up(sheet, given.show, ("second-line", side), [("first-line", side), ("between", side)])


def _side(given: Given, name: str, sign: float) -> _Side:
    plate = given.need("flange-to-plate", name)
    finished = given.get("finished-flange-to-plate", name)
    return _Side(
        name, sign, given.need("pinion-to-flange", name), plate, given.get("shaft", name),
        given.default("hat", 0.0, name), plate if finished is None else finished,
    )  # fmt: skip


def _closings(given: Given, sheet: Sheet, driver: _Side, passenger: _Side) -> None:
    """The readings must agree with one another within what they may be off; else something was read wrong."""
    flanges, plates = given.need("flange-to-flange"), given.need("plate-to-plate")
    pinion = flanges - driver.pinion - passenger.pinion
    plate = flanges - driver.plate - passenger.plate - plates
    sheet.work("closing of pinion-to-flange", pinion, "mm", "F - P - P, must be 0 within 2u", _BY_NAME)
    sheet.work("closing of plate-to-plate", plate, "mm", "F - e - e - H, must be 0 within 2u", _BY_NAME)
    open_pinion, open_plate = _is_open(pinion), _is_open(plate)
    if open_pinion and open_plate and not _is_open(pinion - plate):
        says = (
            f"is {_apart(given, pinion)} against pinion-to-flange and against plate-to-plate alike: measure"
            " flange-to-flange again"
        )
        sheet.refuse("flange-to-flange", says)
    elif open_pinion or open_plate:
        if open_pinion:
            says = (
                f"the two add up to {_apart(given, -pinion)} against flange-to-flange; they must agree within"
                f" {given.show.limit(pinion.plus_minus)}: measure pinion-to-flange again on both sides"
            )
            sheet.refuse("pinion-to-flange", says)
        if open_plate:
            says = (
                f"with flange-to-plate on both sides it is {_apart(given, -plate)} against flange-to-flange; they must"
                f" agree within {given.show.limit(plate.plus_minus)}: measure plate-to-plate and flange-to-plate again"
            )
            sheet.refuse("plate-to-plate", says)
    if (open_pinion or open_plate) and not (pinion.u and plate.u):
        sheet.refuse("flange-to-flange", "no reading has a ±: state what the tape may be off, such as ± 1/32")
    sheet.stop_if_refused()
    if not pinion.u:
        sheet.warn("no ± is stated for the readings: they are taken as exact, and no tape is; write ± 1/32 behind them")


def _reaches(given: Given, sheet: Sheet, side: _Side) -> None:
    """The inner end of a shaft lies outward of the pinion line: that is where the other one, or a pin, is."""
    if side.shaft is None or side.pinion.value >= side.shaft.value - NOTHING:
        return
    past, most = side.shaft.value - side.pinion.value, given.show.length(side.pinion.value, DOWN)
    says = (
        f"{side.name} side: the shaft, {given.show.length(side.shaft.value)}, is longer than pinion-to-flange,"
        f" {given.show.length(side.pinion.value)}: it would reach {given.show.length(past)} past the pinion line, where"
        f" no shaft goes. A shaft of at most {most} would do: measure shaft and pinion-to-flange again"
    )
    sheet.refuse("shaft", says, side.name if given.is_sided("shaft") else None)


def _judge_shaft(given: Given, sheet: Sheet, side: _Side, found: Quantity, key: str = "shaft") -> None:
    """A shaft that no axle has comes of readings that do not belong together; ``key`` is the one to doubt."""
    low, high = _SHAFT.low or 0.0, _SHAFT.high or 0.0
    if side.shaft is None or low - NOTHING <= found.value <= high + NOTHING:
        return
    length = given.show.length
    readings = [("pinion-to-flange", side.pinion), ("shaft", side.shaft)]
    if key != "shaft":
        readings.append((key, given.need(key, side.name)))
    told = ", ".join(f"{name} {length(value.value)}" for name, value in readings)
    which = "planned shaft" if key == "shaft" else "shaft to order"
    says = (
        f"{side.name} side: {told} together come to a {which} of {length(found.value)}; what is allowed is"
        f" {span_text(_SHAFT, given.show)}: measure {' and '.join(name for name, _ in readings)} again"
    )
    least = side.shaft.value + low - found.value
    if key == "shaft" and low > found.value and least <= side.pinion.value:
        says += f". A shaft of at least {length(least, UP)} would do"
    sheet.refuse(key, says, side.name if given.is_sided(key) else None)


def _is_open(difference: Quantity) -> bool:
    return abs(difference.value) > difference.plus_minus + NOTHING


def _apart(given: Given, difference: Quantity) -> str:
    return f"{given.show.length(abs(difference.value))} too {'long' if difference.value > 0 else 'short'}"


def _new_offset(given: Given, sheet: Sheet, driver: _Side, passenger: _Side, offset: Quantity) -> Quantity:
    """Where the pinion line comes to lie, from the middle between the flanges."""
    text = given.text("pinion", default="keep").strip()
    if text == "keep":
        found, formula = offset, "offset (keep)"
    elif text == "centre":
        found, formula = exact(0.0), "0 (centre)"
    elif text == "equal-shafts":
        if driver.overlap is None or passenger.overlap is None:
            raise RefusedError(
                [("shaft", "is missing: equal-shafts needs the length of the present shafts")], ["shaft"]
            )
        found, formula = (driver.overlap - passenger.overlap) / 2, "(c - c) / 2 (equal-shafts)"
    else:
        try:
            typed = parse_value("length", text)
        except TextError as error:
            says = f"must be keep, centre, equal-shafts, or a length toward {passenger.name}: {error}"
            raise RefusedError([("pinion", says)]) from error
        if typed.form == "range" or abs(typed.number) > 400:
            raise RefusedError([("pinion", f"“{text}” is not an offset that a housing has; at most 400 mm either way")])
        found, formula = reading("narrow.pinion", typed.number, typed.deviation), "as stated"
    sheet.give("new-offset", found, f"{formula}, + toward {passenger.name}", _BY_NAME)
    return found


def _lengthened(given: Given, sheet: Sheet, sides: list[_Side], cuts: list[Cut], new_offset: Quantity) -> None:
    """A side that would have to grow cannot be cut; the width that would do."""
    if not any(cut.shorten.value < -NOTHING for cut in cuts):
        return
    hats = sides[0].hat.value + sides[1].hat.value
    most = hats + 2.0 * min(
        cut.present.value + side.finished.value - side.sign * new_offset.value
        for side, cut in zip(sides, cuts, strict=True)
    )
    for cut in cuts:
        if cut.shorten.value < -NOTHING:
            says = (
                f"the {cut.side} side would have to grow by {given.show.length(-cut.shorten.value)}: a housing is only"
                f" shortened here. Pads of at most {given.show.length(most, DOWN)} would do, or another pinion"
            )
            sheet.refuse("pads", says)
    sheet.stop_if_refused()


def _worth(given: Given, sheet: Sheet, driver: _Side, passenger: _Side, cuts: list[Cut]) -> None:
    """Readings that may be off by more than all that is taken off prove nothing by closing."""
    taken_off = sum(cut.shorten.value for cut in cuts)
    closing = given.need("flange-to-flange") - driver.pinion - passenger.pinion
    if NOTHING < taken_off < closing.plus_minus:
        says = (
            f"with pinion-to-flange may be off by {given.show.length(closing.plus_minus, UP)}, more than the"
            f" {given.show.length(taken_off)} that the housing loses in all: the ± together must be less than that;"
            " measure more closely"
        )
        sheet.refuse("flange-to-flange", says)
        sheet.stop_if_refused()


def _half(given: Given, sheet: Sheet, side: _Side, planned: Quantity, pinion: Quantity) -> Quantity:
    """Pinion line to plate face: measured, or from a measured pinion-to-flange, else as planned."""
    measured = given.get("measured-half", side.name)
    if measured is not None:
        return sheet.give("half", measured, "measured-half", "reading", side.name, measured=True)
    if ("pinion-to-flange", side.name) in sheet.measured:
        half = pinion - side.finished
        return sheet.give("half", half, "pinion-to-flange, measured, - e'", _BY_NAME, side.name, measured=True)
    return sheet.give("half", planned, "pinion-to-flange - e'", _BY_NAME, side.name)


def _shaft(given: Given, sheet: Sheet, side: _Side, half: Quantity) -> None:
    """The shaft, and from a half that was measured the length to order: planned lengths are never ordered by."""
    assert side.overlap is not None  # noqa: S101
    measured = ("half", side.name) in sheet.measured
    length = half + side.finished - side.overlap
    formula = "half, measured, + e' - c" if measured else "pinion-to-flange - c"
    sheet.give("shaft", length, formula, _BY_NAME, side.name, measured=measured)
    if measured:
        sheet.give("shaft-order", length, formula, _BY_NAME, side.name, measured=True)
    _judge_shaft(given, sheet, side, length, "measured-half" if given.get("measured-half", side.name) else "shaft")


def _remarks(given: Given, sheet: Sheet, cuts: list[Cut]) -> None:
    """What must be said beside the numbers."""
    if not given.has("hat"):
        sheet.warn("no hat, drum or spacer is stated between flange and wheel: taken as nothing")
    if not given.has("finished-flange-to-plate"):
        sheet.warn("finished-flange-to-plate is taken as the present one: same bearings, plates and brakes")
    shafts = {side for key, side in sheet.measured if key == "shaft"}
    if "shaft" in sheet.results and len(shafts) < len(given.sides):
        sheet.warn(
            "shaft lengths are planned: order shafts from readings taken cold after the last heat (measured-half), and"
            " never cut or weld a shaft"
        )
    for cut in cuts:
        if 0 < abs(cut.shorten.value) <= cut.shorten.plus_minus:
            sheet.warn(f"shorten on the {cut.side} side is within its own doubt; measure more closely before cutting")
    _differing(given, sheet)


def _differing(given: Given, sheet: Sheet) -> None:
    """Say loudly which numbers differ between the sides."""
    told = []
    for key in (output.key for output in OUTPUTS):
        found = sheet.results.get(key)
        if not isinstance(found, dict):
            continue
        values = {side: value.value for side, value in found.items() if isinstance(value, Quantity)}
        alike = len(values) == len(given.sides) and max(values.values()) - min(values.values()) <= NOTHING
        if not alike:
            each = ", ".join(f"{side} {given.show.brief(values[side])}" for side in values)
            told.append(f"{key} {each}{'' if len(values) == len(given.sides) else ' only'}")
    if told:
        sheet.warn(f"THE SIDES DIFFER: {'; '.join(told)}. Never carry one side's number across", sides=True)


NARROW = Calculator("narrow", "where to cut a housing, on each side, and what follows", INPUTS, OUTPUTS, narrow, 2)
