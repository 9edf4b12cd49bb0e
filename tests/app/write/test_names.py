"""Calling steps and conditions otherwise everywhere, ticks included; giving episodes other numbers."""

from __future__ import annotations

from itertools import permutations
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from planner.app.shell import PlannerApp
from planner.app.write.namestext import (
    CONDITION,
    STEP,
    Name,
    matching,
    names_of,
    numbers_after,
    rename_lines,
    renumber_lines,
    uses_of,
    wrong_name,
    wrong_number,
)
from planner.files.build.reading import read_build
from planner.plan.expand import Plan
from planner.session.onebuild import OneBuild, plan_of
from planner.telling.looks import plain
from tests.app.support import BRACKETS, logged, write
from tests.support.clock import Clock
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled

SECOND = """\
format: 1
episode: 2
title: Weighed
refers-to: [1]
stages:
  - stage: Scales
    steps:
      - step: weigh
        do: Weigh it   # twice
        sides: once
        after: [clamp, tacks]
"""


@pytest.fixture
def two(tmp_path: Path) -> Path:
    """Two episodes that name one another."""
    return write(tmp_path / "builds", "two", {**BRACKETS, "episodes/02-weighed.yaml": SECOND})


def plan_at(folder: Path) -> Plan:
    """The plan of a build."""
    return plan_of(read_build(folder))


async def shown(app: PlannerApp, pilot: Pilot[Any], text: str) -> None:
    """Wait until something can be read on the screen."""
    for _ in range(100):
        await pilot.pause(0.02)
        if text in screen_text(app):
            return
    raise AssertionError(f"{text} is not shown:\n{screen_text(app)}")


# --- names --------------------------------------------------------------------------------------


def test_every_place_of_a_name_is_told(two: Path) -> None:
    """Each place that is told is a line that the edit changes, and the other way about."""
    plan = plan_at(two)
    assert uses_of(plan, Name(STEP, "clamp", "")) == ["after: of weigh"]
    assert uses_of(plan, Name(STEP, "weigh", "")) == []
    assert uses_of(plan, Name(CONDITION, "tube.smooth", "")) == [
        "start: of the build", "needs: of clamp", "spoils: of weld", "needs: of roll", "gives: of dress",
    ]  # fmt: skip
    clamp = Name(STEP, "clamp", "")
    lines = plain(rename_lines(clamp, "grip", uses_of(plan, clamp), ["clamp@driver", "tacks#1@driver"]))
    assert "clamp@driver  →  grip@driver" in lines and "tacks#1" not in lines
    assert "1 tick goes over" in lines


def test_names_are_looked_up(two: Path) -> None:
    names = names_of(plan_at(two))
    assert {name.what for name in names} == {STEP, CONDITION}
    assert matching(names, "weld")[0].name == "weld"
    assert [name.name for name in matching(names, "condition washer")] == ["spare.washer"]


@pytest.mark.parametrize(
    ("what", "name", "new", "says"),
    [
        (STEP, "clamp", "", "type the new name"),
        (STEP, "clamp", "clamp", "type the new name"),
        (STEP, "clamp", "Clamp it", "not an id for a step"),
        (STEP, "clamp", "weld", "a step weld already"),
        (CONDITION, "jig.true", "jig..true", "not a name for a condition"),
        (CONDITION, "jig.true", "tube.smooth", "a condition tube.smooth already"),
        (STEP, "clamp", "grip", ""),
        (CONDITION, "jig.true", "jig.straight", ""),
    ],
)
def test_what_cannot_be_a_name_is_said(what: str, name: str, new: str, says: str, two: Path) -> None:
    plan = plan_at(two)
    steps = {step.id for _, stage in plan.stages for step in stage.steps}
    found = wrong_name(Name(what, name, ""), new, steps, plan.build.conditions)
    assert says in found and bool(found) == bool(says)


async def test_a_step_is_renamed_with_its_ticks_and_back_again(two: Path) -> None:
    """The files change by the id alone, the log gets one line; undo puts both back."""
    before = {path: path.read_text("utf-8") for path in two.rglob("*.yaml")}
    clock = Clock()
    one = OneBuild(two, "shop", clock)
    for op in ("set-jig", "clamp@driver"):
        one.tick(op)
    async with opened(two, clock=clock, keys="N") as (app, pilot):
        await pilot.press(*"clamp", "enter", *(["backspace"] * 5), *"grip")
        text = screen_text(app)
        assert "after: of weigh" in text and "clamp@driver  →  grip@driver" in text
        await pilot.press("enter")
        await settled(app, pilot)
        text = screen_text(app)
        assert "the step clamp is now grip" in text and "grip, driver" in text
        after = {path: path.read_text("utf-8") for path in two.rglob("*.yaml")}
        assert after == {
            path: text.replace("step: clamp\n", "step: grip\n").replace("[clamp, tacks]", "[grip, tacks]")
            for path, text in before.items()
        }
        assert logged(two)[-1] == ("renamed", "clamp")
        assert "grip@driver" in OneBuild(two).live.times
        await pilot.press("U")
        await shown(app, pilot, "the tick goes over to clamp@driver")  # undoing asks once more, since ticks move
        await pilot.press("2")
        await settled(app, pilot)
        assert {path: path.read_text("utf-8") for path in two.rglob("*.yaml")} == before
        assert "clamp@driver" in OneBuild(two).live.times
        assert OneBuild(two).strays() == []


