"""Slates that tie a clip to the clock, and cards that may be wiped, from the camera screen."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from planner.files.log.ticklog import TickLog
from tests.app.support import BRACKETS, logged, write
from tests.support.clock import NOON, Clock
from tests.support.commandline import run, run_json
from tests.support.screens import opened, screen_text, settled


@pytest.fixture
def brackets(tmp_path: Path) -> Path:
    return write(tmp_path, "brackets", BRACKETS)


def typed(text: str) -> list[str]:
    names = {" ": "space", ":": "colon", ";": "semicolon", ".": "full_stop", "/": "slash", "-": "minus"}
    names |= {"<": "less_than_sign", ">": "greater_than_sign"}
    return [names.get(each, each) for each in text]


async def test_what_was_seen_on_the_camera_is_tied_to_when_the_slate_was_held(brackets: Path) -> None:
    clock = Clock()
    async with opened(brackets, clock=clock, keys="c s") as (app, pilot):
        clock.now += 7  # it takes a while to take the slate away and type
        await pilot.press("space", *typed("A003C012 10:22:33;12 29.97 left"), "enter")
        await settled(app, pilot)
        assert "slate: A003C012 showed 10:22:33;12" in screen_text(app)
        clock.now += 60
        await pilot.press("s", "space")
        await settled(app, pilot)
        assert "29.97 left" in screen_text(app), "what the camera is, is known from before"
        await pilot.press(*typed("A003C013 10:23:40;12"), "enter")
        await settled(app, pilot)
    raw = [event for event in TickLog(brackets).events if "clip" in event.raw]
    assert [event.at for event in raw] == [NOON, NOON + 67]
    assert [(event.raw["clip"], event.raw["rate"], event.raw["camera"]) for event in raw] == [
        ("A003C012", "29.97", "left"),
        ("A003C013", "29.97", "left"),
    ]


async def test_a_label_that_does_not_exist_is_refused_in_one_line_and_can_be_mended(brackets: Path) -> None:
    async with opened(brackets, keys="c s") as (app, pilot):
        await pilot.press("space", *typed("A003 10:01:00;00 29.97"), "enter")
        await settled(app, pilot)
        assert "✗ 10:01:00;00 does not exist: drop-frame leaves it out" in screen_text(app)
        assert logged(brackets) == [("slate", "set-jig")], "only the take is kept"
        await pilot.press("home", *["right"] * 15, "delete", "2", "enter")  # it stands there as it was typed
        await settled(app, pilot)
        assert "slate: A003 showed 10:01:00;02" in screen_text(app)
        assert logged(brackets) == [("slate", "set-jig")] * 2
        await pilot.press("s", "space", *typed("../x 10:01:00:00 25"), "enter")
        await settled(app, pilot)
        assert "not a name of a clip" in screen_text(app)
        await pilot.press("escape")


async def test_a_slate_from_the_screen_ends_as_a_marker(brackets: Path, tmp_path: Path) -> None:
    clock = Clock()
    async with opened(brackets, clock=clock, keys="c s") as (app, pilot):
        await pilot.press("space", *typed("A001 10:00:00:00 25"), "enter")
        clock.now += 10
        await pilot.press("space")
        await settled(app, pilot)
    target = tmp_path / "x.csv"
    code, answer = run_json("edit", str(brackets), "1", "--to", str(target))
    assert (code, answer["not_placed"]) == (0, []), "the take is not a slate that ties nothing"
    assert next(row for row in csv.reader(target.open()) if row[0] == "set-jig")[6] == "10:00:10:00"


async def test_a_card_is_free_once_it_was_copied_twice(brackets: Path) -> None:
    async with opened(brackets, keys="c s") as (app, pilot):
        await pilot.press("space", *typed("A003C012 10:22:33:12 25"), "enter", "d")
        await settled(app, pilot)
        assert "✗ A003C012 not copied" in screen_text(app)
        await pilot.press(*typed("A003 shop disk"), "enter")
        await settled(app, pilot)
        assert "copied: A003 to shop disk; NOT FREE until it is copied to a second place" in " ".join(
            screen_text(app).split()
        )
        await pilot.press("r")
        await settled(app, pilot)
        assert "not to be wiped: A003 copied to shop disk only" in screen_text(app)
        await pilot.press("r", "d", *typed("A/3 x"), "enter")
        await settled(app, pilot)
        assert "not a name of a card" in screen_text(app)
        await pilot.press("escape", "d", *typed("A003 laptop"), "enter")
        await settled(app, pilot)
        assert "copied: A003 to laptop; it is free" in screen_text(app)
    assert [did for did, _ in logged(brackets)].count("copied") == 2
    _, answer = run_json("story", str(brackets))
    assert answer["cards"] == [{"card": "A003", "places": ["shop disk", "laptop"], "free": True}]
    assert "✓ free A003 copied to shop disk, laptop" in " ".join(run("story", str(brackets))[1].split())
