"""What no order can avoid: operations that must come before others, and set-up changes that must still come."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.plan.orders.task import Doing, Task


class Bounds(NamedTuple):
    """``before``: for each operation of the scope what every good order does first. ``visits``: for each set-up the
    operations behind which it must be taken up once, twice … more; for when it stands already, and when it does not."""

    before: tuple[int, ...]
    visits: tuple[tuple[str, tuple[int, ...], tuple[int, ...]], ...]

    def impossible(self) -> bool:
        """Whether some operation would have to come before itself."""
        return any(mask >> index & 1 for index, mask in enumerate(self.before))

    def changes(self, left: int, setup: str | None) -> int:
        """Set-up changes that must still come, where these operations are left and this set-up stands."""
        total = 0
        for name, standing, else_ in self.visits:
            for mask in standing if name == setup else else_:
                if not mask & left:
                    break
                total += 1
        if setup is None and total:
            total -= 1  # the first of a build is free
        return total


def bounds_of(task: Task) -> Bounds:
    """Work them out. Only what holds in every good order, rework or not, counts as certain."""
    before = _first(task)
    return Bounds(before, _visits(task.doings[: task.size], before))


def _first(task: Task) -> tuple[int, ...]:
    """Landmarks: the greatest set of operations that must stand before each, as the needs alone force it."""
    own = task.doings[: task.size]
    everything = (1 << task.size) - 1
    must = [everything] * task.size
    givers: dict[int, list[tuple[int, int]]] = {}  # bit of a fact -> operations that complete a give, and the last
    free = 0  # facts that are there, or that rework may give
    for doing in task.doings:
        if doing.rework:
            free |= doing.gives | doing.job | doing.at_once
    free |= task.start.facts
    wanted = 0
    for doing in own:
        wanted |= doing.needs
    bit = wanted & ~free
    while bit:
        low = bit & -bit
        bit ^= low
        found = givers[low] = []
        for index, doing in enumerate(own):
            if doing.at_once & low or (doing.gives & low and doing.side >= 0):
                found.append((doing.side if not doing.at_once & low else 0, index))
            elif doing.job & low and doing.step >= 0:
                found.append((doing.step, index))
    changed = True
    while changed:
        changed = False
        for index, doing in enumerate(own):
            new = doing.before
            for each in _bits(doing.before):
                new |= must[each]
            lacking = doing.needs & ~free
            while lacking:
                low = lacking & -lacking
                lacking ^= low
                every = everything
                for completing, last in givers[low]:
                    mine = must[last] | 1 << last | completing
                    for each in _bits(completing):
                        mine |= must[each]
                    every &= mine
                new |= every
            if doing.blocked:
                new = everything
            if new & must[index] != must[index]:
                must[index] &= new
                changed = True
    return tuple(must)


def _bits(mask: int) -> list[int]:
    found = []
    while mask:
        low = mask & -mask
        found.append(low.bit_length() - 1)
        mask ^= low
    return found


def _visits(own: Sequence[Doing], before: Sequence[int]) -> tuple[tuple[str, tuple[int, ...], tuple[int, ...]], ...]:
    """For each set-up, how often the chains of what must follow what come back to it."""
    names = list(dict.fromkeys(doing.setup for doing in own if doing.setup is not None))
    if not names or any(mask >> index & 1 for index, mask in enumerate(before)):
        return ()
    behind: list[list[int]] = [[] for _ in own]
    for index, mask in enumerate(before):
        for each in _bits(mask):
            behind[each].append(index)
    # From the last to the first: an operation comes after all that must precede it.
    ranked = sorted(range(len(own)), key=lambda index: -before[index].bit_count())
    found = []
    for name in names:
        standing = [0] * len(own)  # visits on a chain from here, where the set-up stands already
        away = [0] * len(own)
        for index in ranked:
            stands = max((standing[each] for each in behind[index]), default=0)
            gone = max((away[each] for each in behind[index]), default=0)
            setup = own[index].setup
            if setup == name:
                standing[index], away[index] = stands, stands + 1
            elif setup is None:
                standing[index], away[index] = stands, gone
            else:
                standing[index] = away[index] = gone
        found.append((name, _levels(standing), _levels(away)))
    return tuple(found)


def _levels(counts: Sequence[int]) -> tuple[int, ...]:
    return tuple(
        [
            sum(1 << index for index, count in enumerate(counts) if count >= level)
            for level in range(1, max(counts, default=0) + 1)
        ]
    )
