"""What to do is the largest thing on the camera screen; then the number that counts, then the side."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.camera.words import Counts, counting, number_lines, sheet, short_said, word_lines
from planner.app.draw.big import HEIGHT, big, big_text
from planner.files.build.reading import read_build
from planner.session.onebuild import plan_of
from planner.telling.looks import plain
from tests.app.support import ROOT
from tests.support.screens import opened, screen_text

SIZES = ((60, 20), (80, 24), (120, 36))


@pytest.mark.parametrize("size", SIZES)
async def test_the_work_stands_there_in_large_letters_at_every_size(brackets: Path, size: tuple[int, int]) -> None:
    async with opened(brackets, size=size, keys="c down") as (app, pilot):
        for words in ("Clamp the bracket, marks matched", "Clamp the bracket, marks matched", "Tack in opposite pairs"):
            rows = big_text(words, size[0] - 2, 4 if size[1] >= 24 else 3)
            assert rows is not None
            shown = screen_text(app)
            assert all(row.strip() in shown for row in rows)
            assert "others" in shown or "other sides" in shown
            await pilot.press("down")


async def test_it_is_drawn_anew_when_the_window_changes(brackets: Path) -> None:
    async with opened(brackets, size=(120, 36), keys="c down") as (app, pilot):
        await pilot.resize_terminal(60, 20)
        await pilot.pause()
        rows = big_text("Clamp the bracket, marks matched", 58, 3)
        assert rows is not None and all(row in screen_text(app) for row in rows)


def test_every_demo_step_is_large_on_a_usual_screen() -> None:
    """At 80x24 with no wait running: four lines of letters hold nearly every step of the demo builds."""
    large = steps = 0
    for folder in sorted((ROOT / "projects").iterdir()):
        plan = plan_of(read_build(folder))
        for op in plan.operations:
            shown = sheet(plan.build, op, 78, 13)
            steps += 1
            large += shown.lines[0][0].text.strip(" ▀▄█▘▝▖▌▞▛▗▚▐▜▙▟") == ""
            assert len(shown.lines) + shown.left <= 13 or len(counting(plan.build, op)) > 3
    assert large > 0.95 * steps


def test_a_length_is_said_in_one_form_and_its_exact_value_has_a_line_of_its_own() -> None:
    plan = plan_of(read_build(ROOT / "projects" / "dunlin-pickup"))
    named = [op for op in plan.operations if counting(plan.build, op)]
    assert named
    for op in named:
        first = counting(plan.build, op)[0]
        words = short_said(plan.build, op)
        assert first.short in words
        assert "(" not in first.short and (not first.exact or first.exact not in words)
        text = plain(number_lines(counting(plan.build, op), 78, 0))
        assert first.short in text and first.exact in text


def test_the_number_that_counts_is_large_where_there_is_room() -> None:
    numbers = [Counts("narrow.first-line", "3 1/2 in", "88.90 mm"), Counts("narrow.gap", "1/8 in", "3.18 mm")]
    drawn = big("3 1/2 in")
    assert drawn is not None
    shown = [row.rstrip() for row in plain(number_lines(numbers, 78, HEIGHT + 1)).split("\n")]
    assert shown[0] == drawn[0].rstrip() and shown[1].endswith("narrow.first-line   88.90 mm")
    assert shown[3] == "1/8 in   narrow.gap   3.18 mm"
    assert plain(number_lines(numbers, 78, HEIGHT)).split("\n")[0] == "3 1/2 in   narrow.first-line   88.90 mm"


def test_of_words_too_long_for_the_rows_the_first_clause_is_large_and_all_of_it_stands_below() -> None:
    text = "Cap the other half, from one side up to the top; next round from the other"
    for rows in (4, 7):
        drawn = [row.rstrip() for row in plain(word_lines(text, 78, rows)).split("\n")]
        assert len(drawn) <= rows
        assert drawn[-1] == text
        first = big_text("Cap the other half", 78, 1)
        assert first is not None
        assert rows == 7 or drawn[:HEIGHT] == [row.rstrip() for row in first]
        assert len(drawn) > HEIGHT
    assert plain(word_lines(text, 78, 3)) == text


def test_words_without_a_clause_are_cut_behind_a_word_and_stand_below_whole() -> None:
    text = "Tell why the axle is too wide and what can go wrong"
    drawn = plain(word_lines(text, 58, 7)).split("\n")
    assert len(drawn) == 7
    assert drawn[-1] == text
    assert all(set(row) <= set(" ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█") and row.strip() for row in drawn[:6])
