"""Moving about on the screen for filming: sides, places of work that is put in twice, the top, and the timer's look."""

from __future__ import annotations

from pathlib import Path

from textual.content import Content
from textual.widgets import Static

from planner.app.camera.screen import CameraScreen
from planner.app.draw.textpane import TextPane
from planner.app.shell import PlannerApp
from planner.session.onebuild import OneBuild
from tests.app.support import write
from tests.support.clock import Clock
from tests.support.screens import opened, settled

TWICE = {
    "build.yaml": """\
format: 1
build: Gate frame
sides: [left, right]
conditions:
  frame.flat: {on: job, means: the frame lies flat}
""",
    "episodes/01-gate.yaml": """\
format: 1
episode: 1
title: Gate
stages:
  - stage: Corners
    steps:
      - {step: first, do: Weld the first corner, sides: once, needs: [frame.flat], spoils: [frame.flat]}
      - {step: second, do: Weld the second corner, sides: once, needs: [frame.flat], spoils: [frame.flat]}
      - {step: third, do: Hang it, sides: once, needs: [frame.flat]}
      - {step: flatten, do: Lay it flat again, sides: once, gives: [frame.flat], rework: true}
    sequence: [flatten, first, flatten, second, flatten, third]
""",
}


def at(app: PlannerApp) -> str:
    assert isinstance(app.screen, CameraScreen)
    op = app.screen.operation()
    assert op is not None
    return op.name


async def test_sides_go_round_in_both_directions(four: Path) -> None:
    """With more than two sides, the one before is not the one after."""
    async with opened(four, keys="c") as (app, pilot):
        seen = [at(app)]
        for key in ("left", "left", "right", "right", "right"):
            await pilot.press(key)
            seen.append(at(app))
    sides = [name.partition("@")[2] for name in seen]
    assert sides == ["front-left", "rear-right", "rear-left", "rear-right", "front-left", "front-right"]


async def test_work_that_is_put_in_twice_has_two_places(tmp_path: Path) -> None:
    """Going down from the second one leads on, and not back to what follows the first."""
    async with opened(write(tmp_path, "gate", TWICE), keys="c") as (app, pilot):
        await pilot.press(*["up"] * 6)
        seen = [at(app)]
        for _ in range(5):
            await pilot.press("down")
            seen.append(at(app))
    assert seen == ["flatten", "first", "flatten", "second", "flatten", "third"]


async def test_another_operation_is_shown_from_its_top(brackets: Path) -> None:
    """What may hurt stands first: nobody comes to an operation half-way down its text."""
    path = brackets / "episodes" / "01-on.yaml"
    many = "note: " + "Two people. " * 200
    text = path.read_text().replace("note: Two people.", many)
    path.write_text(text.replace("do: Dress the weld flush", f"do: Dress it\n        {many}"))
    async with opened(brackets, keys="c") as (app, pilot):
        assert isinstance(app.screen, CameraScreen)
        one = app.screen.one
        assert isinstance(app.screen, CameraScreen)
        app.screen.show_operation(one.live.by_name["roll"])
        app.screen.draw_seconds()
        await settled(app, pilot)
        pane = app.screen.query_one("#now", TextPane)
        await pilot.press("pagedown")
        await settled(app, pilot)
        assert pane.scroll_y > 0
        await pilot.press("down")
        await settled(app, pilot)
        assert at(app) == "dress@driver"
        assert pane.max_scroll_y > 0
        assert pane.scroll_y == 0


async def test_a_wait_that_is_over_looks_unlike_one_that_runs(brackets: Path) -> None:
    """From two metres the numerals are told by their look alone."""
    clock = Clock()
    one = OneBuild(brackets, "shop", clock)
    for name in ("set-jig", "clamp@driver", "clamp@passenger", "tacks#1@driver"):
        one.tick(name)
    async with opened(brackets, clock=clock, keys="c") as (app, pilot):
        app.screen.show_operation(one.live.by_name["clamp@driver"])  # type: ignore[attr-defined]
        looks = []
        for passed in (10, 200):
            clock.now += passed
            app.second()
            await settled(app, pilot)
            drawn = app.screen.query_one("#digits", Static).render()
            assert isinstance(drawn, Content)
            looks.append({str(span.style) for span in drawn.spans})
    assert looks[0] != looks[1]
