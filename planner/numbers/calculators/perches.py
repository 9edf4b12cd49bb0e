"""Spring perches from the new plate face, and the U-bolts that hold them."""

from __future__ import annotations

import math

from planner.numbers.calculator import NOTHING, Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import DOWN, UP

_GEOMETRY = "geometry"
_PRACTICE = "common practice, no source"
_THREADS = 3  # full threads that stand beyond the nut


def perches(given: Given, sheet: Sheet) -> None:
    """Where the middle of each perch comes to lie from the new plate face, and how long its U-bolts are.

    Springs are measured from the car's middle, which is taken to be the middle between the wheel pads. A U-bolt goes
    round the tube and through the spring's plate: its length is inside, from the bend to the end of the legs.

    Formula
        middle to plate = half - new-offset (first side; + on the second); perch-to-plate = middle to plate - spring;
        bolt-length = tube + perch + pack + plate + nut + 3 pitch; bolt-width = tube;
        bar = 2 (bolt-length - tube / 2) + pi (tube + bolt) / 2
    Source
        geometry; three threads beyond the nut: common practice, no source

    >>> from planner.numbers.registry import figure
    >>> found = figure("perches", {"half": {"driver": "24 in", "passenger": "22 in"}, "new-offset": "1 in",
    ...     "spring": "20 in", "tube": "3 in", "pack": "2 in", "plate": "1/2 in", "nut": "1/2 in", "pitch": "0.05 in"})
    >>> [round(found.value("perch-to-plate", side) / 25.4, 6) for side in found.sides]
    [3.0, 3.0]
    >>> round(found.value("bolt-length") / 25.4, 3)
    6.15
    """
    offset = given.default("new-offset", 0.0)
    if not given.has("new-offset"):
        sheet.warn("no pinion offset was given: the pinion line is taken to be in the car's middle")
    for side, sign in zip(given.sides, (-1.0, 1.0), strict=True):
        middle = given.need("half", side) + sign * offset
        sheet.work("middle to plate", middle, "mm", f"half {'-' if sign < 0 else '+'} new-offset", _GEOMETRY, side)
        found = middle - given.need("spring", side)
        sheet.give("perch-to-plate", found, "middle to plate - spring", _GEOMETRY, side)
        wide = given.default("perch-length", 0.0) / 2
        room = found - wide - given.default("pocket", 0.0, side)
        if room.value < -NOTHING:
            most = given.show.length((middle - wide - given.default("pocket", 0.0, side)).value, DOWN)
            says = (
                f"puts the perch over the plate or the bearing's pocket; the spring's middle must be at most {most}"
                " from the car's middle: measure it again, or choose other pads"
            )
            sheet.refuse("spring", says, side if given.is_sided("spring") else None)
        elif room.value < room.plus_minus:
            sheet.warn(f"{side} side: the perch is within its doubt of the pocket's edge; measure more closely")
    _bolts(given, sheet)
    sheet.warn("set the pinion's slope before the perches are welded; tack both, then measure both again")


def _bolts(given: Given, sheet: Sheet) -> None:
    """The U-bolts, where the stack that they clamp is known."""
    stack = ("tube", "pack", "plate", "nut")
    lacking = [key for key in stack if not given.has(key)]
    if len(lacking) == len(stack):
        return
    if lacking:
        sheet.refuse(lacking[0], f"is missing: U-bolts need {', '.join(stack)} together")
        return
    tube, pitch = given.need("tube"), given.default("pitch", 1.5)
    held = tube + given.default("perch", 0.0) + given.need("pack") + given.need("plate") + given.need("nut")
    length = held + _THREADS * pitch
    sheet.give("bolt-length", length, "tube + perch + pack + plate + nut + 3 pitch", _PRACTICE)
    sheet.give("bolt-width", tube, "tube", _GEOMETRY)
    if given.has("bolt"):
        bar = 2 * (length - tube / 2) + (tube + given.need("bolt")) * (math.pi / 2)
        sheet.give("bar", bar, "2 (bolt-length - tube / 2) + pi (tube + bolt) / 2", _GEOMETRY)
    sheet.warn("new U-bolts and nuts, never used ones; torque them cross by cross, again loaded, again after the drive")


PERCHES = Calculator(
    "perches",
    "perch centres from the new plate face, and the U-bolts",
    (
        Input(
            "half", "length", "pinion line to the finished plate face", 50.0, 1600.0, needed=True, sided=True,
            taken="narrow.half",
        ),
        Input("new-offset", "length", "pinion line from the car's middle", -500.0, 500.0, taken="narrow.new-offset"),
        Input(
            "spring", "length", "car's middle to the middle of the spring", 100.0, 1300.0, needed=True, sided=True,
        ),
        Input("perch-length", "length", "of a perch along the tube, else not judged", 10.0, 400.0),
        Input("pocket", "length", "depth of the bearing's pocket from the plate face", 0.0, 400.0, sided=True,),
        Input("tube", "length", "diameter of the tube under the U-bolts", 20.0, 300.0),
        Input("perch", "length", "height of the perch between tube and spring, else none", 0.0, 300.0),
        Input("pack", "length", "thickness of the spring with blocks and shims", 2.0, 400.0),
        Input("plate", "length", "thickness of the plate under the nuts, with washers", 1.0, 100.0),
        Input("nut", "length", "height of a nut", 4.0, 60.0),
        Input("pitch", "length", "of the thread, else 1.5 mm", 0.5, 4.0),
        Input("bolt", "length", "diameter of the U-bolt's bar", 6.0, 40.0),
    ),
    (
        Output("perch-to-plate", "mm", "middle of the perch from the new plate face", True),
        Output("bolt-length", "mm", "of the U-bolt's legs, inside, from the bend to the end", rounding=UP),
        Output("bolt-width", "mm", "of the U-bolt, inside"),
        Output("bar", "mm", "straight bar that one U-bolt is bent from", rounding=UP),
    ),
    perches,
    sides=2,
)  # fmt: skip
