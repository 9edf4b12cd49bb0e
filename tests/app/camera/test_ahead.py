"""The way back and what to do now, offered by the camera; and what a long search says of itself."""

from __future__ import annotations

import time
from collections.abc import Callable
from pathlib import Path

import pytest

from planner.app.frame.choose import Choose
from planner.app.frame.looking import Looking, looked_for
from planner.app.frame.ticking import WorkPage
from planner.plan.live import Live
from planner.session.offorder import off_order
from planner.session.onebuild import OneBuild
from planner.telling.finding import shown_name
from planner.telling.looks import plain
from tests.app.camera.test_camera import BEFORE_TACKS, at, ticked
from tests.app.support import logged
from tests.app.write.support import press
from tests.support.clock import Clock
from tests.support.screens import detail, opened, screen_text, settled

WELDED = (*BEFORE_TACKS, *(f"tacks#{n}@{side}" for n in (1, 2) for side in ("driver", "passenger")), "weld@driver")


def bead_proud(folder: Path) -> None:
    """The housing was welded: it may not be rolled until the beads are dressed, which is planned too late."""
    one = OneBuild(folder, "shop", Clock(Clock().now - 7200))
    for name in WELDED:
        one.tick(name, anyway=True)
    path = folder / "episodes/01-on.yaml"
    text = path.read_text()
    path.write_text(text.replace("do: Dress the weld flush", "do: Dress the weld flush\n        time: 25 min"))


async def test_the_way_back_is_offered_first_step_first(brackets: Path) -> None:
    bead_proud(brackets)
    before = logged(brackets)
    async with opened(brackets, keys="c") as (app, pilot):
        assert "✗ off the safe order at roll   D: the way back" in detail(app)
        await pilot.press("D")
        await settled(app, pilot)
        assert isinstance(app.screen, Choose)
        said = plain(app.screen.lines)
        assert said.startswith("STOP before roll\nit costs 50 min of work; no rework")
        steps = [row[3:].split("  ")[0] for row in said.split("\n") if row[:2].strip().isdigit()]
        assert set(steps) == {"weld, passenger", "dress, driver", "dress, passenger"}
        assert "why  Roll the tube over" in said
        assert "then   roll" in said
        await pilot.press("1")
        await settled(app, pilot)
        assert shown_name(at(app)) == steps[0]
    assert logged(brackets) == before  # looking ticks nothing


async def test_nothing_is_offered_where_no_tick_has_set_a_trap(brackets: Path) -> None:
    ticked(brackets, "set-jig")
    async with opened(brackets, keys="c") as (app, pilot):
        assert "off the safe order" not in detail(app)
        await pilot.press("D", "escape")
        await settled(app, pilot)
        assert at(app) == "clamp@driver"


async def test_the_way_back_can_be_written_into_the_plan_from_there(brackets: Path) -> None:
    bead_proud(brackets)
    path = brackets / "episodes/01-on.yaml"
    before = path.read_text()
    async with opened(brackets, keys="c D") as (app, pilot):
        await press(pilot, "3")
        assert "the way back" in screen_text(app)
        assert path.read_text() == before  # a preview comes first
        await press(pilot, "1")
    assert path.read_text() != before
    assert off_order(OneBuild(brackets)) is None


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_what_now_says_what_and_why_and_goes_there(brackets: Path, size: tuple[int, int]) -> None:
    ticked(brackets, "set-jig")
    async with opened(brackets, keys="c down down n", size=size) as (app, pilot):
        text = screen_text(app)
        assert "what now" in text
        assert "now  clamp, driver" in text
        assert "next as planned" in " ".join(text.replace("│", " ").split())
        await pilot.press("1")
        assert at(app) == "clamp@driver"


async def test_a_long_search_says_how_long_and_is_stopped_at_once(brackets: Path) -> None:
    found: list[str] = []

    def search(stop: Callable[[], bool]) -> str:
        until = time.monotonic() + 30
        while not stop() and time.monotonic() < until:
            time.sleep(0.01)
        return "the best so far" if stop() else "all of it"

    async with opened(brackets) as (app, pilot):

        async def work() -> None:
            found.append(await looked_for(app, "looking for a needle", 30, search))

        app.run_worker(work())
        said = ("… looking for a needle", "of at most 30 s")
        while not (isinstance(app.screen, Looking) and all(each in screen_text(app) for each in said)):
            await pilot.pause(0.05)
        await pilot.press("escape")
        await settled(app, pilot)
        assert found == ["the best so far"]
        assert not isinstance(app.screen, Looking)


async def test_a_short_search_says_nothing(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        seen: list[object] = []

        async def work() -> None:
            seen.append(await looked_for(app, "looking", 6, lambda _: app.screen))

        app.run_worker(work())
        await settled(app, pilot)
        assert not isinstance(seen[0], Looking)


async def test_a_refusal_with_nothing_safe_to_offer_shows_the_way_back(
    brackets: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    bead_proud(brackets)
    before = logged(brackets)
    monkeypatch.setattr(Live, "safe_instead", lambda *_, **__: None)
    async with opened(brackets, keys="c") as (app, pilot):
        page = app.page
        assert isinstance(page, WorkPage)
        page.show_operation(page.one.plan.by_name["roll"])
        await settled(app, pilot)
        await pilot.press("space")
        await settled(app, pilot)
        assert "2  See what to do first: the way back" in screen_text(app)
        await pilot.press("2")
        await settled(app, pilot)
        assert isinstance(app.screen, Choose)
        assert "dress, driver" in screen_text(app) and "dress@" not in plain(app.screen.lines)
    assert logged(brackets) == before
