"""The camera screen under hands in a hurry: a held key, two waits at once, a question left, a low screen."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.camera import text as cameratext
from planner.app.draw.big import big_text
from planner.app.frame.choose import Choose
from planner.app.keys.presses import ONCE, Presses
from planner.app.keys.table import KEYS
from planner.session.onebuild import OneBuild
from planner.telling.looks import plain
from tests.app.camera.test_camera import BEFORE_TACKS, at, ticked
from tests.app.support import BRACKETS, logged, write
from tests.support.clock import Clock
from tests.support.screens import detail, opened, screen_text, settled


async def test_a_key_that_is_held_ticks_once(brackets: Path) -> None:
    clock = Clock()
    async with opened(brackets, clock=clock, keys="c", holding=True) as (app, pilot):
        for _ in range(20):
            await pilot.press("space")
            clock.now += 0.1
        assert logged(brackets) == [("done", "set-jig")]
        assert "one at a time" in screen_text(app)
        clock.now += 0.7
        await pilot.press("space")
        assert logged(brackets)[1:] == [("done", "clamp@driver")]


@pytest.mark.parametrize(("screen", "key"), [("p", "space"), ("c", "space"), ("p", "u"), ("c", "a"), ("c", "f")])
async def test_a_key_that_is_held_acts_once_on_every_screen(brackets: Path, screen: str, key: str) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    before = len(logged(brackets))
    async with opened(brackets, clock=clock, keys=screen, holding=True) as (_, pilot):
        if key == "a":
            await pilot.press("up")
        for _ in range(40):
            await pilot.press(key)
            clock.now += 0.05
    assert len(logged(brackets)) <= before + 1


async def test_a_step_goes_once_while_its_key_is_held(brackets: Path) -> None:
    clock = Clock()
    path = brackets / "episodes/01-on.yaml"
    async with opened(brackets, clock=clock, keys="w down down", holding=True) as (app, pilot):
        for _ in range(20):
            await pilot.press("minus")
            clock.now += 0.05
        await settled(app, pilot)
        assert "one at a time" in screen_text(app)
    assert path.read_text().count("- step:") == BRACKETS["episodes/01-on.yaml"].count("- step:") - 1


def test_a_clock_that_was_set_back_holds_no_key_up() -> None:
    presses = Presses()
    assert presses.press("screen.tick", 1000.0)
    assert not presses.press("tick", 1000.6)
    assert not presses.press("tick", 1000.8)  # still held
    assert presses.press("tick", 1001.1)
    assert presses.press("tick", 400.0)
    assert not presses.press("tick", 400.1)
    assert presses.press("later", 400.15)
    assert presses.press("later", 400.16)  # what only moves may repeat
    assert presses.press("tick", 400.17)  # another key was pressed between


def test_what_acts_once_is_in_the_table_of_keys() -> None:
    assert {key.action for key in KEYS} >= ONCE


async def test_the_big_wait_is_the_one_that_holds_what_is_shown(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    OneBuild(brackets, "shop", clock).tick("tacks#1@driver")
    clock.now += 60
    OneBuild(brackets, "shop", clock).tick("tacks#1@passenger")
    for size in ((60, 20), (80, 24)):
        async with opened(brackets, size=size, clock=clock, keys="c down") as (app, pilot):
            assert at(app) == "tacks#2@passenger"
            one = app.opened.one if app.opened is not None else None
            assert one is not None
            own = cameratext.own_waits(one, one.live.by_name["tacks#2@passenger"], clock.now)
            assert own == {"tacks#1@passenger": clock.now + 180}
            shown = cameratext.timer(app.ringer, clock.now, own)
            assert shown is not None
            assert shown[0] == "3:00"  # and not 2:00, that of the other side
            assert "◷ wait after tacks 1, passenger" in screen_text(app)
            assert "another wait 2:00" in screen_text(app)
            await pilot.press("up")
            shown = cameratext.timer(app.ringer, clock.now, {})
            assert shown is not None
            assert plain(shown[1]).startswith("◷ another wait, after tacks 1, driver, and 1 more")


async def test_a_wait_for_several_conditions_is_one_line(tmp_path: Path) -> None:
    folder = write(tmp_path, "paint", PAINT)
    OneBuild(folder, "shop", Clock()).tick("prime")
    async with opened(folder, keys="c") as (app, _):
        assert at(app) == "coat"
        assert detail(app).count("after prime") == 1
        assert "◷ waiting  5:00 more, after prime" in detail(app)


PAINT = {
    "build.yaml": """\
format: 1
build: Painted plate
sides: [only]
conditions:
  primer.on: {on: job, means: primer on every face}
  primer.hard: {on: job, means: the primer takes no mark}
""",
    "episodes/01-paint.yaml": """\
format: 1
episode: 1
title: Paint
stages:
  - stage: Coats
    steps:
      - step: prime
        do: Prime the plate
        sides: once
        gives: [primer.on, primer.hard]
        wait: 5 min
      - step: coat
        do: Coat the plate
        sides: once
        needs: [primer.on, primer.hard]
""",
}


async def test_an_answer_keeps_its_number_where_another_is_absent(brackets: Path) -> None:
    for key, given in (("2", []), ("3", ["anyway"]), ("1", ["stay"])):
        answers: list[str | None] = []
        async with opened(brackets, keys="c") as (app, pilot):
            app.push_screen(Choose([], [("stay", "Leave it"), ("anyway", "Do it")], [1, 3]), answers.append)
            await pilot.pause()
            assert "3  Do it" in screen_text(app)
            await pilot.press(key)
            await settled(app, pilot)
            assert answers == given


async def test_what_was_ticked_before_does_not_stand_under_a_refusal(brackets: Path) -> None:
    async with opened(brackets, keys="c space") as (app, pilot):
        assert "✓ ticked: set-jig" in screen_text(app)
        await pilot.press("down", "down", "space", "escape")
        assert "nothing was ticked" in screen_text(app)
        assert "✓ ticked" not in screen_text(app)


async def test_it_is_said_that_the_camera_rolls_off_camera_too(brackets: Path) -> None:
    async with opened(brackets, keys="c r") as (app, _):
        assert "○ OFF CAMERA" in screen_text(app)
        assert "● rolling since 12:00" in screen_text(app)


async def test_the_tick_of_what_cannot_be_undone_is_taken_back_in_the_log_only(brackets: Path) -> None:
    ticked(brackets, *BEFORE_TACKS, "tacks#1@driver")
    async with opened(brackets, size=(120, 36), keys="c up u") as (app, _):
        assert "taken back: tacks 1, driver; the metal stays as it is" in screen_text(app)


async def test_on_a_low_screen_work_and_cautions_are_in_sight(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    OneBuild(brackets, "shop", clock).tick("tacks#1@driver")
    async with opened(brackets, size=(60, 20), clock=clock, keys="c down") as (app, pilot):
        for keys in ([], ["pagedown"]):
            await pilot.press(*keys)
            assert all(row in screen_text(app) for row in big_text("Tack in opposite pairs", 58, 2) or ("never",))
        await pilot.press("pageup")
        text = screen_text(app)
        assert "! Eyes, hands and neck covered." in text
        assert "◷ 3:00" in text or "3:00  ◷" in text
