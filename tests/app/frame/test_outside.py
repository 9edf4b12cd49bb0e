"""Files that change, vanish, fill up or cannot be read while the app is open: said in place, nothing lost, no exit."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from planner.app import make
from planner.app.camera.screen import CameraScreen
from planner.app.plan.screen import PlanScreen
from planner.session.onebuild import OneBuild
from tests.app.plan.test_plan import at
from tests.app.support import BRACKETS, logged, write
from tests.support.clock import Clock
from tests.support.screens import detail, opened, screen_text, settled


def plan_file(folder: Path) -> Path:
    return folder / "episodes" / "01-on.yaml"


async def test_a_changed_plan_is_read_again_and_the_place_is_kept(brackets: Path) -> None:
    async with opened(brackets, keys="down down right") as (app, pilot):
        assert at(app) == "tacks#1@passenger"
        text = plan_file(brackets).read_text()
        plan_file(brackets).write_text(text.replace("stages:\n", STAGE_BEFORE))
        app.second()
        await settled(app, pilot)
        assert at(app) == "tacks#1@passenger"
        screen = screen_text(app)
        assert "the plan changed outside and was read again" in screen
        assert "· not begun 0/15" in screen
        await pilot.press("home")
        assert at(app) == "sweep@passenger"


STAGE_BEFORE = """\
stages:
  - stage: Floor
    steps:
      - step: sweep
        do: Sweep the floor
