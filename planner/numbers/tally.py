"""Marks on a tape that add up: parts of a whole, rounded together, each by less than one mark."""

from __future__ import annotations

from collections.abc import Sequence

from planner.numbers.calculator import NOTHING, Sheet, Show
from planner.numbers.lengths import DOWN, UP, marks
from planner.numbers.quantity import Quantity, marked

Spot = tuple[str, str | None]  # an output, and the side


def tally(whole: float, parts: Sequence[float], step: float) -> tuple[float, tuple[float, ...]]:
    """The whole on its nearest mark, and its parts on marks that add up to it; those that lose most go up.

    >>> tally(9.0, (4.5, 4.5), 1.0), tally(10.4, (3.4, 3.5, 3.5), 1.0)
    ((9.0, (5.0, 4.0)), (10.0, (3.0, 4.0, 3.0)))
    """
    whole_marks = marks(whole, step)
    floors = [marks(part, step, DOWN) for part in parts]
    over = [part / step - floor for part, floor in zip(parts, floors, strict=True)]
    up = sorted(range(len(parts)), key=lambda i: -round(over[i], 6))[: max(0, whole_marks - sum(floors))]
    counts = [floor + (1 if i in up else 0) for i, floor in enumerate(floors)]
    return whole_marks * step, tuple(count * step for count in counts)


def safe_tally(parts: Sequence[float], rounding: Sequence[str], most: float, step: float) -> tuple[float, ...]:
    """Parts that are each at most, or at least, what they should be, on marks that together are at most the whole.

    Where the marks come out longer than the whole, the longest part that may be shorter gives up one more, and with
    it those of the same length: what is cut alike stays alike.

    >>> safe_tally((4.5, 1.2, 4.5), (DOWN, UP, DOWN), 10.2, 1.0)
    (4.0, 2.0, 4.0)
    >>> safe_tally((4.0, 1.5, 4.0), (DOWN, UP, DOWN), 9.5, 1.0)
    (3.0, 2.0, 3.0)
    """
    counts = [marks(part, step, way) for part, way in zip(parts, rounding, strict=True)]
    shorter = [i for i, way in enumerate(rounding) if way == DOWN]
    while shorter and sum(counts) > marks(most, step, DOWN):
        longest = max(shorter, key=lambda i: counts[i])
        alike = [i for i in shorter if abs(parts[i] - parts[longest]) <= NOTHING]
        for i in alike:
            counts[i] -= 1
    return tuple(count * step for count in counts)


def add_up(sheet: Sheet, show: Show, whole: Spot, parts: Sequence[Spot]) -> None:
    """Show results so that the parts add up to the whole on the tape; nothing where they do not do so exactly.

    A part that stands on a mark of its own, as it was typed, keeps it, and the whole takes it over.
    """
    found = [sheet.quantity(spot) for spot in parts]
    total = sheet.quantity(whole)
    if total is None or any(each is None for each in found):
        return
    exact = [each for each in found if each is not None]
    if abs(sum(each.value for each in exact) - total.value) > NOTHING:
        return
    step, fixed = show.step, sum(each.mark for each in exact if each.mark is not None)
    free = [each.value for each in exact if each.mark is None]
    rest, shares = tally(sum(free), free, step)
    told = iter(shares)
    for spot, each in zip(parts, exact, strict=True):
        if each.mark is None:
            sheet.show_at(spot, next(told))
    sheet.show_at(whole, fixed + rest)


def safe_up(
    sheet: Sheet, show: Show, whole: Spot, parts: Sequence[tuple[Spot, str]], most: float
) -> dict[Spot, Quantity]:
    """Show parts on their safe side, and the whole as what they add up to; returns the parts as they are marked."""
    values = [sheet.quantity(spot) for spot, _ in parts]
    exact = [each for each in values if each is not None]
    shares = safe_tally([each.value for each in exact], [way for _, way in parts], most, show.step)
    out = {}
    for (spot, _), each, share in zip(parts, exact, shares, strict=True):
        sheet.show_at(spot, share)
        out[spot] = marked(each, share)
    sheet.show_at(whole, sum(shares))
    return out


__all__ = ["UP", "add_up", "safe_tally", "safe_up", "tally"]
