"""Calendars against CP-SAT on the same jobs: lateness, start to finish, and time, as ratios.

Work in one go, waits that are elapsed time, one person; to CP-SAT closed hours are fixed intervals in its no-overlap.
CP-SAT has one worker, so that both use one core, and ten times as long as the search took, ten seconds at least.
Seconds are those of the processor, so that whatever else runs on the machine does not count. Where CP-SAT proves its
answer before that, which it does on small jobs in hundredths of a second, the line says so; ours ends early only
where it reaches a bound of its own.
"""

from __future__ import annotations

import random
import sys
import time
from itertools import pairwise
from typing import NamedTuple

from ortools.sat.python import cp_model

from planner.plan.calendar.search import find_calendar
from planner.plan.calendar.values import Job, Shift, Task

SIZES = (30, 100, 300)
SEEDS = (1, 2, 3)


class Compared(NamedTuple):
    """One job: lateness and finish of ours and of CP-SAT's best, its bound on what it weighs, seconds of both."""

    size: int
    seed: int
    late: int
    finish: int
    best_late: int | None
    best_finish: int | None
    seconds: float
    best_seconds: float
    proved: bool


def shifts_for(minutes: int) -> list[Shift]:
    """Two evenings and a Saturday in two halves, for three times as many weeks as the work alone takes, and ten."""
    found = []
    for week in range(minutes * 3 // 810 + 10):
        base = week * 7 * 1440
        spans = ((1, 1110, 1290), (3, 1110, 1290), (5, 510, 720), (5, 780, 1020))
        found += [Shift(base + day * 1440 + a, base + day * 1440 + b, "shop") for day, a, b in spans]
    return found


def job_of(size: int, seed: int) -> Job:
    """A job like a real build: chains with a few long waits, five episodes, dates that are tight."""
    chance = random.Random(seed * 1000 + size)
    tasks, before = [], []
    for index in range(size):
        minutes = chance.choice([5, 10, 10, 15, 20, 20, 30, 45, 60, 90])
        tasks.append(Task(f"t{index}", minutes, "shop", True, index * 5 // size + 1))
        ahead = {chance.randrange(max(0, index - 10), index) for _ in range(chance.randrange(3))} if index else set()
        before.append(tuple((each, chance.choice([0] * 8 + [30, 180, 1440, 10080])) for each in sorted(ahead)))
    work = sum(task.minutes for task in tasks)
    weeks = work / 810
    due = {number: int(weeks * 10080 * number / 5 * chance.choice([0.9, 1.1, 1.3])) for number in range(1, 6)}
    return Job(tuple(tasks), tuple(before), due)


def solved(job: Job, shifts: list[Shift], seconds: float) -> tuple[int, int] | None:
    """CP-SAT's best lateness and finish in that time; None: nothing found."""
    found = solved_or_not(job, shifts, seconds)
    return None if found is None else found[:2]


def solved_or_not(job: Job, shifts: list[Shift], seconds: float) -> tuple[int, int, bool] | None:
    """The same, and whether it is proved. ``seconds``: deterministic ones; six times as many on the wall."""
    model = cp_model.CpModel()
    end = shifts[-1].end
    starts = [model.new_int_var(0, end, task.name) for task in job.tasks]
    spans = [
        model.new_fixed_size_interval_var(start, task.minutes, f"i{task.name}")
        for start, task in zip(starts, job.tasks, strict=True)
    ]
    closed = [(0, shifts[0].start), *((a.end, b.start) for a, b in pairwise(shifts))]
    spans += [model.new_fixed_size_interval_var(a, b - a, f"c{a}") for a, b in closed if b > a]
    model.add_no_overlap(spans)
    for index, before in enumerate(job.before):
        for earlier, lag in before:
            model.add(starts[index] >= starts[earlier] + job.tasks[earlier].minutes + lag)
    finish = model.new_int_var(0, end, "finish")
    lates = []
    for episode, due in job.due.items():
        late = model.new_int_var(0, end, f"late{episode}")
        for index, task in enumerate(job.tasks):
            if task.episode == episode:
                model.add(late >= starts[index] + task.minutes - due)
        lates.append(late)
    for start, task in zip(starts, job.tasks, strict=True):
        model.add(finish >= start + task.minutes)
    model.minimize(sum(lates) * end + finish)
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = 6 * seconds
    solver.parameters.max_deterministic_time = seconds
    solver.parameters.num_workers = 1
    status = solver.solve(model)
    if status not in (cp_model.OPTIMAL, cp_model.FEASIBLE):
        return None
    return sum(solver.value(late) for late in lates), solver.value(finish), status == cp_model.OPTIMAL


def compared(size: int, seed: int, least: float = 10.0) -> Compared:
    """One job, both ways."""
    job = job_of(size, seed)
    shifts = shifts_for(sum(task.minutes for task in job.tasks))
    begin = time.process_time()
    ours = find_calendar(job, shifts).cost
    took = time.process_time() - begin
    begin = time.process_time()
    best = solved_or_not(job, shifts, max(least, 10 * took))
    best_late, best_finish, proved = best if best is not None else (None, None, False)
    spent = time.process_time() - begin
    return Compared(size, seed, ours.late, ours.finish, best_late, best_finish, took, spent, proved)


def main() -> int:
    """One line a job; at the end the mean ratio of start to finish where lateness is the same."""
    ratios = []
    for size in SIZES:
        mine = theirs = 0.0
        later = 0
        for seed in SEEDS:
            got = compared(size, seed)
            begin = shifts_for(0)[0].start
            ratio = None if got.best_finish is None else (got.finish - begin) / (got.best_finish - begin)
            shown = "none" if ratio is None else f"{ratio:.3f}"
            print(
                f"calendar {size:>3} seed {seed}: late {got.late} / {got.best_late}, finish ratio {shown},"
                f" {got.seconds:.2f} s / {got.best_seconds:.2f} s{' proved' if got.proved else ''}",
                flush=True,
            )
            mine, theirs = mine + got.seconds, theirs + got.best_seconds
            later += got.best_late is not None and got.late > got.best_late
            if ratio is not None:
                ratios.append(ratio)
        print(
            f"calendar {size:>3}: time ratio {mine / theirs:.3f}, later than CP-SAT's best in {later} of {len(SEEDS)}"
        )
    print(f"calendar: mean finish ratio {sum(ratios) / max(1, len(ratios)):.3f}, worst {max(ratios, default=0):.3f}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
