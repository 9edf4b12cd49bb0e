"""Which cards may be wiped: those that were copied to two places since the last clip on them was filmed. Pure.

A card is named as its clips begin: A003 holds A003C012. What no card of that name was copied for is not copied.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple

from planner.plan.series import Span, spans
from planner.plan.ticks import COPIED, SLATE, Event

#: A clip or a card: nothing that a path or a markup gives a meaning.
NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9 ._-]{0,63}", re.ASCII)
_PLACE = 80  # characters
COPIES = 2  # places, before a card is free


class CopiedError(ValueError):
    """What was typed is no copy; the message says why in one line."""


class Card(NamedTuple):
    """A card, or a clip on no card that was copied, and where its clips have been copied to since they were filmed."""

    name: str
    places: tuple[str, ...]

    @property
    def free(self) -> bool:
        """Whether it may be used again."""
        return len(self.places) >= COPIES


def is_clip(name: str) -> bool:
    """Whether a clip, a card or a camera may be called so."""
    return NAME.fullmatch(name) is not None and ".." not in name


def read_copied(typed: str) -> dict[str, str]:
    """A typed copy, ``CARD PLACE``, as the log keeps it. Raises CopiedError.

    >>> read_copied("A003 shop disk")
    {'card': 'A003', 'to': 'shop disk'}
    """
    card, _, place = " ".join(typed.split()).partition(" ")
    if not card or not place:
        raise CopiedError("a copy is a card and the place it was copied to, such as A003 shop disk")
    if not is_clip(card):
        raise CopiedError(f"“{card}” is not a name of a card; letters, digits, dots, hyphens and underscores only")
    if len(place) > _PLACE or not place.isprintable():
        raise CopiedError(f"the place of a copy is up to {_PLACE} printable characters, such as shop disk")
    return {"card": card, "to": place}


def cards(events: Iterable[Event]) -> list[Card]:
    """Every card that was copied or filmed on, those that are not free first."""
    events = list(events)
    filmed: dict[str, float] = {}  # clip -> until when it ran
    copies: dict[str, list[tuple[float, str]]] = {}
    running = spans(events) if any(event.did == SLATE for event in events) else []
    for event in events:
        clip, card, place = event.raw.get("clip"), event.raw.get("card"), event.raw.get("to")
        if event.did == SLATE and isinstance(clip, str):
            filmed[clip] = max(filmed.get(clip, event.at), _until(running, event.at))
        elif event.did == COPIED and isinstance(card, str) and isinstance(place, str):
            copies.setdefault(card, []).append((event.at, place))
    found, covered = [], set()
    for card, made in copies.items():
        mine = [clip for clip in filmed if clip.startswith(card)]
        covered.update(mine)
        last = max((filmed[clip] for clip in mine), default=float("-inf"))
        places = {" ".join(place.casefold().split()): place for at, place in made if at >= last}
        found.append(Card(card, tuple(places.values())))
    found += [Card(clip, ()) for clip in filmed if clip not in covered]
    return sorted(found, key=lambda card: (card.free, card.name))


def _until(running: Sequence[Span], at: float) -> float:
    """The end of the stretch of filming that a moment lies in; the moment itself outside of any."""
    return next((at if span.end is None else span.end for span in running if span.start <= at <= (span.end or at)), at)
