"""The form: every key of a step, a stage, an episode and the build, each with the text that it leaves."""

from __future__ import annotations

from pathlib import Path

from textual.widgets import Input

from planner.app.editors.line import LineEditor
from planner.app.editors.lines import LinesEditor
from planner.app.editors.pick import PickMany, PickOne
from planner.app.frame.ask import Type
from planner.app.frame.choose import Choose
from planner.app.write.form import FormScreen
from planner.files.editing.spots import BUILD_KEYS, EPISODE_KEYS, STAGE_KEYS, STEP_KEYS
from planner.files.plankeys import BUILD_FIELDS, EPISODE_FIELDS, STAGE_FIELDS, STEP_FIELDS
from tests.app.write.support import (
    JOB,
    ONE,
    SECOND,
    TWO,
    fill,
    on_row,
    press,
    readable,
    said,
    strip,
    text_of,
    to_field,
    to_row,
    type_text,
    writing,
)
from tests.support.screens import screen_text


def test_every_key_of_the_files_has_a_field() -> None:
    """What has parts of its own inside a list or a mapping is written in the file."""
    assert tuple(field.key for field in STEP_FIELDS) == STEP_KEYS
    assert {field.path[0] for field in STAGE_FIELDS} == set(STAGE_KEYS) - {"steps"}
    assert {field.path[0] for field in EPISODE_FIELDS} == set(EPISODE_KEYS) - {
        "format",
        "stages",
    }
    assert {field.path[0] for field in BUILD_FIELDS} == set(BUILD_KEYS) - {"format"}


