"""How long a hot tube takes to cool in air, and what readings of a thermometer leave of that wait."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from planner.numbers.calculator import Calculator, Given, Input, Output, Sheet
from planner.numbers.lengths import TextError
from planner.numbers.quantity import Quantity, depending, exact, reading, through
from planner.numbers.units import parse_value

_STEPS = 64  # of Simpson's rule; twice as many change no fifth figure
_KELVIN, _SIGMA, _GRAVITY = 273.15, 5.670374e-8, 9.80665
_DENSITY, _CONDUCTIVITY = 7850.0, 45.0  # of plain steel: kg/m3, W/(m K), textbook values
_FREE = "Churchill & Chu, horizontal cylinder, as in Incropera, Fundamentals of Heat and Mass Transfer, 9.34"
_LUMPED = "lumped body, heat capacity and film falling as it cools, integrated (Simpson)"
_TOUCH = "ISO 13732-1, bare metal, 8 h, from memory"
TOUCH, NEAR_AIR = 43.0, 2.0
_FAST = 3.0  # so many times as fast as worked out is not believed at once
_HOTTEST = 900.0  # as hot as steel is when its heat ends
#: What correlations of free convection are good for, in parts (Incropera: about a fifth).
_FILM_DOUBT = 0.2


class Tube(NamedTuple):
    """A tube that cools from outside: metres, parts, metres a second."""

    diameter: float
    wall: float
    emissivity: float
    wind: float


def film(tube: Tube, surface: float, air: float) -> float:
    """Heat given off, W/(m2 K), by free or forced convection and radiation, both temperatures in degrees C.

    >>> tube = Tube(0.1, 0.005, 0.85, 0.0)
    >>> round(film(tube, 165.0, 23.0) * math.pi * 0.1 * 142.0, -1)  # Incropera, Example 9.4: 763 W/m
    770.0
    """
    hot, cold = surface + _KELVIN, air + _KELVIN
    mean = (hot + cold) / 2
    viscosity = 1.716e-5 * (mean / 273.15) ** 1.5 * (273.15 + 110.4) / (mean + 110.4)
    conductivity = 0.0241 * (mean / 273.15) ** 1.5 * (273.15 + 194.0) / (mean + 194.0)
    density = 101_325.0 / (287.05 * mean)
    prandtl = 1007.0 * viscosity / conductivity
    kinematic = viscosity / density
    rayleigh = _GRAVITY * abs(hot - cold) / mean * tube.diameter**3 / kinematic**2 * prandtl
    still: float = (0.60 + 0.387 * rayleigh ** (1 / 6) / (1 + (0.559 / prandtl) ** (9 / 16)) ** (8 / 27)) ** 2
    moved: float = 0.0
    if tube.wind > 0:  # Churchill & Bernstein, cylinder across a stream, same book, 7.54
        reynolds = tube.wind * tube.diameter / kinematic
        moved = 0.3 + (0.62 * math.sqrt(reynolds) * prandtl ** (1 / 3) / (1 + (0.4 / prandtl) ** (2 / 3)) ** 0.25) * (
            1 + (reynolds / 282_000.0) ** (5 / 8)
        ) ** (4 / 5)
    nusselt = math.sqrt(math.sqrt(still**4 + moved**4))  # the same book, 9.64, fourth power across a cylinder
    radiated = tube.emissivity * _SIGMA * (hot + cold) * (hot * hot + cold * cold)
    return float(nusselt * conductivity / tube.diameter + radiated)


def capacity(celsius: float) -> float:
    """Heat capacity of carbon steel, J/(kg K): EN 1993-1-2, 3.4.1.2, from memory; 20 to 600 degrees C."""
    t = max(20.0, celsius)
    return 425.0 + 0.773 * t - 1.69e-3 * t * t + 2.22e-6 * t**3


def seconds(tube: Tube, hot: float, target: float, air: float) -> float:
    """How long the tube takes from one temperature to another above the air's; nothing when it is there already."""
    if hot <= target:
        return 0.0
    mass = _DENSITY * math.pi * tube.wall * (tube.diameter - tube.wall)
    around = math.pi * tube.diameter

    def slow(u: float) -> float:
        t = air + math.exp(u)
        return mass * capacity(t) / (film(tube, t, air) * around)

    low, high = math.log(target - air), math.log(hot - air)
    step = (high - low) / _STEPS
    parts = [slow(low + i * step) * (1 if i in (0, _STEPS) else 4 if i % 2 else 2) for i in range(_STEPS + 1)]
    return sum(parts) * step / 3


class Seen(NamedTuple):
    """A thermometer's reading: seconds after the heat ended, degrees C, and what the thermometer may be off."""

    at: float
    celsius: float
    doubt: float = 0.0


def slower(tube: Tube, seen: Sequence[Seen], air: float) -> float:
    """By what factor the tube cools more slowly than worked out, from its readings in order; 1 from fewer than two."""
    if len(seen) < 2 or seen[-1].celsius <= air:
        return 1.0
    took, wanted = seen[-1].at - seen[0].at, seconds(tube, seen[0].celsius, seen[-1].celsius, air)
    return took / wanted if wanted > 0 else 1.0


