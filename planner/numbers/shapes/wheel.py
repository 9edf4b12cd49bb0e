"""Every wheel in its arch: body, tyre, rim and pad, and what stands inside, from the car's centre line outward."""

from __future__ import annotations

from typing import NamedTuple

from planner.numbers.calculator import Result
from planner.numbers.calculators.fit import INNER, OUTER


class Arch(NamedTuple):
    """One side, in millimetres from the car's centre line outward."""

    side: str
    body: tuple[tuple[str, float], ...]  # what the tyre must stay under, by name
    inside: tuple[tuple[str, float], ...]  # what it must stay clear of
    middle: float  # of the wheel
    half: float  # of the wider of tyre and rim
    pad: float
    rim: tuple[float, float] | None  # inner and outer edge
    wanted: tuple[float, float]  # air wanted with play and travel, outside and inside


def arches_of(result: Result) -> list[Arch]:
    """The wheels that the results of ``fit`` describe."""
    pads = result.number("pads")
    found = [] if pads is None else [_arch(result, side, pads / 2) for side in result.sides]
    return [each for each in found if each is not None]


def _arch(result: Result, side: str, pad: float) -> Arch | None:
    body = tuple((key, value) for key in OUTER if (value := result.given_number(key, side)) is not None)
    inside = tuple((key, value) for key in INNER if (value := result.given_number(key, side)) is not None)
    inboard, outboard = result.given_number("inboard", side), result.given_number("outboard", side)
    rim = None if inboard is None or outboard is None else (pad - inboard, pad + outboard)
    solved = result.given_text("solve") == "section"
    section = result.number("section-most") if solved else result.given_number("section", side)
    widths = [each for each in (section, None if rim is None or solved else rim[1] - rim[0]) if each is not None]
    air, half = result.number("outer-clearance", side), max(widths) / 2 if widths else None
    if not body or not inside or air is None or half is None:
        return None
    middle = min(value for _, value in body) - air - half
    play = result.given_number("side-play", side) or 0.0
    wants = {where: result.given_number(f"{where}-clearance", side) or 0.0 for where in ("outer", "inner")}
    outside, within = (
        play + wish + (result.given_number(f"travel-{where}", side) or 0.0) for where, wish in wants.items()
    )
    return Arch(side, body, inside, middle, half, pad, rim, (outside, within))
