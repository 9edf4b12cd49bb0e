"""The page of papers: looked at as text, written where one says, and never over a file unasked."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.widgets import Input

from planner.app.papers.screen import PapersScreen
from planner.paper.registry import PAPERS
from planner.telling.looks import plain
from tests.app.support import BRACKETS, write
from tests.paper.sample import pages
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled


def preview(app: object) -> str:
    screen = app.screen  # type: ignore[attr-defined]
    assert isinstance(screen, PapersScreen)
    return plain(screen.detail_lines())


async def test_the_papers_are_listed_and_the_first_is_shown(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    async with opened(folder, keys="P") as (app, _):
        text = screen_text(app)
        assert all(paper.name in text for paper in PAPERS[:3])
        assert "Job sheet" in preview(app) and "Keep fingers out of the clamp." in preview(app)
        assert "OFF CAMERA" in preview(app)


async def test_a_paper_is_written_beside_the_builds_and_not_over_a_file(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    to = tmp_path / "papers" / "brackets-job-sheet-episode-1.pdf"
    async with opened(folder, size=(120, 36), keys="P") as (app, pilot):
        await pilot.press("enter")
        await settled(app, pilot)
        assert app.screen.query_one(Input).value == str(to)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "page" in screen_text(app)
        first = to.read_bytes()
        assert "Clamp the bracket" in " ".join(pages(first))
        to.write_bytes(b"mine")
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "is there already" in screen_text(app)
        await pilot.press("1")
        await settled(app, pilot)
        assert to.read_bytes() == b"mine" and "nothing was written" in screen_text(app)
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("2")
        await settled(app, pilot)
        assert to.read_bytes()[:5] == b"%PDF-"
        assert sorted(each.name for each in to.parent.iterdir()) == [to.name]


async def test_another_part_side_shift_and_size(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    async with opened(folder, keys="P") as (app, pilot):
        assert "episode 1, A4 paper" in screen_text(app)
        await pilot.press("right", "s")
        await settled(app, pilot)
        assert "the whole build, Letter paper" in screen_text(app)
        await pilot.press("i")
        await settled(app, pilot)
        assert "job-sheet shows all sides" in screen_text(app)
        await pilot.press(*["down"] * [paper.name for paper in PAPERS].index("tags"), "i")
        await settled(app, pilot)
        assert "the whole build, driver side, Letter paper" in screen_text(app) and "PASSENGER" not in preview(app)
        await pilot.press("home", "h")
        await settled(app, pilot)
        assert "shift 1, Letter paper" in screen_text(app) and "no calendar" in preview(app)
        await pilot.press("H")
        await settled(app, pilot)
        assert "the whole build, Letter paper" in screen_text(app) and "Job sheet" in preview(app)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_it_looks_as_it_was_looked_at(tmp_path: Path, size: tuple[int, int]) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    async with opened(folder, size=size, keys="P") as (app, pilot):
        await settled(app, pilot)
        same_as_golden(__file__, f"papers-{size[0]}x{size[1]}", screen_text(app))


async def test_what_cannot_be_is_said_and_nothing_is_written(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    async with opened(folder, size=(120, 36), keys="P") as (app, pilot):
        names = [paper.name for paper in PAPERS]
        await pilot.press(*["down"] * names.index("cut-list"))
        await settled(app, pilot)
        assert "nothing to print" in screen_text(app)
        await pilot.press("enter")
        await settled(app, pilot)
        assert "no numbers.yaml" in screen_text(app)
        await pilot.press(*["up"] * len(names))
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        await pilot.press("end", *["backspace"] * 4, "enter")
        await settled(app, pilot)
        assert "NOT WRITTEN" in screen_text(app) and "must end in" in screen_text(app)
    assert not (tmp_path / "papers").exists()


async def test_from_the_builds_it_is_about_the_build_under_the_cursor(tmp_path: Path) -> None:
    home = tmp_path / "builds"
    write(home, "brackets", BRACKETS)
    write(home, "broken", {"build.yaml": "format: 1\n"})
    async with opened(None, home, keys="P") as (app, pilot):
        assert "Job sheet" in preview(app)
        await pilot.press("escape", "down", "P")
        await settled(app, pilot)
        assert "this build cannot be read" in screen_text(app)
        await pilot.press("escape")
        await settled(app, pilot)
        assert not isinstance(app.screen, PapersScreen)
