"""The screen of traps."""

from __future__ import annotations

from pathlib import Path

from planner.app.plan.screen import PlanScreen
from planner.app.traps.screen import TrapsScreen
from planner.files.editing.spots import Edit
from planner.session.onebuild import OneBuild
from planner.session.writing.desk import Task, desk_of, now_of
from tests.app.support import FOUR, write
from tests.support.commandline import run_json
from tests.support.screens import opened, screen_text, settled


async def test_every_finding_is_listed_with_its_repair(brackets: Path) -> None:
    async with opened(brackets, size=(120, 36), keys="t") as (app, pilot):
        text = screen_text(app)
        assert "▲ trap  Roll the tube over: “nothing stands" in text
        assert "roll  tube.smooth  spoiled" in text
        assert "• notice" in text
        assert "where    " in text
        assert "where    episode 1, Round" in text
        assert "01-on.yaml:36:9" not in text
        assert "Repair Move “" in text
        assert "the order then   " in text
        assert " of 13 lines change" in text
        assert "↓ later    " in text
        assert isinstance(app.screen, TrapsScreen)
        assert len(app.screen.found) == 4
        assert len(app.screen.lines) == 3  # both sides of the roll are one row
        for _ in range(4):
            await pilot.press("down")
        assert "spare.washer" in screen_text(app)
        await pilot.press("home")
        assert "↓ later    " in screen_text(app)


async def test_the_repaired_order_is_the_one_that_was_proved(brackets: Path) -> None:
    one = OneBuild(brackets)
    proved = next(iter(one.repairs(one.findings()).by_finding.values()))
    async with opened(brackets, size=(120, 50), keys="t") as (app, _):
        assert app.opened is not None
        repairs = app.opened.known_repairs()
        assert repairs is not None
        assert next(iter(repairs.by_finding.values())) == proved


async def test_enter_goes_to_the_cell_and_copy_takes_the_text(brackets: Path) -> None:
    async with opened(brackets, keys="t quotation_mark") as (app, pilot):
        assert app.clipboard.startswith("▲ trap\nRoll the tube over: ")
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, PlanScreen)
        op = app.screen.operation()
        assert op is not None
        assert op.name == "roll"
        await pilot.press("t", "end", "enter")
        await settled(app, pilot)
        assert "spare.washer is not a step" in " ".join(screen_text(app).split())
        await pilot.press("home", "down", "enter")
        await settled(app, pilot)
        assert isinstance(app.screen, PlanScreen)


async def test_nothing_wrong_is_said(tmp_path: Path) -> None:
    async with opened(write(tmp_path, "four", FOUR), keys="t") as (app, pilot):
        assert "Nothing is wrong with the order of this build." in screen_text(app)
        await pilot.press("enter", "down", "quotation_mark")
        assert "✓ no findings" in app.clipboard


async def test_what_is_ticked_is_history_and_comes_last(brackets: Path) -> None:
    OneBuild(brackets, "shop").tick("clamp@driver", anyway=True)
    async with opened(brackets, size=(120, 36), keys="t end") as (app, _):
        text = screen_text(app)
        assert "▲ was trap  Clamp the bracket on the driver" in text
        assert "it is ticked already" in text


async def test_the_detail_can_be_scrolled_by_keys(brackets: Path) -> None:
    async with opened(brackets, size=(60, 20), keys="t tab") as (app, pilot):
        before = screen_text(app)
        await pilot.press("pagedown")
        await pilot.press("down")
        assert screen_text(app) != before
        await pilot.press("end", "home", "pageup", "up")
        assert screen_text(app) == before


async def test_what_viewers_were_told_is_counted_as_check_counts_it(brackets: Path) -> None:
    """A promise that nobody kept: one count on every screen, in ``check``, and before and after an edit."""
    episode = brackets / "episodes" / "01-on.yaml"
    told = "stages:\n", "promises: [{says: It rolls, by: 2024-05-01}]\nsponsors: [{who: Rod}]\nstages:\n"
    episode.write_text(episode.read_text().replace(*told, 1))
    counts = run_json("check", str(brackets), "--no-repairs", "--now", "2026-12-15T12:00:00Z")[1]["counts"]
    async with opened(brackets, size=(120, 36), keys="t") as (app, pilot):
        build = app.whole()
        assert build.counts()["trap"] == counts["trap"]
        assert [each.level for each in build.findings()].index("notice") == counts["trap"]
        desk, job = desk_of(build), str(brackets / "build.yaml")
        now = now_of(build)
        outcome = desk.work_out(Task("nothing", lambda texts: Edit({job: texts[job] + "\n"})), now)
        assert not outcome.new and not outcome.gone
        assert isinstance(app.screen, TrapsScreen)
        while (finding := app.screen.finding()) is not None and finding.rule != "unsaid-sponsor":
            await pilot.press("down")
        assert "(episode 1)  unsaid-sponsor" in screen_text(app)
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, PlanScreen)
        assert (on := app.screen.operation()) is not None and on.name == "set-jig"
