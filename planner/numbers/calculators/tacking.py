"""Tacks round a tube: in which order, where, and how the tube is turned so that it still beds down in its cradle."""

from __future__ import annotations

import math
from collections.abc import Sequence

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.calculators.opposed import opposed
from planner.numbers.clock import CLOCK_HELP, clock_text, parse_clock
from planner.numbers.lengths import TextError
from planner.numbers.quantity import Quantity, exact, reading

_PRACTICE = "common practice, no source"
_GEOMETRY = "geometry"
_RING = "opposite pairs, the pairs across each other"


def apart(one: float, other: float) -> float:
    """The angle between two directions, degrees, 0 to 180.

    >>> apart(350.0, 10.0)
    20.0
    """
    return abs((one - other + 180.0) % 360.0 - 180.0)


def clear_of(tacks: Sequence[float], rests: Sequence[float]) -> float:
    """The least angle between a tack's middle and a line on which the tube rests, degrees."""
    return min((apart(tack, rest) for tack in tacks for rest in rests), default=180.0)


def best_turn(tacks: Sequence[float], rests: Sequence[float]) -> tuple[float, float]:
    """The turn of the tube, degrees clockwise, that brings its tacks farthest from where it rests, and how far.

    Of equal ones the smallest. Where each tack's distance from each rest is two straight lines in the turn, the best
    lies in the middle between two turns that put a tack on a rest.
    """
    if not tacks or not rests:
        return 0.0, 180.0
    bad = sorted({round((rest - tack) % 360.0, 9) for tack in tacks for rest in rests})
    gaps = [((b - a) % 360.0 or 360.0, a) for a, b in zip(bad, [*bad[1:], bad[0]], strict=True)]
    widest = max(gap for gap, _ in gaps)
    turns = [(start + gap / 2 + 180.0) % 360.0 - 180.0 for gap, start in gaps if gap > widest - 1e-6]
    return min(turns, key=lambda turn: (abs(turn), -turn)), widest / 2


def tacks(given: Given, sheet: Sheet) -> None:
    """In which order and where a tube is tacked, and how it is turned so that no tack lies on a contact line.

    Positions are as the clock stands when the end is faced, after the turn. Distances run clockwise round the outside
    from twelve.

    Formula
        opposite pairs, the next pair across those done; place = pi diameter x degrees / 360; a V of included angle v
        touches 90 - v / 2 degrees either side of six; the turn is the middle of the widest gap between turns that put
        a tack on a contact line
    Source
        geometry; eight tacks in opposite pairs: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("tacks", {"diameter": "76.2 mm", "vee": "90 deg"})
    >>> found.results["order"], found.value("turn")
    ('12:45, 6:45, 3:45, 9:45, 2:15, 8:15, 5:15, 11:15', 22.5)
    """
    number = int(given.default("number", 8.0).value)
    diameter = given.need("diameter")
    around = diameter * math.pi
    if number % 2:
        sheet.refuse("number", f"is odd: opposite pairs need an even number, {number - 1} or {number + 1}")
    length = given.get("length")
    if length is None:
        length = reading("tacks.length", 10.0, 3.0 / math.sqrt(3.0))
        sheet.warn("length of a tack is not given: 10 ± 3 mm is taken (common practice, no source)")
    if number * length.value >= around.value:
        most = given.show.length(around.value / number)
        sheet.refuse("length", f"leaves no room between {number} tacks: each is to be under {most}")
    start, rests = _positions(given, sheet)
    sheet.stop_if_refused()
    places = [(start + 360.0 * place / number) % 360.0 for place in opposed(number)]
    half = math.degrees(length.value / diameter.value)  # half a tack, as an angle at the middle
    turn = 0.0
    if rests and clear_of(places, rests) < 2 * half:  # nearer than half a tack beside its edge
        turn, _ = best_turn(places, rests)
    turned = [(place + turn) % 360.0 for place in places]
    sheet.give("order", ", ".join(map(clock_text, turned)), _RING, _PRACTICE)
    sheet.give("places", _rows(turned, around), "pi diameter x degrees / 360", _GEOMETRY)
    sheet.give("apart", around / number, "pi diameter / number", _GEOMETRY)
    if rests:
        _bedding(sheet, diameter, length, (places, turned, rests), turn)
    sheet.warn(
        "a tack that stands proud where the tube rests lifts it: feel for it, or file it flush, before it is rolled"
    )