"""


async def test_the_scroll_goes_along_when_steps_are_put_in_above(brackets: Path) -> None:
    async with opened(brackets, size=(60, 20), keys="end") as (app, pilot):
        before = [line for line in screen_text(app).split("\n") if "▌" in line]
        row = screen_text(app).split("\n").index(before[0])
        text = plan_file(brackets).read_text()
        plan_file(brackets).write_text(text.replace("stages:\n", STAGE_BEFORE))
        app.second()
        await settled(app, pilot)
        assert "▌" in screen_text(app).split("\n")[row]


async def test_the_camera_keeps_its_operation(brackets: Path) -> None:
    async with opened(brackets, keys="c down down") as (app, pilot):
        text = plan_file(brackets).read_text()
        plan_file(brackets).write_text(text.replace("stages:\n", STAGE_BEFORE).replace("marks matched", "marks met"))
        app.second()
        await settled(app, pilot)
        assert isinstance(app.screen, CameraScreen)
        assert app.screen.current is not None
        assert app.screen.current.name == "clamp@passenger"
        assert "marks met" in detail(app)
        await pilot.press("up", "up", "up")
        assert app.screen.current.name == "sweep@passenger"


async def test_a_step_under_the_cursor_that_goes_is_no_loss(brackets: Path) -> None:
    async with opened(brackets, keys="end p c") as (app, pilot):
        text = plan_file(brackets).read_text()
        plan_file(brackets).write_text(text.partition("  - stage: Last look")[0])
        app.second()
        await settled(app, pilot)
        for key in "cpt":
            await pilot.press(key)
            await settled(app, pilot)
        await pilot.press("p")
        assert isinstance(app.screen, PlanScreen)
        assert at(app) is not None


async def test_a_plan_that_cannot_be_read_leaves_the_last_good_one(brackets: Path) -> None:
    async with opened(brackets, keys="down") as (app, pilot):
        good = plan_file(brackets).read_text()
        plan_file(brackets).write_text(good + "  nonsense\n")
        app.second()
        await settled(app, pilot)
        text = screen_text(app)
        assert "✗ the plan cannot be read now: 1 problem." in text
        assert "Clamp the bracket" in text
        await pilot.press("up", "space")
        assert logged(brackets) == [("done", "set-jig")]
        await pilot.press("exclamation_mark")
        await settled(app, pilot)
        assert "The other screens show the last plan that could be read." in screen_text(app)
        await pilot.press("quotation_mark")
        assert app.clipboard.startswith("episodes/01-on.yaml:")
        plan_file(brackets).write_text(good)
        app.second()
        await settled(app, pilot)
        assert "✓ the plan can be read again" in screen_text(app)
        assert "✓ everything can be read" in screen_text(app)


async def test_a_build_that_vanishes_stays_on_the_screen(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        shutil.rmtree(brackets)
        app.second()
        await settled(app, pilot)
        assert "the plan cannot be read now" in screen_text(app)
        assert "Set the jig" in screen_text(app)
        await pilot.press("space")
        text = " ".join(screen_text(app).split())
        assert "✗ NOT TICKED." in text
        assert "the build is gone; nothing was recorded" in text
        assert "▸ ready" in text
        for key in ("c", "t", "b", "p"):
            await pilot.press(key)
            await settled(app, pilot)
        write(brackets.parent, "brackets", BRACKETS)
        app.second()
        await settled(app, pilot)
        assert "can be read again" in screen_text(app)


async def test_a_folder_that_is_gone_takes_no_tick_back(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        await pilot.press("space")
        await settled(app, pilot)
        head = next(line for line in screen_text(app).splitlines() if "1/" in line)
        away = brackets.with_name("away")
        brackets.rename(away)
        app.second()
        await settled(app, pilot)
        assert any("1/" in line for line in screen_text(app).splitlines()), head
        away.rename(brackets)
        app.second()
        await settled(app, pilot)
        assert any("1/" in line for line in screen_text(app).splitlines())


async def test_ticks_of_another_device_come_in(brackets: Path) -> None:
    async with opened(brackets, keys="end") as (app, pilot):
        OneBuild(brackets, "tablet", Clock()).tick("set-jig")
        app.second()
        await settled(app, pilot)
        text = screen_text(app)
        assert "◐ under way 1/13" in text
        assert "the logs changed outside" in text
        assert at(app) == "grind-back@driver"


async def test_two_apps_on_one_log_do_not_tick_twice(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        OneBuild(brackets, "tablet", Clock()).tick("set-jig")
        await pilot.press("space")  # before the second is over
        assert "set-jig is done already" in screen_text(app)
    assert logged(brackets) == [("done", "set-jig")]


async def test_what_a_log_holds_that_cannot_be_used_is_said_and_listed(brackets: Path) -> None:
    log = brackets / "log"
    log.mkdir()
    gone = '{"v":1,"n":1,"at":"2026-01-01T00:00:00Z","by":"old","did":"done","op":"gone"}'
    (log / "old.jsonl").write_text('{"torn\n' + gone + "\n")
    async with opened(brackets) as (app, pilot):
        assert "2 things in the files cannot be used" in screen_text(app)
        await pilot.press("exclamation_mark")
        await settled(app, pilot)
        text = screen_text(app)
        assert "log/old.jsonl:1" in text
        assert "gone is ticked, but" in text


async def test_a_full_disk_shows_nothing_as_done(brackets: Path) -> None:
    """/dev/full answers every write as a full disk does (full(4))."""
    (brackets / "log").mkdir()
    if not Path("/dev/full").exists():
        pytest.skip("no /dev/full here")
    async with opened(brackets, keys="c") as (app, pilot):
        with pytest.MonkeyPatch.context() as patch:
            full = _NoSpace()
            patch.setattr("planner.files.log.ticklog.os.write", full)
            await pilot.press("space")
            text = " ".join(screen_text(app).split())
            assert full.asked
            assert "✗ NOT TICKED." in text
            assert "No space left on device; nothing was recorded" in text
            assert "▸ ready" in text
            assert "· not begun 0/13" in text
            for keys in (("r",), ("s",), ("e", "x", "enter")):
                await pilot.press(*keys)
                await settled(app, pilot)
                assert "✗ NOT KEPT." in screen_text(app)
        await pilot.press("space")
        assert "✓ ticked: set-jig" in screen_text(app)
    assert logged(brackets) == [("done", "set-jig")]


class _NoSpace:
    def __init__(self) -> None:
        self.asked = False

    def __call__(self, fd: int, data: bytes) -> int:
        self.asked = True
        raise OSError(28, "No space left on device")


async def test_a_log_folder_that_cannot_be_written(brackets: Path) -> None:
    (brackets / "log").write_text("a file where the folder should be")
    async with opened(brackets, keys="space") as (app, pilot):
        assert "✗ NOT TICKED." in screen_text(app)
        assert "▸ ready" in screen_text(app)
        await pilot.press("u")
        assert "nothing is ticked" in screen_text(app)


async def test_a_device_without_a_name_says_so(brackets: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("PLANNER_DEVICE", "Not A Name")
    async with opened(brackets, keys="space") as (app, _):
        text = " ".join(screen_text(app).split())
        assert "NOT TICKED" in text
        assert "PLANNER_DEVICE is not a device name" in text


@pytest.mark.parametrize("first", ["b", "p", "t", "c", "exclamation_mark"])
async def test_a_terminal_of_almost_nothing(brackets: Path, first: str) -> None:
    async with opened(brackets, keys=first) as (app, pilot):
        for size in ((1, 1), (2, 1), (4, 2), (9, 3), (200, 1), (2, 60), (80, 24)):
            await pilot.resize_terminal(*size)
            await pilot.press("down", "right", "left", "up", "question_mark", "escape")
            await settled(app, pilot)
        assert app.screen.size == (80, 24)


async def test_a_question_while_the_plan_is_read_anew(brackets: Path) -> None:
    async with opened(brackets, keys="down space") as (app, pilot):
        text = plan_file(brackets).read_text()
        plan_file(brackets).write_text(text.replace("step: clamp", "step: clamp-it"))
        app.second()
        await settled(app, pilot)
        await pilot.press("3")
        await settled(app, pilot)
        assert "clamp, driver is no longer in the plan; nothing is ticked" in screen_text(app)
    assert logged(brackets) == []


async def test_the_map_of_keys_is_used_and_its_problems_are_said(brackets: Path, tmp_path: Path) -> None:
    from planner.files.machine.keyfile import key_file

    key_file().parent.mkdir(parents=True)
    key_file().write_text("format: 1\nkeys:\n  plan.tick: f5\n  plan.tik: f6\n  plan.again: g\n")
    async with opened(brackets, size=(100, 24)) as (app, pilot):
        await pilot.pause(0.15)
        text = " ".join(screen_text(app).split())
        assert "✗ the map of keys:" in text
        assert "keys.yaml:4: there is no key called plan.tik; did you mean plan.tick?" in text
        assert "(2 problems; ? lists them)" in text
        assert "f5 tick" in text.lower()
        await pilot.press("space")
        assert logged(brackets) == []
        await pilot.press("f5")
        assert logged(brackets) == [("done", "set-jig")]
        await pilot.press("question_mark")
        text = " ".join(screen_text(app).replace("│", " ").split())
        assert "g already means plan.next" in text


async def test_killed_threads_do_not_outlive_the_app(brackets: Path) -> None:
    app = make(brackets.parent, brackets, Clock())
    async with app.run_test() as pilot:
        await pilot.press("q")  # at once, while the build is still being read
    assert app.return_code == 0
