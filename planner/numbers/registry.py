"""Every calculator by name; its module is imported when it is asked for."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from planner.numbers.calculator import Arriving, Calculator, Result, Show

#: Name -> module, in the order in which the work meets them; a calculator takes only from those before it.
CALCULATORS: Mapping[str, str] = {
    "wheel": "wheels",
    "tyre": "wheels",
    "fit": "fit",
    "shrink": "shrinking",
    "shafts": "inhand",
    "narrow": "narrow",
    "donor": "donors",
    "perches": "perches",
    "pipes": "brakelines",
    "cradle": "cradle",
    "tacks": "tacking",
    "beads": "beading",
    "bars": "bars",
    "wrap": "wrap",
    "tube": "tube",
    "shaft": "shaft",
    "driveline": "driveline",
    "skew": "skewcut",
    "tilt": "straight",
    "runout": "straight",
    "bearing": "bends",
    "seat": "seats",
    "sees": "bends",
    "pull": "bends",
    "arc": "heatinput",
    "preheat": "preheating",
    "cool": "cooling",
    "touch": "touching",
    "watch": "touching",
}


def calculator(name: str) -> Calculator:
    """The calculator of that name; KeyError when there is none."""
    from importlib import import_module

    module = import_module(f"planner.numbers.calculators.{CALCULATORS[name]}")
    found: Calculator = getattr(module, name.upper())
    return found


def figure(
    name: str, typed: Mapping[str, Arriving], sides: Sequence[str] = ("driver", "passenger"), show: Show | None = None
) -> Result:
    """Run one calculator on inputs as typed; raises RefusedError."""
    from planner.numbers.running import run

    return run(calculator(name), typed, sides, show)
