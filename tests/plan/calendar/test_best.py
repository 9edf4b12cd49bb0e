"""The calendars that are found, against the best that CP-SAT proves."""

from __future__ import annotations

from planner.plan.calendar.search import find_calendar
from planner.plan.calendar.values import Job, Shift, Task
from tests.bench.bench_calendar import job_of, shifts_for, solved
from tests.oracle.schedule import faults


def test_none_is_better_than_the_proved_best_and_most_are_it() -> None:
    """library: OR-tools CP-SAT, closed hours as fixed intervals; 14 operations are proved in no time."""
    same = 0
    for seed in range(12):
        job = job_of(14, seed)
        shifts = shifts_for(sum(task.minutes for task in job.tasks))
        booked = find_calendar(job, shifts)
        best = solved(job, shifts, 20)
        assert best is not None
        assert faults(job, shifts, booked.parts) == []
        assert booked.cost[:2] >= best
        same += booked.cost[:2] == best
    assert same >= 10


def test_no_hours_are_left_empty_for_nothing() -> None:
    """The end hangs on the desk: the shop's work goes as early as it can all the same."""
    shifts = [Shift(day * 1440 + 600, day * 1440 + 720, "shop") for day in range(40)]
    shifts += [Shift(day * 1440 + 800, day * 1440 + 860, "desk") for day in range(40)]
    tasks = (
        Task("order", 10, "shop", True, 1),
        Task("fit", 60, "shop", True, 1),
        Task("saw", 60, "shop", True, 1),
        Task("edit", 60, "desk", True, 1),
    )
    job = Job(tasks, ((), ((0, 10 * 1440),), (), ((0, 30 * 1440),)))
    for tries in (0, 60, None):
        booked = find_calendar(job, sorted(shifts), tries)
        assert booked.starts[2] == 610
        assert booked.ends[3] == booked.cost.finish
