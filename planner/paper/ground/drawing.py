"""Drawings in mm, as data: lines, arcs, shapes, hatching and words. Pure.

x goes to the right and y down, from the drawing's upper left corner. What is drawn is drawn at its true size on paper
and in a web page that is printed. Curves are chains of short lines whose corners lie on the curve.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from typing import NamedTuple, TypeAlias

Point: TypeAlias = tuple[float, float]

SOLID, DASHED, DOTTED, CHAIN = "solid", "dashed", "dotted", "chain"
#: Dash and gap in mm, in turns.
DASHES = {SOLID: (), DASHED: (3.0, 1.5), DOTTED: (0.5, 1.0), CHAIN: (6.0, 1.5, 1.0, 1.5)}
THIN, THICK = 0.2, 0.5
_NEAR = 0.005  # mm between a curve and its chain


class TooLargeError(ValueError):
    """A drawing is larger than the page that it is for."""


class Stroke(NamedTuple):
    """A chain of straight lines through points; closed: the last is joined to the first."""

    points: tuple[Point, ...]
    mm: float = THIN
    dash: str = SOLID
    closed: bool = False
    filled: bool = False  # black within


class Words(NamedTuple):
    """A text; (x, y) is on its baseline, at its start, middle or end. ``mm`` is the size of the letters' body."""

    x: float
    y: float
    text: str
    mm: float = 3.5
    bold: bool = False
    at: str = "start"  # or middle, end
    angle: float = 0.0  # degrees, turned against the clock about (x, y)


Mark: TypeAlias = Stroke | Words


class Drawing(NamedTuple):
    """What is drawn, on so many mm."""

    width: float
    height: float
    marks: tuple[Mark, ...]

    def texts(self) -> Iterator[str]:
        """Every text in it."""
        return (mark.text for mark in self.marks if isinstance(mark, Words))


def line(start: Point, end: Point, mm: float = THIN, dash: str = SOLID) -> Stroke:
    """A straight line."""
    return Stroke((start, end), mm, dash)


def box(x: float, y: float, width: float, height: float, mm: float = THIN, dash: str = SOLID) -> Stroke:
    """An upright rectangle by its upper left corner."""
    return Stroke(((x, y), (x + width, y), (x + width, y + height), (x, y + height)), mm, dash, closed=True)


def arc(centre: Point, radius: float, start: float, end: float, mm: float = THIN, dash: str = SOLID) -> Stroke:
    """Part of a circle, from one angle to another: degrees against the clock, 0 to the right."""
    turn = math.radians(end - start)
    step = 2 * math.acos(max(0.0, 1 - _NEAR / radius)) if radius > _NEAR else math.pi
    count = max(1, math.ceil(abs(turn) / step))
    angles = (math.radians(start) + turn * index / count for index in range(count + 1))
    points = tuple((centre[0] + radius * math.cos(at), centre[1] - radius * math.sin(at)) for at in angles)
    return Stroke(points, mm, dash)


def circle(centre: Point, radius: float, mm: float = THIN, dash: str = SOLID) -> Stroke:
    """A whole circle."""
    return Stroke(arc(centre, radius, 0, 360).points[:-1], mm, dash, closed=True)


def hatch(outline: Sequence[Point], spacing: float = 2.5, angle: float = 45.0, mm: float = THIN) -> tuple[Stroke, ...]:
    """Parallel lines, so many mm apart, within a shape given by its corners; it may be hollowed, but not cross itself.

    >>> [stroke.points for stroke in hatch([(0, 0), (4, 0), (4, 4), (0, 4)], 2, 0)]
    [((0.0, 1.0), (4.0, 1.0)), ((0.0, 3.0), (4.0, 3.0))]
    """
    turn = math.radians(angle)
    cos, sin = math.cos(turn), math.sin(turn)
    turned = [(x * cos - y * sin, x * sin + y * cos) for x, y in outline]
    found = []
    lowest, highest = min(y for _, y in turned), max(y for _, y in turned)
    at = lowest + spacing / 2
    while at < highest:
        crossings = sorted(
            x + (at - y) * (other_x - x) / (other_y - y)
            for (x, y), (other_x, other_y) in zip(turned, turned[1:] + turned[:1], strict=True)
            if (y <= at) != (other_y <= at)
        )
        for left, right in zip(crossings[::2], crossings[1::2], strict=False):
            ends = tuple((_tidy(x * cos + at * sin), _tidy(at * cos - x * sin)) for x in (left, right))
            found.append(Stroke(ends, mm))
        at += spacing
    return tuple(found)


def _tidy(value: float) -> float:
    return round(value, 6) + 0.0


def moved(marks: Iterable[Mark], by: Point) -> tuple[Mark, ...]:
    """Marks set down somewhere else."""
    return tuple(
        mark._replace(x=mark.x + by[0], y=mark.y + by[1])
        if isinstance(mark, Words)
        else mark._replace(points=tuple((x + by[0], y + by[1]) for x, y in mark.points))
        for mark in marks
    )


def proof_bar(at: Point) -> tuple[Mark, ...]:
    """A bar of 100 mm by which a print is proved; it takes 100 x 9 mm to the right of and below ``at``."""
    x, y = at
    ticks = [line((x + 10.0 * step, y), (x + 10.0 * step, y + (4 if step % 5 == 0 else 2.5))) for step in range(11)]
    says = "100 mm from end to end: measure it; if it is not, print at 100 %, not fitted to the page"
    return (line((x, y), (x + 100.0, y), THICK), *ticks, Words(x, y + 7.5, says, 2.2))


def strokes(drawing: Drawing) -> Iterator[Stroke]:
    """The lines of a drawing."""
    return (mark for mark in drawing.marks if isinstance(mark, Stroke))
