"""Orders round a ring that keep what pulls balanced: each place opposite the last, pairs across pairs.

The measure: what each tack or bead pulls is one unit toward its place, and the running imbalance is the length of the
sum of those done so far. One alone pulls one unit, so no order has a worst imbalance below 1; these have no more.
"""

from __future__ import annotations

import math
from collections.abc import Sequence


def opposed(places: int) -> tuple[int, ...]:
    """An order of that many places, numbered round a ring, whose worst running imbalance is 1.

    An even number goes in opposite pairs, and the pairs among themselves go likewise, on the ring of half as many.
    An odd number goes in steps of almost half a turn, as a star is drawn: the sum of k unit steps that turn by a is
    sin(k a / 2) / sin(a / 2), which for a = pi - pi / n is nowhere above 1.

    >>> opposed(8), opposed(5)
    ((0, 4, 2, 6, 1, 5, 3, 7), (0, 2, 4, 1, 3))
    """
    if places % 2:
        return tuple(i * (places // 2) % places for i in range(places))
    half = places // 2
    return tuple(place for first in opposed(half) for place in (first, first + half))


def worst_imbalance(order: Sequence[int], places: int, harmonic: int = 1) -> float:
    """The greatest length of the running sum, in units of one tack or bead.

    ``harmonic`` 2 counts places across from each other as one, as what pulls a ring oval does.

    >>> round(worst_imbalance(opposed(8), 8), 9), round(worst_imbalance(range(8), 8), 3)
    (1.0, 2.613)
    """
    x = y = worst = 0.0
    for place in order:
        turn = 2 * math.pi * harmonic * place / places
        x, y = x + math.cos(turn), y + math.sin(turn)
        worst = max(worst, math.hypot(x, y))
    return worst
