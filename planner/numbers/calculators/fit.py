"""How wide an axle may be, pad to pad, so that its wheels sit under the body and clear of everything inside."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import DOWN, UP
from planner.numbers.quantity import Quantity, exact, least, most, without_doubt

OUTER = ("lip", "arch")
INNER = ("frame", "spring", "tank")
_GEOMETRY = "geometry"
_AGREE = 0.5  # millimetres within which an offset in its whole millimetres agrees with what was measured


class _Spot(NamedTuple):
    """What is nearest to the wheel, outside or inside, on one side: what it is, and the room up to it."""

    name: str
    side: str
    reach: Quantity  # half width of the body or of the obstruction less, or plus, the allowances

    def __str__(self) -> str:
        return f"{self.name} on the {self.side} side"


class _Wheel(NamedTuple):
    """The wheel with its tyre on one side."""

    half: Quantity  # half of the wider of tyre and rim
    offset: Quantity


def fit(given: Given, sheet: Sheet) -> None:
    """The widths from wheel pad to wheel pad that fit, or the offsets, or the widest tyre for a given width.

    Half widths are measured from the car's centre line, with the weight of the car on its wheels. The axle is taken
    to sit with the middle between its pads on that line. With several obstructions on a side the nearest one counts.

    Formula
        half = max(section, rim) / 2; rim = inboard + outboard, or 2 (inboard - offset), or 2 (outboard + offset);
        pads-most = 2 min(outer - outer-clearance - side-play - travel-outer + offset - half) over the sides;
        pads-least = 2 max(inner + inner-clearance + side-play + travel-inner + offset + half) over the sides
    Source
        geometry; uncertainty by JCGM 100

    >>> from planner.numbers.registry import figure
    >>> found = figure("fit", {"lip": "800 mm", "frame": "500 mm", "section": "220 mm", "offset": "0 mm",
    ...                        "outer-clearance": "20 mm", "inner-clearance": "25 mm"})
    >>> [found.value(key) for key in ("pads-least", "pads-most", "pads")]
    [1270.0, 1340.0, 1305.0]
    """
    solve = given.text("solve", default="pads")
    _judge(given, sheet, solve)
    outer = [_nearest(given, side, OUTER, -1.0) for side in given.sides]
    inner = [_nearest(given, side, INNER, 1.0) for side in given.sides]
    wheels = [_wheel(given, sheet, side) for side in given.sides]
    for left_out in ("side-play", "travel-outer", "travel-inner"):
        if not given.has(left_out):
            sheet.warn(f"{left_out} is not given and taken as nothing; measure it on the car")
    for spot in (*outer, *inner):
        sheet.work(
            f"reach of {spot.name}", spot.reach, "mm",
            "half width less clearance, side-play and travel" if spot in outer else "half width plus the same",
            _GEOMETRY, spot.side,
        )  # fmt: skip
    if solve == "offset":
        pads = given.need("pads")
        wheels = [wheel._replace(offset=_solve_offset(given, sheet, pads, outer, inner, wheels)) for wheel in wheels]
    elif solve == "section":
        pads = given.need("pads")
        half = _solve_section(sheet, pads, outer, inner, wheels)
        wheels = [wheel._replace(half=half) for wheel in wheels]
    else:
        pads = _solve_pads(given, sheet, outer, inner, wheels)
    sheet.give("pads", pads, "as decided" if given.has("pads") else "(pads-least + pads-most) / 2", _GEOMETRY)
    _clearances(given, sheet, pads, wheels)
    sheet.warn("half widths count only with the weight on the wheels; check again at full travel before cutting")


def _judge(given: Given, sheet: Sheet, solve: str) -> None:
    """What must be given together."""
    for keys, where in ((OUTER, "outside"), (INNER, "inside")):
        if not any(given.has(key) for key in keys):
            says = f"nothing is given {where} the wheel; measure {' or '.join(keys)} from the centre line"
            sheet.refuse(keys[0], says)
    if solve != "pads" and not given.has("pads"):
        sheet.refuse("pads", f"is missing: to solve for {solve}, the pad to pad width must be decided")
    if solve != "offset" and not given.has("offset"):
        sheet.refuse("offset", "is missing: the offset of the wheel, or give what wheel needs to yield it")
    if solve != "section" and not given.has("section"):
        sheet.refuse("section", "is missing: the width of the tyre, or give what tyre needs to yield it")
    sheet.stop_if_refused()


def _nearest(given: Given, side: str, keys: Iterable[str], sign: float) -> _Spot:
    """The obstruction that counts on a side, with clearance, side play and travel taken off (or put on)."""
    where = "outer" if sign < 0 else "inner"
    allowance = (
        given.need(f"{where}-clearance", side)
        + given.default("side-play", 0.0, side)
        + given.default(f"travel-{where}", 0.0, side)
    )
    spots = [_Spot(key, side, value + sign * allowance) for key in keys if (value := given.get(key, side)) is not None]
    return (min if sign < 0 else max)(spots, key=lambda spot: spot.reach.value)


def _wheel(given: Given, sheet: Sheet, side: str) -> _Wheel:
    widths = []
    section = given.get("section", side)
    if section is not None and given.text("solve", default="pads") != "section":
        widths.append(section)
    rim = _rim(given, sheet, side)
    if rim is not None:
        widths.append(rim)
    half = most(widths) / 2 if widths else exact(0.0)
    sheet.work("half", half, "mm", "max(section, rim) / 2", _GEOMETRY, side)
    return _Wheel(half, given.default("offset", 0.0, side))


def _rim(given: Given, sheet: Sheet, side: str) -> Quantity | None:
    """How wide the rim is over all, from two of inboard, outboard and offset; all three must agree."""
    inboard, outboard, offset = (given.get(key, side) for key in ("inboard", "outboard", "offset"))
    if given.text("solve", default="pads") == "offset":
        offset = None
    if inboard is not None and outboard is not None:
        if offset is not None:
            apart = offset - (inboard - outboard) / 2
            if abs(apart.value) > apart.plus_minus + _AGREE:
                says = (
                    f"and inboard with outboard contradict each other by {given.show.length(abs(apart.value))}: offset"
                    f" is half of inboard less outboard, {given.show.length((inboard - outboard).value / 2)}; leave"
                    " out the one that was not measured"
                )
                sheet.refuse("offset", says, side if given.is_sided("offset") else None)
        return inboard + outboard
    alone = inboard if inboard is not None else outboard
    if alone is None:
        return None
    key = "inboard" if inboard is not None else "outboard"
    if offset is None:
        sheet.warn(f"{key} alone, without an offset, does not say how wide the rim is: the tyre alone is judged")
        return None
    rim = 2 * (alone - offset if key == "inboard" else alone + offset)
    sheet.work(
        "rim", rim, "mm", "2 (inboard - offset)" if key == "inboard" else "2 (outboard + offset)", _GEOMETRY, side
    )
    if rim.value <= 0:
        sheet.refuse(key, "and offset put the pad outside the rim; check sign and unit")
        return None
    return rim


def _solve_pads(given: Given, sheet: Sheet, outer: list[_Spot], inner: list[_Spot], wheels: list[_Wheel]) -> Quantity:
    outs = [spot.reach + wheel.offset - wheel.half for spot, wheel in zip(outer, wheels, strict=True)]
    ins = [spot.reach + wheel.offset + wheel.half for spot, wheel in zip(inner, wheels, strict=True)]
    highest, lowest = 2.0 * least(outs), 2.0 * most(ins)
    out_spot, in_spot = _at(outer, outs, highest / 2), _at(inner, ins, lowest / 2)
    sheet.give("pads-least", lowest, "2 max(reach inside + offset + half)", _GEOMETRY)
    sheet.give("pads-most", highest, "2 min(reach outside + offset - half)", _GEOMETRY)
    room = highest - lowest
    outside = [spot.reach.value + wheel.offset.value for spot, wheel in zip(outer, wheels, strict=True)]
    inside = [spot.reach.value + wheel.offset.value for spot, wheel in zip(inner, wheels, strict=True)]
    _room(given, sheet, room, out_spot, in_spot, _widest(outside, inside, wheels))
    decided = given.get("pads")
    if decided is None:
        return without_doubt((lowest + highest) / 2)
    if decided.value < lowest.value - NOTHING or decided.value > highest.value + NOTHING:
        low, high = given.show.length(lowest.value, UP), given.show.length(highest.value, DOWN)
        sheet.refuse("pads", f"does not fit: at least {low} and at most {high} would do")
    for apart, spot, what in ((decided - lowest, in_spot, "least"), (highest - decided, out_spot, "most")):
        if 0 <= apart.value + NOTHING < apart.plus_minus:
            sheet.warn(
                f"pads is within its doubt of the {what} that fits: {given.show.length(max(0.0, apart.value))} from it,"
                f" ± {given.show.brief(apart.plus_minus, UP)}; measure the {spot} again, more closely"
            )
    return without_doubt(decided)


def _solve_offset(
    given: Given, sheet: Sheet, pads: Quantity, outer: list[_Spot], inner: list[_Spot], wheels: list[_Wheel]
) -> Quantity:
    lows = [pads / 2 + wheel.half - spot.reach for spot, wheel in zip(outer, wheels, strict=True)]
    highs = [pads / 2 - wheel.half - spot.reach for spot, wheel in zip(inner, wheels, strict=True)]
    lowest, highest = most(lows), least(highs)
    out_spot, in_spot = _at(outer, lows, lowest), _at(inner, highs, highest)
    sheet.give("offset-least", lowest, "max(pads / 2 + half - reach outside)", _GEOMETRY)
    sheet.give("offset-most", highest, "min(pads / 2 - half - reach inside)", _GEOMETRY)
    room = highest - lowest
    outside, inside = [spot.reach.value for spot in outer], [spot.reach.value for spot in inner]
    _room(given, sheet, room, out_spot, in_spot, _widest(outside, inside, wheels))
    middle = (lowest + highest) / 2
    sheet.give("offset", middle, "(offset-least + offset-most) / 2", _GEOMETRY)
    return middle


def _solve_section(
    sheet: Sheet, pads: Quantity, outer: list[_Spot], inner: list[_Spot], wheels: list[_Wheel]
) -> Quantity:
    outs = [spot.reach + wheel.offset - pads / 2 for spot, wheel in zip(outer, wheels, strict=True)]
    ins = [pads / 2 - wheel.offset - spot.reach for spot, wheel in zip(inner, wheels, strict=True)]
    half = least((*outs, *ins))
    spot = _at((*outer, *inner), (*outs, *ins), half)
    widest_rim = most([wheel.half for wheel in wheels])
    if half.value <= NOTHING:
        sheet.refuse("pads", f"leaves no room for any tyre at the {spot}; change the width or the offset")
    elif half.value < widest_rim.value - NOTHING:
        sheet.refuse("pads", f"leaves less room at the {spot} than the rim itself takes; change width or offset")
    sheet.give("section-most", 2.0 * half, "2 min(room outside, room inside)", _GEOMETRY)
    sheet.give("tightest", spot, "the smallest of the rooms", _GEOMETRY)
    return half


def _widest(outside: Sequence[float], inside: Sequence[float], wheels: Sequence[_Wheel]) -> float:
    """The widest tyre that would do, wider ones being replaced by it and narrower ones kept."""
    found = []
    for out, one in zip(outside, wheels, strict=True):
        for within, other in zip(inside, wheels, strict=True):
            both = out - within  # what two half widths may take together
            smaller = min(one.half.value, other.half.value)
            found.append(both if both / 2 <= smaller else 2 * (both - smaller))
    return min(found)


def _room(given: Given, sheet: Sheet, room: Quantity, out_spot: str, in_spot: str, would_do: float) -> None:
    """How much there is to choose from, or by how much nothing fits."""
    if room.value < -NOTHING:
        short = given.show.length(-room.value, UP)
        instead = f"tyre and rim of at most {given.show.length(would_do, DOWN)} would do"
        if would_do <= 0:
            instead = "no tyre would do: measure again, or choose other offsets"
        sheet.refuse("section", f"nothing fits, by {short}, between the {in_spot} and the {out_spot}; {instead}")
    elif room.value < room.plus_minus:
        sheet.warn("what fits is less than the doubt of the readings; measure the tightest spots again, more closely")
    sheet.give("room", room, "most - least", _GEOMETRY)
    sheet.give("tightest", f"outside: {out_spot}; inside: {in_spot}", "the smallest of the rooms", _GEOMETRY)


def _clearances(given: Given, sheet: Sheet, pads: Quantity, wheels: list[_Wheel]) -> None:
    """The air that is left at rest, on every side."""
    for side, wheel in zip(given.sides, wheels, strict=True):
        middle = pads / 2 - wheel.offset
        body = least([value for key in OUTER if (value := given.get(key, side)) is not None])
        inside = most([value for key in INNER if (value := given.get(key, side)) is not None])
        sheet.give("outer-clearance", body - middle - wheel.half, "outer - (pads / 2 - offset + half)", _GEOMETRY, side)
        sheet.give(
            "inner-clearance", middle - wheel.half - inside, "(pads / 2 - offset - half) - inner", _GEOMETRY, side
        )


def _at(spots: Sequence[_Spot], rooms: Sequence[Quantity], extreme: Quantity) -> str:
    """The spot that decides, or all of them where several do alike."""
    found = [spot for spot, room in zip(spots, rooms, strict=True) if abs(room.value - extreme.value) <= NOTHING]
    if len(found) > 1 and len({spot.name for spot in found}) == 1:
        return f"{found[0].name} on {' and '.join(spot.side for spot in found)} alike"
    return " and the ".join(str(spot) for spot in found)


def _half(key: str, says: str, low: float, high: float) -> Input:
    return Input(key, "length", f"centre line to the {says}", low, high, sided=True)


FIT = Calculator(
    "fit",
    "the pad to pad widths that fit under the body, or the offset, or the widest tyre",
    (
        _half("lip", "inside of the body's lip", 200.0, 1500.0),
        _half("arch", "inside of the arch, where it is nearer", 200.0, 1500.0),
        _half("frame", "outside of the frame", 50.0, 1300.0),
        _half("spring", "outside of the spring", 50.0, 1300.0),
        _half("tank", "outside of the tank", 50.0, 1300.0),
        Input(
            "section", "length", "width of the tyre over its sidewalls", 75.0, 600.0, sided=True, taken="tyre.section"
        ),
        Input(
            "inboard", "length", "how far the rim reaches inward of the pad", -100.0, 560.0, sided=True,
            taken="wheel.inboard",
        ),
        Input(
            "outboard", "length", "how far the rim reaches outward of the pad", -100.0, 560.0, sided=True,
            taken="wheel.outboard",
        ),
        Input(
            "offset", "length", "from the middle of the rim out to the pad", -200.0, 200.0, sided=True,
            taken="wheel.offset",
        ),
        Input(
            "outer-clearance", "length", "air wanted between the tyre and the body", 0.0, 150.0, needed=True,
            sided=True,
        ),
        Input(
            "inner-clearance", "length", "air wanted between the tyre and what is inside", 0.0, 150.0, needed=True,
            sided=True,
        ),
        Input("side-play", "length", "how far the axle may move sideways either way", 0.0, 50.0, sided=True),
        Input("travel-outer", "length", "how far travel and roll carry the tyre outward", 0.0, 150.0, sided=True),
        Input("travel-inner", "length", "how far travel and roll carry the tyre inward", 0.0, 150.0, sided=True),
        Input(
            "solve", "text", "what to find; the others are then given", choices=("pads", "offset", "section")
        ),
        Input("pads", "length", "pad to pad width that is already decided", 500.0, 2600.0),
    ),
    (
        Output("pads-least", "mm", "the narrowest pad to pad width that clears everything inside", rounding=UP),
        Output("pads-most", "mm", "the widest pad to pad width that stays under the body", rounding=DOWN),
        Output("pads", "mm", "pad to pad width decided, else the middle of what fits; a decision, taken as exact"),
        Output("offset-least", "mm", "the smallest wheel offset that stays under the body at this width", rounding=UP),
        Output(
            "offset-most", "mm", "the largest wheel offset that clears everything inside at this width", rounding=DOWN,
        ),
        Output("offset", "mm", "the middle of the offsets that fit"),
        Output("section-most", "mm", "the widest tyre that fits at this width and offset", rounding=DOWN),
        Output("room", "mm", "how much there is between the least and the most", rounding=DOWN),
        Output("tightest", "text", "where the wheel is nearest to touching, outside and inside"),
        Output("outer-clearance", "mm", "air between tyre and body at this width, at rest", True, DOWN),
        Output("inner-clearance", "mm", "air between tyre and what is inside at this width, at rest", True, DOWN),
    ),
    fit,
)  # fmt: skip