async def test_a_text_is_typed_and_saved_in_place(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await fill(pilot, "do", "Clean both ends")
        assert "do of clean-ends: Clean both ends" in said(app)
        assert text_of(cart) == ONE.replace("Clean the ends  ", "Clean both ends  ")
        await press(pilot, "U")
        assert text_of(cart) == ONE
        await press(pilot, "R escape")
        assert on_row(app) == "the step clean-ends"
    assert text_of(cart) == ONE.replace("Clean the ends  ", "Clean both ends  ")


async def test_every_sort_of_key_of_a_step(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "e")
        await to_field(pilot, "kind")
        await press(pilot, "enter")
        assert isinstance(app.screen, PickOne)
        await type_text(pilot, "fit-up")
        await press(pilot, "enter")
        await fill(pilot, "piece", "bracket-joint")
        await press(pilot, "escape")  # how it comes
        await fill(pilot, "rounds", "3")
        await to_field(pilot, "turns")
        await press(pilot, "enter")
        await type_text(pilot, "passenger,")
        await press(pilot, "enter")
        await to_field(pilot, "first")
        await press(pilot, "enter down down enter")
        await fill(pilot, "setup", "on the bench")
        await fill(pilot, "time", "1 h 30 min")
        await fill(pilot, "wait", "90 s")
        await to_field(pilot, "one-way")
        await press(pilot, "enter down enter")
        await to_field(pilot, "where")
        await press(pilot, "enter down down enter")
        await fill(pilot, "hands", "2")
        await to_field(pilot, "film")
        await press(pilot, "enter")
        await type_text(pilot, "none")
        await press(pilot, "enter")
        await fill(pilot, "shots", "From above\nFrom the side", "ctrl+t")
        await fill(pilot, "note", "Watch the gap", "ctrl+t")
        await fill(pilot, "why", "no reason")
    assert text_of(cart) == ONE.replace(
        "        do: Fit the bracket\n        gives: [bracket.on]\n",
        "        do: Fit the bracket\n        kind: fit-up\n        piece: bracket-joint\n        why: no reason\n"
        "        rounds: 3\n        turns: [passenger, driver]\n        first: passenger\n        gives: [bracket.on]\n"
        "        setup: on the bench\n        time: 1 h 30 min\n        wait: 90 s\n        one-way: true\n"
        "        where: desk\n        hands: 2\n        film: none\n        shots: [From above, From the side]\n"
        "        note: [Watch the gap]\n",
    )


async def test_a_piece_named_for_the_first_time_is_asked_how_it_comes(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "e")
        await fill(pilot, "piece", "axle")
        assert isinstance(app.screen, Type) and "How does the axle come?" in screen_text(app)
        await type_text(pilot, "oily, bearing-in")
        await press(pilot, "enter")
        assert "did you mean bearings-in?" in screen_text(app)
        await press(pilot, "ctrl+u")
        await type_text(pilot, "oily, bearings-in")
        await press(pilot, "enter")
        assert isinstance(app.screen, FormScreen) and "axle comes oily, bearings-in" in said(app)
        assert "pieces:\n  axle:\n    not-yet: [dry, heat-safe]\n" in text_of(cart, "build.yaml")
        await fill(pilot, "piece", "axle-end")
        await press(pilot, "escape")  # nothing is said of it, and nothing written
        assert isinstance(app.screen, FormScreen)
        await fill(pilot, "piece", "axle")
        assert isinstance(app.screen, FormScreen)  # it is known by now
        assert "axle-end" not in text_of(cart, "build.yaml")
    assert readable(cart)


async def test_an_error_is_said_in_the_words_of_the_reader(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "e")
        await fill(pilot, "time", "a while")
        assert isinstance(app.screen, LineEditor)
        assert "time: must be a duration such as 90 s, 20 min, 1 h 30 min or 21 days, not the text “a while”" in (
            " ".join(strip(app).split())
        )
        await press(pilot, "escape")
        await fill(pilot, "rounds", "two")
        assert "rounds: must be a whole number from 1 to 99, not the text “two”" in strip(app)
        await press(pilot, "escape")
        await fill(pilot, "step", "tack-it")
        assert "there is a step tack-it already" in strip(app)
        await press(pilot, "escape minus")
        assert "cannot be taken out" in said(app)
    assert text_of(cart) == ONE


async def test_findings_follow_what_is_typed(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "tack-it")
        await press(pilot, "e")
        await to_field(pilot, "needs")
        await press(pilot, "enter")
        assert isinstance(app.screen, PickMany)
        await press(pilot, "space")
        assert "notices" in strip(app) or "notice" in strip(app)
        await type_text(pilot, "plate")
        await press(pilot, "space enter")
        assert isinstance(app.screen, FormScreen)
        await press(pilot, "escape")
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await to_field(pilot, "needs")
        await press(pilot, "enter")
        await type_text(pilot, "bracket")
        await press(pilot, "space right")
        text = " ".join(strip(app).split())
        assert "▲ 0 → 1 trap" in text or "▲ 0 → 2 traps" in text
        assert "new trap Clean the ends on the driver side: “the bracket is on”" in text
        await press(pilot, "enter")
        assert "traps 0 →" in said(app)
    assert "        needs: [plate.true]\n" in text_of(cart)
    assert "        needs: [bracket.on@all]\n        time: 10 min\n" in text_of(cart)


async def test_a_new_condition_is_declared_on_the_way(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await to_field(pilot, "gives")
        await press(pilot, "enter")
        await type_text(pilot, "ends.bright")
        await press(pilot, "enter")
        assert isinstance(app.screen, Choose)
        await press(pilot, "1")
        await type_text(pilot, "bright metal to a hand's width")
        await press(pilot, "enter enter")
        assert isinstance(app.screen, FormScreen)
    assert text_of(cart, "build.yaml") == JOB.replace(
        "  bracket.on: {on: side, means: the bracket is on}\n",
        "  bracket.on: {on: side, means: the bracket is on}\n"
        "  ends.bright: {kept: side, means: bright metal to a hand's width}\n",
    )
    assert "        gives: [ends.bright]\n" in text_of(cart)


async def test_after_and_without_and_sides(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "tack-it")
        await press(pilot, "e")
        await to_field(pilot, "after")
        await press(pilot, "enter")
        await type_text(pilot, "clean")
        await press(pilot, "right space enter")
        await to_field(pilot, "kind")
        await press(pilot, "enter")
        await type_text(pilot, "clean")
        await press(pilot, "enter")
        await fill(pilot, "piece", "joint")
        await press(pilot, "escape")
        await to_field(pilot, "without")
        await press(pilot, "enter")
        assert isinstance(app.screen, PickMany)
        await press(pilot, "space enter")
        await to_field(pilot, "sides")
        await press(pilot, "enter down enter")
        assert "@own has no meaning" in text_of(cart) or "has no meaning" in screen_text(app)
        await press(pilot, "down enter")
        assert isinstance(app.screen, PickMany)
        await press(pilot, "enter")
        assert "choose one side at least" in strip(app)
        await press(pilot, "down space enter")
        assert isinstance(app.screen, LineEditor)
        await type_text(pilot, "the driver side came tacked")
        await press(pilot, "enter")
    text = text_of(cart)
    assert "        after: [clean-ends@own]\n" in text
    assert "        sides: [passenger]\n        why: the driver side came tacked\n" in text
    assert "        without: [" in text
    assert readable(cart)


async def test_one_side_only_from_the_list(cart: Path) -> None:
    async with writing(cart, "") as (_, pilot):
        await press(pilot, "right w o enter")
        await type_text(pilot, "only this end is rusty")
        await press(pilot, "enter")
    assert (
        "        do: Clean the ends    # to bright metal\n        sides: [passenger]\n"
        "        why: only this end is rusty\n        time: 10 min\n" in text_of(cart)
    )


async def test_the_id_of_a_step_changes_everywhere(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "tack-it")
        await press(pilot, "e")
        await fill(pilot, "step", "tacks")
        assert isinstance(app.screen, FormScreen) and app.screen.target.step == "tacks"
        await fill(pilot, "do", "Tack it well")
    assert "step: tacks\n        do: Tack it well" in text_of(cart)
    assert "after: [tacks]" in text_of(cart, SECOND)


async def test_stage_and_episode(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "Make ready")
        await press(pilot, "e")
        await fill(pilot, "stage", "Get ready")
        await to_field(pilot, "pace")
        await press(pilot, "enter down down enter")
        await to_field(pilot, "film")
        await press(pilot, "enter")
        await type_text(pilot, "all")
        await press(pilot, "enter escape")
        await to_row(pilot, "episode 2")
        await press(pilot, "e")
        await fill(pilot, "title", "Paint it")
        await fill(pilot, "runtime", "12 min")
        await fill(pilot, "edit", "5 h")
        await fill(pilot, "refers-to", "1", "ctrl+t")
        await fill(pilot, "promises", "It shines\nIt holds", "ctrl+t")
        await fill(pilot, "publish", "2027-02-13 17:00")
        assert "a date needs shop: timezone:" in " ".join(strip(app).split())
        await press(pilot, "escape")
        await fill(pilot, "episode", "7")
        assert isinstance(app.screen, FormScreen) and "07-paint" in app.screen.target.path
    assert "  - stage: Get ready\n    pace: side-first\n    film: all\n    steps:\n" in text_of(cart)
    assert text_of(cart, "episodes/07-paint.yaml") == TWO.replace(
        "episode: 2\ntitle: Paint\n",
        "episode: 7\ntitle: Paint it\nruntime: 12 min\nedit: 5 h\nrefers-to: [1]\npromises: [It shines, It holds]\n",
    )
    assert readable(cart)


async def test_the_operations_of_a_stage_are_listed_from_the_present_order(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "Join")
        await press(pilot, "e")
        await to_field(pilot, "sequence")
        await press(pilot, "enter")
        assert isinstance(app.screen, LinesEditor)
        await type_text(pilot, "\ntack-it#3@driver")
        await press(pilot, "ctrl+t")
        assert "tack-it#3@driver is not an operation of this stage, nor rework" in " ".join(strip(app).split())
        await press(pilot, " ".join(["backspace"] * 17))
        await press(pilot, "ctrl+t")
    assert text_of(cart).endswith(
        "        rounds: 2\n"
        "    sequence: [tack-it#1@driver, tack-it#1@passenger, tack-it#2@driver, tack-it#2@passenger]\n"
    )


async def test_the_build_as_a_whole(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await press(pilot, "B")
        await fill(pilot, "build", "Cart with brackets")
        await to_field(pilot, "show lengths")
        await press(pilot, "enter")
        await type_text(pilot, "1/32")
        await press(pilot, "enter")
        await fill(pilot, "shop hours", "wed 19:00-22:00\nsat 08:00-12:30 14:00-18:00", "ctrl+t")
        assert isinstance(app.screen, LinesEditor)
        assert "hours need a timezone" in " ".join(strip(app).split())
        await press(pilot, "escape")
        await fill(pilot, "shop timezone", "Europe/Lisbon")
        await fill(pilot, "shop hours", "wed 19:00-22:00\nsat 08:00-12:30 14:00-18:00", "ctrl+t")
        await fill(pilot, "pieces", "joint cart", "ctrl+t")
        await to_field(pilot, "on-camera needs")
        await press(pilot, "enter")
        await type_text(pilot, "plate")
        await press(pilot, "space enter")
        await fill(pilot, "sides", "driver\npassenger\nmiddle", "ctrl+t")
    assert (
        text_of(cart, "build.yaml")
        == JOB.replace("build: Cart brackets ", "build: Cart with brackets ")
        .replace("sides: [driver, passenger]", "sides: [driver, passenger, middle]")
        .replace(
            "film: driver\n",
            "film: driver\nshow:\n  lengths: inch 1/32\nshop:\n  timezone: Europe/Lisbon\n"
            "  hours: {wed: 19:00-22:00, sat: 08:00-12:30 14:00-18:00}\n",
        )
        + "pieces:\n  joint: {in: cart}\non-camera:\n  needs: [plate.true]\n"
    )


async def test_conditions_are_changed_and_taken_out(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await press(pilot, "B")
        await to_field(pilot, "conditions")
        await press(pilot, "enter down enter")
        assert isinstance(app.screen, FormScreen) and app.screen.target.name == "bracket.on"
        await fill(pilot, "means", "the bracket is bolted on")
        await fill(pilot, "name", "bracket.bolted")
        assert app.screen.target.name == "bracket.bolted"
        await press(pilot, "escape minus")
        assert "no condition bracket.bolted is declared" in said(app)
        await press(pilot, "n")
        await type_text(pilot, "paint.dry")
        await press(pilot, "enter 2")
        await type_text(pilot, "dry to the touch")
        await press(pilot, "enter")
    assert "  bracket.bolted: {on: side, means: the bracket is bolted on}\n" in text_of(cart, "build.yaml")
    assert "  paint.dry: {kept: job, means: dry to the touch}\n" in text_of(cart, "build.yaml")
    assert "        gives: [bracket.bolted]\n" in text_of(cart)


async def test_kinds_of_ones_own(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await press(pilot, "B")
        await to_field(pilot, "kinds")
        await press(pilot, "enter n")
        await type_text(pilot, "rivet")
        await press(pilot, "enter enter")
        assert isinstance(app.screen, FormScreen) and app.screen.target.name == "rivet"
        await fill(pilot, "means", "Set a rivet")
        await to_field(pilot, "words")
        await press(pilot, "enter n")
        await type_text(pilot, "riveted")
        await press(pilot, "enter enter")
        await fill(pilot, "means", "the rivets are set")
        await press(pilot, "escape escape")
        await fill(pilot, "gives", "riveted", "ctrl+t")
        await fill(pilot, "time", "5 min")
    assert text_of(cart, "build.yaml") == JOB + (
        "kinds:\n  rivet: {means: Set a rivet, gives: [riveted], time: 5 min,"
        " words: {riveted: {kept: side, means: the rivets are set}}}\n"
    )


async def test_a_key_is_taken_out(cart: Path) -> None:
    async with writing(cart) as (_, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await to_field(pilot, "time")
        await press(pilot, "minus minus")
        assert text_of(cart) == ONE.replace("        time: 10 min\n", "")


async def test_typing_can_be_left(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "e")
        await to_field(pilot, "do")
        await press(pilot, "enter")
        assert isinstance(app.focused, Input)
        await type_text(pilot, " and look")
        assert "findings" in strip(app)
        await press(pilot, "escape")
        assert isinstance(app.screen, FormScreen)
    assert text_of(cart) == ONE
