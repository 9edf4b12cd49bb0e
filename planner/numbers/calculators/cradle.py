"""The cradle: two halves of angle iron, a gap for the differential, uprights, and a window at each joint."""

from __future__ import annotations

from collections.abc import Mapping

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Item, Output, Sheet
from planner.numbers.calculators.bearingslopes import BEARINGS
from planner.numbers.calculators.bearingslopes import SOURCE as _SLOPES
from planner.numbers.lengths import DOWN, UP
from planner.numbers.quantity import Quantity, atan, exact, least, most, sin, tan
from planner.numbers.tally import safe_up

_PRACTICE = "common practice, no source"
_VEE = "geometry: a circle in a V"
_GEOMETRY = "geometry"
_SPOTS = ("outer", "inner")


def cradle(given: Given, sheet: Sheet) -> None:
    """How long the cradle and its halves are, where uprights and windows go, and how the tube lies in the V.

    A positive differential offset is toward the second side. The cradle is at most as long as the finished distance
    between plate faces, and as near to it as the clearance allows; the gap for the differential leaves two halves in
    line; uprights stand just inside the ends of each half (all common practice, no source). The loose end rests
    from its end of the cradle to the window at its joint.

    Formula
        length = plates - 2 clearance; gap = differential + 2 differential-clearance;
        half = length / 2 - gap / 2 + differential-offset (first side; - on the second); with r = tube / 2 and the
        V's angle v: centre-height = r / sin(v / 2), which is r sqrt(2) at 90 deg; contact = r / tan(v / 2);
        contact-angle = 90 - v / 2; packing = largest r - r; joint = first-line - clearance;
        loose-rests = joint - window / 2; bears = (half - window) / (plate to differential);
        tilt = atan(out-of-line / shorter half)
    Source
        geometry; Budynas & Nisbett, Shigley's Mechanical Engineering Design, Table 7-2 (slope at a bearing); the
        layout and one tube diameter of rest: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("cradle", {"plates": "50 in", "differential": "12 in", "tube": "3 in", "clearance": "1/2 in"})
    >>> [round(found.value(key) / 25.4, 4) for key in ("length", "gap", "half", "centre-height")]
    [49.0, 12.0, 18.5, 2.1213]
    """
    clearance = given.default("clearance", 0.0)
    if not given.has("clearance"):
        sheet.warn("no clearance was given: the cradle comes out as long as plate face to plate face, with no play")
    length = given.need("plates") - 2 * clearance
    gap = given.need("differential") + 2 * given.default("differential-clearance", 0.0)
    sheet.give("length", length, "plates - 2 clearance", _PRACTICE)
    sheet.give("gap", gap, "differential + 2 differential-clearance", _PRACTICE)
    offset = given.default("differential-offset", 0.0)
    halves: dict[str, Quantity] = {}
    for side, toward, sign in zip(given.sides, (offset, -offset), ("+", "-"), strict=True):
        half = (length - gap) / 2 + toward
        halves[side] = half
        sheet.give("half", half, f"(length - gap) / 2 {sign} differential-offset", _GEOMETRY, side)
    _judge_halves(given, sheet, halves)
    if abs(most(halves.values()).value - least(halves.values()).value) > 0.1:
        sheet.warn(
            "THE HALVES DIFFER IN LENGTH: mark each with its side, and do not carry its marks across", sides=True
        )
    sheet.stop_if_refused()
    _lies(given, sheet)
    _stands(given, sheet, halves)
    _joints(given, sheet, halves, clearance)
    _line(given, sheet, halves)
    first, second = given.sides
    parts = [(("half", first), DOWN), (("gap", None), UP), (("half", second), DOWN)]
    cut = safe_up(sheet, given.show, ("length", None), parts, length.value)
    _cut_list(given, sheet, {side: cut["half", side] for side in given.sides})


