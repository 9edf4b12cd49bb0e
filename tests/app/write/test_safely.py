"""Repairs, ticks, files that change outside, disks that refuse: nothing of anybody's is lost."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.frame.choose import Choose
from planner.app.traps.screen import TrapsScreen
from planner.app.write.form import FormScreen
from planner.app.write.screen import WriteScreen
from planner.files.disk.saving import NotSavedError
from planner.session.onebuild import OneBuild
from planner.session.writing import desk as write_desk
from tests.app.support import BRACKETS, logged, write
from tests.app.write.support import (
    FIRST,
    ONE,
    fill,
    on_row,
    press,
    readable,
    said,
    settle,
    strip,
    text_of,
    to_field,
    to_row,
    type_text,
    writing,
)
from tests.support.screens import screen_text


async def test_a_repair_is_shown_and_then_written(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    path = "episodes/01-on.yaml"
    async with writing(folder, size=(100, 36)) as (app, pilot):
        await press(pilot, "f")
        assert on_row(app) == "the step roll"
        await press(pilot, "r")
        assert isinstance(app.screen, Choose)
        text = screen_text(app)
        assert "▲ 3 → 1 trap" in text and "episodes/01-on.yaml" in text and "the order then" in text
        await press(pilot, "2")
        assert text_of(folder, path) == BRACKETS[path]
        await press(pilot, "r")
        told = screen_text(app).split("findings ▲ 3")[0]
        assert "Roll the tube over" in told and "@" not in told
        await press(pilot, "tab enter")  # from the text as from the answers
        assert isinstance(app.screen, WriteScreen) and "repaired: Move" in said(app) and "traps 3 → 1" in said(app)
        assert ".;" not in said(app)
        assert text_of(folder, path) != BRACKETS[path]
        assert not [each for each in OneBuild(folder).findings() if each.at == "roll" and each.level == "trap"]
        await press(pilot, "U")
        assert said(app).startswith("✓ undone: repaired: ") and said(app).endswith("R does it again")
    assert text_of(folder, path) == BRACKETS[path]


async def test_a_repair_asked_for_many_times_is_offered_once(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    async with writing(folder, "t") as (app, pilot):
        assert isinstance(app.screen, TrapsScreen)
        for _ in range(5):  # faster than it is found
            app.screen.action_write("repair")
        await settle(pilot)
        assert isinstance(app.screen, Choose)
        await pilot.pause(0.3)  # the others come to an end as well
        assert len(app.screen_stack) == 2
        await press(pilot, "escape")
        assert len(app.screen_stack) == 1
        app.screen.action_write("repair")
        app.go("plan")  # left meanwhile: nothing opens over what is done now
        await settle(pilot)
        assert not app.covered


async def test_a_repair_from_the_traps_and_from_the_plan(tmp_path: Path) -> None:
    folder = write(tmp_path / "builds", "brackets", BRACKETS)
    path = "episodes/01-on.yaml"
    async with writing(folder, "t") as (app, pilot):
        await press(pilot, "r")
        assert isinstance(app.screen, Choose)
        await press(pilot, "1 U")
        assert text_of(folder, path) == BRACKETS[path]
        await press(pilot, "p f r 1")
    assert text_of(folder, path) != BRACKETS[path]
    assert readable(folder)


async def test_ticks_are_spoken_of_before_they_change(cart: Path) -> None:
    one = OneBuild(cart, "shop")
    one.tick("clean-ends@driver")
    one.tick("clean-ends@passenger")
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "minus")
        assert isinstance(app.screen, Choose)
        assert "no longer in the plan" in screen_text(app)
        await press(pilot, "1")
        assert "left as it was" in said(app) and text_of(cart) == ONE
        await press(pilot, "e")
        await to_field(pilot, "rounds")
        await press(pilot, "enter")
        await type_text(pilot, "2")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose) and "2 rounds" in screen_text(app)
        await press(pilot, "2")
    assert "        rounds: 2\n" in text_of(cart)


async def test_ticks_follow_a_step_to_its_new_id(cart: Path) -> None:
    OneBuild(cart, "shop").tick("clean-ends@driver")
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await fill(pilot, "step", "bright-ends")
        assert isinstance(app.screen, Choose) and "goes over to bright-ends@driver" in screen_text(app)
        await press(pilot, "2")
        assert isinstance(app.screen, FormScreen) and app.screen.target.step == "bright-ends"
        one = app.opened.one if app.opened is not None else None
        assert one is not None and "bright-ends@driver" in one.live.times
        await press(pilot, "U 2")
        assert "clean-ends@driver" in one.live.times
        await press(pilot, "R 2")
        assert "bright-ends@driver" in one.live.times
    assert [did for did, _ in logged(cart)] == ["done", "renamed", "renamed", "renamed"]
    assert list(OneBuild(cart).live.times) == ["bright-ends@driver"]


def _outside(cart: Path, old: str, new: str) -> str:
    text = text_of(cart).replace(old, new)
    (cart / FIRST).write_bytes(text.encode())
    return text


@pytest.mark.parametrize("answer", ["1", "2", "3"])
async def test_a_file_changed_outside_is_never_overwritten(
    cart: Path, answer: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    async with writing(cart) as (app, pilot):
        monkeypatch.setattr(app.opened, "changed_outside", lambda: False)  # nobody has looked yet
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await to_field(pilot, "do")
        await press(pilot, "enter")
        await type_text(pilot, " well")
        theirs = _outside(cart, "title: Brackets", "title: Both brackets")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        text = screen_text(app)
        assert "The file" in text and "+ title: Both brackets" in text and "Yours" in text and "ends well" in text
        assert text_of(cart) == theirs
        await press(pilot, answer)
    mine = ONE.replace("Clean the ends ", "Clean the ends well ")
    both = theirs.replace("Clean the ends ", "Clean the ends well ")
    assert text_of(cart) == {"1": theirs, "2": both, "3": mine}[answer]


async def test_a_key_changed_outside_is_asked_about(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await to_field(pilot, "do")
        await press(pilot, "enter")
        await type_text(pilot, " well")
        _outside(cart, "Clean the ends", "Wire-brush the ends")
        app.second()
        await settle(pilot)
        await press(pilot, "enter")
        assert "was changed outside meanwhile: it says Wire-brush the ends now" in " ".join(strip(app).split())
        await press(pilot, "enter")
        assert isinstance(app.screen, FormScreen)
    assert text_of(cart) == ONE.replace("Clean the ends", "Clean the ends well")


async def test_a_stage_that_was_put_elsewhere_outside_is_not_mixed_up(cart: Path) -> None:
    stage = "  - stage: Before it all\n    steps:\n      - step: sweep\n        do: Sweep\n"
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "Join")
        await press(pilot, "minus")
        assert isinstance(app.screen, Choose)
        _outside(cart, "stages:\n", "stages:\n" + stage)
        app.second()
        await settle(pilot)
        await press(pilot, "2")
    assert text_of(cart) == ONE[: ONE.index("  - stage: Join")].replace("stages:\n", "stages:\n" + stage)


async def test_an_undo_is_refused_where_the_file_changed(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "d")
        theirs = _outside(cart, "title: Brackets", "title: Both brackets")
        app.second()
        await settle(pilot)
        await press(pilot, "U")
        assert "changed outside since then" in said(app)
    assert text_of(cart) == theirs


async def test_what_the_disk_refuses_is_kept_and_tried_again(cart: Path) -> None:
    (cart / FIRST).chmod(0o444)
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "d")
        assert "NOT SAVED" in said(app) and "read-only" in said(app)
        assert on_row(app) == "the step fit-2"
        assert text_of(cart) == ONE
        await press(pilot, "d")
        assert "NOT SAVED" in said(app) and text_of(cart) == ONE
        await press(pilot, "W")
        assert "NOT SAVED" in said(app)
        (cart / FIRST).chmod(0o644)
        await press(pilot, "W")
        assert said(app) == "✓ saved"
        text = text_of(cart)
        await press(pilot, "U U")
        assert text_of(cart) == ONE
    assert "step: fit-2" in text and "step: fit-3" in text


async def test_a_full_disk_damages_nothing(cart: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(changes: object) -> None:
        raise NotSavedError(f"{cart / FIRST}: could not be saved: No space left on device; every file is as it was")

    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        with monkeypatch.context() as context:
            context.setattr(write_desk, "save", full)
            await press(pilot, "e")
            await fill(pilot, "do", "Fit it twice")
            assert "NOT SAVED" in said(app) and "No space left" in said(app)
            assert text_of(cart) == ONE
        await fill(pilot, "note", "once each way", "ctrl+t")
        assert "NOT SAVED" not in said(app)
    assert "do: Fit it twice" in text_of(cart) and "note: [once each way]" in text_of(cart)


async def test_nothing_is_written_while_the_files_cannot_be_read(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        broken = _outside(cart, "episode: 1", "episode: one")
        app.second()
        await settle(pilot)
        await to_row(pilot, "fit")
        await press(pilot, "d")
        assert "cannot be read now" in said(app)
    assert text_of(cart) == broken


async def test_a_form_follows_what_changes_outside(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "e")
        form = app.screen
        assert isinstance(form, FormScreen)
        _outside(cart, "Fit the bracket", "Fit it well")
        app.second()
        await settle(pilot)
        form.look()
        await settle(pilot)
        assert "Fit it well" in screen_text(app)
        _outside(cart, "      - step: fit\n        do: Fit it well\n        gives: [bracket.on]\n", "")
        app.second()
        await settle(pilot)
        form.look()
        await settle(pilot)
        assert isinstance(app.screen, WriteScreen)  # there is no such step any more


async def test_leaving_asks_only_while_the_disk_refuses(cart: Path) -> None:
    (cart / FIRST).chmod(0o444)
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "d q")
        assert isinstance(app.screen, Choose) and "not on the disk" in screen_text(app)
        await press(pilot, "1")
        assert isinstance(app.screen, WriteScreen)
        await press(pilot, "q 2")
        assert isinstance(app.screen, Choose)
        (cart / FIRST).chmod(0o644)
        await press(pilot, "2")
        assert app.return_code == 0
    assert "step: fit-2" in text_of(cart)


async def test_edits_can_be_undone_after_a_restart(cart: Path) -> None:
    OneBuild(cart, "shop").tick("clean-ends@driver")
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await fill(pilot, "step", "bright-ends")
        await press(pilot, "2")
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "d")
        assert "fit-2" in text_of(cart)
    async with writing(cart) as (app, pilot):
        await press(pilot, "U")
        assert "fit-2" not in text_of(cart) and "bright-ends" in text_of(cart)
        await press(pilot, "U 2")  # the ticks follow back
        assert text_of(cart) == ONE
        one = app.opened.one if app.opened is not None else None
        assert one is not None and "clean-ends@driver" in one.live.times
    async with writing(cart) as (app, pilot):
        await press(pilot, "R 2 R")
        assert "fit-2" in text_of(cart) and "bright-ends" in text_of(cart)


async def test_what_changed_outside_between_two_runs_is_not_undone(cart: Path) -> None:
    async with writing(cart) as (_, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "d")
    theirs = _outside(cart, "title: Brackets", "title: Both brackets")
    async with writing(cart) as (_, pilot):
        await press(pilot, "U")
    assert text_of(cart) == theirs
