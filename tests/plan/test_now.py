"""What to do now: what fits before closing, what does not, and why."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from planner.plan import now as known
from planner.plan.live import Live
from planner.plan.now import Choice, Hours, choices
from planner.session.calendar import make_calendar
from planner.session.onebuild import OneBuild
from planner.session.rightnow import Now, due_tonight
from planner.telling.now import owed_later
from planner.telling.shift import shift_lines
from tests.plan.builds import plan_of, write
from tests.support.commandline import run, run_json

DEMOS = Path(__file__).resolve().parents[2] / "projects"

STAGES = """  - stage: Bench
    any-time: true
    steps:
      - {step: long, do: Long, sides: once, time: 3 h}
      - {step: quick, do: Quick, sides: once, time: 20 min, setup: bench}
      - {step: glue, do: Glue, sides: once, time: 10 min, wait: 9 h, gives: [stuck]}
      - {step: lift, do: Lift, sides: once, time: 10 min, needs: [stuck]}
"""
JOB = "conditions: {stuck: {kept: job, means: the glue is hard}}\n"


@pytest.fixture
def found(tmp_path: Path) -> dict[str, Choice]:
    live = Live(plan_of(write(tmp_path, STAGES, job=JOB)))
    return {choice.op.name: choice for choice in choices(live, 0.0, Hours({"shop": 3600.0}))}


def test_only_what_may_begin_is_offered(found: dict[str, Choice]) -> None:
    assert set(found) == {"long", "quick", "glue"}


def test_what_is_too_long_does_not_fit_and_says_how_long(found: dict[str, Choice]) -> None:
    assert not found["long"].fits
    assert known.Reason(known.TOO_LONG, "", 3 * 3600) in found["long"].why
    assert found["quick"].fits
    assert found["quick"].ends == 20 * 60
    assert known.Reason(known.FITS, "", 2400) in found["quick"].why


def test_what_fits_comes_first_and_of_that_the_critical(found: dict[str, Choice]) -> None:
    assert list(found) == ["glue", "quick", "long"]
    assert known.Reason(known.CRITICAL, "", 600 + 9 * 3600 + 600) in found["glue"].why
    assert known.Reason(known.LONG_WAIT, "", 9 * 3600) in found["glue"].why


def test_without_hours_everything_fits(tmp_path: Path) -> None:
    live = Live(plan_of(write(tmp_path, STAGES, job=JOB)))
    assert all(choice.fits for choice in choices(live, 0.0, Hours(None)))


def test_the_command_goes_by_the_time_there_is(tmp_path: Path) -> None:
    write(tmp_path, STAGES, job=JOB)
    _, data = run_json("now", str(tmp_path), "--now", "2027-01-01T10:00Z", "--for", "15min")
    assert data["until"] == "2027-01-01T10:15:00.000Z"
    assert {each["op"]: each["fits"] for each in data["choices"]} == {"glue": True, "long": False, "quick": False}


BLOCKED = """  - stage: First
    steps:
      - {step: opened, do: Open, sides: once, time: 10 min, needs: [stuck]}
  - stage: Second
    steps:
      - {step: glue, do: Glue, sides: once, time: 10 min, gives: [stuck]}
"""


def test_where_the_next_cannot_be_done_what_is_free_further_on_is_offered(tmp_path: Path) -> None:
    live = Live(plan_of(write(tmp_path, BLOCKED, job=JOB)))
    found = choices(live, 0.0, Hours(None))
    assert [choice.op.name for choice in found] == ["glue"]
    assert known.Reason(known.AHEAD, "opened") in found[0].why


def test_what_is_owed_later_names_each_once_with_its_sides_and_not_what_is_due_tonight() -> None:
    debts = ("weld.watched", "tube.filled@left", "tube.filled@right", "brake.together")
    found = Now(0.0, None, True, (), (), debts, tonight=("weld.watched",))
    assert owed_later(found) == "tube.filled (left, right), brake.together"


def test_the_first_shift_says_what_was_opened_tonight_and_is_still_open(tmp_path: Path) -> None:
    shutil.copytree(DEMOS / "dunlin-pickup", tmp_path / "dunlin-pickup")
    now = ("--builds", str(tmp_path), "--now", "2027-03-18T22:00Z")
    assert run("tick", "dunlin-pickup", "tacks#1@driver", "--anyway", *now)[0] == 0
    _, out, _ = run("now", "dunlin-pickup", *now)
    assert "close before you leave: housing.watched@driver" in out
    one = OneBuild(tmp_path / "dunlin-pickup", "bench", lambda: 1805493600.0)
    assert due_tonight(one) == ("housing.watched@driver",)
    made = make_calendar([one], tries=0)
    first, second = made.results.spells[:2]
    said = "housing.watched@driver: open from what was done"
    assert said in str(shift_lines(one, made, first))
    assert said not in str(shift_lines(one, made, second))
