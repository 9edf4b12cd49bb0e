"""Brake lines on a narrowed axle: how long a pipe is cut, and whether the hose reaches."""

from __future__ import annotations

import math

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import UP

_GEOMETRY = "geometry"
_PRACTICE = "common practice, no source"
#: A quarter bend is this much of its radius shorter than the two straights round its corner.
CORNER = 2.0 - math.pi / 2.0


def pipes(given: Given, sheet: Sheet) -> None:
    """What to cut each pipe to: straights from corner to corner, less what the bends save, plus what the flares take.

    A run that was measured before the cut loses what its side of the housing loses.

    Formula
        pipe = run - shorten - bends (2 - pi / 2) radius + 2 flare + spare;
        hose at droop = sqrt((reach)^2 + (droop)^2), its slack = hose - that
    Source
        geometry; flare and spare: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("pipes", {"run": "1000 mm", "shorten": "75 mm", "bends": "2", "radius": "20 mm",
    ...                               "flare": "3 mm", "spare": "10 mm"})
    >>> round(found.value("pipe", "driver"), 3)
    923.832
    """
    bends, radius = given.default("bends", 0.0), given.default("radius", 0.0)
    if bends.value and not given.has("radius"):
        sheet.refuse("radius", "is missing: with bends given, give the radius of the bender, to the pipe's middle")
        return
    saved = bends.value * CORNER * radius
    ends = 2 * given.default("flare", 0.0) + given.default("spare", 0.0)
    if not given.has("shorten"):
        sheet.warn("shorten is not given and taken as nothing: measure the run on the finished axle")
    for side in given.sides:
        pipe = given.need("run", side) - given.default("shorten", 0.0, side) - saved + ends
        if pipe.value <= NOTHING:
            least = given.show.length((given.need("run", side) - pipe).value, UP)
            says = f"leaves no pipe on the {side} side; it must be more than {least}: measure it corner to corner"
            sheet.refuse("run", says, side if given.is_sided("run") else None)
            continue
        sheet.give("pipe", pipe, "run - shorten - bends (2 - pi / 2) radius + 2 flare + spare", _PRACTICE, side)
    _hose(given, sheet)
    sheet.warn(
        "bend a pipe from one length, no splices; clip it clear of heat, chafing and the joint; bleed, then press hard"
        " and look at every union before the road"
    )


def _hose(given: Given, sheet: Sheet) -> None:
    """The hose between body and axle at full droop."""
    hose = given.get("hose")
    if hose is None:
        return
    if not given.has("reach") or not given.has("droop"):
        lacking = "droop" if given.has("reach") else "reach"
        sheet.refuse(lacking, "is missing: with a hose given, give reach and droop")
        return
    stretched = (given.need("reach") ** 2 + given.need("droop") ** 2) ** 0.5
    slack = sheet.give("hose-slack", hose - stretched, "hose - sqrt(reach^2 + droop^2)", _GEOMETRY)
    if slack.value < -NOTHING:
        sheet.warn(f"THE HOSE IS TOO SHORT at full droop, by {given.show.length(-slack.value, UP)}: a longer one")
    elif slack.value < max(slack.plus_minus, 0.05 * hose.value):
        sheet.warn(
            "the hose is nearly tight at full droop: a longer one, and look at it at full lock and full bump too"
        )


PIPES = Calculator(
    "pipes",
    "how long the brake pipes of a narrowed axle are cut, and whether the hose reaches",
    (
        Input(
            "run", "length", "straights of a pipe from corner to corner, union to union", 20.0, 4000.0, needed=True,
            sided=True,
        ),
        Input(
            "shorten", "length", "what the run loses; nothing where it was measured on the finished axle", 0.0, 1000.0,
            sided=True, taken="narrow.shorten",
        ),
        Input("bends", "count", "quarter bends in the pipe, else none", 0.0, 30.0),
        Input("radius", "length", "of the bender, to the pipe's middle", 5.0, 200.0),
        Input("flare", "length", "that one flare takes up, else nothing", 0.0, 20.0),
        Input("spare", "length", "to cut off after the fit, else nothing", 0.0, 200.0),
        Input("hose", "length", "free length between the unions of the hose", 50.0, 1500.0),
        Input("reach", "length", "union to union, level, at ride height", 0.0, 1500.0),
        Input("droop", "length", "how far the axle's union falls below the body's at full droop", 0.0, 1000.0),
    ),
    (
        Output("pipe", "mm", "what the pipe is cut to", True, UP),
        Output("hose-slack", "mm", "hose left over at full droop", rounding="down"),
    ),
    pipes,
)  # fmt: skip
