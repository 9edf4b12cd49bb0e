"""Round tube: section values, stress and deflection before and after narrowing. A planning aid, never a proof."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.quantity import Quantity

_SECTION = "Beer & Johnston, Mechanics of Materials, section values of a hollow circle"
_BENDING = "Beer & Johnston, Mechanics of Materials, flexure formula M c / I"
_DEFLECTION = "superposition of a cantilever and a middle part in pure bending (Gere, Mechanics of Materials)"
#: Steel, in MPa; within 3 % for every carbon steel (a textbook value).
STEEL = 200_000.0
AID = (
    "stress and deflection are for still, even loads on sound tube with no weld, hole or heat in it: a planning aid,"
    " not a strength check; have the axle judged by licensed practice under local rules"
)


def tube(given: Given, sheet: Sheet) -> None:
    """Section values of a round tube, and what a wheel's load does to it before and after narrowing.

    The housing is taken as a beam on two perches with the same load outside each: the arm is from the wheel's
    middle to the perch, the span is between the perches. Without a span the perch is taken as rigid.

    Formula
        with d = diameter - 2 wall: area = pi (D^2 - d^2) / 4; second-moment I = pi (D^4 - d^4) / 64;
        section-modulus = 2 I / D; torsion-constant = 2 I; gyration = sqrt(I / area); stress = load arm D / (2 I);
        deflection = load arm^2 (2 arm + 3 span) / (6 E I)
    Source
        Beer & Johnston, Mechanics of Materials (section values, flexure formula); Gere, Mechanics of Materials
        (deflection by superposition)

    >>> from planner.numbers.registry import figure
    >>> found = figure("tube", {"diameter": "12 in", "wall": "0.250 in"})
    >>> round(found.value("area") / 25.4**2, 2), round(found.value("second-moment") / 25.4**4)
    (9.23, 159)
    """
    diameter, wall = given.need("diameter"), given.need("wall")
    if 2 * wall.value >= diameter.value:
        most = given.show.length(diameter.value / 2, "down")
        sheet.refuse("wall", f"is half the diameter or more, so there is no bore; it must be less than {most}")
        sheet.stop_if_refused()
    bore = diameter - 2 * wall
    sheet.work("bore", bore, "mm", "diameter - 2 wall", "geometry")
    area = (diameter**2 - bore**2) * (math.pi / 4)
    second = (diameter**4 - bore**4) * (math.pi / 64)
    sheet.give("area", area, "pi (diameter^2 - bore^2) / 4", _SECTION)
    sheet.give("second-moment", second, "pi (diameter^4 - bore^4) / 64", _SECTION)
    modulus = 2 * second / diameter
    sheet.give("section-modulus", modulus, "2 second-moment / diameter", _SECTION)
    sheet.give("torsion-constant", 2 * second, "pi (diameter^4 - bore^4) / 32", _SECTION)
    sheet.give("gyration", (diameter**2 + bore**2) ** 0.5 / 4, "sqrt(second-moment / area)", _SECTION)
    sheet.give("mass", area * 7.85e-3, "area x 7850 kg/m3", "density of steel, a textbook value")
    if wall.value < diameter.value / 100:
        sheet.warn("the wall is under a hundredth of the diameter: such tube buckles before it yields in bending")
    _loaded(given, sheet, modulus, second)


def _loaded(given: Given, sheet: Sheet, modulus: Quantity, second: Quantity) -> None:
    """Stress and deflection, before and after."""
    load, arm, after = given.get("load"), given.get("arm"), given.get("arm-after")
    if load is None:
        for key in ("arm", "arm-after", "span", "span-after"):
            if given.has(key):
                sheet.refuse("load", f"is missing: with {key} given, give the load on one wheel too")
                return
        return
    if arm is None:
        sheet.refuse("arm", "is missing: with a load given, give the arm from the wheel's middle to the perch too")
        return
    if given.has("span-after") and after is None:
        sheet.refuse("arm-after", "is missing: with span-after given, give the arm after narrowing too")
        return
    elastic = given.default("modulus", STEEL)
    span = given.default("span", 0.0)
    span_after = given.get("span-after") or span
    for tag, each_arm, each_span in (("", arm, span), ("-after", after, span_after)):
        if each_arm is None:
            continue
        bending = load * each_arm
        sheet.work(f"moment{tag}", bending / 1000, "N.m", f"load x arm{tag}", "statics")
        sheet.give(f"stress{tag}", bending / modulus, f"moment{tag} / section-modulus", _BENDING)
        deflection = load * each_arm**2 * (2 * each_arm + 3 * each_span) / (6 * elastic * second)
        formula = f"load arm{tag}^2 (2 arm{tag} + 3 span) / (6 modulus second-moment)"
        sheet.give(f"deflection{tag}", deflection, formula, _DEFLECTION)
        if deflection.value > 0.1 * each_arm.value:
            sheet.warn(f"deflection{tag} is over a tenth of the arm: the formula is for small deflections only")
    if given.has("span") or given.has("span-after"):
        sheet.warn(
            "between the perches the moment is full all along, as great as at the perch: a joint there carries all of"
            " it, in the weld and in the metal beside it that the heat softened; outward of the perch it falls to"
            " nothing at the wheel"
        )
    else:
        sheet.warn(
            "from the perch inward the moment stays full: a joint there carries as much as the tube at the perch"
        )
    sheet.warn(AID)


TUBE = Calculator(
    "tube",
    "section values of a round tube, and stress and deflection before and after narrowing",
    (
        Input("diameter", "length", "outside diameter", 10.0, 400.0, needed=True),
        Input("wall", "length", "wall thickness", 0.5, 100.0, needed=True),
        Input("load", "force", "on one wheel", 1.0, 200_000.0),
        Input("arm", "length", "from the wheel's middle to the perch, before narrowing", 1.0, 2000.0),
        Input("arm-after", "length", "the same after narrowing", 1.0, 2000.0),
        Input("span", "length", "between the perches, before narrowing", 1.0, 3000.0),
        Input("span-after", "length", "the same after narrowing, else span", 1.0, 3000.0),
        Input("modulus", "stress", "modulus of elasticity, else steel, 200 GPa", 1000.0, 500_000.0),
    ),
    (
        Output("area", "mm2", "of the metal cut across"),
        Output("second-moment", "mm4", "second moment of area about a diameter"),
        Output("section-modulus", "mm3", "second moment over the outer radius"),
        Output("torsion-constant", "mm4", "polar second moment of area"),
        Output("gyration", "mm", "radius of gyration"),
        Output("mass", "kg/m", "of steel tube, 7850 kg/m3"),
        Output("stress", "MPa", "from bending at the perch, before narrowing"),
        Output("stress-after", "MPa", "from bending at the perch, after narrowing"),
        Output("deflection", "mm", "of the wheel against the perch, before narrowing"),
        Output("deflection-after", "mm", "of the wheel against the perch, after narrowing"),
    ),
    tube,
)