def _positions(given: Given, sheet: Sheet) -> tuple[float, list[float]]:
    """Where the first tack is wished, and the lines on which the tube rests, in degrees."""
    start, rests = 0.0, []
    try:
        start = parse_clock(given.text("first", default="12:00"))
    except TextError as error:
        sheet.refuse("first", str(error))
    vee = given.get("vee")
    if given.has("rests"):
        if vee is not None:
            sheet.refuse("rests", "or vee: say where it rests in one way")
        try:
            rests = [parse_clock(each) for each in given.text("rests").replace(",", ";").split(";") if each.strip()]
        except TextError as error:
            sheet.refuse("rests", str(error))
    elif vee is not None:
        rests = [90.0 + vee.value / 2, 270.0 - vee.value / 2]
    else:
        sheet.warn("neither vee nor rests is given: whether a tack lies where the tube rests is not known")
    return start, rests


def _rows(turned: Sequence[float], around: Quantity) -> tuple[tuple[str | Quantity, ...], ...]:
    return tuple(
        (f"{i + 1}", clock_text(each), around * (each / 360.0), f"pair {i // 2 + 1}") for i, each in enumerate(turned)
    )


def _bedding(
    sheet: Sheet,
    diameter: Quantity,
    length: Quantity,
    where: tuple[list[float], list[float], list[float]],
    turn: float,
) -> None:
    """What is left between tacks and contact lines, and until when a turn exists at all."""
    places, turned, rests = where
    half = math.degrees(length.value / diameter.value)
    clear = diameter * math.radians(clear_of(turned, rests)) / 2 - length / 2
    sheet.give("contacts", ", ".join(map(clock_text, rests)), "90 - vee / 2 either side of six", _GEOMETRY)
    sheet.give(
        "turn", exact(turn), "middle of the widest gap between turns that put a tack on a contact line", _GEOMETRY
    )
    sheet.give("clear", clear, "nearest tack's edge to a contact line, round the outside", _GEOMETRY)
    pairs = range(2, len(places) + 1, 2)
    none = next((done // 2 for done in pairs if best_turn(places[:done], rests)[1] < half), None)
    says = "a turn exists after every pair" if none is None else f"none once pair {none} is done"
    sheet.give("beds-down", says, "some turn keeps every tack's edge off the contact lines", _GEOMETRY)
    if none is not None:
        sheet.warn(
            f"ONCE PAIR {none} IS DONE NO TURN LETS IT BED DOWN: finish what needs it in the cradle before, or file the"
            " tacks flush, or make them fewer or shorter"
        )
    elif clear.value < clear.plus_minus:
        sheet.warn("a tack may lie on a contact line, by what the readings may be off; look before it is rolled")


TACKS = Calculator(
    "tacks",
    "in which order and where a round tube is tacked, so that it still beds down in its cradle",
    (
        Input("diameter", "length", "outside, of round tube; no other is worked out", 10.0, 400.0, needed=True),
        Input("number", "count", "of tacks, an even one, else 8", 4.0, 24.0),
        Input("length", "length", "of one tack, else 10 mm with its doubt", 1.0, 60.0),
        Input("vee", "angle", "between the legs in which the tube lies", 30.0, 175.0),
        Input("rests", "text", "where it rests instead, such as 4:30; 7:30"),
        Input("first", "text", f"where the first tack is wished, else 12:00; {CLOCK_HELP}"),
    ),
    (
        Output("order", "text", "clock positions, one after the other, after the turn"),
        Output("places", "list", "number, clock position, distance round from twelve, pair"),
        Output("apart", "mm", "from tack to tack round the outside"),
        Output("contacts", "text", "where the tube rests"),
        Output("turn", "deg", "clockwise, of the ring of tacks against where it was wished"),
        Output("clear", "mm", "from the nearest tack's edge to a contact line", rounding="down"),
        Output("beds-down", "text", "whether some turn still keeps all tacks off the contact lines"),
    ),
    tacks,
)
