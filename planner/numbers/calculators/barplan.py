"""Fewest bars for a cut list, in whole numbers: no float decides anything that is claimed as proved.

The caller adds the kerf to every piece and once to the bar, so that a piece which ends flush needs no last cut.
A lower bound comes from weights: when no bar holds more than v of them, pieces weighing w in all need at least w/v
bars. Good weights come from the linear relaxation, found with floats, but the bound is worked out again from whole
weights: rounding can make it weaker, never wrong.

Source: Gilmore & Gomory, "A Linear Programming Approach to the Cutting-Stock Problem", Operations Research 9 (1961)
849-859, for the relaxation and its patterns; the search over bars that follows it is plain branch and bound.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from math import inf
from typing import NamedTuple

Pattern = tuple[int, ...]
"""How many of each size one bar yields."""

_SCALE = 10**6
_KNAPSACK_LIMIT = 200_000
_KNAPSACK_QUICK = 1_000
_QUICK_LIMIT = 60_000
_SEARCH_LIMIT = 300_000
_TIGHT_LIMIT = 600_000
_PATTERN_LIMIT = 4_000
_PIVOT_LIMIT = 1_000
_TINY = 1e-9
_CLEAR = 1e-3


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
    best = _first_fit(sizes, demand, bar)
    weights = [_Weights(tuple(sizes), bar)]
    least = max(_ceil_div(weights[0].total(demand), bar), _big_pieces(sizes, demand, bar))
    if len(best) > least:
        patterns, shares, duals = _relaxation(sizes, demand, bar)
        whole = tuple(max(0, round(dual * _SCALE)) for dual in duals)
        most, _, complete = _fullest(sizes, demand, bar, whole)
        if complete and most > 0:
            weights.append(_Weights(whole, int(most)))
            least = max(least, _ceil_div(weights[-1].total(demand), weights[-1].most))
        best, least = _close_in(_Problem(sizes, bar, tuple(weights)), demand, best, least, patterns, shares)
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


def _first_fit(sizes: Sequence[int], wanted: Pattern, bar: int) -> list[Pattern]:
    """Each piece, longest first, into the first bar that has room."""
    bars: list[list[int]] = []
    room: list[int] = []
    for i, (size, count) in enumerate(zip(sizes, wanted, strict=True)):
        at = 0
        for _ in range(count):
            while at < len(bars) and room[at] < size:
                at += 1
            if at == len(bars):
                bars.append([0] * len(sizes))
                room.append(bar)
            bars[at][i] += 1
            room[at] -= size
    return [tuple(each) for each in bars]


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


def _fullest(
    sizes: Sequence[int], wanted: Sequence[int], bar: int, value: Sequence[float], enough: float = inf
) -> tuple[float, Pattern, bool]:
    """The pattern of most value that fits one bar, and whether all were looked at. Whole values stay whole.

    It is content with more than enough once it has looked for a while.
    """
    order = sorted((i for i in range(len(sizes)) if value[i] > 0 and wanted[i] > 0), key=lambda i: -value[i] / sizes[i])
    shortest = [0] * len(order)
    for at in range(len(order) - 1, -1, -1):
        shortest[at] = min([sizes[order[at]], *shortest[at + 1 : at + 2]])
    best: float = 0
    best_pattern = [0] * len(sizes)
    pattern = [0] * len(sizes)
    steps = 0

    def dig(start: int, room: int, got: float) -> bool:
        nonlocal best, best_pattern, steps
        steps += 1
        if got > best:
            best, best_pattern = got, pattern.copy()
        if steps > (_KNAPSACK_QUICK if best > enough else _KNAPSACK_LIMIT):
            return False
        for at in range(start, len(order)):
            i = order[at]
            if room < shortest[at] or (best - got) * sizes[i] >= room * value[i]:
                return True
            for n in range(min(wanted[i], room // sizes[i]), 0, -1):
                pattern[i] = n
                if not dig(at + 1, room - n * sizes[i], got + n * value[i]):
                    return False
            pattern[i] = 0
        return True

    complete = dig(0, bar, 0)
    return best, tuple(best_pattern), complete


def _relaxation(sizes: Sequence[int], wanted: Pattern, bar: int) -> tuple[list[Pattern], list[float], list[float]]:
    """Patterns, how many bars of each, and the weight of each size, fractions allowed (revised simplex)."""
    m = len(sizes)
    columns: list[Pattern] = []
    for i in range(m):
        most = min(wanted[i], bar // sizes[i])
        columns.append(tuple(most if j == i else 0 for j in range(m)))
    costs = [1.0] * m
    inverse = [[(1.0 / columns[i][i] if i == j else 0.0) for j in range(m)] for i in range(m)]
    shares = [wanted[i] / columns[i][i] for i in range(m)]
    duals = [0.0] * m
    for _ in range(_PIVOT_LIMIT):
        duals = [sum(costs[k] * inverse[k][j] for k in range(m) if costs[k]) for j in range(m)]
        lowest = min(range(m), key=duals.__getitem__)
        if duals[lowest] < -_TINY:
            column, cost = tuple(-1 if j == lowest else 0 for j in range(m)), 0.0
        else:
            found = _fullest(sizes, wanted, bar, duals, 1 + _CLEAR)
            if found[0] <= 1 + _TINY:
                break
            column, cost = found[1], 1.0
        used = [(j, a) for j, a in enumerate(column) if a]
        step = [sum(row[j] * a for j, a in used) for row in inverse]
        leaving, ratio = -1, 0.0
        for k in range(m):
            if step[k] > _TINY and (leaving < 0 or shares[k] / step[k] < ratio):
                leaving, ratio = k, shares[k] / step[k]
        if leaving < 0:
            break
        pivot = [x / step[leaving] for x in inverse[leaving]]
        for k in range(m):
            if k != leaving and step[k]:
                by = step[k]
                inverse[k] = [x - by * p for x, p in zip(inverse[k], pivot, strict=True)]
                shares[k] = max(0.0, shares[k] - by * ratio)
        inverse[leaving], shares[leaving] = pivot, ratio
        columns[leaving], costs[leaving] = column, cost
    real = [k for k in range(m) if costs[k]]
    return [columns[k] for k in real], [shares[k] for k in real], duals


def _close_in(
    problem: _Problem,
    demand: Pattern,
    best: list[Pattern],
    least: int,
    patterns: Sequence[Pattern],
    shares: Sequence[float],
) -> tuple[list[Pattern], int]:
    """Look for a plan at the lower bound; raise the bound while none can exist."""
    for keep in (1.0, 0.9, 0.75, 0.5):
        left = list(demand)
        start: list[Pattern] = []
        for pattern, share in zip(patterns, shares, strict=True):
            for _ in range(int((share + _TINY) * keep)):
                cut = tuple(min(n, have) for n, have in zip(pattern, left, strict=True))
                if any(cut):
                    start.append(cut)
                    left = [have - n for have, n in zip(left, cut, strict=True)]
        best = min(best, start + _first_fit(problem.sizes, tuple(left), problem.bar), key=len)
        if len(best) == least:
            return best, least
        rest, _ = _search(problem, tuple(left), least - len(start), _LongestFirst(problem, _QUICK_LIMIT))
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
