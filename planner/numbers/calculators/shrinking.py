"""By how much a butt weld closes its joint: a range by rule, a reading by coupon."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.quantity import Quantity, exact, reading

_RULES = "0.10 Aw / t, published; 0.2 Aw / t + 0.05 d, from memory; free flat plate"
_GEOMETRY = "geometry"
_COUPON = "the coupon's own readings"
#: That no two joints shrink alike, in parts: common practice, no source.
_AGAIN = 0.25


def shrink(given: Given, sheet: Sheet) -> None:
    """By how much welding closes a butt joint: published rules disagree about twofold, so a range; a coupon narrows it.

    Formula
        least = 0.10 Aw / t; most = 0.2 Aw / t + 0.05 gap; Aw = gap t + (t - face)^2 tan(angle / 2) + 2/3 width cap;
        with a coupon: before - after, ± a quarter for the next joint
    Source
        both rules for free flat plate, the second from memory; that no two joints shrink alike: common practice, no
        source

    >>> from planner.numbers.registry import figure
    >>> found = figure("shrink", {"thickness": "6 mm", "gap": "2 mm", "angle": "60 deg", "face": "1.5 mm"})
    >>> round(found.value("rule-least"), 3), round(found.value("rule-most"), 3)
    (0.395, 0.89)
    """
    thickness, gap = given.need("thickness"), given.default("gap", 0.0)
    area = _area(given, sheet, thickness, gap)
    before, after = given.get("coupon-before"), given.get("coupon-after")
    if (before is None) is not (after is None):
        sheet.refuse("coupon-after", "and coupon-before belong together: over the same marks, before and after")
    elif before is not None and after is not None:
        shrunk = before - after
        if shrunk.value + shrunk.plus_minus < 0:
            sheet.refuse("coupon-after", "is longer than before: no weld does that; read both again, cold")
        elif shrunk.value > 12.0:
            sheet.refuse(
                "coupon-after", f"is {shrunk.value:.1f} mm shorter, more than 12 mm: were they the same marks?"
            )
    sheet.stop_if_refused()
    least, most = area / thickness * 0.10, area / thickness * 0.2 + gap * 0.05
    sheet.give("weld-area", area, "gap t + (t - face)^2 tan(angle / 2) + cap", _GEOMETRY)
    sheet.give("rule-least", least, "0.10 Aw / t", _RULES)
    sheet.give("rule-most", most, "0.2 Aw / t + 0.05 gap", _RULES)
    if before is None or after is None:
        half = (most.value - least.value) / 2
        rules = reading("shrink.rules", 0.0, half / math.sqrt(3.0))
        sheet.give("shrinkage", (least + most) / 2 + rules, "between the rules", _RULES)
        sheet.warn(
            "THE RULES DISAGREE ABOUT TWOFOLD, and are for free flat plate: weld a coupon of the same tube, preparation"
            " and settings, and measure it"
        )
        return
    shrunk = before - after
    again = reading("shrink.again", 0.0, _AGAIN * abs(shrunk.value) / math.sqrt(3.0))
    sheet.give("shrinkage", shrunk + again, "before - after, ± a quarter for the next joint", _COUPON)
    if not shrunk.u:
        sheet.warn("no ± is stated for the coupon's readings: a tape may be off by more than a weld shrinks")
    if shrunk.plus_minus > shrunk.value / 2:
        sheet.warn("the coupon's readings are in doubt by more than half of what they show: read it with calipers")
    if not least.value / 2 <= shrunk.value <= 2 * most.value:
        sheet.warn("the coupon lies far outside both rules: read it again, cold, before it is believed")


def _area(given: Given, sheet: Sheet, thickness: Quantity, gap: Quantity) -> Quantity:
    """The section of the weld, given or from its preparation."""
    if given.has("area"):
        for key in ("angle", "face", "cap"):
            if given.has(key):
                sheet.refuse(key, "or area: say how large the weld is in one way")
        return given.need("area")
    face, angle, cap = given.default("face", 0.0), given.default("angle", 0.0), given.default("cap", 0.0)
    if face.value > thickness.value:
        sheet.refuse("face", f"is more than the thickness, {given.show.length(thickness.value)}")
        return exact(1.0)
    slope = math.tan(math.radians(angle.value / 2))
    depth = thickness - face
    width = gap + depth * (2 * slope)
    found = gap * thickness + depth * depth * slope + width * cap * (2 / 3)
    if found.value <= 0:
        sheet.refuse("area", "comes out as nothing: give gap, angle, or area")
    return found


SHRINK = Calculator(
    "shrink",
    "by how much welding closes a butt joint",
    (
        Input("thickness", "length", "of the wall", 0.8, 60.0, needed=True),
        Input("gap", "length", "root gap, measured after tacking", 0.0, 12.0),
        Input("angle", "angle", "between both prepared faces", 0.0, 120.0),
        Input("face", "length", "left square at the root", 0.0, 60.0),
        Input("cap", "length", "how far the cap stands over the tube", 0.0, 10.0),
        Input("area", "area", "section of the weld, instead of its preparation", 0.5, 5000.0),
        Input("coupon-before", "length", "over two marks of a coupon, tacked", 10.0, 1000.0),
        Input("coupon-after", "length", "over the same marks, welded and cold", 10.0, 1000.0),
    ),
    (
        Output("shrinkage", "mm", "by how much the joint closes"),
        Output("rule-least", "mm", "by the rule that says least"),
        Output("rule-most", "mm", "by the rule that says most"),
        Output("weld-area", "mm2", "section of the weld"),
    ),
    shrink,
)
