"""The critical path: how long the links, the times and the waits alone take, hours endless, and who has room."""

from __future__ import annotations

from typing import NamedTuple

from planner.plan.calendar.values import Job


class Network(NamedTuple):
    """Of each task, by index: the earliest and the latest start in minutes, and the minutes of all.

    The method of the critical path, Kelley and Walker 1959, with minimal lags between end and start.
    """

    earliest: tuple[int, ...]
    latest: tuple[int, ...]
    length: int

    def floats(self) -> list[int]:
        """How many minutes each task may be put off with the whole no longer."""
        return [late - early for early, late in zip(self.earliest, self.latest, strict=True)]

    def critical(self) -> list[int]:
        """The tasks that may not be put off at all."""
        return [index for index, room in enumerate(self.floats()) if room == 0]


def network(job: Job) -> Network:
    """The earliest and latest starts of a job's tasks, counted from its start."""
    earliest: list[int] = []
    for index, task in enumerate(job.tasks):
        start = max(0, task.release - job.start)
        for earlier, lag in job.before[index]:
            start = max(start, earliest[earlier] + job.tasks[earlier].minutes + lag)
        earliest.append(start)
    length = max((start + task.minutes for start, task in zip(earliest, job.tasks, strict=True)), default=0)
    latest = [length - task.minutes for task in job.tasks]
    for index in range(len(job.tasks) - 1, -1, -1):
        for earlier, lag in job.before[index]:
            latest[earlier] = min(latest[earlier], latest[index] - lag - job.tasks[earlier].minutes)
    return Network(tuple(earliest), tuple(latest), length)


def followers(job: Job) -> list[list[tuple[int, int]]]:
    """Of each task, what waits for it, and how many minutes from its end."""
    found: list[list[tuple[int, int]]] = [[] for _ in job.tasks]
    for index, before in enumerate(job.before):
        for earlier, lag in before:
            found[earlier].append((index, lag))
    return found
