"""One place in the build, kept across the screens that have one."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.camera.screen import CameraScreen
from planner.app.plan.screen import PlanScreen
from planner.app.shell import PlannerApp
from planner.app.write.screen import WriteScreen
from tests.support.screens import opened, settled


def where(app: PlannerApp) -> str:
    """What the screen that is shown is on."""
    page = app.page
    assert isinstance(page, (PlanScreen, CameraScreen, WriteScreen))
    op = page.operation()
    return op.name if op is not None else ""


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_plan_and_camera_keep_each_others_place(brackets: Path, size: tuple[int, int]) -> None:
    async with opened(brackets, size=size, keys="down down right") as (app, pilot):
        for keys, place in (
            (["c"], "tacks#1@passenger"),
            (["p"], "tacks#1@passenger"),
            (["number_sign", "c"], "tacks#1@passenger"),
            (["down", "down", "down", "p"], "weld@driver"),
            (["t", "c"], "weld@driver"),
            (["left", "p", "right", "c"], "weld@passenger"),
        ):
            await pilot.press(*keys)
            await settled(app, pilot)
            assert where(app) == place, keys


async def test_writing_keeps_the_step_and_gives_the_side_back(brackets: Path) -> None:
    async with opened(brackets, keys="down right w") as (app, pilot):
        assert where(app).startswith("clamp@")
        await pilot.press("c")
        await settled(app, pilot)
        assert where(app) == "clamp@passenger"
        await pilot.press("p", "w")
        await settled(app, pilot)
        await pilot.press("down", "c")
        await settled(app, pilot)
        assert where(app).startswith("tacks#1@")


@pytest.mark.parametrize(("screen", "kind"), [("p", PlanScreen), ("c", CameraScreen), ("w", WriteScreen)])
async def test_what_is_found_is_shown_where_one_was(brackets: Path, screen: str, kind: type[object]) -> None:
    async with opened(brackets, keys=screen) as (app, pilot):
        await pilot.press("slash", *"roll", "enter")
        await settled(app, pilot)
        assert isinstance(app.page, kind)
        assert where(app) == "roll"


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_the_cursor_is_in_sight_wherever_it_is_sent(size: tuple[int, int]) -> None:
    root = Path(__file__).parents[3] / "projects"
    async with opened(root / "dunlin-pickup", size=size) as (app, pilot):
        page = app.page
        assert isinstance(page, PlanScreen)
        ops = app.whole().one.plan.operations
        for op in ops[:: max(1, len(ops) // 15)]:
            page.show_operation(op)
            page.draw_tick()
            await pilot.pause()
            top, height = page.grid.scroll_offset.y, page.grid.size.height
            assert top <= page.grid.cursor < top + height, op.name
