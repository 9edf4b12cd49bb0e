"""Adding, duplicating, moving and deleting on the writing screen, each with the text that it leaves."""

from __future__ import annotations

from pathlib import Path

from planner.app.frame.choose import Choose
from planner.app.plan.screen import PlanScreen
from tests.app.write.support import (
    FIRST,
    ONE,
    SECOND,
    TWO,
    on_row,
    press,
    readable,
    said,
    text_of,
    to_row,
    type_text,
    writing,
)
from tests.support.screens import screen_text


async def test_a_step_is_added_behind_the_cursor(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "n")
        await type_text(pilot, "Lay out the marks")
        await press(pilot, "enter")
        assert on_row(app) == "the step lay-marks"
        assert "added a step" in said(app)
    assert text_of(cart) == ONE.replace(
        "        time: 10 min\n\n", "        time: 10 min\n\n      - step: lay-marks\n        do: Lay out the marks\n\n"
    )
    assert text_of(cart, SECOND) == TWO


async def test_a_step_wants_words(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "n enter")
        assert "do: must be text" in screen_text(app)
        await press(pilot, "escape")
        assert on_row(app) == "the step clean-ends"
    assert text_of(cart) == ONE


async def test_no_single_key_of_the_plan_rewrites_a_file(cart: Path) -> None:
    async with writing(cart, "") as (app, pilot):
        await press(pilot, "down minus d less_than_sign greater_than_sign n o m")
        assert isinstance(app.screen, PlanScreen)
        await press(pilot, "T escape")  # where steps are typed; nothing is put in unasked
        assert isinstance(app.screen, PlanScreen)
    assert text_of(cart) == ONE


async def test_deleting_says_how_it_comes_back_and_asks_where_ticks_go(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "minus")
        assert "clean-ends" not in text_of(cart)
        assert said(app).endswith("; U undoes it")
        await press(pilot, "U")
        assert said(app).endswith("; R does it again")
        assert text_of(cart) == ONE
        await press(pilot, "p home space home w minus")
        assert isinstance(app.screen, Choose)
        assert text_of(cart) == ONE
        await press(pilot, "2")
        assert "clean-ends" not in text_of(cart)
        assert said(app).endswith("; U undoes it")


async def test_the_list_and_the_plan_stand_on_the_same_step(cart: Path) -> None:
    async with writing(cart, "") as (app, pilot):
        await press(pilot, "down down w")
        assert on_row(app) == "the step tack-it"
        await press(pilot, "up up p")
        assert isinstance(app.screen, PlanScreen)
        op = app.screen.operation()
        assert op is not None and op.step.id == "fit"


async def test_stages_and_episodes_are_added(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "s")
        await type_text(pilot, "Look again")
        await press(pilot, "enter")
        assert on_row(app) == "the stage “Look again”"
        await press(pilot, "n")
        await type_text(pilot, "Look at the fit")
        await press(pilot, "enter v")
        await type_text(pilot, "Between")
        await press(pilot, "enter")
        assert on_row(app) == "episode 2"
        await press(pilot, "n")
        assert "no stage yet" in said(app)
        await press(pilot, "s")
        await type_text(pilot, "Rest")
        await press(pilot, "enter")
        assert on_row(app) == "the stage “Rest”"
    assert "  - stage: Look again\n    steps:\n      - step: look-fit\n        do: Look at the fit\n" in text_of(cart)
    assert text_of(cart, "episodes/02-between.yaml") == (
        "format: 1\nepisode: 2\ntitle: Between\nstages:\n  - stage: Rest\n    steps: []\n"
    )
    assert text_of(cart, "episodes/03-paint.yaml") == TWO.replace("episode: 2", "episode: 3")
    assert readable(cart)


async def test_duplicates_have_ids_of_their_own(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "d")
        assert on_row(app) == "the step fit-2"
        await to_row(pilot, "Join")
        await press(pilot, "d")
        await to_row(pilot, "episode 2")
        await press(pilot, "d")
        assert on_row(app) == "episode 3"
    assert "      - step: fit-2\n        do: Fit the bracket\n" in text_of(cart)
    assert "      - step: tack-it-2\n" in text_of(cart)
    assert "step: paint-it-2" in text_of(cart, "episodes/03-paint.yaml")
    assert readable(cart)


