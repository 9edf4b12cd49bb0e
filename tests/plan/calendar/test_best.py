"""The calendars that are found, against the best that CP-SAT proves."""

from __future__ import annotations

from planner.plan.calendar.search import find_calendar
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