def left(tube: Tube, seen: Sequence[Seen], target: float, air: float) -> float:
    """Seconds still to wait after the last reading, never below what that reading allows.

    The last reading counts at the hot end of its doubt. Readings that fell more slowly than worked out stretch the
    rest; ones that fell faster do not shorten it, since the film falls as the tube cools.
    """
    last = seen[-1]
    return seconds(tube, last.celsius + last.doubt, target, air) * max(1.0, slower(tube, seen, air))


def parse_seen(text: str) -> list[Seen]:
    """Readings as typed, in order; raises TextError.

    >>> parse_seen("5 min 180 C; 20 min 90 C ± 2")[1]
    Seen(at=1200.0, celsius=90.0, doubt=2.0)
    """
    found: list[Seen] = []
    for part in text.split(";"):
        words = part.split()
        if not words:
            continue
        when, what = parse_value("time", " ".join(words[:2])), parse_value("temperature", " ".join(words[2:]))
        if found and when.number <= found[-1].at:
            raise TextError(f"“{part.strip()}” is not later than the one before; write them in order")
        found.append(Seen(when.number, what.number, what.width if what.form == "half" else 0.0))
    return found


def cool(given: Given, sheet: Sheet) -> None:
    """How long until a hot tube may be touched, measured, or is as cold as wanted.

    Outside only: what the air inside takes away is not counted, so real tubes cool a little sooner.

    Formula
        m c(T) dT/dt = -(h_convection(T) + h_radiation(T)) pi D (T - air), integrated from hot to target;
        Biot = h wall / 45 W/(m K); heat runs along over sqrt(45 wall / h)
    Source
        Incropera, Fundamentals of Heat and Mass Transfer: Churchill & Chu 9.34, Churchill & Bernstein 7.54, lumped
        body to Biot 0.1; heat capacity: EN 1993-1-2, 3.4.1.2, from memory

    >>> from planner.numbers.registry import figure
    >>> found = figure("cool", {"diameter": "76 mm", "wall": "6 mm", "hot": "300 C", "air": "20 C"})
    >>> 60 < found.value("to-touch") / 60 < 90, found.value("to-measure") > found.value("to-touch")
    (True, True)
    """
    facts = [given.need(key) for key in ("diameter", "wall", "hot", "air")]
    diameter, wall, hot, air = facts
    if 2 * wall.value > diameter.value:
        sheet.refuse("wall", f"is more than half the diameter, {given.show.length(diameter.value / 2)}")
    if hot.value <= air.value:
        sheet.refuse("hot", f"is not hotter than the air, {air.value:.4g} C")
    target = given.get("target")
    if target is not None and target.value <= air.value + 0.1:
        sheet.refuse("target", f"is not above the air, {air.value:.4g} C: it never gets there; 2 C above would do")
    sheet.stop_if_refused()
    if not given.has("emissivity"):
        sheet.warn("emissivity is not given: 0.85 ± 0.1 is taken, mill scale or rust; bright metal cools more slowly")
    shine = (
        given.default("emissivity", 0.0) if given.has("emissivity") else reading("cool.emissivity", 0.85, 0.1 / 3**0.5)
    )
    facts += [shine, given.default("wind", 0.0)]
    seen = _seen(given, sheet, air.value)
    sheet.stop_if_refused()
    tube = Tube(diameter.value / 1000, wall.value / 1000, shine.value, facts[5].value)
    coldest = min([air.value + NEAR_AIR, *([target.value] if target is not None else [])])
    _judge(given, sheet, tube, hot.value, (coldest, air.value))
    goals = {"to-touch": exact(max(TOUCH, air.value + 0.5)), "to-measure": exact(air.value + NEAR_AIR)}
    if target is not None:
        goals["to-target"] = target
    for key, goal in goals.items():
        source = _TOUCH if key == "to-touch" else _LUMPED
        if seen:
            rest = left(tube, seen, goal.value, air.value)
            doubt = reading("cool.film", rest, _FILM_DOUBT * rest / 3**0.5)
            sheet.give(key, seen[-1].at + doubt, "last reading's time + the rest from it", source)
        else:
            sheet.give(key, _wait(key, [*facts, goal]), "integral of m c / (h pi D (T - air))", source)
    if seen:
        factor = slower(tube, seen, air.value)
        sheet.give("slower", exact(factor), "time between readings / time worked out", _LUMPED)
        if factor < 1.0:
            sheet.warn("it cooled faster than worked out so far; the rest is not shortened, for the film falls with it")
    if air.value + 0.5 > TOUCH:
        sheet.warn("the air is as hot as what may be touched: gloves")
    sheet.warn("cold for straightness is not touch: within 2 K of the air, top and bottom alike; a thermometer decides")
    sheet.warn("hot metal and cold metal look alike; never quench")


