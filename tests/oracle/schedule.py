"""Whether a calendar is allowed, judged apart: nothing of planner's own booking is used here.

It walks minute sets, slowly and plainly: what stands in no shift, overlaps, starts too soon, is split where it may not
be, or leaves a shift with a debt open.
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from planner.plan.calendar.values import Job, Part, Shift


def faults(job: Job, shifts: Sequence[Shift], parts: Sequence[Part]) -> list[str]:
    """Everything that is wrong with the parts as a calendar of the job."""
    found: list[str] = []
    by_time = sorted(parts, key=lambda part: (part.start, part.end))
    for earlier, later in pairwise(by_time):
        if earlier.end > later.start:
            found.append(f"{earlier.name} and {later.name} overlap")
    has_desk = any(shift.place == "desk" for shift in shifts)
    place_of = {task.name: task.place if has_desk else "shop" for task in job.tasks}
    mine: dict[str, list[Part]] = {}
    for part in by_time:
        if part.name in place_of:
            mine.setdefault(part.name, []).append(part)
        holders = [s for s in shifts if s.place == part.place and s.start <= part.start and part.end <= s.end]
        if not holders:
            found.append(f"{part.name} stands in no shift")
    for index, task in enumerate(job.tasks):
        own = mine.get(task.name, [])
        if not own:
            found.append(f"{task.name} is not booked")
            continue
        if sum(part.end - part.start for part in own) != task.minutes:
            found.append(f"{task.name} has the wrong time")
        if any(part.place != place_of[task.name] for part in own):
            found.append(f"{task.name} is in the wrong place")
        if own[0].start < max(task.release, job.start):
            found.append(f"{task.name} starts before its time")
        for before, lag in job.before[index]:
            if mine.get(job.tasks[before].name) and own[0].start < mine[job.tasks[before].name][-1].end + lag:
                found.append(f"{task.name} starts too soon after {job.tasks[before].name}")
        found += _split(task.name, task.whole, own, shifts)
        for part in own if task.helped else []:
            shift = next(s for s in shifts if s.place == part.place and s.start <= part.start and part.end <= s.end)
            if shift.helped is not None and not any(a <= part.start and part.end <= b for a, b in shift.helped):
                found.append(f"{task.name} has no helper")
    return found + _debts(job, shifts, by_time)


def _split(name: str, whole: bool, own: Sequence[Part], shifts: Sequence[Shift]) -> list[str]:
    if len(own) == 1:
        return []
    found = [f"{name} is split and may not be"] if whole else []
    if any(part.end - part.start < 15 for part in own):
        found.append(f"{name} has a part under 15 minutes")
    row = sorted(s for s in shifts if s.place == own[0].place)
    at = [next(k for k, s in enumerate(row) if s.start <= part.start and part.end <= s.end) for part in own]
    if at != list(range(at[0], at[0] + len(own))):
        found.append(f"{name} does not go on in the next shift")
    if any(part.start != row[k].start for part, k in zip(own[1:], at[1:], strict=True)):
        found.append(f"{name} is not first in the next shift")
    return found


def _debts(job: Job, shifts: Sequence[Shift], parts: Sequence[Part]) -> list[str]:
    """Walk each shift: who opened what, and whether it is closed when the shift ends; split work ends its shift."""
    tasks = {task.name: task for task in job.tasks}
    ends = {part.name: part.end for part in parts}
    found = []
    for shift in shifts:
        here = [p for p in parts if p.place == shift.place and shift.start <= p.start and p.end <= shift.end]
        first = shift.place == "shop" and shift is min((s for s in shifts if s.place == "shop"), key=lambda s: s.start)
        open_: set[str] = set(job.standing) if first else set()
        for part in here:
            if part.name not in tasks:
                name = part.name[1:-1]
                if part.end - part.start not in [c.minutes for c in job.closing.values() if c.name == name]:
                    found.append(f"{part.name} has the wrong time")
                open_ -= {fact for fact in open_ if job.closing[fact].name == name}
                continue
            task = tasks[part.name]
            open_ |= task.opens
            if ends[part.name] == part.end:
                open_ -= task.closes
            else:
                behind = [p for p in here if p.start >= part.end and p is not part]
                if any(p.name in tasks for p in behind):
                    found.append(f"{part.name} is left off and other work follows")
                last = behind[-1].end if behind else part.end
                if last != shift.end:
                    found.append(f"{part.name} is left off before the shift's end")
        owed = {fact for fact in open_ if fact in job.closing}
        if owed:
            found.append(f"a shift ends with {sorted(owed)} open")
    return found