def _judge_halves(given: Given, sheet: Sheet, halves: dict[str, Quantity]) -> None:
    """Each half must carry its uprights and at least one tube diameter of tube."""
    count = given.default("uprights", 2.0).value
    width, inset = given.default("upright-width", 0.0).value, given.default("inset", 0.0).value
    for side, half in halves.items():
        wanted = max(given.need("tube", side).value, count * width + 2 * inset)
        if half.value < wanted - NOTHING:
            short, room = given.show.length(wanted, UP), given.show.length(half.value, DOWN)
            says = (
                f"leaves a half of {room} on the {side} side; it must be at least {short}: one tube diameter, and its"
                " uprights side by side; check plates, differential, offset and clearances"
            )
            sheet.refuse("differential", says)


def _lies(given: Given, sheet: Sheet) -> None:
    """How the tube lies in the V, and the packing that brings every support to one centre height."""
    vee = given.default("vee", 90.0)
    half_angle = vee / 2
    radii = {
        (side, spot): (given.get("tube-inner", side) if spot == "inner" else None) or given.need("tube", side)
        for side in given.sides
        for spot in _SPOTS
    }
    radii = {where: diameter / 2 for where, diameter in radii.items()}
    largest = most(radii.values())
    sheet.give("centre-height", largest / sin(half_angle), "largest radius / sin(vee / 2)", _VEE)
    sheet.give("contact-angle", 90 - half_angle, "90 deg - vee / 2", _VEE)
    for (side, spot), radius in radii.items():
        packing = largest - radius
        if spot == "outer":
            sheet.give("contact", radius / tan(half_angle), "tube / 2 / tan(vee / 2)", _VEE, side)
            apart = 2 * radius * sin(90 - half_angle)
            sheet.give("contact-apart", apart, "tube x cos(vee / 2)", _VEE, side)
        sheet.give(f"packing-{spot}", packing, "largest radius - radius here", _VEE, side)
        sheet.give(f"lift-{spot}", packing / sin(half_angle), f"packing-{spot} / sin(vee / 2)", _VEE, side)
    thick = given.default("leg-thickness", 0.0)
    if given.has("leg"):
        wanted = largest / tan(half_angle) + thick
        if given.need("leg").value < wanted.value - NOTHING:
            says = given.show.length(wanted.value, UP)
            sheet.refuse("leg", f"ends before the tube touches it; it must be at least {says}: larger angle iron")
    elif given.has("leg-thickness"):
        sheet.refuse("leg", "is missing: with leg-thickness given, give the leg too")
    sheet.warn("a tube that lies in a 90 deg V without rocking need not be round: a V cannot show every lobe")


def _stands(given: Given, sheet: Sheet, halves: dict[str, Quantity]) -> None:
    """Uprights, from just inside the half's outer end to just inside its inner end, evenly between."""
    count = int(given.default("uprights", 2.0).value)
    at = given.default("inset", 0.0) + given.default("upright-width", 0.0) / 2
    rows: list[tuple[Item, ...]] = []
    for side, half in halves.items():
        sheet.give("upright-outer", at, "inset + upright-width / 2", _PRACTICE, side)
        inner = half - at
        sheet.give("upright-inner", inner, "half - inset - upright-width / 2", _PRACTICE, side)
        for i in range(count):
            place = at + (inner - at) * (i / (count - 1))
            rows.append((f"{side} {i + 1}:", place, f"from the {side} end of the cradle"))
    sheet.give("upright-places", tuple(rows), "evenly from upright-outer to upright-inner", _PRACTICE)


