"""What an arc puts into a joint: heat input, and the wire that it lays down."""

from __future__ import annotations

import math

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.quantity import Quantity, exact

_EN = "EN 1011-1, heat input and thermal efficiency"
_GEOMETRY = "geometry; steel 7850 kg/m3"
#: Thermal efficiency by process, numbered as ISO 4063 does.
EFFICIENCY = {"111": 0.8, "121": 1.0, "131": 0.8, "135": 0.8, "136": 0.8, "138": 0.8, "141": 0.6, "15": 0.6}
_DENSITY = 7.85e-3  # g/mm3


def arc(given: Given, sheet: Sheet) -> None:
    """Heat input of an arc, from what the machine shows and how fast the bead was run.

    Formula
        heat = k U I / (1000 v); v = run / took where the travel is not known; k = 1.0 for 121, 0.8 for 111, 131, 135,
        136, 138, 0.6 for 141, 15; laid down = pi / 4 wire^2 x feed / v
    Source
        EN 1011-1; k from its table

    >>> from planner.numbers.registry import figure
    >>> found = figure("arc", {"process": "135", "volts": "25 V", "amps": "200 A", "travel": "5 mm/s"})
    >>> round(found.value("heat"), 9)
    0.8
    """
    travel = _travel(given, sheet)
    if (given.get("wire") is None) is not (given.get("feed") is None):
        sheet.refuse("feed", "and wire belong together: how thick the wire is, and how fast it is fed")
    sheet.stop_if_refused()
    volts, amps = given.need("volts"), given.need("amps")
    k = EFFICIENCY[given.text("process")]
    energy = volts * amps / travel / 1000
    sheet.give("travel", travel, "run / took" if given.has("run") else "given", "arithmetic")
    sheet.give("energy", energy, "U I / (1000 v)", _EN)
    sheet.give("heat", energy * k, f"{k:g} x energy", _EN)
    run, wire = given.get("run"), given.get("wire")
    if wire is not None:
        laid = wire * wire * (math.pi / 4) * given.need("feed") / travel
        sheet.give("laid", laid, "pi / 4 wire^2 x feed / v", _GEOMETRY)
        if run is not None:
            sheet.give("wire-used", given.need("feed") * run / travel, "feed x run / v", _GEOMETRY)
            sheet.give("mass", laid * run * _DENSITY, "laid x run x density", _GEOMETRY)
        sheet.warn("what is lost as spatter and slag is not taken off what is laid down")
    if not any(each.terms for each in (volts, amps)):
        sheet.warn("no ± is stated for volts and amps: a machine's display may be off by a tenth; read them at the arc")
    sheet.warn("k is the standard's round number; a pulsed or short arc is read by the machine's own power, if at all")


def _travel(given: Given, sheet: Sheet) -> Quantity:
    travel, run, took = given.get("travel"), given.get("run"), given.get("took")
    if travel is not None and took is not None:
        sheet.refuse("took", "or travel: say how fast it was run in one way")
    elif travel is None and (run is None or took is None):
        sheet.refuse("travel", "is missing: give it, or run and took, how long the bead is and how long it took")
    elif travel is None and run is not None and took is not None:
        return run / took
    return travel if travel is not None else exact(1.0)


ARC = Calculator(
    "arc",
    "what heat an arc puts in, and what wire it lays down",
    (
        Input(
            "process",
            "text",
            "by its number in ISO 4063: 111 stick, 121 powder, 131 MIG, 135 MAG, 136 and 138 cored, 141 TIG, 15 plasma",
            needed=True,
            choices=tuple(EFFICIENCY),
        ),
        Input("volts", "volts", "at the arc", 5.0, 60.0, needed=True),
        Input("amps", "amps", "while it burns", 3.0, 1500.0, needed=True),
        Input("travel", "travel", "along the joint", 0.2, 200.0, unless="run and took are given"),
        Input("run", "length", "how long the bead is", 1.0, 20_000.0),
        Input("took", "time", "how long it took", 0.5, 36_000.0),
        Input("wire", "length", "diameter of the wire", 0.5, 8.0),
        Input("feed", "travel", "of the wire", 1.0, 600.0),
    ),
    (
        Output("heat", "kJ/mm", "put into the metal, per length of bead"),
        Output("energy", "kJ/mm", "of the arc, per length of bead"),
        Output("travel", "mm/s", "along the joint"),
        Output("laid", "mm2", "section of metal laid down"),
        Output("wire-used", "mm", "wire for the run", rounding="up"),
        Output("mass", "g", "metal laid down over the run"),
    ),
    arc,
)
