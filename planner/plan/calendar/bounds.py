"""What no calendar can be better than, and in which order the episodes are best finished by that reckoning.

Each place is taken as if its work could be parted at will and nothing had to be closed: from every moment on, what
cannot begin earlier fills the open hours, and then the longest wait that each of it has behind it runs. In whatever
order the episodes are finished, the k-th is not ready before all that the first k want is done; the least sum over all
orders is the bound on lateness.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable
from typing import NamedTuple

from planner.plan.calendar.booking import Booker
from planner.plan.calendar.values import DESK, SHOP, Cost, Shift

_MOST_DATES = 6  # with more episodes than that, all their orders are too many
_MOST_TAILS = 40  # that are tried; any selection of them makes a bound


class Bound(NamedTuple):
    """The least cost, and of every episode with a publish date the minute to aim at: the date, or the earliest that
    it can be ready when the episodes are finished in the order that is best for all."""

    least: Cost
    aims: dict[int, int]


class _Hours:
    """Open minutes of one place, counted through."""

    def __init__(self, shifts: Iterable[Shift]) -> None:
        self.shifts = list(shifts)
        self.starts = [shift.start for shift in self.shifts]
        self.sums = [0]
        for shift in self.shifts:
            self.sums.append(self.sums[-1] + shift.end - shift.start)

    def until(self, minute: int) -> int:
        """How many open minutes there are before this one."""
        index = bisect_right(self.starts, minute) - 1
        if index < 0:
            return 0
        shift = self.shifts[index]
        return self.sums[index] + min(minute - shift.start, shift.end - shift.start)

    def after(self, count: int) -> int:
        """The minute when so many open ones have gone by; the last of all where there are fewer."""
        index = min(bisect_right(self.sums, count - 1) - 1, len(self.shifts) - 1)
        shift = self.shifts[index]
        return min(shift.start + count - self.sums[index], shift.end)


def bound_of(booker: Booker) -> Bound:
    """The bound of a job that has tasks. Raises TooShortError."""
    job = booker.job
    ends, heads = _earliest(booker)
    hours = {place: _Hours(booker.shifts[place]) for place in (SHOP, DESK)}
    places = [DESK if booker.place_of(task) == DESK else SHOP for task in job.tasks]
    counts = [hours[place].until(head) for place, head in zip(places, heads, strict=True)]
    rows = sorted(range(len(job.tasks)), key=lambda index: -counts[index])

    def ready(episodes: frozenset[int] | None) -> int:
        """When all that these episodes want can be done at the earliest; None: all tasks."""
        tails = _tails(booker, episodes)
        mine = [index for index in rows if tails[index] >= 0]
        found = max([ends[index] + tails[index] for index in mine], default=0)
        for place in (SHOP, DESK):
            here = [(tails[index], counts[index], job.tasks[index].minutes) for index in mine if places[index] == place]
            steps = sorted({tail for tail, _, _ in here})
            for least in steps[:: max(1, len(steps) // _MOST_TAILS)]:
                work = most = 0
                for tail, count, minutes in here:
                    if tail >= least and minutes:
                        work += minutes
                        most = max(most, count + work)
                if work:
                    found = max(found, hours[place].after(most) + least)
        return found

    dates = [episode for episode in job.due if any(task.episode == episode for task in job.tasks)]
    late, episodes = _in_order(booker, dates, ready)
    aims = {}
    for place, episode in enumerate(episodes):
        aims[episode] = max(job.due[episode], ready(frozenset(episodes[: place + 1])))
    return Bound(Cost(late, ready(None), _least_set_ups(booker)), aims)


def _earliest(booker: Booker) -> tuple[list[int], list[int]]:
    """When each task ends, and begins, at the earliest, with a pair of hands for each."""
    ends: list[int] = []
    heads: list[int] = []
    for index, task in enumerate(booker.job.tasks):
        ready = max([ends[earlier] + lag for earlier, lag in booker.job.before[index]], default=0)
        place = booker.place_of(task)
        cursor = booker.begin.desk if place == DESK else booker.begin.shop._replace(open=frozenset())
        spans = booker.fit(task, max(ready, task.release), cursor, place).spans
        heads.append(spans[0][0])
        ends.append(spans[-1][1])
    return ends, heads


def _tails(booker: Booker, episodes: frozenset[int] | None) -> list[int]:
    """Of each task, how many minutes after its end the last of these episodes ends at the earliest; -1: none waits."""
    job = booker.job
    tails = [0 if episodes is None or task.episode in episodes else -1 for task in job.tasks]
    for index in range(len(job.tasks) - 1, -1, -1):
        if tails[index] >= 0:
            behind = tails[index] + job.tasks[index].minutes
            for earlier, lag in job.before[index]:
                tails[earlier] = max(tails[earlier], behind + lag)
    return tails


def _in_order(
    booker: Booker, dates: list[int], ready: Callable[[frozenset[int] | None], int]
) -> tuple[int, tuple[int, ...]]:
    """The least lateness in sum, and in which order the episodes are finished for it.

    Of many dates the sum counts each as if there were no other, and the order is the one of the dates, improved.
    """
    job = booker.job
    known: dict[frozenset[int], int] = {}

    def late(before: frozenset[int], episode: int) -> int:
        """How late an episode is that is finished behind those."""
        done = before | {episode}
        if done not in known:
            known[done] = ready(done)
        return max(0, known[done] - job.due[episode]) * job.weight.get(episode, 1)

    if len(dates) > _MOST_DATES:
        order = sorted(dates, key=lambda episode: job.due[episode])
        for place in range(len(order) - 1, 0, -1):  # one that is late anyway lets the one behind it go first
            before = frozenset(order[: place - 1])
            one, other = order[place - 1 : place + 1]
            kept = late(before, one) + late(before | {one}, other)
            if late(before, other) + late(before | {other}, one) < kept:
                order[place - 1 : place + 1] = [other, one]
        return sum([late(frozenset(), episode) for episode in dates]), tuple(order)
    best: dict[frozenset[int], tuple[int, tuple[int, ...]]] = {frozenset(): (0, ())}
    for _ in dates:
        longer: dict[frozenset[int], tuple[int, tuple[int, ...]]] = {}
        for before, (sum_, order_) in best.items():
            for episode in dates:
                if episode in before:
                    continue
                found = (sum_ + late(before, episode), (*order_, episode))
                done = before | {episode}
                longer[done] = min(longer.get(done, found), found)
        best = longer
    return next(iter(best.values()))


def _least_set_ups(booker: Booker) -> int:
    """Every set-up has to be changed to once, but for the one that stands, or the first."""
    wanted = {task.setup for task in booker.job.tasks if task.setup is not None}
    return max(0, len(wanted - {booker.job.setup}) - (booker.job.setup is None))
