"""Positions round a tube as a clock has them, and readings taken there. Twelve is up, seen facing the end."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import NamedTuple

from planner.numbers.lengths import TextError, parse_length
from planner.numbers.quantity import Quantity, reading

CLOCK_HELP = "write clock positions as 12:00, 1:30 or 3"
READINGS_HELP = "write them as 12:00 0 mm; 3:00 0.15 mm; 6:00 0.28 mm; 9:00 0.1 mm"
_HOUR = re.compile(r"(\d{1,2})(?::([0-5]\d))?", re.ASCII)


def parse_clock(text: str) -> float:
    """Degrees clockwise from twelve; raises TextError.

    >>> parse_clock("1:30"), parse_clock("12"), parse_clock("9:00")
    (45.0, 0.0, 270.0)
    """
    match = _HOUR.fullmatch(text.strip())
    if match is None or not 1 <= int(match[1]) <= 12:
        raise TextError(f"“{text.strip()}” is not a clock position; {CLOCK_HELP}")
    return (int(match[1]) % 12) * 30.0 + int(match[2] or 0) / 2.0


def clock_text(degrees: float) -> str:
    """A direction as the nearest minute of a clock.

    >>> clock_text(45.0), clock_text(359.9), clock_text(-90.0)
    ('1:30', '12:00', '9:00')
    """
    minutes = math.floor((degrees % 360.0) * 2.0 + 0.5) % 720
    return f"{minutes // 60 or 12}:{minutes % 60:02d}"


class At(NamedTuple):
    """One reading: where, in degrees clockwise from twelve, and what was read, in millimetres."""

    degrees: float
    value: Quantity


def parse_readings(text: str, name: str, u: float) -> list[At]:
    """Readings with their positions; one without its own ± has the standard uncertainty ``u``. Raises TextError."""
    found: list[At] = []
    for part in text.split(";"):
        if not part.strip():
            continue
        where, _, rest = part.strip().partition(" ")
        degrees, typed = parse_clock(where), parse_length(rest)
        if typed.form == "range":
            raise TextError(f"“{part.strip()}” is a range; give what was read, with ±")
        if any(abs(each.degrees - degrees) < 1e-9 for each in found):
            raise TextError(f"{clock_text(degrees)} is read twice; {READINGS_HELP}")
        found.append(At(degrees, reading(f"{name}.{where}", typed.number, typed.deviation or u)))
    return found


class Wave(NamedTuple):
    """The best c + a cos t + b sin t through readings, and what each reading is off it."""

    mean: Quantity
    cosine: Quantity
    sine: Quantity
    off: tuple[float, ...]


def wave(readings: Sequence[At]) -> Wave:
    """Least squares through three readings or more; ValueError where they do not settle it.

    >>> found = wave([At(d, Quantity(v)) for d, v in ((0, 3.0), (90, 2.0), (180, 1.0), (270, 2.0))])
    >>> round(found.mean.value, 9), round(found.cosine.value, 9), abs(round(found.sine.value, 9))
    (2.0, 1.0, 0.0)
    """
    rows = [(1.0, math.cos(math.radians(each.degrees)), math.sin(math.radians(each.degrees))) for each in readings]
    normal = [[sum(row[i] * row[j] for row in rows) for j in range(3)] for i in range(3)]
    columns = [_solved(normal, row) for row in rows]  # how much each reading weighs in c, a and b
    parts = [
        sum((each.value * column[i] for each, column in zip(readings, columns, strict=True)), Quantity(0.0))
        for i in range(3)
    ]
    off = tuple(
        each.value.value - sum(part.value * row[i] for i, part in enumerate(parts))
        for each, row in zip(readings, rows, strict=True)
    )
    return Wave(parts[0], parts[1], parts[2], off)


def _solved(matrix: Sequence[Sequence[float]], right: Sequence[float]) -> tuple[float, ...]:
    """Three equations by elimination with pivots."""
    rows = [[*row, value] for row, value in zip(matrix, right, strict=True)]
    for i in range(3):
        pivot = max(range(i, 3), key=lambda k: abs(rows[k][i]))
        rows[i], rows[pivot] = rows[pivot], rows[i]
        if abs(rows[i][i]) < 1e-9:
            raise ValueError("the positions do not settle a plane")
        for k in range(3):
            if k != i:
                by = rows[k][i] / rows[i][i]
                rows[k] = [a - by * b for a, b in zip(rows[k], rows[i], strict=True)]
    return tuple(rows[i][3] / rows[i][i] for i in range(3))
