"""Fewest bars for a cut list, in whole numbers: no float decides anything that is claimed as proved.

The caller adds the kerf to every piece and once to the bar, so that a piece which ends flush needs no last cut.
A lower bound comes from weights: when no bar holds more than v of them, pieces weighing w in all need at least w/v
bars. Good weights come from the linear relaxation, found with floats, but the bound is worked out again from whole
weights: rounding can make it weaker, never wrong.

Source: Gilmore & Gomory, "A Linear Programming Approach to the Cutting-Stock Problem", Operations Research 9 (1961)
849-859, for the relaxation and its patterns; the search over bars that follows it is plain branch and bound.
"""

from __future__ import annotations

import math
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from typing import NamedTuple

from planner.numbers.calculators.barfill import Pattern, fill_up, first_fit, heaviest
from planner.numbers.calculators.barrelax import relaxed

_SCALE = 10**9
_HEAVIEST_LIMIT = 50_000
_QUICK_LIMIT = 25_000
_SEARCH_LIMIT = 120_000
_TIGHT_LIMIT = 250_000
_PATTERN_LIMIT = 4_000
_THRESHOLDS = (0.999, 0.85, 0.7, 0.55, 0.4, 0.25, 0.1)


class BarPlan(NamedTuple):
    """Patterns with how many bars are cut to each, and the fewest bars that can be proved."""

    patterns: tuple[tuple[Pattern, int], ...]
    bars: int
    at_least: int

    @property
    def proved(self) -> bool:
        """Whether no plan with fewer bars exists."""
        return self.bars == self.at_least


class _Weights(NamedTuple):
    """Whole weights of the sizes and the most that one bar can hold of them."""

    each: tuple[int, ...]
    most: int

    def total(self, wanted: Sequence[int]) -> int:
        return sum(w * n for w, n in zip(self.each, wanted, strict=True))


