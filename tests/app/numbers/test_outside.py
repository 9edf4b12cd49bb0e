"""The numbers screen when somebody else writes into the same file, or the disk refuses."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.numbers.support import HASH, NUMBERS, axle, entries, form, results, typed
from tests.app.support import FOUR, write
from tests.support.screens import opened, screen_text, settled


async def test_a_change_elsewhere_in_the_file_is_taken_in(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        (folder / "numbers.yaml").write_text(NUMBERS.replace("gap: 1/16 in", "gap: 1/8 in"), encoding="utf-8")
        await pilot.press("s")
        await settled(app, pilot)
        text = (folder / "numbers.yaml").read_text("utf-8")
        assert "gap: 1/8 in" in text
        assert "kerf: 3/32 in" in text


@pytest.mark.parametrize(("answer", "kerf"), [("1", "1/4 in"), ("2", "1/4 in"), ("3", "3/32 in")])
async def test_a_change_in_the_same_place_is_shown_and_chosen(tmp_path: Path, answer: str, kerf: str) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        (folder / "numbers.yaml").write_text(NUMBERS.replace("1/8 in", "1/4 in"), encoding="utf-8")
        await pilot.press("s")
        await settled(app, pilot)
        text = screen_text(app)
        assert "narrow.kerf   it was 1/8 in" in text
        assert "the file  1/4 in" in text
        assert "yours     3/32 in" in text
        assert "kerf: 1/4 in\n" in (folder / "numbers.yaml").read_text("utf-8"), "nothing is written before the answer"
        await pilot.press(answer)
        await settled(app, pilot)
        assert f"kerf: {kerf}\n" in (folder / "numbers.yaml").read_text("utf-8")
        assert ("✗ the file says 1/4 in now" in entries(app)) == (answer == "2")


async def test_a_file_that_changes_while_it_is_looked_at_is_read_again(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        (folder / "numbers.yaml").write_text(NUMBERS.replace("pads: 54 1/2 in", "pads: 54 in"), encoding="utf-8")
        app.second()
        await settled(app, pilot)
        assert "3 1/4 in  3.250 in" in results(app)
        (folder / "numbers.yaml").write_text(NUMBERS.replace("kerf: 1/8 in", "kurf: 1/8 in"), encoding="utf-8")
        app.second()
        await settled(app, pilot)
        assert "✗ numbers.yaml cannot be read now" in screen_text(app)
        await typed(app, pilot, "gap", "1/8 in")
        await pilot.press("s")
        await settled(app, pilot)
        assert "NOT SAVED" in screen_text(app)
        assert "kurf" in " ".join(screen_text(app).split())
        (folder / "numbers.yaml").write_text(NUMBERS, encoding="utf-8")
        app.second()
        await settled(app, pilot)
        await pilot.press("s")
        await settled(app, pilot)
        assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS.replace("gap: 1/16 in", "gap: 1/8 in")


async def test_a_read_only_file_is_said_and_left(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        (folder / "numbers.yaml").chmod(0o444)
        await pilot.press("s")
        await settled(app, pilot)
        assert "NOT SAVED" in screen_text(app)
        assert "✗ not on the disk; W tries again" in screen_text(app)
        assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS
        assert "3/32 in" in form(app) and "Δ" not in form(app)
        await pilot.press("p", "q")
        await settled(app, pilot)
        assert "An edit is not on the disk" in screen_text(app)
        await pilot.press("1", HASH)
        await settled(app, pilot)
        (folder / "numbers.yaml").chmod(0o644)
        await pilot.press("W")
        await settled(app, pilot)
        assert "✓ saved" in screen_text(app)
        assert "kerf: 3/32 in" in (folder / "numbers.yaml").read_text("utf-8")


async def test_an_edit_of_numbers_is_undone_by_the_keys_of_the_plan(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        await pilot.press("s")
        await settled(app, pilot)
        await pilot.press("U")
        await settled(app, pilot)
        assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS
        assert "1/8 in" in form(app) and "3/32" not in form(app)
        await pilot.press("R")
        await settled(app, pilot)
        assert "kerf: 3/32 in" in (folder / "numbers.yaml").read_text("utf-8")
        await pilot.press("p", "U")
        await settled(app, pilot)
        assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS, "from the plan as well"


async def test_drafts_stay_with_their_builds(tmp_path: Path) -> None:
    one, other = axle(tmp_path), write(tmp_path / "builds", "four", FOUR)
    async with opened(one, keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        app.open_build(other)
        await settled(app, pilot)
        app.go("numbers")
        await settled(app, pilot)
        assert "✓ saved" in screen_text(app)
        assert "3/32" not in form(app)
        app.open_build(one)
        await settled(app, pilot)
        assert "Δ 1 change not saved" in screen_text(app)
        assert "3/32 in" in form(app)
