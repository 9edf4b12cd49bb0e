"""What comes while a screen is being left, or another build is read: nothing is drawn on what no longer stands."""

from __future__ import annotations

import asyncio
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from planner.app.draw.linelist import LineList
from planner.app.editors import editor as editors
from planner.app.editors.pick import PickOne
from planner.app.frame.help import Actions
from planner.app.keep import keeping
from planner.app.shell import PlannerApp
from planner.app.write.form import FormScreen
from planner.session.writing.desk import Desk
from tests.app.support import BRACKETS, FOUR, write
from tests.app.write.support import make, press, said, settle, text_of, to_field, to_row, writing
from tests.support.screens import opened, screen_text, settled


async def _to_kind(pilot: Pilot[Any]) -> None:
    await to_row(pilot, "fit")
    await press(pilot, "e")
    await to_field(pilot, "kind")


async def _until_left(app: PlannerApp, pilot: Pilot[Any]) -> None:
    for _ in range(500):
        if not isinstance(app.screen, PickOne):
            break
        await asyncio.sleep(0.005)
    await settle(pilot)


async def test_enter_at_any_moment_of_the_preview(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The preview begins PAUSE after the last key and runs beside the screen; Enter sweeps over all of it."""
    monkeypatch.setattr(editors, "PAUSE", 0.03)
    folder = make(tmp_path)
    async with writing(folder) as (app, pilot):
        await _to_kind(pilot)
        for number in range(12):
            kind = ("weld", "tack")[number % 2]
            await pilot.press("enter", *kind)
            await asyncio.sleep(0.01 * number)
            await pilot.press("enter")
            if number % 3 == 0:
                await pilot.press("escape")
            await _until_left(app, pilot)
            if not isinstance(app.screen, FormScreen):  # Escape came after the saving, and left the form
                await _to_kind(pilot)
            assert f"kind: {kind}\n" in text_of(folder)
            assert "outside" not in said(app)


async def test_a_dialog_that_was_answered_under_another_page_goes_with_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What is kept while the list of every action lies over its editor takes the editor away, not the list."""
    folder = make(tmp_path)
    gate = asyncio.Event()
    kept = keeping._kept

    async def slow(*rest: Any) -> Any:
        await gate.wait()
        return await kept(*rest)

    monkeypatch.setattr(keeping, "_kept", slow)
    async with writing(folder) as (app, pilot):
        await _to_kind(pilot)
        await pilot.press("enter", *"weld", "enter")
        await pilot.pause()
        app.action_actions()
        await pilot.pause()
        assert isinstance(app.screen, Actions)
        gate.set()
        await settled(app, pilot)
        assert isinstance(app.screen, Actions)
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, FormScreen)
        assert "kind: weld" in text_of(folder)


@pytest.mark.parametrize("screen", ["p", "number_sign", "c", "t", "w"])
async def test_a_page_is_handed_one_build_at_a_time(tmp_path: Path, screen: str) -> None:
    """Another build is opened while the window changes its size: no row of the one before is drawn."""
    home = tmp_path / "builds"
    write(home, "brackets", BRACKETS)
    write(home, "four", FOUR)
    async with opened(None, home, size=(120, 36)) as (app, pilot):
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press(screen, "b")
        await pilot.resize_terminal(100, 30)
        await pilot.press("down", "enter")
        for width in (90, 60, 120):
            await pilot.resize_terminal(width, 20)
        await settled(app, pilot)
        await pilot.press(screen)
        await settled(app, pilot)
        assert "Four hubs" in screen_text(app)
        assert "Shock" not in screen_text(app)


async def test_an_edit_is_kept_though_another_build_was_opened_behind_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What was told to be kept is kept, once, in its own build."""
    folder = make(tmp_path)
    write(folder.parent, "four", FOUR)
    calls: list[str] = []
    really = Desk.work_out

    async with writing(folder) as (app, pilot):

        def worked_out(desk: Desk, task: Any, now: Any) -> Any:
            calls.append(task.says)
            if len(calls) == 1:
                app.call_from_thread(app.open_build, folder.parent / "four")
            while app.opening is not None:
                pass
            return really(desk, task, now)

        await to_row(pilot, "fit")
        monkeypatch.setattr(Desk, "work_out", worked_out)
        await pilot.press("d")
        await settled(app, pilot)
        assert len(calls) < 5
        assert app.opened is not None
        assert app.opened.folder.name == "four"


async def test_a_fault_while_saving_holds_no_dialog(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The editor that waits for the saving can be left, and the app goes on."""

    def fails(*_: Any) -> None:
        raise ValueError("while saving")

    folder = make(tmp_path)
    before = text_of(folder)
    async with writing(folder) as (app, pilot):
        await _to_kind(pilot)
        monkeypatch.setattr(Desk, "keep", fails)
        await pilot.press("enter", *"weld", "enter")
        await settled(app, pilot)
        await pilot.press("escape")
        await settled(app, pilot)
        assert isinstance(app.screen, FormScreen)
        assert "while saving" in app.fault
        app.fault = ""  # it was meant
    assert text_of(folder) == before


@pytest.mark.parametrize("screen", ["plan", "camera", "write", "traps", "calendar"])
async def test_a_page_that_is_drawn_before_it_knows_of_an_edit(tmp_path: Path, screen: str) -> None:
    """The library draws a page at its own time; steps that an edit took out meanwhile are asked of no plan."""
    folder = write(tmp_path, "brackets", BRACKETS)
    async with opened(folder, size=(120, 36)) as (app, pilot):
        app.go(screen)
        await settled(app, pilot)
        episode = folder / "episodes" / "01-on.yaml"
        text = episode.read_text()
        first, last = text.index("  - stage: Round"), text.index("  - stage: Last look")
        episode.write_text(text[:first] + text[last:])
        build = app.whole()
        plan, problems = build.read_plan()
        assert plan is not None, problems
        build.adopt(plan)
        assert app.page is not None and app.page.stale
        for widget in app.screen.walk_children(LineList):
            widget.move_to(len(widget.names) - 1)
            widget.refresh()
        await pilot.pause()
        app.find_repairs()
        app.second()
        await settled(app, pilot)
        assert "Weld all round" not in screen_text(app)