def fewest_bars(sizes: Sequence[int], wanted: Sequence[int], bar: int) -> BarPlan:
    """The plan with the fewest bars, for sizes in falling order, each at most the bar.

    >>> plan = fewest_bars((60, 50, 40), (1, 2, 1), 100)
    >>> plan.bars, plan.proved
    (2, True)
    """
    demand = tuple(wanted)
    shared = math.gcd(bar, *sizes)
    sizes, bar = [size // shared for size in sizes], bar // shared
    best = min(fill_up(sizes, demand, bar), first_fit(sizes, demand, bar), key=len)
    weights = [_Weights(tuple(sizes), bar)]
    least = max(_ceil_div(weights[0].total(demand), bar), _big_pieces(sizes, demand, bar))
    if len(best) > least:
        loose = relaxed(sizes, demand, bar, best, least)
        whole = tuple(int(weight * _SCALE) for weight in loose.weights)
        if any(whole):
            most, _, complete = heaviest(sizes, demand, bar, whole, _HEAVIEST_LIMIT)
            if complete and most > 0:
                weights.append(_Weights(whole, int(most)))
                least = max(least, _ceil_div(weights[-1].total(demand), weights[-1].most))
        best, least = _close_in(_Problem(sizes, bar, tuple(weights)), demand, best, least, loose.patterns)
    counts: dict[Pattern, int] = {}
    for pattern in sorted(best, reverse=True):
        counts[pattern] = counts.get(pattern, 0) + 1
    return BarPlan(tuple(counts.items()), len(best), least)


class _Problem(NamedTuple):
    sizes: Sequence[int]
    bar: int
    weights: tuple[_Weights, ...]


def _ceil_div(a: int, b: int) -> int:
    return -(-a // b)


def _big_pieces(sizes: Sequence[int], wanted: Pattern, bar: int) -> int:
    """A bound where pieces over half a bar leave ends too short for the rest (Martello & Toth, 1990, L2)."""
    best = 0
    for limit in {0, *(size for size in sizes if 2 * size <= bar)}:
        alone = over = room = small = 0
        for size, count in zip(sizes, wanted, strict=True):
            if size > bar - limit:
                alone += count
            elif 2 * size > bar:
                over += count
                room += count * (bar - size)
            elif size >= limit:
                small += count * size
        best = max(best, alone + over + max(0, _ceil_div(small - room, bar)))
    return best


def _close_in(
    problem: _Problem,
    demand: Pattern,
    best: list[Pattern],
    least: int,
    patterns: Sequence[tuple[Pattern, float]],
) -> tuple[list[Pattern], int]:
    """Look for a plan at the lower bound; raise the bound while none can exist."""
    for threshold in _THRESHOLDS:
        start, left = _rounded(demand, patterns, threshold)
        best = min(best, start + fill_up(problem.sizes, left, problem.bar), key=len)
        if len(best) == least:
            return best, least
        rest, _ = _search(problem, left, least - len(start), _LongestFirst(problem, _QUICK_LIMIT))
        if rest is not None:
            return start + rest, least
    while least < len(best):
        complete = False
        for way in (_tightest_first(problem, demand, least), _LongestFirst(problem, _SEARCH_LIMIT)):
            if way is not None and not complete:
                found, complete = _search(problem, demand, least, way)
                if found is not None:
                    return found, least
        if not complete:
            break
        least += 1
    for bars in range(least + 1, len(best)):  # not the fewest that can be proved, but fewer than at hand
        found, _ = _search(problem, demand, bars, _LongestFirst(problem, _QUICK_LIMIT))
        if found is not None:
            return found, least
    return best, least


def _rounded(
    demand: Pattern, patterns: Sequence[tuple[Pattern, float]], threshold: float
) -> tuple[list[Pattern], Pattern]:
    """Bars cut to the patterns of which at least so much of a bar is wanted, and the pieces that are left."""
    left = demand
    start: list[Pattern] = []
    for pattern, share in sorted(patterns, key=lambda each: -each[1]):
        for _ in range(int(share + 1.0 - threshold)):
            if any(n > have for n, have in zip(pattern, left, strict=True)):
                break
            start.append(pattern)
            left = tuple([have - n for have, n in zip(left, pattern, strict=True)])
    return start, left


class _LongestFirst:
    """Ways to cut the next bar: those that hold the longest piece left, least loss first."""

    def __init__(self, problem: _Problem, budget: int) -> None:
        self.problem = problem
        self.budget = budget

    def bars(self, left: Pattern, bars: int) -> list[Pattern]:
        first = next(i for i, n in enumerate(left) if n)
        found, steps = _full_bars(self.problem, left, first, bars, self.budget)
        self.budget -= steps
        return found


class _TightestFirst:
    """Ways to cut the next bar: those that hold the piece left that fits in the fewest ways, least loss first."""

    def __init__(self, problem: _Problem, patterns: list[tuple[tuple[int, int], ...]], budget: int) -> None:
        self.problem = problem
        self.patterns = patterns
        self.budget = budget

    def bars(self, left: Pattern, bars: int) -> list[Pattern]:
        self.budget -= len(self.patterns)
        weights = self.problem.weights
        spare = [w.most * bars - w.total(left) for w in weights]
        usable: dict[tuple[tuple[int, int], ...], list[int]] = {}
        ways = [0] * len(left)
        for pattern in self.patterns:
            cut = tuple([(i, min(n, left[i])) for i, n in pattern if left[i]])
            if not cut or cut in usable:
                continue
            loss = [w.most - sum([w.each[i] * n for i, n in cut]) for w in weights]
            if all(a <= b for a, b in zip(loss, spare, strict=True)):
                usable[cut] = loss[::-1]
                for i, _ in cut:
                    ways[i] += 1
        rarest = min((i for i, n in enumerate(left) if n), key=ways.__getitem__)
        mine = sorted((loss, cut) for cut, loss in usable.items() if any(i == rarest for i, _ in cut))
        out = []
        for _, cut in mine:
            full = [0] * len(left)
            for i, n in cut:
                full[i] = n
            out.append(tuple(full))
        return out


def _tightest_first(problem: _Problem, demand: Pattern, bars: int) -> _TightestFirst | None:
    """The search over all bars that lose little enough for a plan with so many bars; none when they are too many."""
    patterns: list[tuple[tuple[int, int], ...]] = []
    budget = _SEARCH_LIMIT
    for first in range(len(demand)):
        rest = tuple(0 if i < first else n for i, n in enumerate(demand))
        found, steps = _full_bars(problem, rest, first, bars, budget, demand)
        budget -= steps
        patterns += [tuple((i, n) for i, n in enumerate(pattern) if n) for pattern in found]
        if budget <= 0 or len(patterns) > _PATTERN_LIMIT:
            return None
    return _TightestFirst(problem, patterns, _TIGHT_LIMIT)


def _search(
    problem: _Problem, wanted: Pattern, bars: int, way: _LongestFirst | _TightestFirst
) -> tuple[list[Pattern] | None, bool]:
    """A plan with this many bars, or none; and whether every possibility was looked at."""
    if bars < 0 or any(w.total(wanted) > w.most * bars for w in problem.weights):
        return None, True
    failed: dict[Pattern, int] = {}  # what is left -> the most bars it is known not to fit
    taken: list[Pattern] = []
    stack: list[tuple[Pattern, Iterator[Pattern]]] = []
    left = wanted
    while any(left):
        stack.append((left, iter(way.bars(left, bars - len(taken)) if bars > len(taken) else ())))
        while stack:
            before, choices = stack[-1]
            pattern = next(choices, None)
            if pattern is None:
                failed[before] = bars - len(taken)
                stack.pop()
                if taken:
                    taken.pop()
                continue
            after = tuple([have - n for have, n in zip(before, pattern, strict=True)])
            if failed.get(after, -1) < bars - len(taken) - 1:
                taken.append(pattern)
                left = after
                break
        else:
            return None, way.budget > 0
        if way.budget <= 0:
            return None, False
    return taken, True


def _full_bars(
    problem: _Problem, left: Pattern, first: int, bars: int, budget: int, demand: Pattern | None = None
) -> tuple[list[Pattern], int]:
    """Full bars that hold the first size and leave a rest that may still fit, least loss first; and steps taken.

    Only bars with no room for any piece left over are worth a look: in any other plan a piece can be moved up into
    this bar without needing more bars.
    """
    sizes, bar, weights = problem
    kinds = [i for i, n in enumerate(left) if n and i >= first]
    spare, slack = (w.most * bars - w.total(demand or left) for w in (weights[0], weights[-1]))
    weigh, most = weights[-1]
    behind = [0]
    for i in reversed(kinds):
        behind.append(behind[-1] + left[i] * sizes[i])
    behind.reverse()
    falling = [-sizes[i] for i in kinds]
    found: list[tuple[int, int, Pattern]] = []
    pattern = [0] * len(left)
    steps = 0

    def fill(start: int, room: int, weight: int) -> None:
        nonlocal steps
        steps += 1
        fits = bisect_left(falling, -room)  # the longest kind that still fits
        if steps >= budget:
            return
        if max(start, fits) == len(kinds):
            if room <= spare and most - weight <= slack and all(pattern[i] == left[i] for i in kinds[fits:]):
                found.append((most - weight, room, tuple(pattern)))
            return
        for at in range(max(start, fits), 1 if start == 0 else len(kinds)):
            if room - behind[at] > spare:
                return
            i = kinds[at]
            for n in range(min(left[i], room // sizes[i]), 0, -1):
                pattern[i] = n
                fill(at + 1, room - n * sizes[i], weight + n * weigh[i])
            pattern[i] = 0

    if kinds and kinds[0] == first:
        fill(0, bar, 0)
    found.sort()
    return [each for _, _, each in found], steps
