"""The numbers screen: every key, the mouse, saving, and what happens when somebody else writes too."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.numbers.form import Form, _below
from planner.app.numbers.screen import NumbersScreen
from planner.numbers.registry import CALCULATORS
from planner.telling.looks import line, plain
from tests.app.numbers.support import HASH, NUMBERS, axle, entries, figure, form, results, screen_of, typed, where
from tests.app.support import FOUR, ROOT, write
from tests.support.screens import opened, screen_text, settled

SIZES = [(60, 20), (80, 24), (120, 36)]


@pytest.mark.parametrize("size", SIZES)
async def test_the_screen_opens_on_narrow_with_its_form_and_results(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(axle(tmp_path), size=size, keys=HASH) as (app, _):
        text = screen_text(app)
        assert "numbers" in text
        assert "narrow" in text
        assert "60 in ± 1/32" in text
        assert "THE SIDES DIFFER" in text
        assert "Planning aids: check by measurement." in text
        assert "inspection before the road." in text
        assert app.focused is screen_of(app).form
        assert ("cradle" in text) == (size[0] >= 76), "the list of calculators goes where there is room"
        assert ("pinion line" in text) == (size[0] >= 104), "and so does the drawing"


async def test_arrows_go_round_all_calculators(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), size=(60, 20), keys=HASH) as (app, pilot):
        seen = []
        for _ in CALCULATORS:
            seen.append(screen_of(app).chosen)
            await pilot.press("right")
        assert sorted(seen) == sorted(CALCULATORS)
        assert seen[0] == screen_of(app).chosen == "narrow"
        await pilot.press("left")
        assert screen_of(app).chosen == "fit"
        assert f"2/{len(CALCULATORS)}" in screen_text(app)


async def test_the_list_of_calculators_by_keys_and_mouse(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        rows = screen_of(app).query_one("#calculators")
        rows.focus()
        await pilot.press("home")
        assert screen_of(app).chosen == "wheel", "those with inputs come first"
        await pilot.press("end")
        last = list(CALCULATORS)[-1]
        assert screen_of(app).chosen == last
        assert f"{last} has no inputs yet" in results(app)
        await pilot.click("#calculators", offset=(3, 3))
        assert screen_of(app).chosen not in ("wheel", last), "the row under the mouse"
        await pilot.press("enter")
        assert app.focused is screen_of(app).form


async def test_results_move_while_one_types_and_nothing_is_written(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "pads", "54 in", end="")
        assert "Δ was 3 in, +1/4 in" in results(app)
        assert "Δ was 54 1/2 in" in form(app)
        assert "Δ narrow    moved" in screen_text(app)
        await pilot.press("escape")
        assert "Δ" not in results(app)
        assert screen_of(app).desk is not None
        assert screen_of(app).desk.draft.changes == {}  # type: ignore[union-attr]
        assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS


async def test_enter_keeps_and_goes_on_to_the_next_value(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await typed(app, pilot, "pinion-to-flange", "31 1/64 in ± 1/32", "driver")
        assert where(app) == ("narrow", "pinion-to-flange", "passenger")
        assert app.focused is screen_of(app).form
        assert "Δ 1 change not saved" in screen_text(app)


async def test_arrows_while_typing_keep_and_type_the_next(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in", end="down")
        assert where(app)[1] == "dressing"
        assert screen_of(app).typing == ("dressing", None)
        await pilot.press("1", "slash", "6", "4", "space", "i", "n", "up")
        assert screen_of(app).typing == ("kerf", None)
        assert figure(app).value == "3/32 in"
        await pilot.press("enter")
        assert "1/64 in Δ was not given" in entries(app)


async def test_tab_while_typing_loses_nothing(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in", end="tab")
        assert screen_of(app).typing is None
        assert "3/32 in Δ was 1/8 in" in entries(app)


async def test_keys_of_the_screen_are_letters_while_one_types(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await typed(app, pilot, "keep-out", "9..10 in ", "driver", end="")
        await pilot.press(*"bptd", "slash", "question_mark", *"qsxuow", "enter")
        assert isinstance(app.screen, NumbersScreen)
        assert "9..10 in bptd/?qsxuow" in form(app)


async def test_saving_writes_the_line_alone_and_the_steps_follow(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "first-line", "4 1/4 in")
        await pilot.press("s")
        await settled(app, pilot)
        text = (folder / "numbers.yaml").read_text("utf-8")
        assert text == NUMBERS.replace("first-line: 4 in", "first-line: 4 1/4 in")
        said = screen_text(app)
        assert "✓ saved in numbers.yaml: narrow.first-line" in said
        assert "✓ saved" in said
        assert "Δ" not in results(app)
        assert app.opened is not None and app.opened.one is not None
        number = app.opened.one.plan.build.numbers["narrow.second-line"]["driver"]
        assert number[1].startswith("7 1/4 in")
        await pilot.press("s")
        assert "nothing to save" in screen_text(app)
        assert not app.opened.changed_outside(), "our own saving is nobody else's"


async def test_putting_back_takes_this_value_then_the_latest(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        await typed(app, pilot, "gap", "1/8 in")
        screen_of(app).form.to("kerf", None)
        await pilot.press("u")
        assert where(app)[1] == "kerf"
        assert "3/32" not in form(app)
        await pilot.press("right", "u")
        assert where(app)[:2] == ("narrow", "gap")
        assert "Δ" not in form(app)
        await pilot.press("u")
        assert "nothing was changed" in screen_text(app)


async def test_taking_a_value_away_and_giving_sides(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        screen_of(app).form.to("to-centre", None)
        await pilot.press("minus")
        assert "Δ no longer there: tube-left driver, tube-left passenger" in results(app)
        screen_of(app).form.to("hat", None)
        await pilot.press("o")
        assert where(app) == ("narrow", "hat", "driver")
        await typed(app, pilot, "hat", "3/8 in", "passenger")
        screen_of(app).form.to("hat", "driver")
        await pilot.press("o")
        assert "no side's number is carried across" in " ".join(screen_text(app).split())
        await typed(app, pilot, "hat", "3/8 in", "driver")
        screen_of(app).form.to("hat", "driver")
        await pilot.press("o")
        assert where(app) == ("narrow", "hat", None)
        screen_of(app).form.to("plate-to-plate", None)
        await pilot.press("o")
        assert "one value for the whole build" in screen_text(app)


async def test_one_side_forgotten_is_refused(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        screen_of(app).form.to("pinion-to-flange", "passenger")
        await pilot.press("minus")
        assert "◷ waits for readings" in results(app)
        assert "give passenger too" in results(app)
        assert "76.200" not in results(app)


@pytest.mark.parametrize("size", SIZES)
async def test_the_drawing_large_and_back(tmp_path: Path, size: tuple[int, int]) -> None:
    async with opened(axle(tmp_path), size=size, keys=f"{HASH} d") as (app, pilot):
        await settled(app, pilot)
        text = screen_text(app)
        assert "numbers of narrow" in text
        assert "pinion line" in text
        assert "┃" in text
        assert "Planning aids" in text
        await pilot.press("right")
        await settled(app, pilot)
        assert "gap 13 in" in screen_text(app)
        await pilot.press("minus")
        await settled(app, pilot)
        assert not screen_of(app).has_class("-drawn"), "nothing is changed behind the drawing"
        assert screen_of(app).desk.draft.changes == {}  # type: ignore[union-attr]
        await pilot.press("d", "e")
        await settled(app, pilot)
        assert screen_of(app).typing is not None


async def test_the_working_and_back(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=f"{HASH} F") as (app, pilot):
        assert "shorten@driver = present half - half" in results(app)
        assert "[by definition of the readings]" in results(app)
        await pilot.press("F")
        assert "shorten@driver" not in results(app)
        await pilot.press("d", "F")
        assert not screen_of(app).has_class("-drawn")
        assert "shorten@driver" in results(app)


async def test_copying_takes_results_or_the_drawing(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=f"{HASH} quotation_mark") as (app, pilot):
        assert app.clipboard.startswith("narrow  ✓ found")
        assert "3.0000 in, 76.200 mm" in app.clipboard
        await pilot.press("d", "quotation_mark")
        assert "pinion line" in app.clipboard


async def test_the_mouse_types_and_goes_round(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), size=(60, 20), keys=HASH) as (app, pilot):
        await pilot.click(Form, offset=(5, 2))
        assert where(app)[1:] == ("pinion-to-flange", "passenger")
        await pilot.click(Form, offset=(5, 2))
        assert screen_of(app).typing == ("pinion-to-flange", "passenger")
        await pilot.click(Form, offset=(5, 0))
        assert screen_of(app).typing is None
        head = screen_text(app).split("\n")[1]
        await pilot.click("#head", offset=(head.index("›") - 1, 0))
        assert screen_of(app).chosen == "cradle"


async def test_going_and_leaving_with_something_unsaved_is_said(tmp_path: Path) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "kerf", "3/32 in")
        await pilot.press("p")
        await settled(app, pilot)
        assert "1 change of numbers not saved yet; # goes back to them" in screen_text(app)
        await pilot.press(HASH)
        await settled(app, pilot)
        assert "3/32 in Δ was 1/8 in" in entries(app)
        await pilot.press("p", "q")
        await settled(app, pilot)
        assert "1 change of numbers not saved" in screen_text(app)
        await pilot.press("1")
        await settled(app, pilot)
        assert isinstance(app.screen, NumbersScreen)
        await pilot.press("q", "2")
        await pilot.pause()
        assert not app.is_running
    assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS


async def test_leaving_with_all_saved_asks_nothing(tmp_path: Path) -> None:
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await pilot.press("q")
        await pilot.pause()
        assert not app.is_running


# Other builds


async def test_a_build_without_numbers_gets_its_file_here(tmp_path: Path) -> None:
    folder = axle(tmp_path, None)
    async with opened(folder, keys=HASH) as (app, pilot):
        assert "– tyre      empty" in screen_text(app)
        screen_of(app).show_calculator("wheel")
        await typed(app, pilot, "width", "7 in")
        assert "✗ refused" in results(app)
        assert "give the offset or, better, the backspacing" in results(app)
        await typed(app, pilot, "backspacing", "4 in")
        assert "inboard" in results(app)
        await pilot.press("s")
        await settled(app, pilot)
        assert (folder / "numbers.yaml").read_text("utf-8") == "format: 1\nwheel:\n  width: 7 in\n  backspacing: 4 in\n"


async def test_four_corners_have_a_row_each(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "four", FOUR | {"numbers.yaml": "format: 1\nfit:\n  lip: 830 mm\n"})
    async with opened(folder, keys=HASH) as (app, pilot):
        screen_of(app).show_calculator("fit")
        screen_of(app).form.to("lip", None)
        await pilot.press("o")
        for side in ("front-left", "front-right", "rear-left", "rear-right"):
            assert any(side in each and "830 mm" in each for each in form(app).split("\n"))
        screen_of(app).show_calculator("narrow")
        await typed(app, pilot, "kerf", "2 mm")
        assert "narrow is for 2 sides; there are front-left, front-right" in results(app)


async def test_the_demo_is_quick_and_whole() -> None:
    async with opened(ROOT / "projects" / "dunlin-pickup", size=(120, 36), keys=HASH) as (app, pilot):
        text = screen_text(app)
        for word in ("9 1/2 in", "10 1/4 in", "perch scar", "pinion line"):
            assert word in text
        for _ in CALCULATORS:
            assert results(app).count("planning aids") == 1
            assert "refused" not in results(app)
            await pilot.press("right")


async def test_nothing_is_lost_where_there_are_no_colours(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("NO_COLOR", "1")
    async with opened(axle(tmp_path), keys=HASH) as (app, pilot):
        await typed(app, pilot, "pads", "54 in", end="")
        text = screen_text(app)
        assert "Δ narrow    moved" in text
        assert "Δ was 54 1/2 in" in text
        assert "✓ wheel     found" in text


NASTY = ["[red]x[/red]", "[/oops", "a[b]c", "漢字 汽車", "e\u0301\u200b", "x" * 180, "\\", "%s {0}"]


@pytest.mark.parametrize("word", NASTY)
async def test_nasty_words_are_literal_wherever_they_come(tmp_path: Path, word: str) -> None:
    folder = axle(tmp_path, NUMBERS.replace("8 1/2..11 in perch", f"8 1/2..11 in {word}".replace("\\", "\\\\")))
    async with opened(folder, size=(120, 36), keys=HASH) as (app, pilot):
        assert plain([row.drawn for row in screen_of(app).form.rows if row.key == "keep-out"][:1]).count("..11 in") == 1
        screen_of(app).form.to("pinion", None)
        await pilot.press("enter")
        figure(app).value = word
        await settled(app, pilot)
        assert "✗ refused" in results(app)
        await pilot.press("enter", "d", "F", "quotation_mark")
        await settled(app, pilot)
        assert app.is_running


def test_what_is_wrong_with_a_value_is_cut_with_one_sign() -> None:
    long = (
        "“abc” is not a length; write it as 54 7/8 in, 54-7/8 in, 54.875 in or 1394 mm, with ± 1/32 where it is known"
    )
    for room in range(12, 54):
        last = plain(_below([line((f"✗ {long}", "trap"))], room, 2)[-1:])
        assert last.count("…") == 1 and len(last) <= room, (room, last)
