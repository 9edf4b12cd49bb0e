"""Where a line may not lie, and the nearest place where it may."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from planner.numbers.calculator import NOTHING
from planner.numbers.lengths import DOWN, UP, TextError, marks, parse_length

_LONGEST = 8  # words that a length may take
KEEP_OUT_HELP = "write it as 8..11 in perch; 14 1/2..15 in vent, or none"


class KeepOut(NamedTuple):
    """A stretch of tube, from and to in millimetres inward of the present plate face, and what stands there."""

    low: float
    high: float
    what: str

    def holds(self, line: float) -> bool:
        """Whether a line lies inside; on the edge is outside."""
        return self.low + NOTHING < line < self.high - NOTHING

    def lies_between(self, first: float, second: float) -> bool:
        """Whether all of it lies between two lines and would go with the waste."""
        return first - NOTHING <= self.low and self.high <= second + NOTHING


def parse_keep_outs(text: str) -> tuple[KeepOut, ...]:
    """Keep-outs as typed; raises TextError with what is allowed.

    >>> parse_keep_outs("200..250 mm perch; 12..13 in")
    (KeepOut(low=200.0, high=250.0, what='perch'), KeepOut(low=304.8, high=330.2, what='keep-out'))
    """
    if text.strip().lower() in ("", "none"):
        return ()
    return tuple(_parse(part) for part in text.split(";") if part.strip())


def _parse(part: str) -> KeepOut:
    low_text, dots, rest = part.partition("..")
    if not dots:
        raise TextError(f"“{part.strip()}” is not a keep-out; {KEEP_OUT_HELP}")
    words = rest.split()
    for count in range(min(len(words), _LONGEST), 0, -1):
        try:
            high = parse_length(" ".join(words[:count]))
        except TextError:
            continue
        # Read again as a range, so that the first figure has the unit of the second and their order is judged.
        typed = parse_length(f"{low_text.strip()}..{' '.join(words[:count])}")
        low_value, high_value = typed.low, high.number
        if low_value < 0:
            raise TextError(f"“{part.strip()}” begins outside the plate face; {KEEP_OUT_HELP}")
        return KeepOut(low_value, high_value, " ".join(words[count:]) or "keep-out")
    raise TextError(f"“{part.strip()}” is not a keep-out; {KEEP_OUT_HELP}")


class Bans(NamedTuple):
    """What the first line on one side must keep to: at least, at most, and stretches where it may not lie."""

    low: float
    high: float
    stretches: tuple[tuple[float, float], ...]


def bans(keep_outs: Sequence[KeepOut], between: float, low: float, high: float) -> Bans:
    """Where the first line may lie when the second lies ``between`` further in: no keep-out touched by either."""
    return Bans(low, high, tuple((each.low - between, each.high) for each in keep_outs))


def nearest_lines(line: float, limits: Sequence[Bans], step: float) -> tuple[float | None, float | None]:
    """The nearest first lines that would do, below and above, on the marks; None where there is none.

    >>> nearest_lines(210.0, [Bans(50.0, 400.0, ((150.0, 250.0),))], 1.0)
    (150.0, 250.0)
    """
    low, high = max(each.low for each in limits), min(each.high for each in limits)
    stretches = [stretch for each in limits for stretch in each.stretches]
    below: float | None = marks(min(line, high), step, DOWN) * step
    while below is not None:
        banned = [start for start, end in stretches if start + NOTHING < below < end - NOTHING]
        if below < low - NOTHING:
            below = None
        elif banned:
            below = marks(min(banned), step, DOWN) * step
        else:
            break
    above: float | None = marks(max(line, low), step, UP) * step
    while above is not None:
        banned = [end for start, end in stretches if start + NOTHING < above < end - NOTHING]
        if above > high + NOTHING:
            above = None
        elif banned:
            above = marks(max(banned), step, UP) * step
        else:
            break
    return below, above
