"""The seat of a bearing, on a shaft or in a pocket: its limits by class, and whether what was measured lies within."""

from __future__ import annotations

import math

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import FINE
from planner.numbers.quantity import exact
from planner.numbers.verdict import CANNOT_TELL, INSIDE, verdict

_ISO_286 = "ISO 286-1, formulas of grades and deviations"
_ISO_14253 = "ISO 14253-1, decision rules"
_GEOMETRY = "geometry"
#: Steps of the nominal size, in millimetres: all within one step have the limits of its geometric mean.
_STEPS = (3.0, 6.0, 10.0, 18.0, 30.0, 50.0, 80.0, 120.0, 180.0)
#: Tolerance units of each grade.
_GRADES = {"5": 7, "6": 10, "7": 16, "8": 25}
CLASSES = ("g6", "h6", "js6", "k5", "k6", "m6", "n6", "H6", "H7", "H8")


def seat(given: Given, sheet: Sheet) -> None:
    """The limits of a bearing's seat by its class, what the pair has of interference, and whether the seat is good.

    Small letters are shafts, capitals are bores. A pocket is measured cold, after the last weld near it, at more than
    one clock position: heat draws it out of round.

    Formula
        D = sqrt(step from x step to); i = 0.45 D^(1/3) + 0.001 D micrometres; grades 5, 6, 7, 8 = 7, 10, 16, 25 i;
        lower: k 0.6 D^(1/3), m = grade 7 - grade 6, n 5 D^0.34; upper: g -2.5 D^0.34, h 0; js half either way; H from 0
        up; all to the whole micrometre; interference = seat less bearing's bore, or bearing's outside less seat
    Source
        ISO 286-1 (limits: formulas of grades and deviations); ISO 14253-1 (verdict)

    >>> from planner.numbers.registry import figure
    >>> found = figure("seat", {"nominal": "40 mm", "class": "k6"})
    >>> round(found.value("least"), 3), round(found.value("most"), 3)
    (40.002, 40.018)
    """
    nominal, name = given.need("nominal").value, given.text("class")
    low, high = limits(nominal, name)
    least, most = nominal + low / 1000, nominal + high / 1000
    sheet.give("least", exact(least), f"nominal + {low} micrometres", _ISO_286)
    sheet.give("most", exact(most), f"nominal + {high} micrometres", _ISO_286)
    measured, ring = given.get("measured"), given.get("bearing")
    if ring is not None:
        of = measured if measured is not None else exact((least + most) / 2)
        what = "measured" if measured is not None else "the middle of its limits"
        tight = of - ring if name[0].islower() else ring - of
        sheet.give("interference", tight, f"{what} against the bearing", _GEOMETRY)
        if tight.value < -NOTHING and name[0].islower() and name[0] not in "gh":
            sheet.warn("THE SEAT IS LOOSE: the ring will creep on it; never centre-punch, knurl or glue an axle's seat")
    if measured is None:
        return
    found = verdict(measured.value, measured.plus_minus, least, most)
    answer = found.answer
    if answer == CANNOT_TELL:
        answer = f"{answer}, measure again to ± {given.show.at_most(abs(found.room))} or better"
    sheet.give("verdict", answer, "measured against least and most, with its ±", _ISO_14253)
    if found.answer != INSIDE:
        sheet.warn(
            f"THE SEAT IS NOT SHOWN TO BE {name}: {given.show.length(measured.value, FINE)}; at least"
            f" {given.show.length(least, FINE)}, at most {given.show.length(most, FINE)}: {answer}"
        )
    if not measured.u:
        sheet.warn("no ± is stated for what was measured: write what the micrometer or bore gauge may be off")


def limits(nominal: float, name: str) -> tuple[int, int]:
    """The lower and the upper deviation of a class at a nominal size, in micrometres.

    >>> limits(40.0, "h6"), limits(40.0, "n6"), limits(40.0, "H7")
    ((-16, 0), (17, 33), (0, 25))
    """
    above = next(i for i, step in enumerate(_STEPS) if nominal <= step)
    mean = math.sqrt(_STEPS[above - 1] * _STEPS[above])
    unit = 0.45 * mean ** (1 / 3) + 0.001 * mean
    width = {grade: round(count * unit) for grade, count in _GRADES.items()}
    letter, wide = name[:-1], width[name[-1]]
    if letter in ("h", "g"):
        upper = 0 if letter == "h" else -round(2.5 * mean**0.34)
        return upper - wide, upper
    if letter == "js":
        return -wide // 2, wide // 2
    lower = {"H": 0, "k": round(0.6 * mean ** (1 / 3)), "m": width["7"] - width["6"], "n": round(5 * mean**0.34)}[
        letter
    ]
    return lower, lower + wide


SEAT = Calculator(
    "seat",
    "the limits of a bearing's seat, and whether a shaft or a pocket as measured lies within them",
    (
        Input("nominal", "length", "of the seat, as the bearing is named", 3.001, 180.0, needed=True),
        Input("class", "text", "small letters a shaft, capitals a bore", needed=True, choices=CLASSES),
        Input("measured", "length", "the seat as it is, cold", 2.5, 182.0),
        Input("bearing", "length", "the bearing's bore or outside, as measured, to see what holds it", 2.5, 182.0),
    ),
    (
        Output("least", "mm", "the smallest that the seat may be", rounding=FINE),
        Output("most", "mm", "the largest that the seat may be", rounding=FINE),
        Output("interference", "mm", "how much tighter than the bearing; negative: loose", rounding=FINE),
        Output("verdict", "text", "inside, outside or cannot tell"),
    ),
    seat,
)
