"""Filling bars one by one, as full as they can be filled: quick plans, and what a bar can hold by weight."""

from __future__ import annotations

from collections.abc import Sequence

Pattern = tuple[int, ...]
"""How many of each size one bar yields."""

_GRID = 1 << 14  # the finest division of a bar that is looked at: more would make the masks slow


def fill_up(sizes: Sequence[int], wanted: Pattern, bar: int) -> list[Pattern]:
    """A plan: the longest piece left, and beside it what fills the bar best; sizes in falling order.

    >>> fill_up((60, 50, 40), (1, 2, 1), 100)
    [(1, 0, 1), (0, 2, 0)]
    """
    coarse = max(1, -(-bar // _GRID))  # pieces on a coarser grid are taken longer, so what fits there fits
    scaled, room = [-(-size // coarse) for size in sizes], bar // coarse
    if any(n and size > room for size, n in zip(scaled, wanted, strict=True)):
        scaled, room = list(sizes), bar
    left = list(wanted)
    out: list[Pattern] = []
    while any(left):
        first = next(i for i, n in enumerate(left) if n)
        left[first] -= 1
        counts = _best_beside(scaled, left, room - scaled[first])
        left[first] += 1
        counts[first] += 1
        out.append(tuple(counts))
        left = [have - n for have, n in zip(left, counts, strict=True)]
    return out


def _best_beside(sizes: Sequence[int], left: Sequence[int], room: int) -> list[int]:
    """Pieces that fill a room as full as can be, long ones rather than short: every sum within reach is a bit."""
    mask, reached = (1 << (room + 1)) - 1, 1
    steps: list[tuple[int, int]] = []
    for i in range(len(sizes) - 1, -1, -1):
        for _ in range(min(left[i], room // sizes[i])):
            steps.append((i, reached))
            reached |= (reached << sizes[i]) & mask
    counts, at = [0] * len(sizes), reached.bit_length() - 1
    for i, before in reversed(steps):
        if at >= sizes[i] and before >> (at - sizes[i]) & 1:
            counts[i] += 1
            at -= sizes[i]
    return counts


def first_fit(sizes: Sequence[int], wanted: Pattern, bar: int) -> list[Pattern]:
    """A plan: each piece, longest first, into the first bar that has room."""
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


def heaviest(
    sizes: Sequence[int], wanted: Sequence[int], bar: int, value: Sequence[float], limit: int
) -> tuple[float, dict[int, int], bool]:
    """The bar of most value, what it holds, and whether all were looked at. Whole values stay whole.

    >>> heaviest((60, 50, 40), (1, 2, 1), 100, (5, 4, 4), 1000)
    (9, {2: 1, 0: 1}, True)
    """
    order = sorted((i for i in range(len(sizes)) if value[i] > 0 and wanted[i]), key=lambda i: -value[i] / sizes[i])
    count = len(order)
    worth, size, most = [value[i] for i in order], [sizes[i] for i in order], [wanted[i] for i in order]
    shortest = [0] * count + [bar + 1]
    for at in range(count - 1, -1, -1):
        shortest[at] = min(size[at], shortest[at + 1])
    best: float = 0
    held: list[tuple[int, int]] = []
    taken = [0] * count
    path: list[int] = []
    at, room, steps = 0, bar, 0
    got: float = 0
    while True:
        while at < count and room >= shortest[at] and (best - got) * size[at] < room * worth[at]:
            n = min(most[at], room // size[at])
            if n:
                taken[at], room, got = n, room - n * size[at], got + n * worth[at]
                path.append(at)
            at += 1
        steps += 1
        if got > best:
            best, held = got, [(order[k], taken[k]) for k in path]
        if not path or steps > limit:
            return best, dict(held), steps <= limit
        last = path[-1]
        taken[last], room, got = taken[last] - 1, room + size[last], got - worth[last]
        if not taken[last]:
            path.pop()
        at = last + 1
