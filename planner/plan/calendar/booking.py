"""One order of the tasks, booked: each as early as the order, the links, the shifts and the debts let it.

Every calendar is the booking of some order, so that a search over orders misses none. Where shop and desk hours are
never at the same time, each place has its own cursor, and the desk fills what the shop leaves; else one cursor serves
both.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterable, Sequence
from itertools import pairwise
from typing import NamedTuple

from planner.plan.calendar.values import (
    DESK,
    GONE,
    LEAST_PART,
    SHOP,
    Booked,
    Cost,
    Job,
    NeverFitsError,
    Part,
    Shift,
    Span,
    Task,
    TooShortError,
)

_NONE: frozenset[str] = frozenset()
_PUSHES = 8  # times that a task is put off so that what relies on it comes soon enough


class Cursor(NamedTuple):
    """How far one place is booked: the shift, the minute, and the debts that stand open in that shift."""

    shift: int
    at: int
    open: frozenset[str]


class Mark(NamedTuple):
    """Where a booking stands between two tasks."""

    shop: Cursor
    desk: Cursor
    finish: int
    done: tuple[int, ...]  # of each episode with a publish date, in their order: when its last work ends so far, or 0
    gone: int = 0  # how many begin when what they rely on no longer lasts


class Fit(NamedTuple):
    """Where a task goes: its spans, the shift of the first and of the last."""

    spans: tuple[Span, ...]
    first: int
    last: int


class Booker:
    """Books orders of one job over the same shifts. ``shifts``: by start, those of one place never overlapping."""

    def __init__(self, job: Job, shifts: Iterable[Shift]) -> None:
        self.job = job
        shifts = sorted(shifts)
        has_desk = any(shift.place == DESK for shift in shifts)
        self.desk_place = DESK if has_desk else SHOP
        self.shifts = {place: [s for s in shifts if s.place == place] for place in (SHOP, DESK)}
        self.ends = {place: [shift.end for shift in found] for place, found in self.shifts.items()}
        self.apart = all(earlier.end <= later.start for earlier, later in pairwise(shifts))
        self._closing: dict[frozenset[str], int] = {_NONE: 0}
        self.dues = tuple(job.due.values())
        self._weights = tuple([job.weight.get(episode, 1) for episode in job.due])
        self._givers: dict[int, list[tuple[int, int]]] = {}  # of a task, what it must begin soon enough after
        for giver, takers in job.lasting.items():
            for taker, most in takers:
                self._givers.setdefault(taker, []).append((giver, most))
        row = {episode: row for row, episode in enumerate(job.due)}
        self._rows = [row.get(task.episode, -1) for task in job.tasks]
        self._at_desk = [self.place_of(task) == DESK for task in job.tasks]
        self.begin = Mark(self._first(), self._cursor(DESK), job.start, (0,) * len(self.dues))

    def _cursor(self, place: str) -> Cursor:
        return Cursor(bisect_right(self.ends[place], self.job.start), self.job.start, _NONE)

    def _first(self) -> Cursor:
        """The shop as it stands: what was left open is closed in its first shift, as much of it as that one holds."""
        cursor = self._cursor(SHOP)
        if not self.job.standing or cursor.shift >= len(self.shifts[SHOP]):
            return cursor
        shift = self.shifts[SHOP][cursor.shift]
        at, held = max(cursor.at, shift.start), _NONE
        for debt in sorted(self.job.standing):
            more = held | {debt}
            if at + self.closing(more) <= shift.end:
                held = more
        return Cursor(cursor.shift, at, held) if held else cursor

    def place_of(self, task: Task) -> str:
        """In whose shifts a task is booked: the desk's work goes into the shop where the desk has no hours."""
        return self.desk_place if task.place == DESK else SHOP

    def closers(self, facts: frozenset[str]) -> dict[str, int]:
        """What has to be done to close these debts: name -> minutes."""
        closing = self.job.closing
        return {closing[fact].name: closing[fact].minutes for fact in sorted(facts) if fact in closing}

    def closing(self, facts: frozenset[str]) -> int:
        """How many minutes it takes to close these debts."""
        found = self._closing.get(facts)
        if found is None:
            found = self._closing[facts] = sum(self.closers(facts).values())
        return found

    def longest(self, task: Task) -> int:
        """The most minutes that one shift has for a task, what closes its debts taken off."""
        spare = self.closing(task.opens - task.closes)
        spans = (span for shift in self.shifts[self.place_of(task)] for span in windows(shift, task))
        return max((end - start - spare for start, end in spans), default=0)

    def check(self) -> None:
        """Raise NeverFitsError for a task that is not split, or too short to be, and that no shift holds."""
        for task in self.job.tasks:
            longest = self.longest(task)
            if task.minutes > longest and (task.whole or task.minutes < 2 * LEAST_PART or longest < LEAST_PART):
                raise NeverFitsError(task, task.minutes + self.closing(task.opens - task.closes), max(0, longest))
            if task.helped:
                place = self.place_of(task)
                try:
                    self.fit(task, 0, self._cursor(place), place)
                except TooShortError:
                    raise NeverFitsError(task, task.minutes, longest) from None

    # Booking

    def fit(self, task: Task, ready: int, cursor: Cursor, place: str) -> Fit:
        """The earliest place of a task, no earlier than the cursor and ``ready``. Raises TooShortError."""
        shifts = self.shifts[place]
        at = max(ready, cursor.at)
        first = cursor.shift
        ends = self.ends[place]
        if first < len(ends) and ends[first] < at:
            first = bisect_right(ends, at - 1, first)
        minutes, opens = task.minutes, task.opens
        for index in range(first, len(shifts)):
            shift = shifts[index]
            standing = cursor.open if index == cursor.shift else _NONE
            spare = self.closing((standing | opens) - task.closes) if standing or opens else 0
            for begin, end in windows(shift, task):
                start = at if at > begin else begin
                last = min(end, shift.end - spare)
                if start + minutes <= last:
                    return Fit(((start, start + minutes),), index, index)
                if not task.whole and minutes >= 2 * LEAST_PART and end == shift.end and start < last:
                    found = self._split(task, start, index, shifts, self.closing(standing | opens))
                    if found is not None:
                        return found
        raise TooShortError(task)

    def _split(self, task: Task, start: int, index: int, shifts: Sequence[Shift], spare: int) -> Fit | None:
        """A task from ``start`` to the shift's end, and the rest first in the next shifts; None where that is not
        allowed. ``spare``: minutes to leave for closing debts in the first shift."""
        until = shifts[index].end - spare
        first = until - start
        rest = task.minutes - first
        between, behind = self.closing(task.opens), self.closing(task.opens - task.closes)
        spans: list[Span] = []
        last = index
        while True:
            last += 1
            if last >= len(shifts):
                return None
            shift = shifts[last]
            begin, end = next(iter(windows(shift, task)), (0, 0))
            if begin != shift.start:
                return None
            if rest <= min(end, shift.end - behind) - begin:
                break
            stop = shift.end - between
            if end != shift.end or stop - begin < LEAST_PART:
                return None
            spans.append((begin, stop))
            rest -= stop - begin
        delay = max(0, LEAST_PART - rest)
        if first - delay < LEAST_PART or begin + rest + delay > min(end, shift.end - behind):
            return None
        return Fit(((start + delay, until), *spans, (begin, begin + rest + delay)), index, last)

    def book(
        self,
        order: Sequence[int],
        starts: list[int],
        ends: list[int],
        marks: list[Mark],
        first: int = 0,
        limit: Cost | None = None,
        parts: list[Part] | None = None,
    ) -> bool:
        """Book ``order`` from position ``first`` on, where ``marks[first]`` stands; the lists are filled in.

        False, and the lists are of no use, as soon as it is plain that the cost is above ``limit``.
        """
        tasks, before = self.job.tasks, self.job.before
        del marks[first + 1 :]
        mark = marks[first]
        late = 0 if limit is None else self.late(mark)
        lasting, givers = self.job.lasting, self._givers
        for position in range(first, len(order)):
            index = order[position]
            task = tasks[index]
            ready = task.release
            for earlier, lag in before[index]:
                ready = max(ready, ends[earlier] + lag)
            at_desk = self._at_desk[index]
            place = DESK if at_desk else SHOP
            shop, desk = mark.shop, mark.desk
            cursor = desk if at_desk else shop
            if not self.apart:
                other = shop if at_desk else desk
                if other.open:  # no time is lost looking how long they could stand open
                    other = self._close(other, SHOP if at_desk else DESK, parts)
                    shop, desk = (other, desk) if at_desk else (shop, other)
                ready = max(ready, other.at)
            if index in lasting:
                ready = self._late_enough(order, position, ready, place, Mark(shop, desk, 0, ()), ends)
            found = self.fit(task, ready, cursor, place)
            if parts is not None:
                self._note(task, found, cursor, place, parts)
            start, end = found.spans[0][0], found.spans[-1][1]
            starts[index], ends[index] = start, end
            standing = cursor.open if found.last == cursor.shift else _NONE
            moved = Cursor(found.last, end, (standing | task.opens) - task.closes)
            done = mark.done
            row = self._rows[index]
            if row >= 0 and end > done[row]:
                done = (*done[:row], end, *done[row + 1 :])
            gone = mark.gone
            if index in givers:
                gone += sum([start > ends[giver] + most for giver, most in givers[index]])
            finish = end if end > mark.finish else mark.finish
            moves = done is not mark.done or gone != mark.gone
            mark = Mark(shop, moved, finish, done, gone) if at_desk else Mark(moved, desk, finish, done, gone)
            marks.append(mark)
            if limit is not None:
                if moves:
                    late = self.late(mark)
                if late > limit.late or (late == limit.late and finish > limit.finish):
                    return False
        if parts is not None:
            for place, cursor in ((SHOP, mark.shop), (DESK, mark.desk)):
                self._close(cursor, place, parts)
        return True

    def late(self, mark: Mark) -> int:
        """The minutes past the publish dates so far, in sum."""
        rows = zip(mark.done, self.dues, self._weights, strict=True)
        return sum([(end - due) * weight for end, due, weight in rows if end > due]) + mark.gone * GONE

    def _late_enough(
        self, order: Sequence[int], position: int, ready: int, place: str, mark: Mark, ends: Sequence[int]
    ) -> int:
        """From when on a task may be booked so that what relies on it, booked next, begins while it lasts."""
        index, known = order[position], set(order[:position])
        task, before = self.job.tasks[index], self.job.before
        for taker, most in self.job.lasting[index]:
            next_ = self.job.tasks[taker]
            there = DESK if self.place_of(next_) == DESK else SHOP
            other = max([ends[each] + lag for each, lag in before[taker] if each in known], default=next_.release)
            lag = max([lag for each, lag in before[taker] if each == index], default=0)
            for _ in range(_PUSHES):
                mine = self.fit(task, ready, mark.desk if place == DESK else mark.shop, place)
                end = mine.spans[-1][1]
                cursor = Cursor(mine.last, end, _NONE) if there == place else mark.desk if there == DESK else mark.shop
                start = self.fit(next_, max(end + lag, other, next_.release), cursor, there).spans[0][0]
                if start <= end + most:
                    break
                ready = max(ready + 1, start - most - task.minutes)
        return ready

    def _close(self, cursor: Cursor, place: str, parts: list[Part] | None) -> Cursor:
        at = cursor.at
        for name, minutes in self.closers(cursor.open).items():
            if parts is not None:
                parts.append(Part(f"({name})", at, at + minutes, place))
            at += minutes
        return Cursor(cursor.shift, at, _NONE)

    def _note(self, task: Task, fit: Fit, cursor: Cursor, place: str, parts: list[Part]) -> None:
        """The parts of a task, and of what closes the debts of every shift that is left behind."""
        standing = cursor.open
        if fit.first != cursor.shift:
            self._close(cursor, place, parts)
            standing = _NONE
        for start, end in fit.spans[:-1]:
            parts.append(Part(task.name, start, end, place))
            self._close(Cursor(0, end, standing | task.opens), place, parts)
            standing = _NONE
        parts.append(Part(task.name, *fit.spans[-1], place))

    def booked(self, order: Sequence[int]) -> Booked:
        """The whole calendar of an order that keeps the links. Raises TooShortError."""
        size = len(self.job.tasks)
        starts, ends, marks, parts = [0] * size, [0] * size, [self.begin], list[Part]()
        self.book(order, starts, ends, marks, parts=parts)
        cost = Cost(self.late(marks[-1]), marks[-1].finish, self.set_ups(order, starts))
        return Booked(tuple(starts), tuple(ends), tuple(sorted(parts, key=lambda part: part[1:])), cost)

    def set_ups(self, order: Sequence[int], starts: Sequence[int]) -> int:
        """How often the set-up changes in that calendar."""
        tasks = self.job.tasks
        now, count = self.job.setup, 0
        stated = [(starts[index], place, index) for place, index in enumerate(order) if tasks[index].setup is not None]
        for _, _, index in sorted(stated):
            setup = tasks[index].setup
            if now is not None and setup != now:
                count += 1
            now = setup
        return count


def windows(shift: Shift, task: Task) -> Iterable[Span]:
    """When in a shift a task may run: all of it, or while the helper is there."""
    if not task.helped or shift.helped is None:
        return ((shift.start, shift.end),)
    return shift.helped
