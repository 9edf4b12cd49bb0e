"""A booked job, read: shift by shift, what cools meanwhile, publish dates, room, and by when a part must be ordered."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.plan.calendar.network import followers, network
from planner.plan.calendar.values import Booked, Job, Part, Shift

#: minutes of waiting from which a step is thought of as something that is ordered, sent away or left for days
LONG_WAIT = 24 * 60

Running = tuple[str, int]  # operation, and the minute until when its wait runs


class Spell(NamedTuple):
    """One shift with what is done in it and what cools meanwhile."""

    start: int
    end: int
    place: str
    parts: tuple[Part, ...]
    cooling: tuple[Running, ...]
    helped: tuple[tuple[int, int], ...] | None = None


class Publish(NamedTuple):
    """An episode's publish date: the minute it is due, the minute it is ready (None: nothing known), minutes late."""

    episode: int
    due: int
    ready: int | None
    late: int


class Results(NamedTuple):
    """A calendar, as everybody who shows it takes it. Times are whole minutes since 1970, UTC."""

    start: int
    spells: tuple[Spell, ...]
    publish: tuple[Publish, ...]
    finish: int
    set_ups: int
    critical: tuple[str, ...]
    floats: Mapping[str, int]  # minutes
    order_by: tuple[tuple[str, int], ...]  # operations with a wait of a day or more, and the last minute to start them


def results_of(
    job: Job,
    booked: Booked,
    shifts: Sequence[Shift],
    waits: Sequence[int],
    running: Sequence[Running],
    ready: Mapping[int, int],
) -> Results:
    """``waits``: of each task, its minutes; ``running``: waits since ticks; ``ready``: of episodes with nothing
    left, when that was."""
    cooling = [*running]
    for index, wait in enumerate(waits):
        if wait:
            cooling.append((job.tasks[index].name, booked.ends[index] + wait))
    begun = {
        name: until - wait for (name, until), wait in zip(cooling[len(running) :], filter(None, waits), strict=True)
    }
    spells = []
    parts = list(booked.parts)
    for shift in shifts:
        mine = [
            part for part in parts if part.place == shift.place and shift.start <= part.start and part.end <= shift.end
        ]
        if mine:
            parts = [part for part in parts if part not in mine]
            cool = [(op, until) for op, until in cooling if until > shift.start and begun.get(op, 0) < shift.end]
            spells.append(Spell(shift.start, shift.end, shift.place, tuple(mine), tuple(cool), shift.helped))
    done: dict[int, int] = {}
    for index, task in enumerate(job.tasks):
        done[task.episode] = max(done.get(task.episode, 0), booked.ends[index])
    publish = []
    for episode, due in job.due.items():
        when = done.get(episode, ready.get(episode))
        late = max(0, done[episode] - due) if episode in done else 0
        publish.append(Publish(episode, due, when, late))
    room = network(job)
    names = [task.name for task in job.tasks]
    return Results(
        job.start,
        tuple(spells),
        tuple(publish),
        booked.cost.finish,
        booked.cost.set_ups,
        tuple([names[index] for index in room.critical()]),
        dict(zip(names, room.floats(), strict=True)),
        tuple(_order_by(job, booked, waits)),
    )


def _order_by(job: Job, booked: Booked, waits: Sequence[int]) -> list[tuple[str, int]]:
    """The last minute at which long waits may begin, so that what waits for them starts when this calendar says."""
    found = []
    after = followers(job)
    for index, wait in enumerate(waits):
        latest = min((booked.starts[later] - lag for later, lag in after[index] if lag), default=None)
        if wait >= LONG_WAIT and latest is not None:
            found.append((job.tasks[index].name, latest - job.tasks[index].minutes))
    return found
