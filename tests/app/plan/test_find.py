"""Finding a step in all episodes, and going to it."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.plan.findtext import CONDITION, DO, ID, KIND, NOTE, entries_of, find, find_id, hit_lines
from planner.files.build.reading import read_build
from planner.plan.expand import Plan
from planner.session.onebuild import plan_of
from planner.telling.looks import plain
from tests.app.support import ROOT
from tests.support.golden import same_as_golden
from tests.support.screens import detail, opened, screen_text, settled


@pytest.fixture(scope="module")
def pickup() -> Plan:
    """A build of eight episodes."""
    return plan_of(read_build(ROOT / "projects" / "dunlin-pickup"))


def ids(plan: Plan, wanted: str) -> list[str]:
    """The steps that are found."""
    return [hit.entry.step.id for hit in find(entries_of(plan), wanted)]


def test_by_hand_and_by_the_finder_the_same_is_found(pickup: Plan) -> None:
    """Every step in which all words stand, looked for by hand; in any order of words and in any case."""
    steps = [step for _, stage in pickup.stages for step in stage.steps]
    for wanted in ("hot", "tack", "cradle cut", "camera.ready", "CUT first", "weld end-joint", "two people", "x" * 9):
        expected = set()
        for step in steps:
            refs = " ".join(str(ref) for ref in (*step.needs, *step.gives, *step.spoils))
            notes = " ".join((*step.note, *step.cautions, *step.shots, *step.say, step.why or ""))
            whole = f"{step.id} {step.do} {refs} {step.kind} {step.piece} {step.setup} {notes}".lower()
            if all(word in whole for word in wanted.lower().split()):
                expected.add(step.id)
        assert set(ids(pickup, wanted)) == expected, wanted
        assert ids(pickup, " ".join(reversed(wanted.split()))) is not None


def test_an_id_comes_before_what_only_mentions_it(pickup: Plan) -> None:
    found = find(entries_of(pickup), "tack")
    assert [hit.where for hit in found] == sorted(hit.where for hit in found)
    every = [step.id for _, stage in pickup.stages for step in stage.steps]
    for step_id in every:
        assert ids(pickup, step_id)[0] == step_id
        assert find_id(entries_of(pickup), step_id)[0].entry.step.id == step_id
    assert ids(pickup, "") == every


def test_what_was_found_is_shown(pickup: Plan) -> None:
    seen = set()
    for wanted in ("bed", "camera.ready", "fit-up", "gap"):
        for hit in find(entries_of(pickup), wanted):
            seen.add(hit.where)
            text = plain(hit_lines(hit, [wanted]))
            assert f"episode {hit.entry.episode}" in text
            if hit.where not in (ID, KIND):
                assert wanted in text.lower()
    assert seen == {ID, DO, CONDITION, KIND, NOTE}


async def test_a_step_is_found_and_gone_to(brackets: Path) -> None:
    async with opened(brackets, keys="slash") as (app, pilot):
        assert "8 steps of 8" in screen_text(app)
        await pilot.press(*"weld")
        assert "2 steps of 8" in screen_text(app)
        await pilot.press("down", "enter")
        await settled(app, pilot)
        text = screen_text(app)
        assert "▌ Dress" in text and "find" not in text.splitlines()[0]


async def test_from_the_camera_one_stays_with_the_camera(brackets: Path) -> None:
    async with opened(brackets, keys="c J") as (app, pilot):
        await pilot.press(*"roll", "enter")
        await settled(app, pilot)
        assert app.page is not None and "Roll the tube over" in detail(app)
        assert app.page.TITLE_WORD == "camera"


async def test_nothing_found_is_said_and_escape_leaves(brackets: Path) -> None:
    async with opened(brackets, keys="t slash") as (app, pilot):
        await pilot.press(*"[/bold]", "enter")
        text = screen_text(app)
        assert "0 steps of 8" in text and "there is nothing to go to" in text
        await pilot.press("escape")
        await settled(app, pilot)
        assert screen_text(app).startswith(" traps")


async def test_by_mouse(brackets: Path) -> None:
    async with opened(brackets, keys="slash") as (app, pilot):
        await pilot.click("#hits", offset=(8, 6))
        await pilot.press("backspace")  # typing goes on after the click
        await pilot.click("#hits", offset=(8, 6))
        await settled(app, pilot)
        assert "▌ Weld" in screen_text(app)


async def test_without_a_build_it_says_so(brackets: Path) -> None:
    async with opened(None, brackets.parent, keys="slash") as (app, _):
        assert "open a build first" in screen_text(app)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_it_looks_as_reviewed(size: tuple[int, int], brackets: Path) -> None:
    async with opened(brackets, size=size, keys="slash") as (app, pilot):
        await pilot.press(*"tube")
        await settled(app, pilot)
        text = "--- find\n" + screen_text(app)
        await pilot.press("escape", "J", "q")
        await settled(app, pilot)
        text += "--- go to a step\n" + screen_text(app)
    same_as_golden(__file__, f"find-{size[0]}x{size[1]}", text)
