"""A donor axle beside what the car needs: stud circle, hub bore, width, brake."""

from __future__ import annotations

import math
import re

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Item, Output, Sheet
from planner.numbers.lengths import DOWN, FINE, UP, TextError, parse_length
from planner.numbers.quantity import Quantity, reading

_GEOMETRY = "geometry"
_PRACTICE = "common practice, no source"
_CIRCLE = re.compile(r"(\d{1,2})\s*[x×/]\s*(.+)", re.ASCII)
_HELP = "write it as 5 x 114.3 mm or 5 x 4 1/2 in"
_SAME = 0.15  # millimetres: 4 1/2 in and 114.3 mm are one circle, 114.3 and 115 mm are not
ALIKE, NOT_ALIKE, NOT_SURE = "the same", "not the same", "cannot tell"
#: From one stud to the next but one (five studs), as a part of the circle; to the opposite one for even counts.
_ACROSS = "circle x sin(pi floor(n / 2) / n)"


def donor(given: Given, sheet: Sheet) -> None:
    """What of a donor axle fits as it is, what can be made to fit, and what cannot.

    Formula
        same stud circle: as many studs, and circles within 0.15 mm and their ±; hub: wheel-bore - donor-bore, at least
        nothing; narrow by = donor-width - width; across = circle sin(pi floor(n / 2) / n), stud middle to stud middle
    Source
        geometry; what counts as the same: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("donor", {"donor-studs": "5 x 4 1/2 in", "studs": "5 x 114.3 mm", "donor-width": "60 in",
    ...                          "width": "56 1/2 in"})
    >>> found.results["studs"], round(found.value("narrow-by") / 25.4, 6)
    ('the same', 3.5)
    """
    rows: list[tuple[Item, ...]] = []
    _studs(given, sheet, rows)
    _bore(given, sheet, rows)
    _width(given, sheet, rows)
    _brake(given, sheet, rows)
    if not rows and not sheet.problems:
        sheet.refuse("donor-studs", "is missing: give at least one pair: studs, bore, width or brake, of donor and car")
        return
    sheet.give("compared", tuple(rows), "pair by pair", _PRACTICE)
    lacking = [name for name in ("studs", "bore", "width", "brake") if not given.has(f"donor-{name}")]
    if lacking:
        sheet.warn(f"not compared: {', '.join(lacking)}; measure the donor before it is bought")
    sheet.warn("look too at its ratio, spline, bearings, casting for cracks, and what brake goes on which plate")


def _pair(given: Given, sheet: Sheet, donor_key: str, key: str) -> bool:
    """Whether both of a pair are given; one alone is refused."""
    if given.has(donor_key) is not given.has(key):
        lacking = key if given.has(donor_key) else donor_key
        sheet.refuse(lacking, f"is missing: {donor_key} and {key} are compared with each other; give both")
    return given.has(donor_key) and given.has(key)


def _circle(given: Given, sheet: Sheet, key: str) -> tuple[int, Quantity] | None:
    text = given.text(key).strip().lower()
    match = _CIRCLE.fullmatch(text)
    try:
        typed = parse_length(match[2]) if match else None
    except TextError as error:
        sheet.refuse(key, f"{error}; {_HELP}")
        return None
    if match is None or typed is None:
        sheet.refuse(key, f"“{text}” is not a stud circle; {_HELP}")
        return None
    count = int(match[1])
    if not 3 <= count <= 12 or not 50 <= typed.number <= 400:
        sheet.refuse(key, f"“{text}” is outside what is allowed, 3 to 12 studs on 50 mm to 400 mm; {_HELP}")
        return None
    return count, reading(f"donor.{key}", typed.number, typed.deviation)


