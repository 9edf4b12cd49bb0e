"""Every screen at three sizes, as text: reviewed files in golden/."""

from __future__ import annotations

from pathlib import Path
from shutil import copytree

import pytest

from planner.app.plan.screen import PlanScreen
from planner.session.onebuild import OneBuild
from tests.app.support import ROOT, write
from tests.support.clock import Clock
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled

SIZES = ((60, 20), (80, 24), (120, 36))
BROKEN = {"build.yaml": "format: 1\nbuild: Bracket\nsides: [driver, driver]\n", "episodes/1.yaml": ""}


def under_way(folder: Path, clock: Clock) -> None:
    """Some ticks an hour ago, one just now with its wait running, one accepted against a warning."""
    one = OneBuild(folder, "shop", Clock(clock.now - 3600))
    for name in ("set-jig", "clamp@driver", "clamp@passenger"):
        one.tick(name)
    one.clock = Clock(clock.now - 45)
    one.tick("tacks#1@driver")


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(
    ("name", "keys"),
    [
        ("plan-begins", ""),
        ("plan-finding", "f"),
        ("plan-ahead", "down down down space"),
        ("traps", "t"),
        ("traps-notice", "t end"),
        ("camera", "c"),
        ("camera-done", "c up up"),
        ("camera-waits", "c down"),
        ("camera-stopped", "c down space"),
        ("camera-not-filmed", "c up f"),
        ("camera-note", "c e"),
        ("camera-slate", "c s"),
        ("help", "c question_mark"),
    ],
)
async def test_the_open_build(brackets: Path, size: tuple[int, int], name: str, keys: str) -> None:
    clock = Clock()
    if name != "plan-begins":
        under_way(brackets, clock)
    async with opened(brackets, size=size, clock=clock, keys=keys) as (app, pilot):
        if name == "plan-finding":
            await pilot.pause(0.5)
            await settled(app, pilot)
        if name == "help":
            await pilot.pause(0.1)  # the map of keys is looked for after the first picture
            app.key_file = "keys.yaml"
            await pilot.press("escape", "question_mark")
            await settled(app, pilot)
        same_as_golden(__file__, f"{name}-{size[0]}x{size[1]}", screen_text(app))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_question_about_the_camera(brackets: Path, size: tuple[int, int]) -> None:
    one = OneBuild(brackets, "shop", Clock(1e9))
    for name in ("set-jig", "clamp@driver", "clamp@passenger"):
        one.tick(name)
    async with opened(brackets, size=size, keys="c space") as (app, _):
        same_as_golden(__file__, f"camera-asks-{size[0]}x{size[1]}", screen_text(app))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_builds(brackets: Path, four: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch) -> None:
    under_way(brackets, Clock())
    write(brackets.parent, "broken", BROKEN)
    monkeypatch.chdir(brackets.parent.parent)
    async with opened(None, Path("builds"), size=size) as (app, pilot):
        same_as_golden(__file__, f"builds-{size[0]}x{size[1]}", screen_text(app))
        await pilot.press("down", "enter")
        await settled(app, pilot)
        same_as_golden(__file__, f"problems-{size[0]}x{size[1]}", screen_text(app))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_four_sides(four: Path, size: tuple[int, int]) -> None:
    OneBuild(four, "shop", Clock(1e9)).tick("clean@front-left")
    async with opened(four, size=size, keys="down") as (app, pilot):
        same_as_golden(__file__, f"four-plan-{size[0]}x{size[1]}", screen_text(app))
        await pilot.press("c")
        await settled(app, pilot)
        same_as_golden(__file__, f"four-camera-{size[0]}x{size[1]}", screen_text(app))


@pytest.mark.parametrize(("name", "keys"), [("two-sides", "enter"), ("four-corners", "down enter")])
async def test_a_build_opened_fresh_shows_all_sides_beside_the_outline(tmp_path: Path, name: str, keys: str) -> None:
    copytree(ROOT / "projects", tmp_path / "builds")
    # From the list of builds, as a person comes: the screen has its width before the outline takes its part.
    async with opened(None, tmp_path / "builds", size=(120, 36), keys=keys) as (app, _):
        assert isinstance(app.screen, PlanScreen)
        grid = app.screen.grid
        assert (grid.columns.first, grid.columns.shown) == (0, len(grid.sides))
        assert grid.columns.text + grid.columns.cell * len(grid.sides) == grid.scrollable_content_region.width
        text = screen_text(app)
        assert all(side in text for side in grid.sides)
        same_as_golden(__file__, f"fresh-{name}-120x36", text)


async def test_a_wait_that_is_over(brackets: Path) -> None:
    clock = Clock()
    under_way(brackets, clock)
    async with opened(brackets, clock=clock, keys="c") as (app, pilot):
        clock.now += 136
        app.second()
        clock.now += 10
        app.second()
        await settled(app, pilot)
        same_as_golden(__file__, "camera-over-80x24", screen_text(app))


@pytest.mark.parametrize("keys", ["", "c", "t"])
async def test_no_colour_draws_the_same_text(brackets: Path, keys: str, monkeypatch: pytest.MonkeyPatch) -> None:
    clock = Clock()
    under_way(brackets, clock)
    async with opened(brackets, clock=clock, keys=keys) as (app, _):
        coloured = screen_text(app)
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(brackets, clock=clock, keys=keys) as (app, _):
        plain = screen_text(app)
        assert app.no_color
        assert app.native_ansi_color
    assert plain == coloured
