"""Every screen of writing at three sizes, as reviewed text; strange texts; the mouse; the palette and the help."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot
from textual.widgets import TextArea

from planner.app.editors.line import LineEditor
from planner.app.editors.pick import PickMany, PickOne
from planner.app.keys.table import keys_of
from planner.app.write.form import FormScreen
from planner.app.write.screen import WriteScreen
from planner.session.onebuild import OneBuild
from tests.app.support import ROOT, write
from tests.app.write.support import (
    FIRST,
    ONE,
    make,
    on_row,
    press,
    settle,
    strip,
    text_of,
    to_field,
    to_row,
    type_text,
    writing,
)
from tests.support.golden import same_as_golden
from tests.support.screens import screen_text

SIZES = ((60, 20), (80, 24), (120, 36))


@pytest.fixture
def pickup(tmp_path: Path) -> Path:
    """The demo with numbers and a trap, to be spoiled."""
    folder = ROOT / "projects" / "dunlin-pickup"
    names = [path.relative_to(folder) for path in sorted(folder.rglob("*.yaml"))]
    return write(tmp_path, "pickup", {str(name): (folder / name).read_text("utf-8") for name in names})


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_screens_look_as_reviewed(pickup: Path, size: tuple[int, int]) -> None:
    pages: list[str] = []
    async with writing(pickup, size=size) as (app, pilot):

        def see(name: str) -> None:
            pages.append(f"=== {name} ===\n{screen_text(app)}")

        await to_row(pilot, "roll-over")
        see("the list that is written on, with a trap")
        await press(pilot, "r")
        see("a repair")
        await press(pilot, "escape")
        await to_row(pilot, "scribe-first")
        await press(pilot, "e")
        see("the form of a step")
        await press(pilot, "down enter")
        await type_text(pilot, ", {narrow.sec")
        see("a text with numbers")
        await press(pilot, "escape down enter down")
        see("a kind")
        await press(pilot, "escape")
        await to_field(pilot, "needs")
        await press(pilot, "enter")
        see("conditions")
        await type_text(pilot, "lines.scribed")
        await press(pilot, "enter")
        see("a new condition")
        await press(pilot, "escape escape")
        await to_field(pilot, "note")
        await press(pilot, "enter")
        see("texts")
        await press(pilot, "escape")
        await to_field(pilot, "time")
        await press(pilot, "enter")
        await type_text(pilot, "soon")
        see("a value that the reader refuses")
        await press(pilot, "escape escape")
        await to_row(pilot, "Lines")
        await press(pilot, "e")
        see("the form of a stage")
        await press(pilot, "escape T")
        await type_text(pilot, "Look twice\nMore\n  Look again")
        see("steps typed one a line")
        await press(pilot, "escape")
        await to_row(pilot, "episode 4")
        await press(pilot, "e")
        see("the form of an episode")
        await press(pilot, "escape B")
        see("the form of the build")
        await to_field(pilot, "conditions")
        await press(pilot, "enter")
        see("the conditions of the build")
        await press(pilot, "enter")
        see("the form of a condition")
    same_as_golden(__file__, f"writing-{size[0]}x{size[1]}", "".join(pages))


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size[0]}x{size[1]}")
async def test_both_texts_and_ticks_look_as_reviewed(
    cart: Path, size: tuple[int, int], monkeypatch: pytest.MonkeyPatch
) -> None:
    OneBuild(cart, "shop").tick("fit@driver")
    pages: list[str] = []
    async with writing(cart, size=size) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "minus")
        pages.append(f"=== what becomes of ticks ===\n{screen_text(app)}")
        await press(pilot, "1")
        monkeypatch.setattr(app.opened, "changed_outside", lambda: False)  # nobody has looked yet
        (cart / FIRST).write_text(ONE.replace("Brackets", "Two brackets"), encoding="utf-8", newline="")
        await to_row(pilot, "clean-ends")
        await press(pilot, "d")
        pages.append(f"=== both texts of a file ===\n{screen_text(app)}")
        await press(pilot, "1")
    same_as_golden(__file__, f"writing-asks-{size[0]}x{size[1]}", "".join(pages))


async def test_numbers_are_offered_with_their_present_value(pickup: Path) -> None:
    async with writing(pickup) as (app, pilot):
        await to_row(pilot, "punch")
        await press(pilot, "e down enter")
        assert isinstance(app.screen, LineEditor)
        await type_text(pilot, " of {narrow.first")
        text = screen_text(app)
        assert "{narrow.first-line}" in text and "driver 9 1/2 in" in text
        await press(pilot, "tab")
        text = " ".join(strip(app).split())
        assert "driver Centre-punch every line" in text and "passenger Centre-punch every line" in text
        await press(pilot, "enter")
    assert "do: Centre-punch every line at thumb-width steps of {narrow.first-line}\n" in text_of(
        pickup, "episodes/04-no-way-back.yaml"
    )


NASTY = "[/] [red]weld[/red] [A] {x \\u202etfel \\u200b 漢字 " + "w" * 90  # as YAML writes it in quotes


async def test_strange_texts_are_literal(tmp_path: Path) -> None:
    folder = make(tmp_path, one=ONE.replace("do: Fit the bracket", f'do: "{NASTY}"'))
    async with writing(folder) as (app, pilot):
        await to_row(pilot, "fit")
        assert "[red]weld[/red] [A]" in screen_text(app)
        await press(pilot, "e down")
        assert "[red]weld[/red] [A]" in screen_text(app)
        await press(pilot, "enter")
        await type_text(pilot, "[/oops")
        assert isinstance(app.screen, LineEditor)
        await press(pilot, "escape")
        await to_field(pilot, "note")
        await press(pilot, "enter")
        assert isinstance(app.focused, TextArea)
        await type_text(pilot, "[bold]loud[/]\n[/x")
        await press(pilot, "ctrl+t")
        assert isinstance(app.screen, FormScreen)
    assert "note: ['[bold]loud[/]', '[/x']\n" in text_of(folder).replace('"', "'")


async def click(pilot: Pilot[Any], what: str, x: int, y: int) -> None:
    """Click, and wait for what comes of it."""
    await pilot.click(what, offset=(x, y))
    await settle(pilot)


async def test_the_mouse_does_it_too(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await click(pilot, "#rows", 8, 3)
        assert on_row(app) == "the step fit"
        await click(pilot, "#rows", 8, 3)
        assert isinstance(app.screen, FormScreen)
        await click(pilot, "#fields", 8, 2)
        await click(pilot, "#fields", 8, 2)
        assert isinstance(app.screen, PickOne)
        await click(pilot, "#choices", 8, 1)
        await click(pilot, "#choices", 8, 1)
        assert isinstance(app.screen, FormScreen)
        await to_field(pilot, "needs")
        await press(pilot, "enter")
        assert isinstance(app.screen, PickMany)
        await click(pilot, "#choices", 8, 1)
        await click(pilot, "#choices", 8, 1)
        await click(pilot, "#foot", 36, 0)
        assert isinstance(app.screen, FormScreen)
    assert "        kind: " in text_of(cart) and "        needs: [plate.true]\n" in text_of(cart)


async def test_the_help_reaches_every_action(cart: Path) -> None:
    async with writing(cart, "") as (app, pilot):
        await press(pilot, "w question_mark")
        text = screen_text(app)
        assert "keys of write" in text and "edit what is under the cursor" in text
        await press(pilot, "escape")
        assert isinstance(app.screen, WriteScreen)
    assert {"form.clear", "form.add"} <= {key.id for key in keys_of("form")}