def _joints(given: Given, sheet: Sheet, halves: dict[str, Quantity], clearance: Quantity) -> None:
    """What rests where: loose end, window, and the part of the tube that bears."""
    window = given.default("window", 0.0)
    offset = given.default("differential-offset", 0.0)
    for side, toward in zip(given.sides, (offset, -offset), strict=True):
        half = halves[side]
        free = (given.need("plates") - given.need("differential")) / 2 + toward
        rests = half - window if given.has("first-line") else half
        sheet.give("bears", rests / free, "(half - window) / (plate face to differential)", _GEOMETRY, side)
        if not given.has("first-line"):
            continue
        joint = given.need("first-line", side) - clearance
        loose = joint - window / 2
        tube = given.need("tube", side)
        if loose.value < tube.value - NOTHING:
            least_line = given.show.length((tube + clearance + window / 2).value, UP)
            says = (
                "lets the loose end rest on less than one tube diameter (common practice, no source); a first line of"
                f" at least {least_line} would do"
            )
            sheet.refuse("first-line", says, side)
            continue
        if (joint + window / 2).value > half.value + NOTHING:
            most_line = given.show.length((half + clearance - window / 2).value, DOWN)
            says = f"puts the joint off the inner end of the half; a first line of at most {most_line} would do"
            sheet.refuse("first-line", says, side)
            continue
        sheet.give("loose-rests", loose, "first-line - clearance - window / 2", _GEOMETRY, side)
        if window.value > 0:
            sheet.give("window-from", loose, "first-line - clearance - window / 2", _GEOMETRY, side)
            sheet.give("window-to", joint + window / 2, "first-line - clearance + window / 2", _GEOMETRY, side)
            _in_the_way(given, sheet, side, (loose.value, (joint + window / 2).value), half.value)
    if not given.has("first-line"):
        sheet.warn("no first line was given: what the loose ends rest on, and the windows, are not judged")
    elif not window.value:
        sheet.warn("no window was given: the weld cannot be reached underneath, and its bead stands proud in the V")


def _in_the_way(given: Given, sheet: Sheet, side: str, window: tuple[float, float], half: float) -> None:
    """An upright under the window is in the way of torch and bead."""
    count = int(given.default("uprights", 2.0).value)
    width = given.default("upright-width", 0.0).value
    at = given.default("inset", 0.0).value + width / 2
    for i in range(count):
        place = at + (half - 2 * at) * i / (count - 1)
        if place + width / 2 > window[0] + NOTHING and place - width / 2 < window[1] - NOTHING:
            where = given.show.length(place)
            sheet.warn(f"upright {i + 1} on the {side} side, at {where}, stands in the window of the joint: move it")


def _line(given: Given, sheet: Sheet, halves: dict[str, Quantity]) -> None:
    """What halves that are out of line do to the bearings."""
    if not given.has("out-of-line"):
        if given.has("bearing"):
            sheet.refuse("out-of-line", "is missing: with a bearing given, give how far the halves are out of line")
        return
    slope = given.need("out-of-line") / least(halves.values())
    sheet.give("tilt", atan(slope), "atan(out-of-line / shorter half)", _GEOMETRY)
    name = given.text("bearing")
    low, high = BEARINGS[name] if name else (0.0005, 0.0005)
    sheet.work("slope-taken", exact(high), "rad", "the most slope that the bearing takes", _SLOPES)
    tilt = slope.value + slope.plus_minus
    if tilt > low:
        what = f"a {name.replace('-', ' ')} bearing" if name else "a tapered roller bearing, at the strict end,"
        span = f"{low:g} to {high:g} rad" if name else f"{low:g} rad"
        how = "MORE TILT THAN" if tilt > high else "tilt within the doubtful range of what"
        sheet.warn(f"{how} {what} takes: up to {tilt:.4f} rad against {span} ({_SLOPES}); true the halves first")


def _cut_list(given: Given, sheet: Sheet, halves: dict[str, Quantity]) -> None:
    """What is cut from the bar; goes to bars as it stands."""
    rows: list[tuple[Item, ...]] = [(1, "x", half, f"half, {side}") for side, half in halves.items()]
    pieces: dict[float, int] = {}
    for half in halves.values():
        mm = round(half.value if half.mark is None else half.mark, 4)  # as it is cut: at most, on a mark
        pieces[mm] = pieces.get(mm, 0) + 1
    if given.has("upright-height"):
        height, count = given.need("upright-height"), 2 * int(given.default("uprights", 2.0).value)
        rows.append((count, "x", height, "uprights"))
        mm = round(height.value, 4)
        pieces[mm] = pieces.get(mm, 0) + count
    sheet.give("cut-list", tuple(rows), "two halves, and the uprights where their height is known", _GEOMETRY)
    sheet.give("pieces", pieces_text(pieces), "the cut list as bars takes it", _GEOMETRY)


