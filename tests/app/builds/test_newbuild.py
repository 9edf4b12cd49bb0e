"""A new build by a few questions: from a starter and from nothing, by key and by mouse; and the pages as they look."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.builds.asks import (
    OPEN,
    UNITS,
    Answers,
    free_name,
    put,
    question,
    questions,
    sides_in,
    wish_of,
    wrong,
)
from planner.commands import main
from planner.files.build.reading import read_build
from planner.files.disk.folders import read_texts
from planner.files.starters.make import BLANK, StarterError, StarterNotWrittenError, Wish, make_own, offers
from planner.plan.model import Build
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled

OFFERS = offers()
JOBS = [offer.starter for offer in OFFERS]


def build_at(folder: Path) -> Build:
    """The build in a folder."""
    reading = read_build(folder)
    assert reading.build is not None, reading.problems
    return reading.build


# --- the questions ------------------------------------------------------------------------------


def test_the_starters_come_first_and_nothing_last() -> None:
    assert len(JOBS) >= 9 and JOBS[-1] == BLANK
    assert [offer.starter for offer in OFFERS if offer.names_sides] == ["brake-conversion"]
    assert all(offer.about and offer.operations for offer in OFFERS)


def test_only_a_build_from_nothing_is_asked_for_its_episodes() -> None:
    assert "episodes" in questions(Answers(job=BLANK))
    assert "episodes" not in questions(Answers(job="axle"))


@pytest.mark.parametrize("job", JOBS)
def test_enter_alone_leads_to_a_build_without_findings(job: str, tmp_path: Path) -> None:
    """What each page proposes is good, whatever the job."""
    answers = put(Answers(), "job", job)
    for key in questions(answers)[1:-1]:
        page = question(key, answers, OFFERS, [])
        value = page.value if page.typed else page.choices[0].value
        if key == "title" and not value:
            assert wrong(key, value, answers, OFFERS, [])
            value = "Mine"
        assert not wrong(key, value, answers, OFFERS, []), key
        answers = put(answers, key, value)
    folder = make_own(tmp_path, wish_of(answers))
    assert main(["check", str(folder), "--strict"]) == 0
    build = build_at(folder)
    assert build.show == {"lengths": "inch 1/32", "temperature": "F"}
    assert len(build.episodes) == (3 if job == BLANK else len(build.episodes))
    assert [entry.name for entry in tmp_path.iterdir()] == [folder.name]


@pytest.mark.parametrize("choice", UNITS, ids=lambda choice: choice.value)
def test_every_choice_of_units_can_be_read(choice: object, tmp_path: Path) -> None:
    assert isinstance(choice, type(UNITS[0]))
    wish = wish_of(Answers(BLANK, "Mine", "mine", "left, right", choice.value, "1"))
    build = build_at(make_own(tmp_path, wish))
    assert bool(build.show) == (choice.value != OPEN)


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("title", "  ", "needs a title"),
        ("title", "a\x1b[31m", "cannot be printed"),
        ("name", "My Axle", "such as my-axle"),
        ("name", "taken", "taken-2 is free"),
        ("name", "check", "a command of the planner"),
        ("name", "a" * 65, "up to 64"),
        ("sides", "", "one side to eight"),
        ("sides", "a, b, c, d, e, f, g, h, i", "one side to eight"),
        ("sides", "left, all", "no side may be called all"),
        ("sides", "left, Right side", "such as right"),
        ("sides", "left, left", "name each once"),
        ("episodes", "0", "from 1 to"),
        ("episodes", "²", "from 1 to"),
        ("episodes", "1.5", "from 1 to"),
        ("episodes", "61", "from 1 to"),
    ],
)
def test_what_cannot_be_is_said_with_what_can(key: str, value: str, says: str) -> None:
    assert says in wrong(key, value, Answers(job=BLANK), OFFERS, ["taken"])


def test_a_starter_that_names_its_sides_keeps_them() -> None:
    answers = Answers(job="brake-conversion")
    assert "front-left" in wrong("sides", "left, right", answers, OFFERS, [])
    assert not wrong("sides", "rear-right rear-left front-left front-right", answers, OFFERS, [])
    assert len(question("sides", answers, OFFERS, []).choices) == 1


def test_another_job_and_another_title_change_what_was_proposed() -> None:
    answers = Answers("axle", "One", "one", "left, right", "mm|C")
    assert put(answers, "job", "axle") == answers
    assert put(answers, "job", BLANK) == Answers(BLANK)
    assert put(answers, "title", "Two").name == ""
    assert free_name("a", ["a", "a-2"]) == "a-3"
    assert sides_in(" left,right ,  x ") == ["left", "right", "x"]


# --- made whole or not at all -------------------------------------------------------------------


def test_a_build_from_nothing_has_the_episodes_that_were_asked_for(tmp_path: Path) -> None:
    folder = make_own(tmp_path, Wish("mine", "My: “build”", BLANK, ["near", "off"], {"lengths": "mm"}, 12))
    build = build_at(folder)
    assert build.name == "My: “build”" and build.sides == ("near", "off")
    assert [episode.number for episode in build.episodes] == list(range(1, 13))
    assert all(episode.stages for episode in build.episodes)
    names = sorted(path.name for path in (folder / "episodes").iterdir())
    assert names[:2] == ["01-first-look.yaml", "02-episode-2.yaml"]
    (job,) = [text for path, text in read_texts(folder).items() if path.endswith("build.yaml")]
    assert "\nshow: {lengths: mm}\n" in job


def test_nothing_is_written_over(tmp_path: Path) -> None:
    (tmp_path / "mine").mkdir()
    with pytest.raises(StarterError, match="there already"):
        make_own(tmp_path, Wish("mine", "Mine", BLANK))
    assert list(tmp_path.iterdir()) == [tmp_path / "mine"]


def test_a_disk_that_refuses_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    with pytest.raises(StarterNotWrittenError, match="No space left") as error:
        make_own(tmp_path / "deep", Wish("mine", "Mine", "axle"))
    assert ".new." not in str(error.value)
    assert list(tmp_path.iterdir()) == []


# --- on the screen ------------------------------------------------------------------------------


async def test_a_newcomer_has_a_plan_of_their_own(tmp_path: Path) -> None:
    """From an empty folder by Enter alone; the plan is open at the end, and it has no findings."""
    async with opened(None, tmp_path / "builds", keys="n") as (app, pilot):
        for _ in range(7):
            await pilot.press("enter")
            await settled(app, pilot)
        text = screen_text(app)
        assert "plan   Narrowing an axle housing" in text and "✓ no findings" in text
    assert main(["check", str(tmp_path / "builds" / "narrowing-an-axle-housing"), "--strict"]) == 0


async def test_from_nothing_with_sides_of_ones_own(tmp_path: Path) -> None:
    async with opened(None, tmp_path, keys="n end enter") as (app, pilot):
        await pilot.press("enter")
        assert "the build needs a title" in screen_text(app)
        await pilot.press(*"My gates", "enter", "enter")
        await pilot.press(*(["backspace"] * 40), *"hill, dale!")
        assert "such as dale" in " ".join(screen_text(app).split())
        await pilot.press("enter")
        assert "Which sides" in screen_text(app)
        await pilot.press("backspace", "enter", "down", "enter", "up", "enter", *"gate oly", "enter")
        await settled(app, pilot)
        assert "did you mean oily?" in " ".join(screen_text(app).split())
        await pilot.press("backspace", "backspace", *"ily", "enter")
        await settled(app, pilot)
        text = screen_text(app)
        assert "hill, dale" in text and "inches to 1/16" in text and "2\n" in text
        await pilot.press("enter")
        await settled(app, pilot)
    build = build_at(tmp_path / "my-gates")
    assert build.sides == ("hill", "dale") and len(build.episodes) == 2
    assert build.pieces["gate"].not_yet == ("dry",)


async def test_escape_goes_back_with_what_was_typed_and_then_leaves(tmp_path: Path) -> None:
    async with opened(None, tmp_path, keys="n down enter") as (app, pilot):
        await pilot.press("x", "enter", "escape")
        assert "▊  x " in screen_text(app)  # what was proposed is selected, so that typing replaces it
        await pilot.press("escape", "escape")
        await settled(app, pilot)
        assert "no builds" in screen_text(app)
        await pilot.press("n", "enter", "ctrl+b")
        await settled(app, pilot)
        assert "no builds" in screen_text(app)
    assert list(tmp_path.iterdir()) == []


async def test_by_mouse_alone(tmp_path: Path) -> None:
    """A click on a line puts the cursor there, a second takes it; the line of keys does the rest."""
    async with opened(None, tmp_path, keys="n") as (app, pilot):
        await pilot.click("#choices", offset=(6, 8))
        await pilot.click("#choices", offset=(6, 8))
        for _ in range(6):
            await settled(app, pilot)
            await pilot.click("KeyLine", offset=(3, 0))
        await settled(app, pilot)
        assert "plan   A pair of d" in screen_text(app)


async def test_a_folder_that_cannot_be_written_is_said(tmp_path: Path) -> None:
    home = tmp_path / "file"
    home.write_text("x")
    async with opened(None, home, keys="n") as (app, pilot):
        for _ in range(7):
            await pilot.press("enter")
            await settled(app, pilot)
        assert "NOT MADE" in screen_text(app)
        assert "Make it?" in screen_text(app)


async def test_help_and_actions_are_of_this_page(tmp_path: Path) -> None:
    async with opened(None, tmp_path, keys="n f4") as (app, pilot):
        text = screen_text(app)
        assert "take the answer and go on" in text and "go to the traps" not in text
        await pilot.press("escape", "ctrl+p")
        await pilot.press(*"back to the question")
        await settled(app, pilot)
        assert "back to the question before" in screen_text(app)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_the_pages_look_as_reviewed(size: tuple[int, int], tmp_path: Path) -> None:
    name = f"{size[0]}x{size[1]}"
    async with opened(None, tmp_path / "builds", size=size, keys="n end enter") as (app, pilot):
        pages = []
        await pilot.press(*"Mine", "enter")
        for page in ("name", "sides", "units", "episodes", "comes", "make"):
            await settled(app, pilot)
            pages.append(f"--- {page}\n{screen_text(app)}")
            if page == "sides":
                await pilot.press("end", *", all")
                await settled(app, pilot)
                pages.append(f"--- sides, wrong\n{screen_text(app)}")
                await pilot.press(*(["backspace"] * 5))
            await pilot.press("enter" if page != "make" else "escape")
        for _ in range(9):
            await pilot.press("escape")
        await settled(app, pilot)
        await pilot.press("n")
        await settled(app, pilot)
        pages.insert(0, f"--- job\n{screen_text(app)}")
    same_as_golden(__file__, f"new-build-{name}", "".join(pages))
