"""Numbers as the work has measured them: what ticks read, put into the numbers that the plan shows."""

from __future__ import annotations

from pathlib import Path

from planner.plan.expand import Plan
from planner.plan.readings import Readings, readings

#: Name -> side ("" for the whole job) -> the reading as typed; None: it was read, and later work spoiled it.
Measured = dict[str, dict[str, str | None]]


def with_readings(plan: Plan, found: Readings) -> Plan:
    """A plan whose numbers are measured where they were read and not spoiled since."""
    numbers = plan.build.numbers
    if not found or not numbers:
        return plan
    from planner.numbers.together import StepNumbers

    if not isinstance(numbers, StepNumbers):
        return plan
    return plan._replace(build=plan.build._replace(numbers=numbers.with_measured(measured(found))))


def measured(found: Readings) -> Measured:
    """Readings as calculators take them."""
    return {
        name: {side: None if read.lost_to else read.text for side, read in sides.items()}
        for name, sides in found.items()
    }


def measured_in(folder: Path) -> Measured:
    """What the ticks of a build have read; nothing where its plan cannot be read, or reads nothing."""
    from planner.files.log.ticklog import TickLog
    from planner.plan.ticks import READING, replay

    events = TickLog(folder, None).events
    if not any(event.did == READING for event in events):
        return {}
    from planner.files.build.reading import read_build
    from planner.plan.expand import expand

    build = read_build(folder).build
    if build is None or not any(
        step.reads for episode in build.episodes for stage in episode.stages for step in stage.steps
    ):
        return {}
    return measured(readings(expand(build), replay(events).entries))