def pieces_text(lengths: Mapping[float, int]) -> str:
    """A cut list in the words in which it is read: length in millimetres -> how many.

    >>> pieces_text({812.8: 2, 50.0: 1})
    '812.8 mm x 2, 50 mm x 1'
    """
    return ", ".join(f"{f'{mm:.7f}'.rstrip('0').rstrip('.')} mm x {n}" for mm, n in lengths.items())


CRADLE = Calculator(
    "cradle",
    "halves, gap, uprights and windows of the cradle, and how the tube lies in it",
    (
        Input(
            "plates",
            "length",
            "finished, from plate face to plate face",
            200.0,
            4000.0,
            needed=True,
            taken="narrow.plate-to-plate",
        ),
        Input("differential", "length", "width of the part that must hang free", 20.0, 2000.0, needed=True),
        Input("differential-offset", "length", "its middle from the middle of the plates, else none", -500.0, 500.0),
        Input("clearance", "length", "from each plate face to the cradle's end, else none", 0.0, 300.0),
        Input("differential-clearance", "length", "at each side of the differential, else none", 0.0, 300.0),
        Input("tube", "length", "diameter at the outer support", 20.0, 300.0, needed=True, sided=True),
        Input("tube-inner", "length", "diameter at the inner support, else tube", 20.0, 300.0, sided=True),
        Input("vee", "angle", "between the legs of the V, else 90 deg", 60.0, 120.0),
        Input("leg", "length", "of the angle iron, outside", 10.0, 300.0),
        Input("leg-thickness", "length", "of the angle iron, else none", 0.0, 30.0),
        Input("uprights", "count", "on each side, else 2", 2.0, 12.0),
        Input("upright-width", "length", "of an upright along the cradle, else none", 0.0, 300.0),
        Input("upright-height", "length", "of an upright cut from the same bar, else not listed", 10.0, 2000.0),
        Input("inset", "length", "from the end of a half to its upright, else none", 0.0, 500.0),
        Input(
            "first-line",
            "length",
            "from plate face to first line",
            1.0,
            2000.0,
            sided=True,
            taken="narrow.first-line",
        ),
        Input("window", "length", "length of the opening at the joint, else none", 0.0, 500.0),
        Input("out-of-line", "length", "straight edge on one half: off the other's far end", 0.0, 200.0),
        Input("bearing", "text", "what the tilt is judged for", choices=tuple(BEARINGS)),
    ),
    (
        Output("length", "mm", "of the whole cradle, at most", rounding=DOWN),
        Output("gap", "mm", "for the differential, at least", rounding=UP),
        Output("half", "mm", "length of this side's half, at most", sided=True, rounding=DOWN),
        Output("upright-outer", "mm", "middle of the outer upright from this end of the cradle", sided=True),
        Output("upright-inner", "mm", "middle of the inner upright from this end of the cradle", sided=True),
        Output("upright-places", "list", "middle of every upright from its end of the cradle"),
        Output("centre-height", "mm", "of the tube's centre over the V's inside root"),
        Output("contact-angle", "deg", "of the contact lines from straight down"),
        Output("contact", "mm", "from the V's inside root up the leg to the contact line", sided=True),
        Output("contact-apart", "mm", "from contact line to contact line across the V", sided=True),
        Output("packing-outer", "mm", "on each leg at the outer support, for one centre height", sided=True),
        Output("packing-inner", "mm", "on each leg at the inner support, for one centre height", sided=True),
        Output("lift-outer", "mm", "under the V at the outer support, instead of packing", sided=True),
        Output("lift-inner", "mm", "under the V at the inner support, instead of packing", sided=True),
        Output("bears", "", "share of the tube, plate face to differential, that rests in the V", sided=True),
        Output("loose-rests", "mm", "length of the loose end that rests in the V", sided=True, rounding=DOWN),
        Output("window-from", "mm", "near edge of the window, from this end of the cradle", sided=True),
        Output("window-to", "mm", "far edge of the window, from this end of the cradle", sided=True),
        Output("tilt", "deg", "of a bearing, from halves that are out of line"),
        Output("cut-list", "list", "what is cut from the bar"),
        Output("pieces", "text", "the same, as bars takes it"),
    ),
    cradle,
    sides=2,
)
