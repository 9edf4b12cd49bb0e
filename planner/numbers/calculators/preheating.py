"""How warm steel is to be before it is welded, by its carbon equivalents, and how fast the weld then cools."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.quantity import Quantity, depending, exact, reading, through

_TABLE = "AWS D1.1, low hydrogen, as in US Army TI 809-26, Table 3-1"
_CE = "carbon equivalent of the IIW, as in US Army TI 809-26"
_CET = "EN 1011-2, annex C.3 (method B), as quoted"
_PCM = "Ito and Bessyo, from memory"
_D = "EN 1011-2, annex D, as quoted; joint factors from memory"
_PRACTICE = "common practice, no source"
ELEMENTS = ("carbon", "silicon", "manganese", "chromium", "molybdenum", "vanadium", "nickel", "copper", "boron")
#: Up to so thick (mm), at least so warm (C): low-hydrogen work on plain structural steel.
_STEPS = ((19.0, 0.0), (38.0, 10.0), (63.5, 66.0), (math.inf, 107.0))
_JOINTS = {"bead": 1.0, "butt": 0.9, "fillet": 0.67}
INTERPASS = 250.0
_METALS = ("plain-steel", "low-alloy", "cast", "high-carbon", "stainless", "aluminium", "unknown")


def table_preheat(thickness: float) -> float:
    """Least preheat of the table, degrees C, for a thickness in mm.

    >>> [table_preheat(each) for each in (19.0, 19.1, 38.0, 63.5, 64.0)]
    [0.0, 10.0, 10.0, 66.0, 107.0]
    """
    return next(warm for most, warm in _STEPS if thickness <= most)


def method_b(cet: float, thickness: float, hydrogen: float, heat: float) -> float:
    """Least preheat by CET, degrees C; mm, ml/100 g, kJ/mm. Below nothing where none is needed.

    >>> round(method_b(0.33, 20.0, 5.0, 1.0), 1)
    79.0
    """
    warm = 697 * cet + 160 * math.tanh(thickness / 35) + 62 * hydrogen**0.35
    return float(warm + (53 * cet - 32) * heat - 328)


def cooling_thick(heat: float, warm: float) -> float:
    """Seconds from 800 to 500 C where heat runs into the depth as well: heat in kJ/mm, metal at ``warm`` C."""
    return (6700 - 5 * warm) * heat * (1 / (500 - warm) - 1 / (800 - warm))


def cooling_thin(heat: float, warm: float, thickness: float) -> float:
    """The same where it runs sideways only: thickness in mm."""
    return (4300 - 4.3 * warm) * 1e5 * (heat / thickness) ** 2 * ((500 - warm) ** -2 - (800 - warm) ** -2)


def transition(heat: float, warm: float) -> float:
    """The thickness, mm, at which both are the same.

    >>> d = transition(1.0, 20.0)
    >>> abs(cooling_thick(1.0, 20.0) - cooling_thin(1.0, 20.0, d)) < 1e-9
    True
    """
    both = (4300 - 4.3 * warm) * 1e5 / (6700 - 5 * warm) * heat
    return math.sqrt(both * (1 / (500 - warm) + 1 / (800 - warm)))


def preheat(given: Given, sheet: Sheet) -> None:
    """How warm plain or low-alloy steel is to be before and between beads, and how fast the weld then cools.

    Outside the ranges of method B its inputs are taken at the end of the range that asks for more.

    Formula
        CE = C + Mn/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15; CET = C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40;
        Pcm = C + Si/30 + (Mn+Cu+Cr)/20 + Ni/60 + Mo/15 + V/10 + 5 B;
        Tp = 697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328, or the table's by thickness if that is more;
        t8/5 thick = (6700 - 5 T) Q (1/(500-T) - 1/(800-T)) F,
        thin = (4300 - 4.3 T) 10^5 Q^2/d^2 (1/(500-T)^2 - 1/(800-T)^2) F, the longer of the two
    Source
        AWS D1.1 as in US Army TI 809-26, Table 3-1; EN 1011-2, annexes C.3 and D, as quoted; Ito and Bessyo, from
        memory

    >>> from planner.numbers.registry import figure
    >>> found = figure("preheat", {"metal": "plain-steel", "carbon": "0.2", "manganese": "1.2", "thickness": "6 mm"})
    >>> round(found.value("ce"), 9), round(found.value("cet"), 9)
    (0.4, 0.32)
    """
    _refuse_metal(given, sheet)
    c, si, mn, cr, mo, v, ni, cu, b = (given.default(each, 0.0) for each in ELEMENTS)
    ce = c + mn / 6 + (cr + mo + v) / 5 + (ni + cu) / 15
    cet = c + (mn + mo) / 10 + (cr + cu) / 20 + ni / 40
    if c.value > 0.32:
        sheet.refuse(
            "carbon", f"{c.value:g} % is over 0.32 %, beyond what these rules hold for: ask who knows that metal"
        )
    elif cet.value > 0.5:
        sheet.refuse("carbon", f"with its alloys makes CET {cet.value:.2f}, over 0.5: beyond what these rules hold for")
    sheet.stop_if_refused()
    sheet.give("ce", ce, "C + Mn/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15", _CE)
    sheet.give("cet", cet, "C + (Mn+Mo)/10 + (Cr+Cu)/20 + Ni/40", _CET)
    sheet.give("pcm", c + si / 30 + (mn + cu + cr) / 20 + ni / 60 + mo / 15 + v / 10 + b * 5, "Ito-Bessyo", _PCM)
    missing = [each for each in ELEMENTS[1:] if not given.has(each)]
    if missing:
        sheet.warn(f"taken as none: {', '.join(missing)}; the mill's sheet says what there is")
    warm = _least(given, sheet, cet)
    _cooling(given, sheet, warm)
    sheet.warn("a qualified procedure, the filler's maker and the steel's maker come before these numbers")
    sheet.warn(
        "preheat the whole thickness, 75 mm to either side, slowly; read it beside the joint, on the far face too"
    )


def _refuse_metal(given: Given, sheet: Sheet) -> None:
    metal = given.text("metal")
    if metal in ("plain-steel", "low-alloy"):
        return
    says = {
        "cast": "is not worked out here: a cast centre may be iron or steel; find out which, follow its own procedure",
        "unknown": "is not known: have it told apart first (spark, file, magnet, a laboratory), or weld something else",
    }
    sheet.refuse("metal", says.get(metal, "is not worked out here: these rules are for plain and low-alloy steel"))


def _least(given: Given, sheet: Sheet, cet: Quantity) -> Quantity:
    """The least preheat, by table and by method B with its inputs held to the safe side."""
    thickness = given.need("thickness")
    by_table = table_preheat(thickness.value + thickness.plus_minus)
    sheet.give("by-table", exact(by_table), "by thickness", _TABLE)
    heat, hydrogen = given.get("heat"), given.get("hydrogen")
    if heat is None:
        heat = reading("preheat.heat", 0.5)
        sheet.warn("heat is not given: 0.5 kJ/mm is taken, which asks for most")
    if hydrogen is None:
        hydrogen = reading("preheat.hydrogen", 10.0)
        sheet.warn("hydrogen is not given: 10 ml/100 g is taken, dry low-hydrogen filler; damp filler has far more")
    held = [(cet, 0.2, 0.5), (thickness, 10.0, 90.0), (hydrogen, 1.0, 20.0), (heat, 0.5, 4.0)]
    names = (("CET", "%"), ("thickness", "mm"), ("hydrogen", "ml/100 g"), ("heat", "kJ/mm"))
    ends: list[Quantity] = []
    for (name, unit), (value, low, high) in zip(names, held, strict=True):
        inside = min(max(value.value, low), high)
        if inside != value.value:
            side = f"{inside:g} {unit} is taken"
            if (inside < value.value and name != "heat") or (inside > value.value and name == "heat"):
                side = f"it holds to {inside:g} {unit}, and ASKS FOR TOO LITTLE HERE: have a procedure made"
            sheet.warn(f"{name} {value.value:.3g} {unit} is outside method B's {low:g} to {high:g}: {side}")
        ends.append(value if inside == value.value else exact(inside))
    (found,) = through(lambda x: (method_b(x[0], x[1], x[2], x[3]),), ends)
    sheet.give("by-cet", found, "697 CET + 160 tanh(d/35) + 62 HD^0.35 + (53 CET - 32) Q - 328", _CET)
    least = found if found.value > by_table else exact(by_table)
    sheet.give("least", least, "the greater of by-table and by-cet", _TABLE)
    sheet.give("most", exact(INTERPASS), "plain steel, between beads", _PRACTICE)
    if least.value <= 20.0:
        sheet.warn(
            "none by these rules: still dry, and hand-warm where it is below 5 C (AWS D1.1: 20 C from below 0 C)"
        )
    if least.value > INTERPASS:
        sheet.warn("PREHEAT IS OVER WHAT IS ALLOWED BETWEEN BEADS: this needs a procedure, not a rule")
    return least


def _cooling(given: Given, sheet: Sheet, least: Quantity) -> None:
    """How fast the weld cools, where the heat is known."""
    heat, thickness = given.get("heat"), given.need("thickness")
    if heat is None:
        return
    warm = given.get("metal-at")
    if warm is None:
        warm = exact(max(20.0, least.value))
    elif warm.value + warm.plus_minus < least.value:
        sheet.warn(f"THE METAL IS COLDER THAN THE LEAST, {math.ceil(least.value)} C: warm it before the arc is struck")
    factor = _JOINTS[given.text("joint", default="butt")]
    thin = thickness.value < transition(heat.value, warm.value)
    work: Callable[[Sequence[float]], tuple[float]]
    work = (lambda x: (factor * cooling_thin(*x),)) if thin else (lambda x: (factor * cooling_thick(x[0], x[1]),))
    (found,) = through(work, [heat, warm, thickness])
    tenth = reading("preheat.t8-5", 0.0, 0.1 * found.value)
    found = depending(found.value, [(found, 1.0), (tenth, 1.0)])
    sheet.give("transition", exact(transition(heat.value, warm.value)), "where thin and thick are alike", _D)
    sheet.give("t8-5", found, "thin: sideways only" if thin else "thick: into the depth as well", _D)
    sheet.warn("t8/5 is good to about a tenth (EN 1011-2, from memory); 10 to 25 s is common, a maker says its own")


PREHEAT = Calculator(
    "preheat",
    "how warm steel is to be before and between beads, and how fast the weld cools",
    (
        Input("metal", "text", "what it is", needed=True, choices=_METALS),
        Input("thickness", "length", "the thicker of the two parts", 1.0, 150.0, needed=True),
        Input("carbon", "percent", "by the mill's sheet", 0.0, 5.0, needed=True),
        Input("silicon", "percent", "by the mill's sheet", 0.0, 3.0),
        Input("manganese", "percent", "by the mill's sheet", 0.0, 3.0),
        Input("chromium", "percent", "by the mill's sheet", 0.0, 30.0),
        Input("molybdenum", "percent", "by the mill's sheet", 0.0, 5.0),
        Input("vanadium", "percent", "by the mill's sheet", 0.0, 2.0),
        Input("nickel", "percent", "by the mill's sheet", 0.0, 30.0),
        Input("copper", "percent", "by the mill's sheet", 0.0, 3.0),
        Input("boron", "percent", "by the mill's sheet", 0.0, 0.1),
        Input("hydrogen", "number", "of the filler, ml in 100 g", 0.5, 50.0),
        Input("heat", "heat", "put in per length of bead", 0.05, 10.0, taken="arc.heat"),
        Input("joint", "text", "how the heat runs off, else butt", choices=tuple(_JOINTS)),
        Input("metal-at", "temperature", "as the arc is struck, else the least", -30.0, 400.0),
    ),
    (
        Output("ce", "%", "carbon equivalent of the IIW"),
        Output("cet", "%", "carbon equivalent of method B"),
        Output("pcm", "%", "cracking parameter of low-carbon steels"),
        Output("by-table", "C", "least by thickness"),
        Output("by-cet", "C", "least by method B; below the shop's warmth: none", rounding="up"),
        Output("least", "C", "before the first bead and between beads", rounding="up"),
        Output("most", "C", "between beads"),
        Output("transition", "mm", "thinner than this, heat runs sideways only"),
        Output("t8-5", "s", "from 800 to 500 C"),
    ),
    preheat,
)
