"""Calendars of the demo builds, begun and half-way, judged apart."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

import pytest

from planner.session.calendar import make_calendar
from planner.session.onebuild import OneBuild
from tests.oracle.schedule import faults
from tests.support.readings import passing

DEMOS = Path(__file__).resolve().parents[2] / "projects"
NOW = 1_795_716_000.0  # 2026-11-26 18:00 UTC, a Thursday


@pytest.mark.parametrize("part", [0, 2], ids=["begun", "half-way"])
@pytest.mark.parametrize("name", ["dunlin-pickup", "hay-trailer"])
def test_no_demo_has_a_calendar_that_the_judge_refuses(tmp_path: Path, name: str, part: int) -> None:
    folder = tmp_path / name
    copytree(DEMOS / name, folder, ignore=lambda _, names: [each for each in names if each == "log"])
    one = OneBuild(folder, "test", lambda: NOW)
    ops = one.plan.operations
    for index, op in enumerate(ops[: len(ops) // part] if part else ()):
        one.tick(op.name, at=NOW - 86400 * 30 + index * 60, anyway=True, remarks=passing(op))
    made = make_calendar(one, tries=100)
    assert faults(made.booking.job, made.shifts, made.booked.parts) == []
    booked = {part.name for spell in made.results.spells for part in spell.parts}
    assert {op.name for op in one.live.remaining()} <= booked
