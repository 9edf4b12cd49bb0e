"""Tyres and wheels: how wide, how high, and how far they reach from the pad they bolt to."""

from __future__ import annotations

import math
import re

from planner.numbers.calculator import GUESS, NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import UP
from planner.numbers.quantity import Quantity, reading

_PRACTICE = "common practice, no source"
_GEOMETRY = "geometry"
_TOLERANCE = "UN Regulation No. 30, 6.1.4, from memory"
_REGULATION = "UN Regulation No. 30, 6.1.1.1"

_METRIC = re.compile(
    r"(?:P|LT)?(\d{3})/(\d{2,3})\s*(?:Z?R|B|D|-)\s*(\d{2})(?:LT|C)?(?:\s+\S.*)?", re.ASCII | re.IGNORECASE
)
_INCHES = re.compile(
    r"(?:LT)?(\d{2}(?:\.\d{1,2})?)\s*[x×/]\s*(\d{1,2}(?:\.\d{1,2})?)\s*(?:R|B|D|-)\s*(\d{2})(?:LT)?(?:\s+\S.*)?",
    re.ASCII | re.IGNORECASE,
)


def tyre(given: Given, sheet: Sheet) -> None:
    """How high a tyre is and how wide on the rim that it is mounted on.

    Formula
        S = S1 + 0.4 (A - A1) with A1 = x S1; diameter = 25.4 x rim code + 2 S1 x aspect / 100
    Source
        UN Regulation No. 30, 6.1.1.1; a section that is computed may be off by 4 % (radial) or 6 % (others): 6.1.4 of
        the same, from memory, there upward only; x = 0.7 for aspects 50 to 95 and 0.85 below is from memory

    >>> from planner.numbers.registry import figure
    >>> found = figure("tyre", {"size": "205/55R16", "rim": "6.5 in"})
    >>> round(found.value("section"), 2), round(found.value("diameter"), 1)
    (213.64, 631.9)
    """
    size, rim, measured = given.text("size"), given.need("rim"), given.get("measured")
    _same_rim(given, sheet, rim)
    metric, inches = _METRIC.fullmatch(size), _INCHES.fullmatch(size)
    if metric is not None:
        width, aspect, code = (int(part) for part in metric.groups())
        if not (100 <= width <= 500 and 20 <= aspect <= 100 and 8 <= code <= 30):
            sheet.refuse(
                "size", f"“{size}” is not a tyre that is made: width 100 to 500, aspect 20 to 100, rim 8 to 30"
            )
            sheet.stop_if_refused()
        diameter = 25.4 * code + 2.0 * width * aspect / 100.0
        sheet.give("diameter", Quantity(diameter), "25.4 x rim code + 2 S1 x aspect / 100", _REGULATION)
        if measured is None:
            section = _on_rim(sheet, float(width), aspect, rim)
            sheet.give("section", _guessed(sheet, size, section), "S1 + 0.4 (A - A1)", _REGULATION)
    elif inches is not None:
        high, wide, rim_code = (float(part) for part in inches.groups())
        if not (rim_code + 2 <= high <= 60 and 3 <= wide <= 24 and 8 <= rim_code <= 30):
            sheet.refuse(
                "size", f"“{size}” is not a tyre that is made: height over the rim's, width 3 to 24, rim 8 to 30"
            )
            sheet.stop_if_refused()
        sheet.give("diameter", Quantity(high * 25.4), "height in the designation", "designation")
        if measured is None:
            section = _guessed(sheet, size, Quantity(wide * 25.4))
            sheet.give("section", section, "width in the designation", "designation")
            sheet.warn("the rim on which the maker measured this width is not in the designation: section is nominal")
    else:
        sheet.refuse("size", f"“{size}” is not a designation that is known here; write 205/55R16 or 31x10.50R15")
        sheet.stop_if_refused()
    if measured is not None:
        sheet.give("section", measured, "as measured", "reading")
        sheet.warn("section is the width measured on the mounted tyre")
    else:
        sheet.warn(
            "section is computed from the designation; real tyres may be wider: mount one, inflate it, measure it and"
            " give it as measured"
        )


def _same_rim(given: Given, sheet: Sheet, rim: Quantity) -> None:
    """The rim that the tyre is judged on is the wheel's; two widths cannot both be meant."""
    width = given.get("wheel-width")
    if width is None:
        return
    apart = rim - width
    if abs(apart.value) > max(apart.plus_minus, 3.0):
        told = f"{given.show.length(rim.value)}, and the wheel's width is {given.show.length(width.value)}"
        sheet.refuse("rim", f"is {told}: both are between the flanges of one rim; write the one that is meant in both")


def _guessed(sheet: Sheet, size: str, section: Quantity) -> Quantity:
    """A width that nobody measured, with what real tyres of that size may be off."""
    radial = re.search(r"R|r", size) is not None
    part = 0.04 if radial else 0.06
    sheet.work("may be off", Quantity(part * section.value), "mm", f"{part:g} section, either way", _TOLERANCE)
    return section + reading("tyre.size" + GUESS, 0.0, part * section.value / math.sqrt(3.0))


