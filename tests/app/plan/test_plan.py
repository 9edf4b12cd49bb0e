"""The screen of the plan: every key, the mouse, and what it says."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from planner.app.draw.linelist import LineList
from planner.app.frame.help import KeyRows
from planner.app.keys.actions import key_entries
from planner.app.keys.table import keys_of
from planner.app.plan.screen import PlanScreen
from planner.app.shell import PlannerApp
from planner.session.onebuild import OneBuild
from planner.telling.looks import plain
from tests.app.support import FOUR, logged, write
from tests.support.clock import Clock
from tests.support.screens import detail, opened, screen_text, settled


def at(app: PlannerApp) -> str | None:
    """The operation under the cursor."""
    assert isinstance(app.screen, PlanScreen)
    op = app.screen.operation()
    return op.name if op is not None else None


async def press(pilot: Pilot[Any], keys: str) -> str | None:
    await pilot.press(*keys.split())
    return at(pilot.app)  # type: ignore[arg-type]


async def test_the_plan_opens_on_what_comes_next(brackets: Path) -> None:
    OneBuild(brackets, "shop").tick("set-jig")
    async with opened(brackets) as (app, _):
        assert at(app) == "clamp@driver"
        text = detail(app)
    assert "needs  ✓ holds    both halves of the jig in line under a straight edge  jig.true" in text
    assert "gives  the bracket is held in the jig, driver side  bracket.clamped@driver" in text


async def test_the_cursor_moves_by_every_key(brackets: Path) -> None:
    async with opened(brackets) as (_, pilot):
        assert await press(pilot, "down") == "clamp@driver"
        assert await press(pilot, "right") == "clamp@passenger"
        assert await press(pilot, "right") == "clamp@passenger"
        assert await press(pilot, "left") == "clamp@driver"
        assert await press(pilot, "end") == "grind-back@driver"
        assert await press(pilot, "home") == "set-jig"
        assert await press(pilot, "up") == "set-jig"
        assert await press(pilot, "pagedown") == "grind-back@driver"
        assert await press(pilot, "pageup") == "set-jig"
        assert await press(pilot, "down down down g") == "set-jig"
        assert await press(pilot, "f") == "roll"
        assert await press(pilot, "f f f f") == "roll"


async def test_the_mouse_does_it_too(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        await pilot.click("#grid", offset=(70, 3))
        assert at(app) == "clamp@passenger"
        await pilot.click("#grid", offset=(2, 3))
        assert at(app) == "clamp@passenger"
        await pilot.click("#grid", offset=(56, 4))
        assert at(app) == "tacks#1@driver"
        await pilot.click("#grid", offset=(56, 4))
        await settled(app, pilot)
        assert "camera" in screen_text(app).split("\n", maxsplit=1)[0]
        assert "tacks 1, driver" in screen_text(app)


async def test_a_click_on_the_line_of_keys_does_what_the_key_does(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        await pilot.click("KeyLine", offset=(3, 0))
        assert logged(brackets) == [("done", "set-jig")]
        assert at(app) == "clamp@driver"


async def test_ticking_goes_on_to_what_comes_next_and_undo_comes_back(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        assert await press(pilot, "space") == "clamp@driver"
        assert "✓ ticked: set-jig" in screen_text(app)
        assert await press(pilot, "space") == "clamp@passenger"
        assert await press(pilot, "u") == "clamp@driver"
        assert "✓ taken back: clamp, driver" in screen_text(app)
        assert await press(pilot, "up u") == "set-jig"
        assert await press(pilot, "u") == "set-jig"
        assert "nothing is ticked" in screen_text(app)
    assert logged(brackets) == [
        ("done", "set-jig"),
        ("done", "clamp@driver"),
        ("undone", "clamp@driver"),
        ("undone", "set-jig"),
    ]


async def test_undo_in_a_cell_with_rounds_takes_its_latest_round_back(brackets: Path) -> None:
    clock = Clock()
    one = OneBuild(brackets, "shop", clock)
    for name in ("set-jig", "clamp@driver", "clamp@passenger", "tacks#1@driver", "tacks#1@passenger"):
        clock.now += 600
        one.tick(name)
    clock.now += 600
    async with opened(brackets, clock=clock) as (_, pilot):
        assert await press(pilot, "g") == "tacks#2@driver"
        assert await press(pilot, "u") == "tacks#1@driver"
    assert logged(brackets)[-1] == ("undone", "tacks#1@driver")


async def test_done_again_is_kept(brackets: Path) -> None:
    async with opened(brackets, keys="space up a") as (app, pilot):
        assert "✓ ticked once more: set-jig" in screen_text(app)
        await press(pilot, "down a")
        assert "press Space to tick it" in screen_text(app)
        await press(pilot, "up space")
        assert "press a if it was done once more" in screen_text(app)
    assert logged(brackets) == [("done", "set-jig"), ("again", "set-jig")]


async def test_a_wrong_tick_is_stopped_and_something_safe_is_offered(brackets: Path) -> None:
    async with opened(brackets, keys="down space") as (app, pilot):
        text = screen_text(app)
        assert "Stop: this would be wrong now" in text
        assert "1  Leave it: tick nothing" in text
        assert "2  Go to set-jig instead, which springs no trap now" in text
        assert "3  Do it anyway" in text
        await pilot.press("space", "x")  # a second press by mistake answers nothing
        assert "Stop: this would be wrong now" in screen_text(app)
        await pilot.press("2")
        assert at(app) == "set-jig"
        assert "nothing was ticked" in screen_text(app)
        assert logged(brackets) == []


async def test_a_wrong_tick_can_be_left_or_accepted(brackets: Path) -> None:
    async with opened(brackets, keys="down space escape") as (app, pilot):
        assert logged(brackets) == []
        await press(pilot, "space 1")
        assert logged(brackets) == []
        await press(pilot, "space 3")
        assert logged(brackets) == [("accepted", "clamp@driver"), ("done", "clamp@driver")]
        assert "with the warning accepted" in screen_text(app)
        await press(pilot, "home down")
        assert "▲ was a trap" in screen_text(app)


async def test_a_question_can_be_answered_by_mouse(brackets: Path) -> None:
    async with opened(brackets, keys="down space") as (app, pilot):
        await pilot.click("#answers", offset=(8, 2))
        await pilot.click("#answers", offset=(8, 2))
        await settled(app, pilot)
    assert logged(brackets)[-1] == ("done", "clamp@driver")


async def test_the_detail_says_why_a_finding_stands_and_what_cures_it(brackets: Path) -> None:
    async with opened(brackets, size=(120, 36), keys="f") as (app, pilot):
        await pilot.pause(0.5)  # the cursor rests: only now a repair is looked for
        await settled(app, pilot)
        text = detail(app)
    assert "Roll the tube over: “nothing stands proud of the tube where the jig bears”" in text
    assert "Repair Move “Roll the tube over” after “Dress the weld flush”." in text


async def test_the_outline_goes_along_and_leads_to_a_stage(brackets: Path) -> None:
    async with opened(brackets, size=(120, 36)) as (app, pilot):
        assert "◐ Jig" not in screen_text(app)
        await press(pilot, "space")
        assert "◐ Jig" in screen_text(app)
        await pilot.press("shift+tab")
        await pilot.press("end", "enter")
        await settled(app, pilot)
        assert at(app) == "photo@driver"
        assert app.focused is not None
        assert app.focused.id == "grid"


async def test_a_side_that_a_step_leaves_out_says_so(brackets: Path) -> None:
    async with opened(brackets, keys="end up right") as (app, pilot):
        assert at(app) is None
        text = detail(app)
        assert "nothing is planned on this side" in text
        assert "Add passenger, or give the reason" in text
        await pilot.press("space", "a", "enter")
        assert logged(brackets) == []


async def test_four_sides_in_sixty_columns(four: Path) -> None:
    async with opened(four, size=(60, 20)) as (app, pilot):
        assert "›" in screen_text(app)
        assert await press(pilot, "right right right") == "clean@rear-right"
        assert "‹" in screen_text(app)
        assert "rear-right" in screen_text(app)


async def test_the_screens_are_reached_by_one_key_and_stay_as_they_were(brackets: Path) -> None:
    async with opened(brackets, keys="down down") as (app, pilot):
        for key, word in (("t", "traps"), ("c", "camera"), ("b", "builds"), ("exclamation_mark", "problems")):
            await pilot.press(key)
            await settled(app, pilot)
            assert screen_text(app).lstrip().startswith(word)
        await pilot.press("p")
        assert at(app) == "tacks#1@driver"


async def test_what_is_shown_in_detail_can_be_copied(brackets: Path) -> None:
    async with opened(brackets, keys="quotation_mark") as (app, _):
        wanted = "set-jig  done once   ○ OFF CAMERA\nSet the jig under a straight edge\n▸ ready\n"
        assert app.clipboard.startswith(wanted)
        assert "✓ copied" in screen_text(app)


async def test_help_lists_every_key_and_does_what_is_chosen(brackets: Path) -> None:
    async with opened(brackets, size=(80, 24), keys="question_mark") as (app, pilot):
        text = screen_text(app)
        assert "keys of plan" in text
        assert "plan.tick" in text
        assert "change keys in" in text
        await pilot.press("escape", "question_mark", "home", "enter")
        await settled(app, pilot)
    assert logged(brackets) == [("done", "set-jig")]


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_help_cuts_nothing(brackets: Path, size: tuple[int, int]) -> None:
    async with opened(brackets, size=size, keys="question_mark") as (app, pilot):
        rows = app.screen.query_one(KeyRows)
        entries = key_entries(keys_of("plan"), {}, "plan")
        assert [each.id for each in entries[:2]] == ["plan.tick", "plan.undo"]
        for entry in entries:
            assert rows.entry == entry
            assert rows.cursor in rows.firsts
            await pilot.press("down")
        text = " ".join(plain(rows.rows).split())
        assert "…" not in text
        if size[0] == 60:  # no ids stand between the lines
            assert all(entry.says in text for entry in entries)
        last = rows.entry
        await pilot.press("up")
        assert rows.entry == entries[-2]
        await pilot.press("down")
        assert rows.entry == last


async def test_text_that_turns_around_is_made_harmless_everywhere(tmp_path: Path) -> None:
    # U+202E turns what follows around on a terminal that obeys it (Unicode Standard Annex 9).
    files = dict(FOUR)
    files["episodes/01-hubs.yaml"] = (
        FOUR["episodes/01-hubs.yaml"]
        .replace("title: Hubs", 'title: "Hubs\\u202ealigned"')
        .replace("stage: Faces", 'stage: "Faces\\u202ealigned"')
        .replace("do: Clean the face", 'do: "Clean\\u202e the face')
        .replace("of the hub\n        gives", 'of the hub"\n        gives')
    )
    async with opened(write(tmp_path / "builds", "turned", files), size=(140, 36)) as (app, _):
        assert isinstance(app.screen, PlanScreen)
        page = app.screen
        outline = page.query_one("#outline", LineList)
        drawn = [widget.render_line(y).text for widget in (page.grid, outline) for y in range(6)]
        shown = screen_text(app)
    assert not any("\u202e" in text for text in (*drawn, shown))
    for text in ("Hubs�aligned", "Faces�aligned"):
        assert sum(text in each for each in drawn) == 2
    assert any("Clean�" in each for each in drawn)


async def test_commands_can_be_searched(brackets: Path) -> None:
    async with opened(brackets, keys="ctrl+p") as (app, pilot):
        await pilot.press(*"go to the traps")
        await pilot.press("enter")
        await settled(app, pilot)
        assert screen_text(app).lstrip().startswith("traps")


async def test_the_palette_can_be_chosen(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        for palette in ("shop-light", "shop-terminal", "shop-dark"):
            app.theme = palette
            await settled(app, pilot)
            assert "▸ ready" in screen_text(app)
