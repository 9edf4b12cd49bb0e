"""What remains of a build, as a job to be booked: times, links, waits that run, debts, the edit of each episode."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from math import ceil
from typing import NamedTuple

from planner.plan.calendar.values import DESK, SHOP, Before, Closing, Job, Task
from planner.plan.debts import opened_facts, owed_facts
from planner.plan.expand import Operation, edit_name
from planner.plan.live import Live
from planner.plan.model import Episode
from planner.plan.names import is_passing
from planner.plan.orders.links import GIVES, links_of

EPISODES = 10_000  # episode numbers have four digits
_FIRST = 10_000_000  # a minute late of a build outweighs a lifetime late of the next one


class Booking(NamedTuple):
    """A job, the operations behind its tasks, and those that have no time of their own."""

    job: Job
    ops: tuple[Operation, ...]
    untimed: tuple[str, ...]


def minutes(seconds: float) -> int:
    """Whole minutes, never fewer than the seconds ask for."""
    return ceil(seconds / 60)


def job_of(live: Live, order: Sequence[Operation], now: float, pace: float = 1.0) -> Booking:
    """The job of ``order``, all that remains in a good order, from ``now`` (UTC seconds) on.

    ``pace``: how many times as long as planned the work takes.
    """
    plan = live.plan
    links = links_of(plan, [op for op, _ in live.done], order).links
    ops: list[Operation] = []
    at: dict[int, int] = {}  # index in order -> index of the task
    before: list[dict[int, int]] = []
    episodes = [plan.stages[op.stage][0].number for op in order]
    last = {number: index for index, number in enumerate(episodes)}
    mine: dict[int, list[int]] = {}
    for episode in plan.build.episodes:
        if episode.number not in last:
            _add_edit(live, episode, now, [], ops, before)
    for index, op in enumerate(order):
        at[index] = len(ops)
        mine.setdefault(episodes[index], []).append(len(ops))
        ops.append(op)
        before.append({})
        if last[episodes[index]] == index:
            episode = plan.stages[op.stage][0]
            _add_edit(live, episode, now, mine[episode.number], ops, before)
    for link in links:
        waited = before[at[link.after]]
        first = at[link.before]
        waited[first] = max(waited.get(first, 0), minutes(link.wait))
    lasting: dict[int, dict[int, int]] = {}
    for link in links:
        lasts = order[link.before].step.lasts
        if link.kind == GIVES and lasts is not None:
            takers = lasting.setdefault(at[link.before], {})
            takers[at[link.after]] = int(lasts // 60)
    opens, closes, closing, standing = _debts(live, ops)
    tasks = tuple(
        [
            _task(live, op, index, now, pace)._replace(opens=opens[index], closes=closes[index])
            for index, op in enumerate(ops)
        ]
    )
    held: tuple[tuple[Before, ...], ...] = tuple([tuple(sorted(each.items())) for each in before])
    due = {e.number: int(e.publish[1] // 60) for e in plan.build.episodes if e.publish is not None}
    setups = [op.step.setup for op, _ in live.done if op.step.setup is not None]
    soon = {giver: tuple(takers.items()) for giver, takers in lasting.items()}
    job = Job(tasks, held, due, closing, setups[-1] if setups else None, minutes(now), soon, standing=standing)
    untimed = dict.fromkeys(op.name for op in ops if op.step.time is None)
    return Booking(job, tuple(ops), tuple(untimed))


def joined(bookings: Sequence[tuple[str, Booking]]) -> Booking:
    """The work of several builds for one pair of hands, each under its name; dates of an earlier one count first.

    Operations are called ``name:operation``; the episodes of the build at place k are counted from k times EPISODES.
    """
    tasks: list[Task] = []
    before: list[tuple[Before, ...]] = []
    due: dict[int, int] = {}
    lasting: dict[int, tuple[Before, ...]] = {}
    weight: dict[int, int] = {}
    closing: dict[str, Closing] = {}
    standing: set[str] = set()
    for place, (name, booking) in enumerate(bookings):
        job, base, first = booking.job, place * EPISODES, len(tasks)
        for task in job.tasks:
            tasks.append(
                task._replace(
                    name=f"{name}:{task.name}",
                    episode=base + task.episode,
                    setup=None if task.setup is None else f"{name}:{task.setup}",
                    opens=frozenset(f"{name}:{fact}" for fact in task.opens),
                    closes=frozenset(f"{name}:{fact}" for fact in task.closes),
                )
            )
        before += [tuple([(first + earlier, lag) for earlier, lag in each]) for each in job.before]
        for giver, takers in job.lasting.items():
            lasting[first + giver] = tuple([(first + taker, most) for taker, most in takers])
        due.update({base + episode: when for episode, when in job.due.items()})
        weight.update({base + episode: _FIRST ** (len(bookings) - 1 - place) for episode in job.due})
        standing.update([f"{name}:{fact}" for fact in job.standing])
        closing.update({f"{name}:{fact}": Closing(f"{name}:{c.name}", c.minutes) for fact, c in job.closing.items()})
    start = bookings[0][1].job.start
    job = Job(tuple(tasks), tuple(before), due, closing, None, start, lasting, weight, frozenset(standing))
    ops = tuple([op for _, booking in bookings for op in booking.ops])
    untimed = tuple([f"{name}:{op}" for name, booking in bookings for op in booking.untimed])
    return Booking(job, ops, untimed)


def _add_edit(
    live: Live, episode: Episode, now: float, behind: Sequence[int], ops: list[Operation], before: list[dict[int, int]]
) -> None:
    """The edit of an episode, behind all its operations; none where it is ticked, or the episode is out."""
    op = live.by_name.get(edit_name(episode.number))
    out = not behind and episode.publish is not None and episode.publish[1] <= now
    if op is None or op.name in live.times or out:
        return
    ops.append(op)
    before.append(dict.fromkeys(behind, 0))


def _task(live: Live, op: Operation, index: int, now: float, pace: float) -> Task:
    kind = live.plan.build.kinds.get(op.step.kind or "")
    place = DESK if op.step.where == "desk" else SHOP
    full = kind is not None and kind.full_time  # a watch lasts as long as it must, however fast the hands are
    episode = live.plan.stages[op.stage][0].number
    return Task(
        op.name,
        minutes((op.step.time or 0) * (1.0 if full else pace)),
        place,
        kind is not None and kind.one_go,
        episode,
        op.step.setup,
        op.step.hands > 1,
        max(minutes(now), _release(live, op, now)),
    )


def _release(live: Live, op: Operation, now: float) -> int:
    """When the waits since ticks are over for an operation: of what it needs, its round before, what it comes after."""
    until = max((wait.until for wait in live.waits(op, now)), default=now)
    names = {step for _, step in op.after}
    for done, at in live.done if names else ():
        if done.step.id in names and done.step.wait:
            until = max(until, at + live.wait(done))
    return minutes(until)


def _debts(
    live: Live, ops: Sequence[Operation]
) -> tuple[list[frozenset[str]], list[frozenset[str]], dict[str, Closing], frozenset[str]]:
    """What each operation opens and closes of that which is owed by the shift's end, what closes it, and what was
    opened by what is done and stands open.

    A debt is told apart by its fact and by who closes it next: the watch of this episode, not of the one before.
    """
    owed = {fact: what for fact, what in owed_facts(live.plan).items() if what.by == "shift"}
    opens: list[frozenset[str]] = [frozenset()] * len(ops)
    closing: dict[str, Closing] = {}
    named: dict[str, set[str]] = {}
    if not owed:
        return opens, opens, closing, frozenset()
    next_: dict[str, Operation] = {}

    def debts(facts: Iterable[str]) -> frozenset[str]:
        """What is owed for facts that are opened, by who closes each next."""
        found = set()
        for fact in facts:
            closer = next_.get(fact)
            if closer is not None:
                debt = f"{fact} {closer.name}"
                found.add(debt)
                named.setdefault(fact, set()).add(debt)
                closing[debt] = Closing(closer.name, minutes(closer.step.time or 0))
        return frozenset(found)

    for op in (*live.plan.reworks.values(), *(op for op, _ in live.done)):
        next_.update(dict.fromkeys((op.gives | op.job_gives) & owed.keys(), op))
    gives = [(op.gives | op.job_gives) & owed.keys() for op in ops]
    for index in range(len(ops) - 1, -1, -1):
        op = ops[index]
        opens[index] = debts(((op.spoils | op.late_spoils) & owed.keys()) - gives[index])
        next_.update(dict.fromkeys(gives[index], op))
    done = [op for op, _ in live.done if not is_passing(op.name)]
    standing = debts(sorted(opened_facts(live.plan, owed, done)))
    closes = [frozenset(d for fact in each for d in named.get(fact, ())) for each in gives]
    return opens, closes, closing, standing
