"""Which numbers are measured: a tick's reading stands in for a number until later work spoils what its step gave."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.fill import JOB
from planner.plan.ticks import Entry


class Read(NamedTuple):
    """The latest reading of a number on a side: as typed, who took it, and what has spoiled it since, if anything."""

    text: str
    op: str
    lost_to: str | None = None


#: Name -> side ("" for the whole job) -> the latest reading. What was never read is not in it.
Readings = Mapping[str, Mapping[str, Read]]


def reads_where(op: Operation) -> tuple[str, str] | None:
    """The number and the side that a reading of an operation is about.

    A number of the whole job is read by a step that is done once; a step on a side reads that side's.
    """
    reads = op.step.reads
    return None if reads is None else (reads.name, reads.side or op.side or JOB)


def readings(plan: Plan, entries: Iterable[Entry]) -> dict[str, dict[str, Read]]:
    """The readings that ticks add up to, in the order in which the work was done.

    A reading stands until an operation lists among its spoils, held or not, a condition that the step gives which
    took it; where that step gives nothing, until the next reading.
    """
    found: dict[str, dict[str, Read]] = {}
    for entry in entries:
        op = plan.by_name.get(entry.op)
        if op is not None:
            take(found, plan, op, entry.reading)
    return found


def take(found: dict[str, dict[str, Read]], plan: Plan, op: Operation, reading: str | None) -> bool:
    """Move readings on by one operation; whether any changed."""
    changed = False
    spoils = op.spoils | op.late_spoils
    if spoils:
        for sides in found.values():
            for side, read in sides.items():
                if read.lost_to is None and not spoils.isdisjoint(_given(plan.by_name[read.op])):
                    sides[side] = read._replace(lost_to=op.name)
                    changed = True
    where = reads_where(op)
    if where is not None and reading:
        found.setdefault(where[0], {})[where[1]] = Read(reading, op.name)
        changed = True
    return changed


def _given(op: Operation) -> frozenset[str]:
    return op.gives | op.job_gives | op.at_once
