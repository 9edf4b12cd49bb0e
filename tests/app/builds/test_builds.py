"""The screen of builds."""

from __future__ import annotations

import shutil
from pathlib import Path

from planner.app.builds.rows import HEIGHTS, Row, read_row, row_lines
from planner.session.onebuild import OneBuild
from planner.telling.looks import plain
from tests.app.support import BRACKETS, write
from tests.support.clock import Clock
from tests.support.screens import opened, screen_text, settled


async def test_every_build_is_listed_with_progress_and_findings(brackets: Path, four: Path) -> None:
    OneBuild(brackets, "shop").tick("set-jig")
    write(brackets.parent, "broken", {"build.yaml": "format: 1\nbuild: [x\n"})
    write(brackets.parent, "not-a-build", {"notes.txt": "x"})
    async with opened(None, brackets.parent) as (app, _):
        text = screen_text(app)
    assert "Shock brackets" in text
    assert "◐ under way 1/13" in text
    assert "▲ 3 traps  • 1 notice" in text
    assert "✗ cannot be read: 2 problems" in text
    assert "Four hubs" in text
    assert "· not begun 0/16" in text
    assert "✓ no findings" in text
    assert "not-a-build" not in text


async def test_a_missing_folder_is_said_in_place_with_what_to_do(tmp_path: Path) -> None:
    async with opened(None, tmp_path / "nowhere") as (app, pilot):
        text = screen_text(app)
        assert "there is no such folder" in " ".join(text.split())
        assert "Press r when it is there" in text
        write(tmp_path / "nowhere", "brackets", BRACKETS)
        await pilot.press("r")
        await settled(app, pilot)
        assert "Shock brackets" in screen_text(app)


async def test_an_empty_folder_is_said_in_place(tmp_path: Path) -> None:
    async with opened(None, tmp_path) as (app, pilot):
        assert "there is no build in it yet" in screen_text(app)
        await pilot.press("enter", "p", "c", "t")
        assert "open a build first" in screen_text(app)


async def test_a_build_that_comes_goes_or_changes_is_seen(brackets: Path, four: Path) -> None:
    async with opened(None, brackets.parent) as (app, pilot):
        await pilot.press("down")
        shutil.rmtree(brackets)
        app.second()
        await settled(app, pilot)
        text = screen_text(app)
        assert "Shock brackets" not in text
        assert "Four hubs" in text
        OneBuild(four, "other").tick("clean@front-left")
        app.second()
        await settled(app, pilot)
        assert "◐ under way 1/16" in screen_text(app)


async def test_a_build_opens_by_enter_and_by_mouse(brackets: Path, four: Path) -> None:
    async with opened(None, brackets.parent, keys="down enter") as (app, pilot):
        assert "plan   Four hubs" in screen_text(app)
        await pilot.press("b")
        await settled(app, pilot)
        await pilot.click("#builds", offset=(5, 0), times=2)
        await settled(app, pilot)
        assert "plan   Shock brackets" in screen_text(app)


async def test_an_unreadable_build_opens_to_its_problems(brackets: Path) -> None:
    file = brackets / "episodes" / "01-on.yaml"
    file.write_text(file.read_text().replace("rounds: 2", "rounds: 200").replace("do: Weld", "dо: Weld"))
    async with opened(None, brackets.parent, keys="enter") as (app, pilot):
        text = screen_text(app)
        assert "problems" in text
        assert "✗ 3 problems to put right" in text
        assert "episodes/01-on.yaml:" in text
        await pilot.press("p", "c", "t")
        assert "✗ 3 problems to put right" in screen_text(app)
        write(brackets.parent, "brackets", BRACKETS)
        app.second()
        await settled(app, pilot)
        assert "plan   Shock brackets" in screen_text(app)


async def test_q_leaves(brackets: Path) -> None:
    async with opened(None, brackets.parent) as (app, pilot):
        await pilot.press("q")
    assert app.return_code == 0


def test_a_row_shows_what_it_has_room_for(brackets: Path) -> None:
    row = read_row(brackets)
    assert plain([row.now]).startswith("▸ now  Set the jig")
    assert row[:8] == (brackets, "Shock brackets", 0, 13, (("trap", 3), ("gap", 0), ("notice", 1)), 0, True, (6, 7))
    assert plain(row_lines(row, 100)).count("─") > 10
    assert "─" not in plain(row_lines(row, 50))
    assert plain(row_lines(Row(brackets), 50)) == " brackets\n   … reading"
    for height in HEIGHTS:
        assert len(row_lines(row, 100, height)) < height  # one line stays empty
        assert all(sum(len(piece.text) for piece in each) <= 60 for each in row_lines(row, 60, height)[1:])


def test_a_high_row_says_how_far_each_side_is_what_comes_when_and_what_is_wrong(brackets: Path) -> None:
    clock = Clock()
    file = brackets / "build.yaml"
    file.write_text(file.read_text().replace("{timezone: UTC}", "{timezone: UTC, hours: {tue: '19:00-22:00'}}"))
    episode = brackets / "episodes" / "01-on.yaml"
    episode.write_text(
        episode.read_text().replace("title: Brackets on", "title: Brackets on\npublish: 2027-01-02 17:00")
    )
    one = OneBuild(brackets, "shop", clock)
    for name in ("set-jig", "clamp@driver"):
        one.tick(name)
    row = read_row(brackets, clock)
    assert row.sides == (("driver", 1, 6), ("passenger", 0, 5), ("once", 1, 2))
    text = plain(row_lines(row, 118, 9))
    assert "Clamp the bracket" in text
    assert "▲ trap   Roll the tube over: “nothing stands proud" in text
    assert "sides    driver 1/6   passenger 0/5   once 1/2" in text
    assert "Tue 2026-12-15 19:00-22:00 in the shop; episode 1 goes out 2027-01-02 17:00" in text
    assert "last     12:00  Clamp the bracket, marks matched, driver side" in text


async def test_a_few_builds_on_a_large_screen_are_told_in_more_lines(brackets: Path, four: Path) -> None:
    async with opened(None, brackets.parent, size=(120, 36)) as (app, pilot):
        assert "sides    driver" in screen_text(app)
        await pilot.resize_terminal(60, 12)
        await settled(app, pilot)
        await pilot.pause()
        assert "sides    driver" not in screen_text(app)


async def test_a_build_is_copied_and_put_away_with_nothing_lost(brackets: Path) -> None:
    OneBuild(brackets, "shop").tick("set-jig")
    (brackets / "notes.txt").write_text("mine", encoding="utf-8")
    files = {path.relative_to(brackets): path.read_bytes() for path in brackets.rglob("*") if path.is_file()}
    home = brackets.parent
    async with opened(None, home) as (app, pilot):
        for keys in ("d 1", "d 2"):
            await pilot.press(*keys.split())
            await settled(app, pilot)
        assert "copied as brackets-3" in screen_text(app)
        assert "Shock brackets, copy" in screen_text(app)
        assert OneBuild(home / "brackets-2", "shop").ticked() == 0
        assert OneBuild(home / "brackets-3", "shop").ticked() == 1
        assert (home / "brackets-2" / "notes.txt").read_text() == "mine"
        await pilot.press("home", "minus", "2")
        await settled(app, pilot)
        assert "Shock brackets, copy" in screen_text(app)
        assert "removed-builds/brackets" in " ".join(screen_text(app).split())
    away = home / "removed-builds" / "brackets"
    assert {path.relative_to(away): path.read_bytes() for path in away.rglob("*") if path.is_file()} == files
    assert not brackets.exists()
    assert not [path for path in home.iterdir() if path.name.startswith(".")]
