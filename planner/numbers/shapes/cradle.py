"""A cradle in two halves: where each begins and ends, its uprights, its window, and the joint over it."""

from __future__ import annotations

from typing import NamedTuple

from planner.numbers.calculator import Result
from planner.numbers.quantity import Quantity


class Stand(NamedTuple):
    """One half of a cradle, in millimetres inward from its own end."""

    side: str
    half: float
    uprights: tuple[float, ...]  # their middles
    window: tuple[float, float] | None
    joint: float | None
    rests: float | None


class Cradle(NamedTuple):
    """Both halves and what lies over them."""

    first: Stand
    second: Stand
    gap: float
    length: float
    clearance: float  # from a plate face to the end of the cradle
    differential: float
    upright_width: float


def cradle_of(result: Result) -> Cradle | None:
    """The cradle that its results describe."""
    length, gap = result.number("length"), result.number("gap")
    if length is None or gap is None or len(result.sides) != 2:
        return None
    stands = [_stand(result, side) for side in result.sides]
    if stands[0] is None or stands[1] is None:
        return None
    return Cradle(
        stands[0], stands[1], gap, length, result.given_number("clearance") or 0.0,
        result.given_number("differential") or gap, result.given_number("upright-width") or 0.0,
    )  # fmt: skip


def _stand(result: Result, side: str) -> Stand | None:
    half = result.number("half", side)
    if half is None:
        return None
    rows = result.results.get("upright-places")
    places = [row for row in rows if isinstance(row, tuple)] if isinstance(rows, tuple) else []
    uprights = tuple(
        row[1].value for row in places if str(row[0]).startswith(f"{side} ") and isinstance(row[1], Quantity)
    )
    start, end = result.number("window-from", side), result.number("window-to", side)
    line_at, clearance = result.given_number("first-line", side), result.given_number("clearance") or 0.0
    joint = None if line_at is None else line_at - clearance
    window = None if start is None or end is None else (start, end)
    return Stand(side, half, uprights, window, joint, result.number("loose-rests", side))
