"""The screen of the calendar."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from planner.app.calendar.screen import CalendarScreen
from planner.app.plan.screen import PlanScreen
from planner.app.shell import PlannerApp
from planner.plan.model import Place
from planner.session.calendar import Made, make_calendar
from planner.session.onebuild import OneBuild
from tests.app.support import write
from tests.support.clock import Clock
from tests.support.golden import same_as_golden
from tests.support.screens import detail, opened, screen_text, settled

GATE = {
    "build.yaml": """\
format: 1
build: Gate
sides: [left, right]
film: left
shop: {timezone: Europe/Lisbon, hours: {wed: "19:00-22:00", sat: "08:00-12:00"}, desk: {sun: "20:00-22:00"}}
conditions:
  post.tacked: {kept: side, means: tacked}
  hinge.here: {kept: job, means: the hinges came}
pieces: {post: {}}
""",
    "episodes/01-posts.yaml": """\
format: 1
episode: 1
title: Posts
publish: 2027-01-10 21:00
edit: 1 h
stages:
  - stage: One
    steps:
      - {step: order, do: Order hinges, gives: [hinge.here], where: desk, sides: once, time: 10 min, wait: 7 days}
      - {step: tack, do: Tack the post, gives: [post.tacked], time: 40 min, setup: bench, shots: [the first tack]}
      - {step: cap, do: Cut the stub off, kind: cut-off, piece: post, time: 30 min, setup: vice}
      - {step: watch, do: Keep the watch, kind: fire-watch, piece: post, sides: once, time: 1 h}
      - {step: hang, do: Hang the gate, needs: [post.tacked, hinge.here], time: 1 h, setup: floor, hands: 2}
