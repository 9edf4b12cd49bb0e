"""What a calendar is reckoned from and what it comes to. Times are whole minutes since 1970, UTC; nothing here knows
a time zone."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

SHOP, DESK = "shop", "desk"

#: minutes: no part of work that is split over shifts is shorter
LEAST_PART = 15

#: what it costs to begin when a give that it relies on no longer lasts, in minutes late: more than a year
GONE = 1_000_000

Span = tuple[int, int]  # from minute, to minute


class Shift(NamedTuple):
    """One spell in the shop or at the desk."""

    start: int
    end: int
    place: str
    helped: tuple[Span, ...] | None = None  # when the helper is there; None: nobody said, and any time will do


class Task(NamedTuple):
    """One operation to be booked."""

    name: str
    minutes: int
    place: str  # in whose shifts
    whole: bool  # not split over shifts
    episode: int
    setup: str | None = None
    helped: bool = False  # only while the helper is there
    release: int = 0  # it starts no earlier
    opens: frozenset[str] = frozenset()  # facts owed by the shift's end
    closes: frozenset[str] = frozenset()


class Closing(NamedTuple):
    """A doing that closes a debt before the shift ends."""

    name: str  # of the operation; booked once more, it stands in round brackets
    minutes: int


Before = tuple[int, int]  # index of a task that ends first, and the minutes from its end


class Job(NamedTuple):
    """All that is to be booked, and what holds it back."""

    tasks: tuple[Task, ...]  # in an order that keeps every ``before``
    before: tuple[tuple[Before, ...], ...]  # of each task
    due: Mapping[int, int] = {}  # episode -> its publish minute
    closing: Mapping[str, Closing] = {}  # fact -> what closes it; a fact without one holds nothing back
    setup: str | None = None  # the last one stated
    start: int = 0
    lasting: Mapping[int, tuple[Before, ...]] = {}  # task -> who must begin at most so many minutes after its end
    weight: Mapping[int, int] = {}  # episode -> how much a minute late counts, where that is not once
    standing: frozenset[str] = frozenset()  # debts that are open already, and owed by the end of the first shift


class Part(NamedTuple):
    """A stretch of one operation in one shift; ``name`` in round brackets: a doing again of what closes a debt."""

    name: str
    start: int
    end: int
    place: str


class Cost(NamedTuple):
    """What a calendar is judged by; less is better, the first first."""

    late: int  # minutes past the publish dates, in sum; GONE more for everything that begins when what it needs is gone
    finish: int  # the minute when the last work ends
    set_ups: int


class Booked(NamedTuple):
    """A calendar: when each task runs, by index, and every part in the order of time."""

    starts: tuple[int, ...]
    ends: tuple[int, ...]
    parts: tuple[Part, ...]
    cost: Cost


class NeverFitsError(Exception):
    """A task that no shift can hold; ``longest`` is the most minutes that one gives it."""

    def __init__(self, task: Task, needed: int, longest: int) -> None:
        super().__init__(task.name)
        self.task, self.needed, self.longest = task, needed, longest


class TooShortError(Exception):
    """The shifts handed in end before the work does, at this task."""

    def __init__(self, task: Task) -> None:
        super().__init__(task.name)
        self.task = task
