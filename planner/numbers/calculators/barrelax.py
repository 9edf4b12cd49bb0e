"""Bars where fractions of a bar may be cut to a pattern: how few could ever do, and which patterns are worth cutting.

Source: P. C. Gilmore & R. E. Gomory, Operations Research 9 (1961) 849-859; the bound that holds before the end: A. A.
Farley, Operations Research 38 (1990) 922-923; weights drawn toward those of the best bound: P. Wentges, International
Transactions in Operational Research 4 (1997) 151-162 (both from memory).
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from planner.numbers.calculators.barfill import Pattern, heaviest

_PIVOT_WORK = 16_000_000  # rows x columns of the table x pivots: about a second
_STEPS, _MORE_STEPS = 5_000, 100_000
_TINY = 1e-9
_CLEAR = 1e-7
_DRAWN = 0.7  # how far weights are drawn toward those of the best bound
_DUST = 1e-6


class Relaxed(NamedTuple):
    """Patterns with how many bars of each, weights of the sizes that no bar holds more than one of, and their bound."""

    patterns: tuple[tuple[Pattern, float], ...]
    weights: tuple[float, ...]
    bound: float


class _Table:
    """The basis: what is cut now, its inverse, how much of each, and the weight of each size."""

    def __init__(self, wanted: Sequence[int], most: Sequence[int]) -> None:
        size = len(wanted)
        self.columns: list[dict[int, int]] = [{i: most[i]} for i in range(size)]
        self.costs = [1.0] * size
        self.inverse = [[1.0 / most[i] if i == j else 0.0 for j in range(size)] for i in range(size)]
        self.shares = [wanted[i] / most[i] for i in range(size)]
        self.weights = [1.0 / each for each in most]

    @property
    def bars(self) -> float:
        """How many bars, fractions allowed, the present patterns need."""
        return sum(share for share, cost in zip(self.shares, self.costs, strict=True) if cost)

    def gain(self, column: dict[int, int], cost: float) -> float:
        """By how much a column is worth more than it costs."""
        return sum(self.weights[i] * n for i, n in column.items()) - cost

    def enter(self, column: dict[int, int], cost: float) -> bool:
        """Take a column into the basis; False where none can leave for it."""
        gain, used = self.gain(column, cost), list(column.items())
        step = [sum([row[i] * n for i, n in used]) for row in self.inverse]
        leaving, ratio = -1, 0.0
        for k, by in enumerate(step):
            if by > _TINY and (leaving < 0 or self.shares[k] / by < ratio):
                leaving, ratio = k, self.shares[k] / by
        if leaving < 0:
            return False
        part = 1.0 / step[leaving]
        pivot = [x * part for x in self.inverse[leaving]]
        for k, by in enumerate(step):
            if k != leaving and by:
                self.inverse[k] = [x - by * p for x, p in zip(self.inverse[k], pivot, strict=True)]
                self.shares[k] = max(0.0, self.shares[k] - by * ratio)
        self.inverse[leaving], self.shares[leaving] = pivot, ratio
        self.columns[leaving], self.costs[leaving] = column, cost
        self.weights = [weight - gain * p for weight, p in zip(self.weights, pivot, strict=True)]
        return True


def relaxed(sizes: Sequence[int], wanted: Pattern, bar: int, start: Iterable[Pattern], enough: int) -> Relaxed:
    """The relaxation, begun with the patterns of a plan; ``enough``: a bound that is known, so that no lesser matters.

    It ends as soon as no bound in whole bars can come of it that is not found already.
    """
    table = _Table(wanted, [min(n, bar // size) for n, size in zip(wanted, sizes, strict=True)])
    waiting = [{i: n for i, n in enumerate(pattern) if n} for pattern in dict.fromkeys(start)]
    best: tuple[float, ...] = ()
    bound = 0.0
    for _ in range(_PIVOT_WORK // len(sizes) ** 2):
        column, cost = _known(table, waiting)
        if column is None:
            if math.ceil(table.bars - _DUST) <= max(enough, math.ceil(bound - _DUST)):
                break
            weights = [max(0.0, each) for each in table.weights]
            for drawn, steps in ((_DRAWN, _STEPS), (0.0, _STEPS), (0.0, _MORE_STEPS)):
                tried = [drawn * b + (1 - drawn) * w for b, w in zip(best or weights, weights, strict=True)]
                most, column, complete = heaviest(sizes, wanted, bar, tried, steps)
                reached = sum(weight * n for weight, n in zip(tried, wanted, strict=True)) / most if most else 0.0
                if complete and reached > bound + _TINY:
                    bound, best = reached, tuple(each / most for each in tried)
                if table.gain(column, 1.0) > _TINY or (complete and not drawn):
                    break
            cost = 1.0
        if column is None or table.gain(column, cost) <= _TINY or not table.enter(column, cost):
            break
    real = [(column, share) for column, share, c in zip(table.columns, table.shares, table.costs, strict=True) if c]
    patterns = tuple((tuple(column.get(i, 0) for i in range(len(sizes))), share) for column, share in real)
    return Relaxed(patterns, best, bound)


def _known(table: _Table, waiting: list[dict[int, int]]) -> tuple[dict[int, int] | None, float]:
    """A column that pays and need not be looked for: a pattern of the plan, or a shorter piece where a longer one is
    cut (the last one: nothing at all)."""
    while waiting:
        column = waiting.pop()
        if table.gain(column, 1.0) > _CLEAR:
            return column, 1.0
    after = [*table.weights[1:], 0.0]
    at = max(range(len(after)), key=lambda i: after[i] - table.weights[i])
    if after[at] - table.weights[at] <= _CLEAR:
        return None, 0.0
    return ({at: -1, at + 1: 1} if at + 1 < len(after) else {at: -1}), 0.0
