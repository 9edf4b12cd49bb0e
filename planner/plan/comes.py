"""How a piece comes: what a person says of it, and the words that therefore do not hold yet."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import NamedTuple

from planner.plan.words import is_name, nearest


class Way(NamedTuple):
    """One way in which a piece may come."""

    words: tuple[str, ...]  # of the kinds: what normally holds at the start, and does not here
    means: str


WAYS: Mapping[str, Way] = {
    "oily": Way(("dry",), "oil, fuel, wax or chaff inside"),
    "bearings-in": Way(("heat-safe",), "bearings, seals, rubber, springs or wiring in it"),
    "painted": Way(("bare",), "paint, zinc or chrome where a weld goes"),
    "battery-on": Way(("arc-safe",), "a battery or electronics connected"),
    "on-wheels": Way((), "on its own wheels"),
    "on-stands": Way(("on-wheels",), "on stands already"),
    "closed": Way(("vented",), "a hollow with its plugs or caps in"),
    "old-bracket": Way(("clear",), "an old part that must go before the new one"),
    "proud": Way(("flush",), "welds or brackets standing proud where it is clamped"),
    "steel-unknown": Way(("coupon-good",), "steel that no test joint was made in"),
    "thick": Way(("warm",), "so thick, or cast, that it is warmed before the arc"),
    "size-open": Way(("decided",), "its size not decided"),
    "to-buy": Way(("here",), "not in the shop yet"),
    "to-fit": Way(("together",), "new: not fitted yet"),
}


class Comes(NamedTuple):
    """One piece and how it comes."""

    piece: str
    ways: tuple[str, ...]

    @property
    def words(self) -> tuple[str, ...]:
        """What does not hold yet."""
        return tuple(dict.fromkeys(word for way in self.ways for word in WAYS[way].words))


class ComesError(ValueError):
    """What was said of a piece cannot be understood."""


def read_comes(text: str) -> Comes:
    """What is typed of one piece: ``housing=oily,bearings-in``, or with spaces.

    >>> read_comes("housing oily, bearings-in").words
    ('dry', 'heat-safe')
    """
    piece, *rest = re.split(r"[\s=:]+", text.strip(), maxsplit=1)
    ways = [part for part in re.split(r"[\s,]+", "".join(rest)) if part]
    if not is_name(piece):
        raise ComesError(f"“{piece}” is not a name for a piece; write PIECE=oily,painted")
    if not ways:
        raise ComesError(f"{piece}: how does it come? {', '.join(WAYS)}")
    for way in ways:
        if way not in WAYS:
            near = nearest(way, WAYS)
            hint = f"; did you mean {near}?" if near else f"; there are {', '.join(WAYS)}"
            raise ComesError(f"{piece}: no piece comes “{way}”{hint}")
    return Comes(piece, tuple(dict.fromkeys(ways)))


def read_all(text: str) -> tuple[Comes, ...]:
    """Several pieces with semicolons between them; nothing typed is no piece.

    >>> [each.piece for each in read_all("housing=oily; truck battery-on")]
    ['housing', 'truck']
    """
    return tuple(read_comes(part) for part in text.split(";") if part.strip())


def ways_say(ways: Iterable[str] = WAYS) -> list[str]:
    """Each way and what it means, a line each."""
    return [f"{way:<14} {WAYS[way].means}" for way in ways]
