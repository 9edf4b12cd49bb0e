"""What the folder and the logs of a build hold that its plan does not use: where it is, and what of it."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from planner.files.build.copies import copies_in
from planner.files.log.ticklog import TickLog
from planner.plan.expand import Plan
from planner.plan.names import step_of
from planner.plan.ticks import AGAIN, DONE, LATE, Ticks

_DOES = (DONE, AGAIN, LATE)


class Noticed(NamedTuple):
    """Something that is not used: its place, and what there is to say of it."""

    where: str
    says: str

    def __str__(self) -> str:
        return f"{self.where}: {self.says}"


def log_notices(log: TickLog, plan: Plan, ticks: Ticks, strays: Sequence[str]) -> list[Noticed]:
    """A line for each record that cannot be used, each tick whose operation is gone, and each that came twice."""
    found = [Noticed(f"{notice.path}:{notice.line}", notice.says) for notice in log.notices]
    ticked = {event.op: event for event in log.events if event.did in _DOES} if strays else {}
    for op in strays:
        event = ticked.get(op)
        where = log.folder if event is None else log.place_of(event)
        says = (
            f"{op} is ticked, but {_reason(plan, op)}; the tick is kept: give the step its old name or shape back,"
            " or tick again"
        )
        found.append(Noticed(str(where), says))
    for event in ticks.doubles:
        says = f"{event.op} was ticked a second time by {event.by}; once counts"
        found.append(Noticed(log.place_of(event), says))
    return found


def copy_notices(folder: Path) -> list[Noticed]:
    """A line for each copy of a plan file that a file sync left beside it."""
    return [
        Noticed(
            f"{copy.path}:1",
            f"looks like a copy of {copy.of.name} that a file sync left; it is not read: take from it what is missing,"
            " then move it away",
        )
        for copy in copies_in(folder)
    ]


def _reason(plan: Plan, name: str) -> str:
    step = step_of(name)
    now = [op.name for op in plan.operations if op.step.id == step]
    if not now:
        return f"the plan has no step {step} any more"
    shown = ", ".join(now[:3]) + (" …" if len(now) > 3 else "")
    return f"the step {step} now has other rounds or sides ({shown})"
