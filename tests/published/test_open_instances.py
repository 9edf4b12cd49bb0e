"""Instances with minimal time lags from open data, their resources taken as one: the person. Proved by CP-SAT.

Data: google/or-tools, ortools/scheduling/testdata/ubo_10_psp2.sch and testset_mm30_psp3.sch (Apache License 2.0), from
the RCPSP/max and MRCPSP/max sets made by ProGen/max (Schwindt). Kept are the times, in the first mode of each activity,
and the lags from start to start that are not negative; the maximal ones and the amounts of the resources are left out.
A lag of the source counts from the start; no two overlap, so that what it asks behind the end is the rest of it.
"""

from __future__ import annotations

import pytest

from planner.plan.calendar.search import find_calendar
from planner.plan.calendar.values import Job, Shift, Task
from tests.bench.bench_calendar import solved_or_not
from tests.oracle.schedule import faults

# activity: time, then who may start so long after its start
UBO_10_PSP2 = """
1: 4  5+9
2: 4  6+8
3: 10 7+24
4: 10 9+22
5: 3  8+4
6: 1  10+3
7: 8  11+8
8: 10 11+10
9: 9  11+9
10: 5 11+5
11: 0
"""
MM30_PSP3 = """
1: 6  10+1
2: 2  9+2 28+2
3: 10 31+10 23+14
4: 5  27+6
5: 4  30+0 31+4
6: 2  9+0 31+2
7: 8  3+14 11+15
8: 7  4+5
9: 6  15+7
10: 5 16+8 25+8
11: 4 31+4 29+5
12: 8 26+8
13: 6 31+6 16+7 20+8
14: 7 22+6
15: 3 21+3 31+3
16: 8 30+12 5+3 31+8
17: 8 31+8 18+7
18: 7 31+7 29+3 11+1
19: 1 24+0
20: 9 16+0 31+9
21: 6 13+10
22: 3 18+3 7+4
23: 3 17+0 11+5
24: 4 31+4 6+3
25: 4 8+2 4+5
26: 2 14+1 11+2
27: 8 12+1
28: 3 19+3
29: 8 31+8
30: 3 31+3
31: 0
"""
ALWAYS = [Shift(0, 1000, "shop")]
EVENINGS = [Shift(day * 60, day * 60 + 25, "shop") for day in range(40)]


def job_of(written: str) -> Job:
    """The activities in an order that keeps the lags; a name is the number of the source."""
    times: dict[str, int] = {}
    lags: dict[str, list[tuple[str, int]]] = {}
    for row in written.strip().splitlines():
        name, rest = row.split(":")
        minutes, *after = rest.split()
        times[name] = int(minutes)
        lags[name] = [(later, int(lag)) for later, _, lag in (each.partition("+") for each in after)]
    order: list[str] = []
    while len(order) < len(times):
        held = {later for name, after in lags.items() if name not in order for later, _ in after}
        order += [name for name in times if name not in order and name not in held]
    place = {name: index for index, name in enumerate(order)}
    before: list[list[tuple[int, int]]] = [[] for _ in order]
    for name in order:
        for later, lag in lags[name]:
            before[place[later]].append((place[name], max(0, lag - times[name])))
    tasks = [Task(name, times[name], "shop", True, 1) for name in order]
    return Job(tuple(tasks), tuple(tuple(each) for each in before), {1: 0})


@pytest.mark.parametrize("shifts", [ALWAYS, EVENINGS], ids=["always-open", "evenings"])
@pytest.mark.parametrize("written", [UBO_10_PSP2, MM30_PSP3], ids=["ubo_10_psp2", "testset_mm30_psp3"])
def test_the_calendar_ends_with_the_proved_best_or_hardly_later(written: str, shifts: list[Shift]) -> None:
    """library: OR-tools CP-SAT, which proves its answer."""
    job = job_of(written)
    best = solved_or_not(job, shifts, 10)
    assert best is not None
    assert best[2]
    found = find_calendar(job, shifts)
    assert faults(job, shifts, found.parts) == []
    assert best[1] <= found.cost.finish <= best[1] * (1.0 if shifts is ALWAYS else 1.03)
