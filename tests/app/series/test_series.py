"""The screen of the series."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from textual.widgets import Input

from planner.app.plan.screen import PlanScreen
from planner.app.series.screen import SeriesScreen
from planner.session.onebuild import OneBuild
from tests.app.support import write
from tests.support.clock import NOON, Clock
from tests.support.commandline import run
from tests.support.golden import same_as_golden
from tests.support.screens import detail, opened, screen_text, settled

GATE = {
    "build.yaml": """\
format: 1
build: Gate
sides: [driver, passenger]
film: passenger
shop: {timezone: UTC}
""",
    "episodes/01-posts.yaml": """\
format: 1
episode: 1
title: Posts [b]up[/b]
publish: 2026-12-20 18:00
runtime: 8 min
promises: [{says: The gate closes, by: 2}, Paint]
sponsors: [{who: A mill, says: The steel was given, from: steel}, {who: A shop}]
stages:
  - stage: Hinges
    film: none
    steps:
      - {step: order, do: Order hinges, kind: order, sides: once, where: desk, wait: 7 days}
      - {step: paint, do: Order paint, kind: order, sides: once, where: desk, wait: 3 days}
  - stage: Tacks
    steps:
      - {step: tacks, do: Tack in opposite pairs, rounds: 3, shots: [{shot: The tack, length: 20 s}]}
  - stage: Look
    steps:
      - {step: look, do: Look at it, sides: once, say: Straight as a die}
""",
    "episodes/02-close.yaml": """\
format: 1
episode: 2
title: It closes
refers-to: [1]
keeps: [The gate closes]
corrects: [{episode: 1, says: The pin is 12 mm}, {episode: 1, says: Gloves off at the drill, safety: true}]
stages:
  - stage: Hang
    steps:
      - {step: hang, do: Hang the gate, sides: once}
