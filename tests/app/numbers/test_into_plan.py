"""From the numbers into the plan: the order of beads at one key, looked at first, undone at another."""

from __future__ import annotations

from pathlib import Path

from planner.app.frame.choose import Choose
from planner.app.numbers.screen import NumbersScreen
from tests.app.numbers.support import HASH
from tests.app.write.support import settle
from tests.session.test_rounds_written import BUILD, NUMBERS, STEPS, operations, text_of
from tests.support.screens import opened, screen_text


def stubs(home: Path) -> Path:
    folder = home / "stubs"
    (folder / "episodes").mkdir(parents=True)
    (folder / "build.yaml").write_text(BUILD)
    (folder / "episodes" / "01-stubs.yaml").write_text(STEPS)
    (folder / "numbers.yaml").write_text(NUMBERS)
    return folder


async def test_the_order_of_beads_goes_into_a_step_and_out_again(tmp_path: Path) -> None:
    folder = stubs(tmp_path)
    async with opened(folder, keys=HASH, size=(110, 40)) as (app, pilot):
        await settle(pilot)
        page = app.screen
        assert isinstance(page, NumbersScreen)
        page.show_calculator("beads")
        await settle(pilot)
        assert "I into plan" in screen_text(app)
        await pilot.press("I")
        await settle(pilot)
        assert isinstance(app.screen, Choose)
        assert "the order of beads: 20 rounds" in screen_text(app)
        await pilot.press("1")  # the first step that welds
        await settle(pilot)
        assert "rounds: 20" in screen_text(app) and "wait: 2 min" in screen_text(app)
        assert text_of(folder) == STEPS
        await pilot.press("1")
        await settle(pilot)
        assert operations(folder, "run-beads")[:2] == ["run-beads#1@near", "run-beads#1@far"]
        assert len(operations(folder, "run-beads")) == 40
        await pilot.press("U")
        await settle(pilot)
    assert text_of(folder) == STEPS


async def test_what_is_not_saved_and_what_has_no_order_is_said(tmp_path: Path) -> None:
    folder = stubs(tmp_path)
    async with opened(folder, keys=HASH, size=(110, 40)) as (app, pilot):
        await settle(pilot)
        page = app.screen
        assert isinstance(page, NumbersScreen)
        page.show_calculator("cool")
        await pilot.press("I")
        await settle(pilot)
        assert "only the order of beads or tacks goes into a step" in screen_text(app)
        page.show_calculator("beads")
        await settle(pilot)
        await pilot.press("e", "4", "enter", "I")
        await settle(pilot)
        assert "save the numbers of beads first" in screen_text(app)
        assert not isinstance(app.screen, Choose)
    assert text_of(folder) == STEPS
