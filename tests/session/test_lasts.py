"""What a step gives for so long only: judged at the later tick, else now, against a second meaning written here."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any, NamedTuple

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.build.reading import read_build
from planner.plan.expand import Plan
from planner.plan.live import Live
from planner.plan.names import is_passing
from planner.session.onebuild import OneBuild, Refusal, Ticked, plan_of
from tests.support.builds import write_files
from tests.support.clock import Clock

BUILD = """format: 1
build: Bright faces
sides: [left, right]
conditions:
  face.bright: {kept: side, means: bare metal and no rust yet}
  face.primed: {kept: side, means: primer on}
"""
EPISODE = """format: 1
episode: 1
title: Faces
stages:
  - stage: Faces
    any-time: true
    steps:
      - step: clean
        do: Grind it bright
        gives: [face.bright]
        lasts: 30 min
      - step: prime
        do: Prime it
        needs: [face.bright]
        gives: [face.primed]
      - step: oil
        do: Wipe it with oil
        rework: true
        spoils: [face.bright]
      - step: look
        do: Look at it
        needs: [face.bright]
"""
LASTS = 1800.0
START = 1_790_000_000.0


def folder_of(folder: Path) -> Path:
    """That build on the disk."""
    return write_files(folder, {"build.yaml": BUILD, "episodes/01-faces.yaml": EPISODE})


@cache
def _plan() -> Plan:
    with TemporaryDirectory() as place:
        return plan_of(read_build(folder_of(Path(place))))


class Failed(NamedTuple):
    """A need that fails: which operation, why, whose work it was."""

    op: str
    rule: str
    cause: str | None


def meant(done: list[tuple[str, float]], remaining: list[str], now: float) -> list[Failed]:
    """The meaning, told plainly: each operation looks at who gave last, and how long ago by its own clock."""
    found: list[Failed] = []
    gave: dict[str, tuple[str, float]] = {}  # side -> who gave it last, and when
    undone: dict[str, tuple[str, str]] = {}  # side -> why it is no more, and whose work that is
    ever: set[str] = set()
    for name, at in [*done, *((each, max(now, START)) for each in remaining)]:
        step, _, side = name.partition("@")
        if step in ("prime", "look"):
            if side in gave and at - gave[side][1] > LASTS:
                found.append(Failed(name, "gone-off", gave[side][0]))
            elif side not in gave and side in ever:
                found.append(Failed(name, *undone[side]))
            elif side not in gave:
                found.append(Failed(name, "later", None))
        if step == "clean":
            gave[side] = (name, at)
            ever.add(side)
        elif step == "oil" and side in gave:
            giver, when = gave.pop(side)  # what had gone off by then was not there to be undone
            undone[side] = ("gone-off", giver) if at - when > LASTS else ("spoiled", name)
    return found


WORK = st.lists(
    st.tuples(
        st.sampled_from(["clean", "prime", "oil", "look"]), st.sampled_from(["left", "right"]), st.integers(-25, 50)
    ),
    max_size=9,
)


@given(work=WORK, later=st.integers(0, 80))
@settings(max_examples=250, deadline=None)
def test_it_is_what_is_meant(work: list[tuple[str, str, int]], later: int) -> None:
    """Also where the clock runs backwards: what is recorded later was done when it says."""
    plan, at = _plan(), START
    done: list[tuple[str, float]] = []
    live = Live(plan)
    for step, side, minutes in work:
        at = max(START, at + 60.0 * minutes)
        done.append((f"{step}@{side}", at))
        live.do(plan.by_name[f"{step}@{side}"], at)
    now = at + 60.0 * later
    live.look_at(now)
    remaining = [op.name for op in live.remaining()]
    expected = meant(done, remaining, now)
    found: list[Failed] = []
    for each in live.findings():
        if each.condition is not None and each.level != "notice":
            rule = each.rule if each.rule in ("gone-off", "spoiled") else "later"
            cause = each.cause if rule != "later" else None
            found += [Failed(name, rule, cause) for name in (each.at, *each.also)]
    # one doing and another of the same operation may fail for one cause: both tell each once
    assert sorted(set(found)) == sorted(set(expected))
    assert not any(is_passing(name) for each in live.findings() for name in (each.at, each.cause or "", *each.also))


def opened(tmp_path: Path, clock: Clock) -> OneBuild:
    """That build, open."""
    return OneBuild(folder_of(tmp_path), "here", clock)


def test_a_tick_in_time_is_a_tick_and_one_too_late_is_stopped(tmp_path: Path) -> None:
    clock = Clock(START)
    one = opened(tmp_path, clock)
    assert isinstance(one.tick("clean@left"), Ticked)
    prime = one.live.by_name["prime@left"]
    clock.now = START + LASTS
    assert one.state_of(prime).ready
    assert not [each for each in one.found() if each.rule == "gone-off"]
    clock.now += 1
    assert not one.state_of(prime).ready
    assert one.state_of(prime).missing == ("face.bright@left",)
    (trap,) = [each for each in one.found() if each.rule == "gone-off"]
    assert (trap.at, trap.also, trap.cause, trap.level) == ("prime@left", ("look@left",), "clean@left", "trap")
    assert "which clean@left gave and which lasted only 30 min" in trap.says
    assert "Do clean@left again first." in trap.says
    refused = one.tick("prime@left")
    assert isinstance(refused, Refusal)
    assert [each.rule for each in refused.findings] == ["gone-off"]
    assert isinstance(one.tick("prime@left", at=START + 60), Ticked)  # it was done in time, and is written down now
    assert [each.at for each in one.found() if each.rule == "gone-off"] == ["look@left"]
    assert isinstance(one.tick("clean@left", "again"), Ticked)
    assert not [each for each in one.found() if each.rule == "gone-off"]


def test_it_is_read_back_and_undone(tmp_path: Path) -> None:
    """A new process says the same; taking the renewal back brings the end of the first back."""
    clock = Clock(START)
    one = opened(tmp_path, clock)
    one.tick("clean@left")
    clock.now += LASTS + 60
    one.tick("clean@left", "again")
    for _ in range(2):
        assert not [each for each in one.found() if each.rule == "gone-off"]
        one = OneBuild(tmp_path, "there", clock)
    one.tick("clean@left", "undone", anyway=True)
    assert [each.rule for each in one.found() if each.condition and each.at.endswith("left")] == ["gone-off"]


def test_commands_say_it(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from planner.commands import main

    folder = str(folder_of(tmp_path))
    assert main(["tick", folder, "clean@left", "--now", "2026-12-15T12:00:00Z"]) == 0
    capsys.readouterr()

    def asked(*argv: str) -> Any:
        main([*argv, "--json"])
        return json.loads(capsys.readouterr().out)

    rules = {}
    for minute in (20, 40):
        now = f"2026-12-15T12:{minute}:00Z"
        found = asked("check", folder, "--now", now)["findings"]
        rules[minute] = [each["rule"] for each in found if each["rule"] == "gone-off"]
        assert "(gone" not in json.dumps(found)
        steps = {each["op"]: each for each in asked("steps", folder, "--now", now)["operations"]}
        assert steps["prime@left"]["ready"] == (minute == 20)
    assert rules == {20: [], 40: ["gone-off"]}
    assert main(["tick", folder, "(gone face.bright@left)"]) == 2


@pytest.mark.parametrize("lasts", ["0 min", "-5 min", "soon", "30", "[30 min]", "20 min\n        wait: 20 min"])
def test_what_would_never_be_there_is_a_located_problem(tmp_path: Path, lasts: str) -> None:
    folder = write_files(tmp_path, {"build.yaml": BUILD, "episodes/01-faces.yaml": EPISODE.replace("30 min", lasts, 1)})
    found = read_build(folder)
    assert found.build is None
    (problem,) = found.problems
    assert problem.line == 11
    assert "lasts:" in problem.message