async def test_a_condition_is_renamed_everywhere(two: Path) -> None:
    before = {path: path.read_text("utf-8") for path in two.rglob("*.yaml")}
    async with opened(two, keys="N") as (app, pilot):
        await pilot.press(*"tube.smooth", "enter", *(["backspace"] * 6), *"flush", "enter")
        await settled(app, pilot)
        assert "the condition tube.smooth is now tube.flush" in " ".join(screen_text(app).split())
    after = {path: path.read_text("utf-8") for path in two.rglob("*.yaml")}
    assert after == {path: text.replace("tube.smooth", "tube.flush") for path, text in before.items()}
    assert logged(two) == []


async def test_what_cannot_be_is_not_written(two: Path) -> None:
    before = {path: path.read_text("utf-8") for path in two.rglob("*.yaml")}
    async with opened(two, keys="N enter") as (app, pilot):
        await pilot.press(*"!", "enter")
        assert "not an id for a step" in screen_text(app)
        await pilot.press("escape", "escape")
        await settled(app, pilot)
        assert screen_text(app).startswith(" plan")
    assert {path: path.read_text("utf-8") for path in two.rglob("*.yaml")} == before


async def test_from_the_list_by_mouse(two: Path) -> None:
    async with opened(two, keys="w N") as (app, pilot):
        await pilot.click("#names", offset=(20, 2))
        await pilot.click("#names", offset=(20, 2))
        assert "rename the step tacks" in screen_text(app)
        await pilot.press("2")
        await pilot.click("KeyLine", offset=(3, 0))
        await settled(app, pilot)
    assert "step: tacks2" in (two / "episodes" / "01-on.yaml").read_text("utf-8")


# --- numbers ------------------------------------------------------------------------------------


def test_a_number_that_is_taken_moves_those_between() -> None:
    """By hand over every order of five episodes: a list from which one is taken out and put in again."""
    present = [2, 3, 5, 8, 9]
    for old, new in permutations(present, 2):
        order = [n for n in present if n != old]
        order.insert(present.index(new), old)
        moved = numbers_after(present, old, new)
        assert [moved.get(n, n) for n in order] == present
        assert moved[old] == new
    assert numbers_after(present, 2, 4) == {2: 4}
    assert numbers_after(present, 2, 2) == {} == numbers_after(present, 1, 4)
    assert wrong_number("0", 1) and wrong_number("x", 1) and wrong_number("3", 3) and wrong_number("²", 3)
    assert not wrong_number("12", 3)


def test_references_that_follow_are_told(two: Path) -> None:
    text = plain(renumber_lines(plan_at(two), {1: 2, 2: 1}))
    assert "1 → 2  Brackets on" in text and "refers-to: of Weighed: 1 → 2" in text


async def test_an_episode_is_renumbered_with_its_references(two: Path) -> None:
    async with opened(two, keys="E") as (app, pilot):
        await pilot.press("2")
        text = screen_text(app)
        assert "Brackets on  → 2" in text and "Weighed  → 1" in text
        await pilot.press("enter")
        await settled(app, pilot)
        assert "episodes renumbered: 1 is now 2, 2 is now 1" in " ".join(screen_text(app).split())
        names = sorted(path.name for path in (two / "episodes").iterdir())
        assert names == ["01-weighed.yaml", "02-on.yaml"]
        second = (two / "episodes" / "01-weighed.yaml").read_text("utf-8")
        assert second == SECOND.replace("episode: 2", "episode: 1").replace("[1]", "[2]")
        await pilot.press("U")
        await settled(app, pilot)
        assert sorted(path.name for path in (two / "episodes").iterdir()) == ["01-on.yaml", "02-weighed.yaml"]


async def test_a_number_that_cannot_be_is_said(two: Path) -> None:
    async with opened(two, keys="E 0 enter") as (app, pilot):
        assert "from 1 to 9999" in screen_text(app)
        await pilot.press("escape")
        await settled(app, pilot)
        assert screen_text(app).startswith(" plan")


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_they_look_as_reviewed(size: tuple[int, int], two: Path) -> None:
    clock = Clock()
    OneBuild(two, "shop", clock).tick("set-jig")
    OneBuild(two, "shop", clock).tick("clamp@driver")
    async with opened(two, size=size, clock=clock, keys="N") as (app, pilot):
        text = "--- which name\n" + screen_text(app)
        await pilot.press(*"clamp", "enter", "s")
        await settled(app, pilot)
        text += "--- the new name\n" + screen_text(app)
        await pilot.press("escape", "escape", "E", "2")
        await settled(app, pilot)
        text += "--- which number\n" + screen_text(app)
    same_as_golden(__file__, f"rename-{size[0]}x{size[1]}", text)
