"""Beads round a tube, over every joint of a job: the order that pulls least to one side, with its waits."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.calculators.opposed import opposed, worst_imbalance
from planner.numbers.clock import CLOCK_HELP, clock_text, parse_clock
from planner.numbers.lengths import TextError
from planner.numbers.quantity import exact, reading

_PRACTICE = "common practice, no source"
_MEASURE = "length of the sum of unit pulls toward the beads done, worst of all moments"
_INCH = 25.4


def beads(given: Given, sheet: Sheet) -> None:
    """The order of beads round a tube, the same at every joint in turn: root all round before any cap.

    Each bead lies opposite the last and every joint gets one before any gets the next. Beads of the next layer begin
    half a bead further on, so that ends do not lie on ends.

    Formula
        number = pi diameter / length, up to the next even one; running imbalance = |sum of unit pulls|, at least 1 from
        the first bead; round and round: 1 / sin(pi / number)
    Source
        beads of about an inch, opposed, root before cap: common practice, no source; that opposed and balanced orders
        pull less: in every textbook of welding, without a number

    >>> from planner.numbers.registry import figure
    >>> found = figure("beads", {"diameter": "76.2 mm"})
    >>> found.value("number"), found.value("worst"), round(found.value("worst-round"), 2)
    (10.0, 1.0, 3.24)
    """
    diameter = given.need("diameter")
    around = diameter * math.pi
    length = given.get("length") or reading("beads.length", _INCH)
    if not given.has("length"):
        sheet.warn("length of a bead is not given: about an inch is taken (common practice, no source)")
    number = max(4, 2 * math.ceil(around.value / length.value / 2 - 1e-9))
    layers = int(given.default("layers", 2.0).value)
    joints = int(given.default("joints", float(len(given.sides))).value)
    start = 0.0
    try:
        start = parse_clock(given.text("first", default="12:00"))
    except TextError as error:
        sheet.refuse("first", str(error))
    if number * layers > _MOST:
        sheet.refuse("length", f"makes {number * layers} beads at a joint, more than the {_MOST} rounds of a step")
    sheet.stop_if_refused()
    order = opposed(number)
    rows: list[tuple[str, ...]] = []
    for layer in range(layers):
        turned = start + (180.0 / number if layer % 2 else 0.0)
        name = "root" if layer == 0 else "cap" if layer == layers - 1 else f"fill {layer}"
        rows += [
            (f"{layer * number + i + 1}", name, clock_text(turned + 360.0 * place / number))
            for i, place in enumerate(order)
        ]
    sheet.give("number", exact(float(number)), "pi diameter / length, up to an even one", _PRACTICE)
    sheet.give("bead", around / number, "pi diameter / number", "geometry")
    sheet.give("rounds", exact(float(number * layers)), "number x layers", _PRACTICE)
    sheet.give("places", tuple(rows), "opposite the last, half a bead further on in the next layer", _PRACTICE)
    sheet.give("worst", exact(round(worst_imbalance(order, number), 9)), _MEASURE, "no order has less than 1")
    sheet.give("worst-round", exact(1 / math.sin(math.pi / number)), "1 / sin(pi / number)", "round and round")
    _times(given, sheet, joints, number * layers)
    sheet.warn("beads pull however they are ordered: read straightness between layers, cold, and order the next by it")
    sheet.warn(
        "the order lowers the pull and does not end it; what carries a vehicle is welded by a qualified procedure"
    )


_MOST = 99


def _times(given: Given, sheet: Sheet, joints: int, rounds: int) -> None:
    """How one writes it into a plan, and how long it takes."""
    wait, bead = given.get("wait"), given.get("bead-time")
    said = f"rounds: {rounds}"
    said += "; turns: alternate" if joints > 1 else ""
    if wait is not None:
        said += f"; wait: {_minutes(wait.value)}"
    sheet.give("write", said, "rounds of the step, every joint in turn", _PRACTICE)
    if wait is None or bead is None:
        return
    others = (joints - 1) * bead
    stand = max(0.0, wait.value - others.value)
    sheet.give("stand", exact(stand), "wait - the other joints' beads", "arithmetic")
    each = joints * bead + stand
    sheet.give("whole", each * (rounds - 1) + joints * bead, "rounds x (beads + what is stood out)", "arithmetic")


def _minutes(seconds: float) -> str:
    whole = math.ceil(seconds - 1e-9)
    return f"{whole // 60} min" if whole % 60 == 0 else f"{whole} s"


BEADS = Calculator(
    "beads",
    "the order of beads round a round tube, over all joints, that pulls least to one side",
    (
        Input("diameter", "length", "outside, of round tube; no other is worked out", 10.0, 400.0, needed=True),
        Input("length", "length", "of one bead, about, else an inch", 5.0, 200.0),
        Input("layers", "count", "root, fills and cap, else 2", 1.0, 8.0),
        Input("joints", "count", "welded in turn, else one a side", 1.0, 8.0),
        Input("first", "text", f"where the first bead's middle is, else 12:00; {CLOCK_HELP}"),
        Input("bead-time", "time", "of one bead with getting there", 1.0, 36_000.0),
        Input("wait", "time", "between two beads at one joint", 0.0, 86_400.0),
    ),
    (
        Output("number", "", "of beads once round"),
        Output("bead", "mm", "length of each, middle to middle"),
        Output("rounds", "", "beads at a joint, all layers"),
        Output("places", "list", "round, layer, clock position of the bead's middle"),
        Output("worst", "", "worst running imbalance, in beads"),
        Output("worst-round", "", "the same, welded round and round"),
        Output("write", "text", "for the step in the plan"),
        Output("stand", "s", "stood out in every round", rounding="up"),
        Output("whole", "s", "for all of it", rounding="up"),
    ),
    beads,
)