def _wait(key: str, facts: list[Quantity]) -> Quantity:
    def whole(v: Sequence[float]) -> tuple[float]:
        diameter, wall, hot, air, shine, wind, goal = v
        goal = air + NEAR_AIR if key == "to-measure" else goal
        return (seconds(Tube(diameter / 1000, wall / 1000, shine, wind), hot, goal, air),)

    (found,) = through(whole, facts)
    return depending(found.value, [(found, 1.0), (reading("cool.film", found.value, found.value * 0.2 / 3**0.5), 1.0)])


def _seen(given: Given, sheet: Sheet, air: float) -> list[Seen]:
    try:
        seen = parse_seen(given.text("readings"))
    except TextError as error:
        sheet.refuse("readings", str(error))
        return []
    now = given.get("now")
    for each in seen:
        if each.celsius < air - 5:
            sheet.refuse(
                "readings", f"{each.celsius:.4g} C is colder than the air, {air:.4g} C; check both, and the unit"
            )
        elif each.celsius > _HOTTEST:
            sheet.refuse("readings", f"{each.celsius:.4g} C is hotter than {_HOTTEST:g} C; check it, and the unit")
        elif now is not None and each.at > now.value:
            sheet.refuse("readings", f"one is taken {each.at / 60:g} min after the heat, which is later than now")
    if seen and air < seen[-1].celsius < given.need("hot").value:
        facts = [given.need(key).value / 1000 for key in ("diameter", "wall")]
        bare = Tube(facts[0], facts[1], 0.85, given.default("wind", 0.0).value)
        if seconds(bare, given.need("hot").value, seen[-1].celsius, air) > _FAST * max(seen[-1].at, 1.0):
            sheet.warn("it is far colder than worked out: read it on the joint itself, bare metal, and once more")
    if any(second.celsius > first.celsius + first.doubt + second.doubt for first, second in pairwise(seen)):
        sheet.refuse("readings", "rise: it was heated again, or read elsewhere; begin again from the last heat")
    return seen


def _judge(given: Given, sheet: Sheet, tube: Tube, hot: float, ends: tuple[float, float]) -> None:
    """Where the formula is known to hold."""
    coldest, air = ends
    at_hot, at_cold = film(tube, hot, air), film(tube, coldest, air)
    sheet.give("film-hot", exact(at_hot), "convection + radiation", _FREE)
    sheet.give("film-cold", exact(at_cold), "convection + radiation", _FREE)
    biot = at_hot * tube.wall / _CONDUCTIVITY
    sheet.give("biot", exact(biot), "film-hot x wall / conductivity", _LUMPED)
    if biot > 0.1:
        sheet.warn("the wall is too thick to be taken as one temperature (Biot over 0.1): the inside stays hot longer")
    along = math.sqrt(_CONDUCTIVITY * tube.wall / at_cold)
    sheet.give("along", exact(along * 1000), "sqrt(conductivity wall / film-cold)", _LUMPED)
    heated = given.get("heated")
    if heated is None:
        sheet.warn("the whole tube is taken as equally hot; say how much of it was heated")
    elif heated.value < 4 * along * 1000:
        sheet.warn(
            "a hot joint in a cold tube is not one temperature: heat runs along the tube, so the joint cools sooner and"
            " what is beside it gets warm; believe a thermometer at the joint and a hand's breadth beside it"
        )
    if hot > 600:
        sheet.warn("over 600 C the heat capacity used is not known to hold; steel gives off more heat near 735 C")


COOL = Calculator(
    "cool",
    "how long a hot tube takes to be touched, measured, or as cold as wanted",
    (
        Input("diameter", "length", "outside, of the tube", 10.0, 400.0, needed=True),
        Input("wall", "length", "of the tube", 0.8, 40.0, needed=True),
        Input("hot", "temperature", "when the heat ended", 25.0, _HOTTEST, needed=True),
        Input("air", "temperature", "of the shop", -30.0, 50.0, needed=True),
        Input("target", "temperature", "wanted, for a target of one's own", -29.0, 800.0),
        Input("emissivity", "number", "of the surface, else 0.85 with its doubt", 0.05, 1.0),
        Input("wind", "wind", "over the tube, from a fan, else still air", 0.0, 20.0),
        Input("heated", "length", "how much of the tube is hot, along it", 1.0, 4000.0),
        Input("readings", "text", "by thermometer, after the heat ended: 5 min 180 C; 20 min 90 C ± 2"),
        Input("now", "time", "since the heat ended", 0.0, 1e6),
    ),
    (
        Output("to-touch", "s", "after the heat, until it may be touched", rounding="up"),
        Output("to-measure", "s", "after the heat, until it is within 2 K of the air", rounding="up"),
        Output("to-target", "s", "after the heat, until the target", rounding="up"),
        Output("slower", "", "by what factor it cooled more slowly than worked out"),
        Output("film-hot", "W/m2K", "heat given off at the start"),
        Output("film-cold", "W/m2K", "heat given off at the end; one time constant would not do"),
        Output("biot", "", "over 0.1 the wall is not one temperature"),
        Output("along", "mm", "how far heat runs along the tube"),
    ),
    cool,
)
