"""The outside of a tube laid flat: where it is cut, what comes off, what stands in the way, tacks and beads round it.

``round`` runs clockwise from twelve o'clock as seen facing the end that is cut; ``along`` runs from that end inward.
So with the printed face outward and ``round`` to the right, ``along`` runs up; with ``along`` down it is mirrored.

Paper has a thickness t. Wrapped tight it is bent about its own middle, so that once round the tube takes pi (D + t) of
it and not pi D. Lengths along the tube stay as they are.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import NamedTuple

from planner.numbers.calculator import Result
from planner.numbers.calculators.keepouts import KeepOut, parse_keep_outs
from planner.numbers.calculators.wrap import curve_of
from planner.numbers.clock import parse_clock
from planner.numbers.lengths import TextError

#: Paper of 80 g/m2, mm: common practice, no source. Twice as thick moves twelve o'clock by 0.3 mm.
PAPER = 0.1
#: What is drawn outward and inward of the lines, mm.
BESIDE = 31.0
#: A tube measured twice is one tube within this, mm.
_SAME = 0.5
_STEPS = 720
PLATE = "plate face"
FIRST, SECOND, END = "first-line", "second-line", "cut"

Point = tuple[float, float]  # round, along: mm on the paper


class Line(NamedTuple):
    """A line that metal is brought to. ``waste``: +1 what comes off lies inward of it, -1 toward the end.

    ``proud`` is what the saw leaves beyond it, to dress off, and ``kerf`` what the saw takes beyond that; both in mm
    toward the waste.
    """

    name: str
    points: tuple[Point, ...]
    waste: int
    proud: float = 0.0
    kerf: float = 0.0

    def beyond(self, mm: float) -> tuple[Point, ...]:
        """The same line, so far into the waste."""
        return tuple((x, y + self.waste * mm) for x, y in self.points)


class Place(NamedTuple):
    """A tack or a bead: its number, where its middle lies, and half its length round."""

    number: str
    clock: str
    round: float
    half: float


class Unrolled(NamedTuple):
    """The outside of a tube laid flat, mm. ``side`` is empty where it is of none."""

    name: str  # the calculator: narrow or wrap
    side: str
    diameter: float
    paper: float
    near: float  # what is drawn: from here, toward the end,
    far: float  # to here, inward
    lines: tuple[Line, ...]
    waste: tuple[Point, ...]  # the outline of what comes off
    tacks: tuple[Place, ...] = ()
    beads: tuple[Place, ...] = ()
    keep_outs: tuple[KeepOut, ...] = ()
    notes: tuple[tuple[str, str], ...] = ()  # what could not be placed, and why: a word and numbers, no sentence

    @property
    def around(self) -> float:
        """Once round on the paper, pi (D + t)."""
        return math.pi * (self.diameter + self.paper)

    def at(self, degrees: float) -> float:
        """How far round on the paper a clock position lies."""
        return self.around * (degrees % 360.0) / 360.0


class NoTemplateError(Exception):
    """There is nothing to lay flat: the input that is missing or in the way, and what to do, in one line."""


def along_curve(around: float, back: Callable[[float], float], start: float = 0.0) -> tuple[Point, ...]:
    """A curve round the tube as a chain of points, the first and the last at twelve o'clock.

    >>> points = along_curve(360.0, lambda turn: 1 - math.cos(turn))
    >>> len(points), points[0], points[360], points[-1][0]
    (721, (0.0, 0.0), (180.0, 2.0), 360.0)
    """
    return tuple((around * i / _STEPS, start + back(2 * math.pi * i / _STEPS)) for i in range(_STEPS + 1))


def of_wrap(result: Result, tacks: Result | None = None, beads: Result | None = None, paper: float = PAPER) -> Unrolled:
    """The end of a tube that ``wrap`` describes: ``along`` counts from a square line round its longest point.

    Raises NoTemplateError.

    >>> from planner.numbers.registry import figure
    >>> found = of_wrap(figure("wrap", {"diameter": "60 mm", "cut": "mitre", "angle": "45 deg"}), paper=0.1)
    >>> round(found.around, 3), [round(value, 3) for value in found.lines[0].points[360]]
    (188.81, [94.405, 60.0])
    """
    diameter, back = result.given_number("diameter"), curve_of(result)
    if diameter is None or back is None:
        raise NoTemplateError("wrap has no cut: add cut: straight, mitre or saddle to wrap")
    around = math.pi * (diameter + paper)
    line = Line(END, along_curve(around, back), -1)
    deepest = max(y for _, y in line.points)
    near, far = -BESIDE, deepest + BESIDE
    waste = (*line.points, (around, near), (0.0, near))
    found = Unrolled("wrap", "", diameter, paper, near, far, (line,), waste)
    return _with_places(found, tacks, beads)


def of_narrow(
    result: Result, side: str, tacks: Result | None = None, beads: Result | None = None, paper: float = PAPER
) -> Unrolled:
    """The tube of one side that ``narrow`` cuts: ``along`` counts inward from the present plate face.

    Raises NoTemplateError.
    """
    second = result.number("second-line", side)
    if second is None:
        raise NoTemplateError(f"nothing is cut on the {side} side: narrow has no second-line there")
    first = None if result.given_text("ends", side) == "new" else result.number("first-line", side)
    key = "tube-first" if first is not None else "tube-second"
    diameter = result.given_number(key, side)
    if diameter is None:
        raise NoTemplateError(f"the tube's diameter is not given: add {key}: to narrow")
    around = math.pi * (diameter + paper)
    proud, kerf = result.given_number("dressing", side) or 0.0, result.given_number("kerf", side) or 0.0

    def line(name: str, at: float, waste: int) -> Line:
        return Line(name, along_curve(around, lambda _: 0.0, at), waste, proud, kerf)

    inner = line(SECOND, second, -1)
    if first is None:
        near = second - 2 * BESIDE
        lines: tuple[Line, ...] = (inner,)
        low = near
    else:
        near = first - BESIDE
        lines = (line(FIRST, first, 1), inner)
        low = first + proud
        if second - proud < low:  # no room for two cuts: one between the lines, both faces dressed
            low = first
    high = second - proud if second - proud > low else second
    waste = ((0.0, low), (around, low), (around, high), (0.0, high))
    far = second + BESIDE
    found = Unrolled(
        "narrow", side, diameter, paper, near, far, lines, waste, keep_outs=_keep_outs(result, side, near, far)
    )
    return _with_places(found, tacks, beads)


def _keep_outs(result: Result, side: str, near: float, far: float) -> tuple[KeepOut, ...]:
    """What stands on the tube where the paper is to lie."""
    try:
        found = parse_keep_outs(result.given_text("keep-out", side))
    except TextError:
        found = ()
    beyond = (KeepOut(near, 0.0, PLATE),) if near < 0 else ()  # there is no tube to lay paper on
    return (*beyond, *(each for each in found if each.low < far and each.high > near))


def _with_places(found: Unrolled, tacks: Result | None, beads: Result | None) -> Unrolled:
    """Tacks and beads set on it, where they are reckoned for this tube."""
    notes: list[tuple[str, str]] = []
    rows: dict[str, tuple[Place, ...]] = {}
    for name, result in (("tacks", tacks), ("beads", beads)):
        if result is None:
            continue
        diameter = result.given_number("diameter")
        if diameter is None or abs(diameter - found.diameter) > _SAME:
            notes.append((name, "other-tube"))
            continue
        rows[name] = _places(found, result)
    return found._replace(tacks=rows.get("tacks", ()), beads=rows.get("beads", ()), notes=tuple(notes))


def _places(found: Unrolled, result: Result) -> tuple[Place, ...]:
    """The places of ``tacks`` or of the first layer of ``beads``: further layers begin half a bead on."""
    listed = result.results["places"]
    half = (
        (result.number("bead") or 0.0) / 2
        if result.calculator.name == "beads"
        else (result.given_number("length") or 10.0) / 2
    )
    clock = 2 if result.calculator.name == "beads" else 1
    places = []
    for row in listed if isinstance(listed, tuple) else ():
        text = str(row[clock])
        places.append(Place(str(row[0]), text, found.at(parse_clock(text)), half))
    if result.calculator.name == "beads":
        places = places[: int(result.number("number") or 0)]
    return tuple(places)
