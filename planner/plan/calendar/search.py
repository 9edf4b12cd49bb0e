"""The best calendar that can be found in a stated number of tries.

First orders by rules of priority, each booked as it grows (serial schedule generation), and by the best of these rules
blurred at random; then single tasks are taken out and put in elsewhere between what they wait for and what waits for
them, and what is no worse stays. A calendar that reaches what none can be better than ends the search.
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Mapping, Sequence

from planner.plan.calendar.booking import Booker, Mark
from planner.plan.calendar.bounds import bound_of
from planner.plan.calendar.network import followers
from planner.plan.calendar.values import DESK, SHOP, Booked, Cost, Job, Shift, TooShortError

Stop = Callable[[], bool]

MEMORY = 20  # moves after which a calendar that was worse is forgotten
HEATS = (1.0, 1.1, 1.0)  # rounds, and how much later than the best so far the first moves of each may be
BLURS = (60, 240, 1440, 4000)  # minutes by which what is urgent is made more or less so
PATIENCES = (0, 0, 30, 240, 1440)  # minutes that something more urgent is waited for
SOON = (0, 30, 240, 1440)  # minutes that what stood first is waited for when nothing is left idle
NEAR = 8  # places that every second move goes at most


def never() -> bool:
    """Nobody stops it."""
    return False


def order_of(booked: Booked) -> list[int]:
    """The order of the tasks that a calendar comes to; it keeps the links."""
    return sorted(range(len(booked.starts)), key=lambda index: (booked.starts[index], booked.ends[index], index))


def find_calendar(
    job: Job, shifts: Sequence[Shift], tries: int | None = None, stop: Stop = never, seed: Sequence[int] | None = None
) -> Booked:
    """The best calendar found; the same on every machine unless it is stopped, then the best so far.

    ``tries``: how many single moves are tried; none stated: by the size of the job. ``seed``: an order that is near
    already, of the same tasks; rules are not tried then. Raises NeverFitsError, and
    TooShortError where the shifts end too early.
    """
    booker = Booker(job, shifts)
    booker.check()
    if not job.tasks:
        return booker.booked([])
    written = list(range(len(job.tasks))) if seed is None else list(seed)
    best = booker.booked(written)
    order = written
    bound = bound_of(booker)
    tries = max(200, min(600, 60_000 // len(written))) if tries is None else tries
    samples = max(60, min(2 * len(written), 20_000 // len(written))) if tries >= 200 else 0

    def over() -> bool:
        return best.cost <= bound.least or stop()

    try:
        for tried in _by_rules(booker, bound.aims, samples) if seed is None else ():
            found = booker.booked(tried)
            if found.cost < best.cost:
                best, order = found, tried
            if over():
                break
        cost = best.cost
        heats = HEATS if tries >= 200 else HEATS[:1]
        for number, heat in enumerate(heats):
            if cost > bound.least:
                order, cost = _improve(booker, order, cost, tries // len(heats), stop, number, heat)
        return _soonest(booker, booker.booked(_as_written(booker, order, stop)), stop)
    except TooShortError:
        return best  # an order that is too long for the shifts handed in cannot be better than one that is not


def _soonest(booker: Booker, best: Booked, stop: Stop) -> Booked:
    """Of the same cost or less, a calendar that leaves no hours empty for nothing: where publish dates and the last end
    do not ask for it, nobody should stand idle for weeks either. What stands first in ``best`` goes first."""
    for patience in SOON:
        if stop():
            break
        try:
            found = booker.booked(_by_rule(booker, best.starts, patience))
        except TooShortError:
            continue
        if found.cost <= best.cost and sum(found.ends) < sum(best.ends):
            best = found
    return best


def _by_rules(booker: Booker, aims: Mapping[int, int], samples: int) -> Iterator[list[int]]:
    """Orders by rule; then so many more, of the rule that aims at what can be had, with what is urgent blurred."""
    slowness = _slowness(booker)
    aimed = [_urgency(booker.job, aims, weight) for weight in (slowness, 1.0)]
    for urgency in (*aimed, *(_urgency(booker.job, booker.job.due, weight) for weight in (slowness, 1.0))):
        for patience in (0, 240, 2880):
            yield _by_rule(booker, urgency, patience)
    chance = random.Random(len(booker.job.tasks))  # noqa: S311  # no secret: the same every time
    for _ in range(samples):
        blur, patience = chance.choice(BLURS), chance.choice(PATIENCES)
        urgency = [when + chance.uniform(-blur, blur) for when in chance.choice(aimed)]
        yield _by_rule(booker, urgency, patience)


def _slowness(booker: Booker) -> float:
    """How many minutes go by for a minute of hours."""
    shifts = booker.shifts[SHOP] or booker.shifts[DESK]
    open_ = sum(shift.end - shift.start for shift in shifts)
    return max(1.0, (shifts[-1].end - shifts[0].start) / open_) if open_ else 1.0


def _urgency(job: Job, due: Mapping[int, int], weight: float) -> list[float]:
    """Of each task, by when it should start for the publish dates behind it, then for the longest way to the end."""
    after = followers(job)
    far = 1e9
    urgency = [0.0] * len(job.tasks)
    for index in range(len(job.tasks) - 1, -1, -1):
        task = job.tasks[index]
        end = min((urgency[later] - lag for later, lag in after[index]), default=far)
        urgency[index] = min(end, due.get(task.episode, far)) - task.minutes * weight
    return urgency


def _by_rule(booker: Booker, urgency: Sequence[float], patience: int) -> list[int]:
    """An order: again and again, of what can start soonest, or within ``patience`` minutes of that, the most urgent."""
    job = booker.job
    after = followers(job)
    waiting = [len(before) for before in job.before]
    able = [index for index, count in enumerate(waiting) if not count]
    size = len(job.tasks)
    starts, ends, marks = [0] * size, [0] * size, [booker.begin]
    order: list[int] = []
    ready = [task.release for task in job.tasks]
    while able:
        mark = marks[-1]
        soon: list[tuple[int, float, int]] = []
        for index in able:
            task = job.tasks[index]
            place = booker.place_of(task)
            cursor = mark.desk if place == DESK else mark.shop
            at = ready[index] if booker.apart else max(ready[index], mark.shop.at, mark.desk.at)
            soon.append((booker.fit(task, at, cursor, place).spans[0][0], urgency[index], index))
        first = min(soon)[0]
        index = min((urgent, start, index) for start, urgent, index in soon if start <= first + patience)[2]
        order.append(index)
        booker.book(order, starts, ends, marks, len(order) - 1)
        able.remove(index)
        for later, lag in after[index]:
            waiting[later] -= 1
            ready[later] = max(ready[later], ends[index] + lag)
            if not waiting[later]:
                able.append(later)
    return order


def _improve(
    booker: Booker, order: list[int], cost: Cost, tries: int, stop: Stop, seed: int, heat: float
) -> tuple[list[int], Cost]:
    """Late acceptance (Burke and Bykov 2017): a move stays that is no worse than what stood ``MEMORY`` moves ago.

    A move puts a task elsewhere, and what it waits for, or what waits for it, goes along as far as it must.
    """
    job = booker.job
    size = len(order)
    after = followers(job)
    chance = random.Random(size + seed)  # noqa: S311  # no secret: the same every time
    starts, ends, marks = [0] * size, [0] * size, list[Mark]([booker.begin])
    booker.book(order, starts, ends, marks)
    best, best_cost = order, cost
    memory = [Cost(int(cost.late * heat), cost.finish + (7 * 1440 if heat > 1 else 0), cost.set_ups)] * MEMORY
    for number in range(tries):
        if stop():
            break
        here, there = chance.randrange(size), chance.randrange(size)
        if number % 2:
            there = max(0, min(size - 1, here + chance.randint(-NEAR, NEAR)))
        if here == there:
            continue
        tried = _with_its_own(order, here, there, job, after)
        first = min(here, there)
        row = number % MEMORY
        limit = max(cost, memory[row])
        new_starts, new_ends, new_marks = starts.copy(), ends.copy(), marks[: first + 1]
        try:
            if booker.book(tried, new_starts, new_ends, new_marks, first, limit):
                last = new_marks[-1]
                new = Cost(booker.late(last), last.finish, booker.set_ups(tried, new_starts))
                if new <= limit:
                    order, starts, ends, marks, cost = tried, new_starts, new_ends, new_marks, new
                    if cost < best_cost:
                        best, best_cost = order, cost
        except TooShortError:
            pass
        memory[row] = min(memory[row], cost)
    return best, best_cost


def _with_its_own(
    order: list[int], here: int, there: int, job: Job, after: Sequence[Sequence[tuple[int, int]]]
) -> list[int]:
    """The order with the task at ``here`` moved to ``there``: ahead with all that it waits for, or back with all that
    waits for it. It keeps every link that the order keeps."""
    ahead = there < here
    links = job.before if ahead else after
    wanted = {each for each, _ in links[order[here]]}
    along, stays = [order[here]], []
    for position in range(here - 1, there - 1, -1) if ahead else range(here + 1, there + 1):
        index = order[position]
        if index in wanted:
            along.append(index)
            wanted.update([each for each, _ in links[index]])
        else:
            stays.append(index)
    if ahead:
        return [*order[:there], *reversed(along), *reversed(stays), *order[here + 1 :]]
    return [*order[:here], *stays, *along, *order[there + 1 :]]


def _as_written(booker: Booker, order: list[int], stop: Stop) -> list[int]:
    """The same cost in an order nearer to the written one: each task goes behind the one written before it."""
    job = booker.job
    size = len(order)
    after = followers(job)
    cost = booker.booked(order).cost
    for index in range(1, size):
        if stop():
            break
        place = {each: position for position, each in enumerate(order)}
        here, there = place[index], place[index - 1] + 1
        there -= here < there
        low = max([place[earlier] + 1 for earlier, _ in job.before[index]], default=0)
        high = min([place[later] - 1 for later, _ in after[index]], default=size - 1)
        there = max(low, min(there, high))
        if there == here:
            continue
        tried = order.copy()
        tried.insert(there, tried.pop(here))
        between = order[there:here] if there < here else order[here + 1 : there + 1]
        nearer = sum([1 if (each > index) == (there < here) else -1 for each in between])
        if nearer <= 0:
            continue
        try:
            found = booker.booked(tried)
        except TooShortError:
            continue
        if found.cost <= cost:
            order, cost = tried, found.cost
    return order