def _on_rim(sheet: Sheet, width: float, aspect: int, rim: Quantity) -> Quantity:
    """The section width on a rim that may not be the one the maker measured on."""
    factor = 0.7 if aspect >= 50 else 0.85
    measuring = factor * width
    sheet.work("A1", Quantity(measuring), "mm", f"{factor} S1", "factor from memory")
    if not 50 <= aspect <= 95:
        sheet.warn(f"aspect {aspect} is outside 50 to 95, where the factor of the measuring rim is best known")
    if abs(rim.value - measuring) > 0.2 * width:
        sheet.warn(
            f"the rim is far from the {measuring / 25.4:.1f} in on which this size is measured; check that the tyre's"
            " maker allows it"
        )
    return width + 0.4 * (rim - measuring)


def wheel(given: Given, sheet: Sheet) -> None:
    """How far a wheel reaches in and out from the pad it bolts to, from its offset or its backspacing.

    A positive offset means that the pad is nearer the street than the middle of the rim is.

    Formula
        backspacing = overall / 2 + offset; inboard = backspacing; outboard = overall - backspacing
    Source
        geometry; overall = width + 1 in ± 1/8 is common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("wheel", {"width": "7 in", "offset": "35 mm"})
    >>> round(found.value("backspacing"), 3), round(found.value("outboard"), 3)
    (136.6, 66.6)
    """
    width = given.need("width")
    sheet.give("width", width, "as given", "reading")
    overall = given.get("overall")
    if overall is None:
        overall = width + reading("wheel.overall" + GUESS, 25.4, 3.175 / math.sqrt(3.0))
        sheet.work("overall", overall, "mm", "width + 1 in, ± 1/8", _PRACTICE)
        sheet.warn("overall is taken as width + 1 in ± 1/8 (common practice, no source); measure over the rim's edges")
    offset, backspacing = given.get("offset"), given.get("backspacing")
    if offset is None and backspacing is None:
        sheet.refuse("offset", "give the offset or, better, the backspacing measured on the wheel")
        sheet.stop_if_refused()
    if overall.value <= width.value:
        sheet.refuse("overall", "is not more than the nominal width; measure over the outer edges of the rim")
    if backspacing is None:
        assert offset is not None  # noqa: S101
        backspacing = overall / 2 + offset
        sheet.give("backspacing", backspacing, "overall / 2 + offset", _GEOMETRY)
        sheet.warn("backspacing is computed here; a backspacing measured on the wheel is to be trusted over it")
        sheet.give("offset", offset, "as given", "reading")
    else:
        computed = None if offset is None else overall / 2 + offset
        sheet.give("backspacing", backspacing, "as measured", "reading")
        if computed is not None:
            _compare(given, sheet, backspacing, computed)
        sheet.give("offset", backspacing - overall / 2, "backspacing - overall / 2", _GEOMETRY)
    sheet.give("inboard", backspacing, "backspacing", _GEOMETRY)
    sheet.give("outboard", overall - backspacing, "overall - backspacing", _GEOMETRY)
    if backspacing.value < -NOTHING or backspacing.value > overall.value + NOTHING:
        sheet.refuse(
            "backspacing" if given.has("backspacing") else "offset",
            "puts the pad outside the rim; check the sign and the unit",
        )


def _compare(given: Given, sheet: Sheet, measured: Quantity, computed: Quantity) -> None:
    """A measured backspacing beside one computed from the offset: near is a remark, far is a contradiction."""
    apart = measured - computed
    said = given.show.length(abs(apart.value))
    if abs(apart.value) > 12.7 + apart.plus_minus:
        sheet.refuse(
            "backspacing", f"is {said} away from what width and offset give; measure it again, or check the offset"
        )
    elif abs(apart.value) > 0.1:
        sheet.warn(f"the measured backspacing is {said} away from the computed one; the measured one is used")


TYRE = Calculator(
    "tyre",
    "height of a tyre, and its width on a rim",
    (
        Input("size", "text", "designation on the sidewall, such as 205/55R16 or 31x10.50R15", needed=True),
        Input(
            "rim", "length", "width of the rim that carries it, between its flanges", 75.0, 500.0, needed=True,
            taken="wheel.width",
        ),
        Input(
            "wheel-width", "length", "nominal width of the wheel, to compare with the rim", 75.0, 500.0,
            taken="wheel.width",
        ),
        Input("measured", "length", "section width measured on the mounted tyre at its pressure", 75.0, 600.0),
    ),
    (
        Output("diameter", "mm", "outer diameter of the new tyre without load"),
        Output("section", "mm", "width over the sidewalls on this rim", rounding=UP),
    ),
    tyre,
)  # fmt: skip

WHEEL = Calculator(
    "wheel",
    "offset or backspacing of a wheel, and how far it reaches in and out",
    (
        Input("width", "length", "nominal width of the rim, between its flanges", 75.0, 500.0, needed=True),
        Input(
            "overall", "length", "measured over the outer edges of the rim, else width + 1 in", 80.0, 560.0,
        ),
        Input("offset", "length", "from the middle of the rim out to the pad", -200.0, 200.0),
        Input("backspacing", "length", "measured from the pad to the inner edge of the rim", 0.0, 500.0),
    ),
    (
        Output("width", "mm", "nominal width of the rim, between its flanges"),
        Output("backspacing", "mm", "from the pad to the inner edge of the rim"),
        Output("offset", "mm", "from the middle of the rim out to the pad"),
        Output("inboard", "mm", "how far the rim reaches inward of the pad"),
        Output("outboard", "mm", "how far the rim reaches outward of the pad"),
    ),
    wheel,
)  # fmt: skip