""",
}


@pytest.fixture
def gate(tmp_path: Path) -> Path:
    """A gate of which two tacks were done while nobody filmed, and one was filmed and done again."""
    folder = write(tmp_path, "gate", GATE)
    clock = Clock(NOON - 7200)
    one = OneBuild(folder, "bench", clock)
    one.tick("order", anyway=True)
    for name in ("tacks#1@passenger", "tacks#1@driver", "tacks#2@passenger", "tacks#2@driver"):
        one.tick(name, anyway=True)
    one.remark("tacks#2@passenger", [{"did": "note", "text": "same glove, lamp left"}])
    clock.now += 60
    one.remark("tacks#3@passenger", [{"did": "rolling"}])
    clock.now += 90
    one.tick("tacks#3@passenger", anyway=True)
    one.remark("tacks#3@passenger", [{"did": "stopped"}])
    one.tick("tacks#3@passenger", "again", anyway=True)
    clock.now += 60
    one.tick("tacks#3@driver", anyway=True)
    return folder


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(("name", "keys"), [("off-camera", "S"), ("episode", "S down down")])
async def test_it_looks_as_it_was_looked_at(gate: Path, size: tuple[int, int], name: str, keys: str) -> None:
    async with opened(gate, size=size, keys=keys) as (app, pilot):
        await settled(app, pilot)
        same_as_golden(__file__, f"{name}-{size[0]}x{size[1]}", screen_text(app))


async def test_what_viewers_did_not_see_comes_first(gate: Path) -> None:
    async with opened(gate, keys="S") as (app, pilot):
        assert isinstance(app.screen, SeriesScreen)
        text = detail(app)
        assert ", passenger side, rounds 1 to 2\n  ✗ not filmed: same glove, lamp left  tacks" in text
        assert ", driver side, rounds 1 to 3\n  ○ off camera, as planned" in text
        assert text.index("not filmed") < text.index("off camera, as planned")
        await pilot.press("enter")
        await settled(app, pilot)
        assert isinstance(app.screen, PlanScreen)
        op = app.screen.operation()
        assert op is not None and op.step.id == "tacks"


async def test_an_episode_says_all_of_it(gate: Path) -> None:
    async with opened(gate, keys="S down down") as (app, _):
        text = detail(app)
    for words in (
        "Episode 1  due 2026-12-20",
        "about 0:21 by its shots and words, wanted 8:00; 1:30 filmed",  # a shot of 20 s, and 5 words at 183 a minute
        "sponsor A mill (steel): The steel was given",
        "sponsor A shop: NO WORDS YET",
        "Hinges: no length known, ○ off camera",
        "Tacks: about 0:20, ✗ 1 of 3 done on camera filmed",
        "Look: about 0:01, · nothing done yet",
        "promise kept in 2: The gate closes (made in 1, by episode 2)",
        "promise OPEN: Paint (made in 1)",
        "SAFETY: episode 2 corrects episode 1: Gloves off at the drill",
        "tacks#3@passenger  done again",
    ):
        assert words in text, words
    assert text.index("Gloves off") < text.index("The pin")


async def test_the_command_says_what_the_screen_says(gate: Path) -> None:
    told = " ".join(run("story", str(gate), "--now", "2026-12-15T12:00:00Z")[1].split())
    async with opened(gate, keys="S") as (app, pilot):
        for _ in range(8):
            for line in detail(app).split("\n"):
                assert " ".join(line.split()) in told, line
            await pilot.press("down")
            await settled(app, pilot)
    assert "order until 2026-12-22 10:00" in told
    assert "paint not begun; takes 3 days" in told


async def test_a_tick_is_told_when_one_comes_back(gate: Path) -> None:
    async with opened(gate, keys="S") as (app, pilot):
        await pilot.press("c", "g", "space")
        await settled(app, pilot)
        await pilot.press("f")
        await settled(app, pilot)
        await pilot.press("1")
        await settled(app, pilot)
        await pilot.press("S")
        await settled(app, pilot)
        assert "✗ not filmed" in detail(app) and "  look" in detail(app)


async def test_the_text_under_an_episode_and_what_is_left_to_film_are_shown_and_copied(gate: Path) -> None:
    async with opened(gate, keys="S d") as (app, pilot):
        assert "go to an episode first" in screen_text(app)
        await pilot.press("down", "down", "d")
        await settled(app, pilot)
        text = detail(app)
        assert text.splitlines()[0].startswith("• 2 of 9 operations of episode 1 are not done yet")
        assert run("story", str(gate), "--description", "1")[1].strip() in text
        await pilot.press("h")
        await settled(app, pilot)
        shots = run("story", str(gate), "--shots", "--episode", "1", "--now", "2026-12-15T12:00:00Z")[1]
        assert shots.strip() in detail(app)
        await pilot.press("down")
        await settled(app, pilot)
        assert "hang  Hang the gate" in detail(app)
        await pilot.press("h")
        await settled(app, pilot)
        assert "refers to episode 1" in detail(app)


async def test_what_is_shown_is_written_and_not_over_a_file(gate: Path) -> None:
    home = gate.parent / "builds"
    home.mkdir()
    gate = gate.rename(home / gate.name)
    papers = home.parent / "papers"
    async with opened(gate, home, size=(120, 36), keys="S w") as (app, pilot):
        assert "show what is to be written first" in screen_text(app)
        await pilot.press("down", "down", "d", "w")
        await settled(app, pilot)
        assert app.screen.query_one(Input).value == str(papers / "gate-description-episode-1.md")
        await pilot.press("enter")
        await settled(app, pilot)
        to = gate.parent / "told.md"
        assert run("story", str(gate), "--description", "1", "--to", str(to))[0] == 0
        assert (papers / "gate-description-episode-1.md").read_bytes() == to.read_bytes()
        await pilot.press("w", "enter")
        await settled(app, pilot)
        await pilot.press("1")
        await settled(app, pilot)
        assert "nothing was written" in screen_text(app)
        await pilot.press("h", "w", "enter")
        await settled(app, pilot)
        rows = list(csv.reader((papers / "gate-shots-episode-1.csv").read_text("utf-8").splitlines()))
        assert len(rows) > 1 and len({len(row) for row in rows}) == 1


async def test_texts_of_people_are_text(tmp_path: Path) -> None:
    nasty = "[red]x[/] [/oops 宽\u200b" + "w" * 90
    words = GATE["episodes/01-posts.yaml"]
    for each in ("Posts [b]up[/b]", "A mill", "The steel was given", "Paint", "Tacks", "Order hinges"):
        words = words.replace(each, f'"{nasty}"')
    folder = write(tmp_path, "gate", {**GATE, "episodes/01-posts.yaml": words})
    one = OneBuild(folder, "bench", Clock(NOON - 60))
    one.tick("tacks#1@passenger", anyway=True)
    one.remark("tacks#1@passenger", [{"did": "note", "text": "\x1b[2J\u202eflip"}])
    for size, keys in (((60, 20), "down h h d down down down down"), ((120, 36), "down h d down down down")):
        async with opened(folder, size=size, keys="S down d") as (app, pilot):
            for key in keys.split():
                await pilot.press(key)
                await settled(app, pilot)
                assert "\x1b" not in detail(app)
            await pilot.press("home", "down")
            await settled(app, pilot)
            assert "[red]x[/] [/oops" in detail(app) + screen_text(app)
