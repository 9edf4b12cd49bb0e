"""A housing and its two halves: plate faces, lines, what comes off, where no line may lie."""

from __future__ import annotations

from typing import NamedTuple

from planner.numbers.calculator import Result
from planner.numbers.calculators.keepouts import KeepOut, parse_keep_outs
from planner.numbers.lengths import TextError


class Half(NamedTuple):
    """One side of a housing, in millimetres: from the pinion line outward, and from the plate face inward."""

    side: str
    plate: float  # pinion line to the present plate face
    finished: float  # pinion line to the finished plate face
    centre: float | None  # pinion line to where the tube enters the centre
    first: float | None  # plate face to the lines
    second: float | None
    waste: tuple[float, float] | None  # what comes off, from and to
    piece: float | None  # length of the piece that falls out between two saw cuts
    keep_outs: tuple[KeepOut, ...] = ()


class Housing(NamedTuple):
    """Both halves, and what the finished plate faces are apart."""

    first: Half
    second: Half
    plates: float


def housing_of(result: Result) -> Housing | None:
    """The housing that the results of ``narrow`` describe."""
    plates = result.number("plate-to-plate")
    halves = [_half(result, side) for side in result.sides]
    if plates is None or len(halves) != 2 or halves[0] is None or halves[1] is None:
        return None
    return Housing(halves[0], halves[1], plates)


def _half(result: Result, side: str) -> Half | None:
    pinion, plate = result.given_number("pinion-to-flange", side), result.given_number("flange-to-plate", side)
    finished = result.number("half", side)
    if pinion is None or plate is None or finished is None:
        return None
    try:
        keep_outs = parse_keep_outs(result.given_text("keep-out", side))
    except TextError:
        keep_outs = ()
    first, second = result.number("first-line", side), result.number("second-line", side)
    piece = result.number("waste", side)
    if second is None:  # nothing to cut on this side
        first = None
    waste = None
    if second is not None and result.given_text("ends", side) == "new":  # all of the old end goes
        first, waste = None, (0.0, second)
    elif first is not None and second is not None:
        waste = (first, second)
        if piece is not None and piece > 0:
            waste = ((first + second - piece) / 2, (first + second + piece) / 2)  # both cuts are alike
    centre = result.number("to-centre", side)
    return Half(side, pinion - plate, finished, centre, first, second, waste, piece, keep_outs)


def spans(half: Half) -> tuple[tuple[tuple[str, float, float], ...], ...]:
    """What is measured on a side, from and to, inward from its present plate face; each row is free of overlaps."""
    plates = half.plate
    centre = None if half.centre is None else plates - half.centre
    low, high = half.waste if half.waste is not None and half.piece is not None and half.piece > 0 else (None, None)
    rows: tuple[tuple[tuple[float | None, float | None, str], ...], ...] = (
        ((0.0, half.first, "first-line"), (half.first, half.second, "between"), (half.second, centre, "tube-left")),
        ((0.0, half.second, "second-line"), (centre, plates, "to-centre")),
        ((low, high, "waste"),),
        ((0.0, plates, "present half"),),
    )
    return tuple(
        tuple((name, start, end) for start, end, name in row if start is not None and end is not None and end > start)
        for row in rows
    )