""",
}
NOW = 1_798_794_000.0  # Friday 2027-01-01 09:00 UTC


@pytest.fixture
def gate(tmp_path: Path) -> Path:
    return write(tmp_path, "gate", GATE)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
@pytest.mark.parametrize(("name", "keys"), [("calendar", "k"), ("calendar-late", "k right right")])
async def test_it_looks_as_it_was_looked_at(gate: Path, size: tuple[int, int], name: str, keys: str) -> None:
    async with opened(gate, size=size, clock=Clock(NOW), keys=keys) as (app, pilot):
        await settled(app, pilot)
        same_as_golden(__file__, f"{name}-{size[0]}x{size[1]}", screen_text(app))


async def test_a_shift_says_all_that_the_evening_wants(gate: Path) -> None:
    async with opened(gate, clock=Clock(NOW), keys="k") as (app, _):
        text = detail(app)
        assert "Sat 2027-01-02 08:00-12:00  shop" in text
        assert "tack, left" in text
        assert "Tack the post" in text
        assert "set-up: vice" in text
        assert "close      watch, before you leave" in text
        assert "film       tack: the first tack" in text
        assert "OFF CAMERA" in text
        assert "caution" in text
        assert "✗ late by" in text


async def test_what_is_tried_is_seen_at_once_and_put_back(gate: Path) -> None:
    before = {path: path.read_bytes() for path in gate.rglob("*.yaml")}
    async with opened(gate, clock=Clock(NOW), keys="k") as (app, pilot):
        assert isinstance(app.screen, CalendarScreen)
        first = detail(app)
        await pilot.press("greater_than_sign")
        await settled(app, pilot)
        assert "what if  publish of episode 1: Sun 2027-01-17 21:00" in detail(app)
        assert "episode 1: late by 7 days → met" in detail(app)
        await pilot.press("less_than_sign", "0")
        await settled(app, pilot)
        assert "what if  away: 2027-01-02" in detail(app)
        assert "moves    nothing that counts" in detail(app)
        await pilot.press("u", "g", "plus")
        await settled(app, pilot)
        assert 'what if  hours: sat: "08:00-12:30"' in detail(app)
        await pilot.press("u")
        await settled(app, pilot)
        assert detail(app) == first
        await pilot.press("greater_than_sign")
        await settled(app, pilot)
        assert detail(app) != first
        await pilot.press("escape")
        await settled(app, pilot)
        assert detail(app) == first
    assert {path: path.read_bytes() for path in gate.rglob("*.yaml")} == before


async def test_shifts_are_stepped_through_and_enter_goes_to_the_plan(gate: Path) -> None:
    async with opened(gate, clock=Clock(NOW), keys="k right") as (app, pilot):
        assert "Sun 2027-01-03 20:00-22:00  desk" in detail(app)
        await pilot.press("down")
        assert "Wed 2027-01-13" in detail(app) or "Sat 2027-01-16" in detail(app)
        await pilot.press("g", "enter")
        await settled(app, pilot)
        assert isinstance(app.screen, PlanScreen)
        op = app.screen.operation()
        assert op is not None
        assert op.name == "tack@left"


async def test_no_hours_is_said_in_place(brackets: Path) -> None:
    async with opened(brackets, keys="k") as (app, _):
        assert "no calendar" in detail(app)
        assert "hours" in detail(app) or "no order" in detail(app)


async def test_a_tick_moves_it(gate: Path) -> None:
    async with opened(gate, clock=Clock(NOW), keys="space k") as (app, pilot):
        await settled(app, pilot)
        assert isinstance(app.screen, CalendarScreen)
        assert app.screen.made is not None
        assert "order" not in app.screen.made.results.floats


async def test_all_builds_share_one_pair_of_hands_and_one_is_alone_again(gate: Path) -> None:
    shed = {name: text.replace("build: Gate", "build: Shed") for name, text in GATE.items()}
    write(gate.parent, "shed", shed)
    write(gate.parent, "broken", {"build.yaml": "format: 1\nbuild: [x\n"})
    async with opened(gate, clock=Clock(NOW), keys="k") as (app, pilot):
        await settled(app, pilot)
        assert isinstance(app.screen, CalendarScreen)
        assert app.screen.made is not None
        alone = app.screen.made.results.finish
        await pilot.press("o")
        await settled(app, pilot)
        made = app.screen.made
        assert made is not None
        names = {part.name for spell in made.results.spells for part in spell.parts}
        assert {"gate:tack@left", "shed:tack@left"} <= names
        assert made.results.finish > alone
        assert "one pair of hands for  Gate, Shed" in detail(app)
        await pilot.press("right", "plus")  # hours are tried for all of them
        await settled(app, pilot)
        assert "what if" in detail(app)
        await pilot.press("o")
        await settled(app, pilot)
        assert app.screen.made is not None
        assert app.screen.made.results.finish == alone
        assert "one pair of hands" not in detail(app)


async def test_with_no_other_build_that_is_said(gate: Path) -> None:
    async with opened(gate, clock=Clock(NOW), keys="k o") as (app, pilot):
        await settled(app, pilot)
        assert "there is no other build" in screen_text(app)


async def test_the_search_is_stopped_at_once_and_the_best_so_far_is_kept(
    gate: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    ran: list[str] = []

    def held(made: Made, place: Place, stop: Callable[[], bool]) -> Made:
        """Ends only when it is stopped, and then has a calendar with a note of its own."""
        until = time.monotonic() + 10
        while not stop() and time.monotonic() < until:
            time.sleep(0.01)
        ran.append("stopped" if stop() else "too long")
        return made._replace(notes=("found while it ran",))

    monkeypatch.setattr("planner.app.calendar.screen.refined", held)
    async with opened(gate, clock=Clock(NOW)) as (app, pilot):
        await pilot.press("k")
        while not (isinstance(app.screen, CalendarScreen) and "looking for a better one" in detail(app)):
            await pilot.pause(0.05)
        await pilot.press("escape")
        await settled(app, pilot)
        assert ran == ["stopped"]
        assert "found while it ran" in detail(app)
        assert "looking for a better one" not in detail(app)
        assert "this is the best calendar so far" in screen_text(app)


async def test_booking_all_builds_is_stopped_at_once(gate: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    write(gate.parent, "shed", {name: text.replace("build: Gate", "build: Shed") for name, text in GATE.items()})
    ran: list[str] = []
    real = make_calendar

    def held(ones: list[OneBuild], *, tries: int, stop: Callable[[], bool]) -> Made:
        """Of several builds it ends only when it is stopped."""
        until = time.monotonic() + 10
        while len(ones) > 1 and not stop() and time.monotonic() < until:
            time.sleep(0.01)
        ran.append(f"{len(ones)}{' stopped' if stop() else ''}")
        return real(ones, tries=tries, stop=stop)

    monkeypatch.setattr("planner.app.calendar.screen.make_calendar", held)
    async with opened(gate, clock=Clock(NOW), keys="k") as (app, pilot):
        await settled(app, pilot)
        before = detail(app)
        await pilot.press("o")
        while "booking 2 builds" not in screen_text(app):
            await pilot.pause(0.05)
        await pilot.press("escape")
        await settled(app, pilot)
        assert ran == ["1", "2 stopped"]
        assert detail(app) == before
        assert "one pair of hands" not in detail(app)


def place_of(app: PlannerApp, text: str) -> tuple[int, int]:
    """Where a text stands on the screen: column and line."""
    rows = screen_text(app).splitlines()
    return next((row.index(text), y) for y, row in enumerate(rows) if text in row)


async def test_a_flag_is_dragged_to_another_day_and_what_moves_is_seen(gate: Path) -> None:
    async with opened(gate, size=(120, 36), clock=Clock(NOW), keys="k") as (app, pilot):
        await settled(app, pilot)
        first = detail(app)
        x, y = place_of(app, "⚑1✗")
        assert await pilot.mouse_down(offset=(x + 1, y))
        await pilot.hover(offset=(x + 1, y + 3))
        assert "⚑ episode 1 → 2027-01-17" in screen_text(app)
        await pilot.mouse_up(offset=(x + 1, y + 3))
        await settled(app, pilot)
        assert "what if  publish of episode 1: Sun 2027-01-17 21:00" in detail(app)
        assert "episode 1: late by 7 days → met" in detail(app)
        x, y = place_of(app, "⚑1✓")
        await pilot.mouse_down(offset=(x, y))  # to another day of the week
        await pilot.mouse_up(offset=(x - 9, y))
        await settled(app, pilot)
        assert "publish of episode 1: Sat 2027-01-16 21:00" in detail(app)
        await pilot.press("u")
        await settled(app, pilot)
        x, y = place_of(app, "⚑1✗")
        for there in ((x, y), (0, y)):  # where it was, and where no day is
            await pilot.mouse_down(offset=(x, y))
            await pilot.mouse_up(offset=there)
            await settled(app, pilot)
            assert detail(app) == first
        for begin in ((x - 9, y), (x, y - 2)):  # no flag to take hold of
            await pilot.mouse_down(offset=begin)
            await pilot.mouse_up(offset=(x, y + 3))
            await settled(app, pilot)
            assert detail(app) == first
        cx, cy = place_of(app, "tack,…")  # letting go on the day that is shown is no click on it
        await pilot.mouse_down(offset=(x, y))
        await pilot.mouse_up(offset=(cx, cy))
        await settled(app, pilot)
        assert "publish of episode 1: Sat 2027-01-02 21:00" in detail(app)
        assert "away" not in detail(app)


async def test_a_day_is_clicked_to_see_it_and_again_to_be_away(gate: Path) -> None:
    async with opened(gate, size=(120, 36), clock=Clock(NOW), keys="k") as (app, pilot):
        await settled(app, pilot)
        x, y = place_of(app, "hang,")
        await pilot.click(offset=(x, y))
        await settled(app, pilot)
        assert "Wed 2027-01-13 19:00-22:00  shop" in detail(app)
        await pilot.click(offset=(x, y))
        await settled(app, pilot)
        assert "what if  away: 2027-01-13" in detail(app)
        await pilot.click(offset=(x, y))
        await settled(app, pilot)
        assert "away" not in detail(app)
        await pilot.click(offset=place_of(app, "12-28"))
        await settled(app, pilot)
        assert isinstance(app.screen, CalendarScreen)


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        (', hours: {wed: "19:00-22:00", sat: "08:00-12:00"}, desk: {sun: "20:00-22:00"}', "", "says no hours"),
        ('wed: "19:00-22:00", sat: "08:00-12:00"', 'sat: "08:00-08:20"', "give a longer one"),
        ("wait: 7 days", "wait: 9000 days", "shorten the wait"),
        ("shop: {", "shop: {away: [2026-01-01..2060-01-01], ", "add hours"),
        ("2027-01-10 21:00", "2020-01-10 21:00", "write a later date"),
        (
            "needs: [post.tacked, ",
            "spoils: [post.tacked], needs: [post.tacked@all, ",
            "no order of what remains is good",
        ),
    ],
    ids=["no hours", "too short", "too long a wait", "away for ever", "past", "no order"],
)
async def test_what_keeps_a_calendar_from_being_made_is_said_with_what_to_change(
    tmp_path: Path, old: str, new: str, says: str
) -> None:
    assert any(old in text for text in GATE.values())
    folder = write(tmp_path, "gate", {name: text.replace(old, new) for name, text in GATE.items()})
    async with opened(folder, size=(120, 36), clock=Clock(NOW), keys="k") as (app, pilot):
        await settled(app, pilot)
        assert says in " ".join(detail(app).split())
        await pilot.press("plus", "0", "greater_than_sign", "right", "u", "escape")  # nothing to be tried
        await settled(app, pilot)
        assert isinstance(app.screen, CalendarScreen)


async def test_what_is_closed_before_leaving_stands_once_in_the_shift(tmp_path: Path) -> None:
    text = GATE["episodes/01-posts.yaml"].replace("sides: once, time: 1 h}", "sides: once, time: 2 h}")
    folder = write(tmp_path, "gate", {**GATE, "episodes/01-posts.yaml": text.replace("time: 30 min", "time: 90 min")})
    async with opened(folder, size=(120, 36), clock=Clock(NOW), keys="k") as (app, pilot):
        await settled(app, pilot)
        said = ""
        for _ in range(4):
            said += detail(app)
            await pilot.press("right")
        assert "watch, before leaving; planned again later" in said
        assert "(watch)" not in said