async def test_moving_goes_on_into_the_next_stage_and_episode(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "greater_than_sign")
        assert on_row(app) == "the step clean-ends"
        once = text_of(cart)
        await press(pilot, "greater_than_sign greater_than_sign greater_than_sign")
        assert on_row(app) == "the step clean-ends"
        assert "clean-ends" in text_of(cart, SECOND) and "clean-ends" not in text_of(cart)
        await press(pilot, "greater_than_sign greater_than_sign")
        assert "is last already" in said(app)
        await press(
            pilot,
            "less_than_sign less_than_sign less_than_sign less_than_sign less_than_sign less_than_sign less_than_sign",
        )
        assert "is first already" in said(app)
        await to_row(pilot, "Join")
        await press(pilot, "greater_than_sign")
        await to_row(pilot, "episode 2")
        await press(pilot, "less_than_sign")
        assert on_row(app) == "episode 1"
    assert once.index("step: fit") < once.index("# Twice, since") < once.index("step: clean-ends")
    assert "tack-it" in text_of(cart, "episodes/01-paint.yaml")
    assert readable(cart)


async def test_moving_into_another_stage_by_name(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "m")
        await type_text(pilot, "Colo")
        await press(pilot, "enter")
        assert on_row(app) == "the step fit"
        await to_row(pilot, "Join")
        await press(pilot, "m enter")
    assert text_of(cart, SECOND).endswith(
        "      - step: fit\n        do: Fit the bracket\n        gives: [bracket.on]\n"
        "  - stage: Join\n    steps:\n      - step: tack-it\n        do: Tack it\n        needs: [bracket.on@all]\n"
        "        rounds: 2\n"
    )


async def test_deleting_says_what_else_changes(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "tack-it")
        await press(pilot, "minus")
        assert "deleted the step tack-it" in said(app) and "paint-it no longer comes after tack-it" in said(app)
        assert said(app).endswith("; U undoes it")
        assert "after" not in text_of(cart, SECOND)
        await press(pilot, "U")
        assert said(app) == "✓ undone: deleted the step tack-it; notices 2 → 1; R does it again"
        await press(pilot, "R")
        assert said(app) == "✓ redone: deleted the step tack-it; notices 1 → 2; U undoes it"
        await press(pilot, "U")
        assert (text_of(cart), text_of(cart, SECOND)) == (ONE, TWO)
        await to_row(pilot, "Make ready")
        await press(pilot, "minus")
        assert isinstance(app.screen, Choose)
        await press(pilot, "1")
        assert text_of(cart) == ONE
        await press(pilot, "minus 2")
        assert "Make ready" not in text_of(cart)
        await to_row(pilot, "episode 2")
        await press(pilot, "minus 2")
        assert not (cart / SECOND).exists()
        await to_row(pilot, "episode 1")
        await press(pilot, "minus 2")
        assert "at least one episode" in said(app)
        await press(pilot, "U U")
    assert (text_of(cart), text_of(cart, SECOND)) == (ONE, TWO)


async def test_many_steps_are_typed_at_once(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        await to_row(pilot, "fit")
        await press(pilot, "T")
        await type_text(pilot, "Square it up\nMeasure the gap\nBolt on\n  Start the nuts\n  Torque them")
        assert "4 steps in 1 new stage" in screen_text(app)
        await press(pilot, "ctrl+t 2")
        assert on_row(app) == "the step square"
    assert (
        "        gives: [bracket.on]\n\n      - step: square\n        do: Square it up\n\n"
        "      - step: measure-gap\n        do: Measure the gap\n" in text_of(cart)
    )
    assert "  - stage: Bolt on\n    steps:\n      - step: start-nuts\n" in text_of(cart)
    assert readable(cart)
    assert FIRST


async def test_undo_and_redo_go_many_levels_across_files(cart: Path) -> None:
    async with writing(cart) as (app, pilot):
        states = [(text_of(cart), text_of(cart, SECOND))]
        for name, keys in (
            ("clean-ends", "greater_than_sign"),
            ("fit", "d"),
            ("paint-it", "less_than_sign"),
            ("tack-it", "minus"),
            ("fit", "minus"),
        ):
            await to_row(pilot, name)
            await press(pilot, keys)
            states.append((text_of(cart), text_of(cart, SECOND)))
        assert len(set(states)) == len(states)
        for state in reversed(states[:-1]):
            await press(pilot, "U")
            assert (text_of(cart), text_of(cart, SECOND)) == state
        await press(pilot, "U")
        assert "there is no edit to undo" in said(app)
        for state in states[1:]:
            await press(pilot, "R")
            assert (text_of(cart), text_of(cart, SECOND)) == state