def _studs(given: Given, sheet: Sheet, rows: list[tuple[Item, ...]]) -> None:
    if not _pair(given, sheet, "donor-studs", "studs"):
        return
    theirs, ours = _circle(given, sheet, "donor-studs"), _circle(given, sheet, "studs")
    if theirs is None or ours is None:
        return
    apart = theirs[1] - ours[1]
    answer = NOT_ALIKE
    if theirs[0] == ours[0]:
        near = abs(apart.value) + apart.plus_minus <= _SAME + NOTHING
        far = abs(apart.value) - apart.plus_minus > _SAME
        answer = ALIKE if near else NOT_ALIKE if far else NOT_SURE
    sheet.give("studs", answer, "count, and circles within 0.15 mm and their ±", _PRACTICE)
    across = theirs[1] * math.sin(math.pi * (theirs[0] // 2) / theirs[0])
    sheet.give("across", across, _ACROSS, _GEOMETRY)
    rows.append(("stud circle:", answer, f"donor {theirs[0]} x", theirs[1], f"car {ours[0]} x", ours[1]))
    if answer != ALIKE:
        sheet.warn(
            "THE STUD CIRCLE IS NOT SHOWN TO BE THE SAME: never draw a wheel down on a circle that is nearly right;"
            " other wheels, or flanges drilled by somebody who is fit to"
        )


def _bore(given: Given, sheet: Sheet, rows: list[tuple[Item, ...]]) -> None:
    if not _pair(given, sheet, "donor-bore", "wheel-bore"):
        return
    room = given.need("wheel-bore") - given.need("donor-bore")
    sheet.give("bore-room", room, "wheel-bore - donor-bore", _GEOMETRY)
    says = "goes over, and centres" if room.value + NOTHING >= 0 and room.value <= 0.3 else "goes over, does not centre"
    if room.value < -NOTHING:
        says = "DOES NOT GO OVER"
        sheet.warn(f"THE WHEEL DOES NOT GO OVER THE HUB: it lacks {given.show.length(-room.value, FINE)}")
    elif room.value < room.plus_minus:
        says = "cannot tell"
        sheet.warn("whether the wheel goes over the hub is within its doubt; try it")
    rows.append(("hub bore:", says, "hub", given.need("donor-bore"), "wheel", given.need("wheel-bore")))


def _width(given: Given, sheet: Sheet, rows: list[tuple[Item, ...]]) -> None:
    if not given.has("donor-width"):
        return
    if not _pair(given, sheet, "donor-width", "width"):
        return
    over = given.need("donor-width") - given.need("width")
    sheet.give("narrow-by", over, "donor-width - width", _GEOMETRY)
    says = "TOO NARROW" if over.value < 0 else "narrow it"
    if abs(over.value) <= over.plus_minus + NOTHING:
        says = "as it is"
    if says == "TOO NARROW":
        sheet.warn(
            f"THE DONOR IS TOO NARROW by {given.show.length(-over.value, UP)}: a housing is only shortened here; wheels"
            " of less backspacing, or another donor"
        )
    rows.append(("width:", says, "donor", given.need("donor-width"), "wanted", given.need("width")))


def _brake(given: Given, sheet: Sheet, rows: list[tuple[Item, ...]]) -> None:
    if not _pair(given, sheet, "donor-brake", "rim-inside"):
        return
    room = given.need("rim-inside") - given.need("donor-brake")
    air = given.default("brake-air", 3.0)
    sheet.give("brake-room", room / 2, "(rim-inside - donor-brake) / 2", _GEOMETRY)
    left = room / 2 - air
    says = "clears" if left.value >= left.plus_minus - NOTHING else "cannot tell"
    if left.value < -left.plus_minus - NOTHING:
        says = "TOO NEAR"
    if says != "clears":
        sheet.warn("THE BRAKE IS NOT SHOWN TO CLEAR THE RIM with the air wanted: try a wheel on it before it is bought")
    rows.append(("brake:", says, "brake", given.need("donor-brake"), "rim inside", given.need("rim-inside")))


DONOR = Calculator(
    "donor",
    "a donor axle beside what the car needs: stud circle, hub bore, width, brake",
    (
        Input("donor-studs", "text", "stud circle of the donor, as 5 x 114.3 mm"),
        Input("studs", "text", "stud circle of the wheels, as 5 x 4 1/2 in"),
        Input("donor-bore", "length", "register of the donor's hub, outside", 20.0, 300.0),
        Input("wheel-bore", "length", "centre bore of the wheels", 20.0, 300.0),
        Input("donor-width", "length", "of the donor, wheel face to wheel face of its flanges", 400.0, 2600.0),
        Input(
            "width", "length", "wheel face to wheel face wanted", 400.0, 2600.0, taken="narrow.flange-to-flange",
        ),
        Input("donor-brake", "length", "largest diameter of its brake, drum or caliper, round the axle", 100.0, 600.0),
        Input("rim-inside", "length", "inside diameter of the rim where the brake stands", 100.0, 700.0),
        Input("brake-air", "length", "air wanted between brake and rim, else 3 mm", 0.5, 30.0),
    ),
    (
        Output("studs", "text", "whether the stud circles are the same"),
        Output("across", "mm", "stud to stud on the donor, farthest apart, to check it with a rule"),
        Output("bore-room", "mm", "how much larger the wheel's bore is than the hub", rounding=FINE),
        Output("narrow-by", "mm", "what the donor must lose in all"),
        Output("brake-room", "mm", "air all round between brake and rim", rounding=DOWN),
        Output("compared", "list", "pair by pair"),
    ),
    donor,
)  # fmt: skip
