"""The screen for filming: every key, the questions, the waits."""

from __future__ import annotations

from pathlib import Path

from planner.app.camera.screen import CameraScreen
from planner.app.frame.choose import Choose
from planner.app.shell import PlannerApp
from planner.files.log.ticklog import TickLog
from planner.session.onebuild import OneBuild
from tests.app.support import BRACKETS, logged, write
from tests.support.clock import Clock
from tests.support.screens import detail, opened, screen_text, settled


def at(app: PlannerApp) -> str:
    """The operation that is shown."""
    assert isinstance(app.screen, CameraScreen)
    op = app.screen.operation()
    assert op is not None
    return op.name


def ticked(folder: Path, *names: str, clock: Clock | None = None) -> None:
    """Tick some operations beforehand, an hour before the clock's time."""
    now = (clock or Clock()).now - 3600
    one = OneBuild(folder, "shop", Clock(now))
    for name in names:
        one.tick(name)


BEFORE_TACKS = ("set-jig", "clamp@driver", "clamp@passenger")


async def test_one_operation_is_shown_with_all_that_stands_around_it(brackets: Path) -> None:
    ticked(brackets, "set-jig")
    async with opened(brackets, size=(80, 25), keys="c") as (app, _):
        text = screen_text(app)
        assert at(app) == "clamp@driver"
    assert "● ON CAMERA" in text
    assert "Clamp the bracket, marks matched" in text
    assert "▸ ready" in text
    assert "! Keep fingers out of the clamp." in text
    assert "shot   The marks from above" in text
    assert "say    Marks first, muscle later" in text
    assert "others passenger ▸ ready" in text
    assert "next   clamp, passenger  ○ OFF CAMERA" in text


async def test_what_it_still_needs_is_said(brackets: Path) -> None:
    async with opened(brackets, keys="c down") as (app, pilot):
        assert "needs  ✗ missing  both halves of the jig in line under a straight edge" in detail(app)
        await pilot.press("down", "down")
        assert "✗ missing  the bracket is held in the jig, driver side" in detail(app)
        assert "one-way: cannot be undone" in detail(app)
        await pilot.press("down", "down")
        assert "✗ not its turn" in detail(app)


async def test_arrows_move_through_the_plan_and_across_the_sides(brackets: Path) -> None:
    async with opened(brackets, keys="c") as (app, pilot):
        for key, name in (
            ("up", "set-jig"),
            ("left", "set-jig"),
            ("down", "clamp@driver"),
            ("right", "clamp@passenger"),
            ("right", "clamp@driver"),
            ("left", "clamp@passenger"),
            ("down", "tacks#1@driver"),
            ("right", "tacks#1@passenger"),
            ("up", "tacks#1@driver"),
            ("g", "set-jig"),
        ):
            await pilot.press(key)
            assert at(app) == name, key
        await pilot.press(*["down"] * 20)
        assert at(app) == "photo@driver"
        await pilot.press("right")
        assert "planned on one side only" in screen_text(app)


async def test_off_camera_is_said_in_words(brackets: Path) -> None:
    for size in ((60, 20), (80, 24), (120, 36)):
        async with opened(brackets, size=size, keys="c") as (app, pilot):
            assert "○ OFF CAMERA" in screen_text(app)
            await pilot.press("down")
            assert "● ON CAMERA" in screen_text(app)


async def test_space_ticks_u_undoes_a_does_again(brackets: Path) -> None:
    clock = Clock()
    async with opened(brackets, clock=clock, keys="c space") as (app, pilot):
        clock.now += 1
        await pilot.press("space")
        assert at(app) == "clamp@passenger"
        await pilot.press("u")
        assert at(app) == "clamp@driver"
        await pilot.press("up", "a")
        assert "✓ ticked once more: set-jig" in screen_text(app)
        await pilot.press("u", "u")
    assert [did for did, _ in logged(brackets)] == ["done", "done", "undone", "again", "undone", "undone"]


async def test_before_a_one_way_operation_on_camera_it_asks(brackets: Path) -> None:
    ticked(brackets, *BEFORE_TACKS)
    clock = Clock()
    async with opened(brackets, clock=clock, keys="c") as (app, pilot):
        assert "Is it rolling? Press r when it is." in detail(app)
        await pilot.press("space")
        assert "Is the camera rolling?" in screen_text(app)
        await pilot.press("escape", "space", "1")
        assert len(logged(brackets)) == 3
        await pilot.press("space", "2")
        assert logged(brackets)[3:] == [("rolling", "tacks#1@driver"), ("done", "tacks#1@driver")]
        assert "The camera is still rolling" in screen_text(app)  # what comes next is off camera
        await pilot.press("2")
        clock.now += 1
        await pilot.press("space")  # off camera: no question
        assert logged(brackets)[-1] == ("done", "tacks#1@passenger")


async def test_it_does_not_ask_while_the_camera_rolls_nor_believe_it_for_ever(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    async with opened(brackets, clock=clock, keys="c r") as (app, pilot):
        assert "● rolling since 12:00" in detail(app)
        clock.now += 3601
        await pilot.press("space")
        assert "Is the camera rolling?" in screen_text(app)
        await pilot.press("escape", "r")
        assert "○ camera stopped" in detail(app) or "Is it rolling?" in detail(app)
        await pilot.press("r", "space")
        await settled(app, pilot)
    assert [did for did, _ in logged(brackets)[3:]] == ["rolling", "stopped", "rolling", "done"]


async def test_done_but_not_filmed_from_the_question(brackets: Path) -> None:
    ticked(brackets, *BEFORE_TACKS)
    async with opened(brackets, keys="c space 3") as (app, pilot):
        await pilot.press("up")
        assert "✗ not filmed" in detail(app)
    assert logged(brackets)[-1] == ("late", "tacks#1@driver")


async def test_what_was_not_filmed_may_be_filmed_on_the_next_side(brackets: Path) -> None:
    ticked(brackets, "set-jig", "clamp@driver")
    async with opened(brackets, keys="c up f") as (app, pilot):
        text = " ".join(screen_text(app).replace("│", " ").split())
        assert "clamp, driver was not filmed" in text
        assert "clamp, passenger is not done yet, and can be filmed in its place." in text
        assert "mirrored" in text
        await pilot.press("1")
        await settled(app, pilot)
        assert at(app) == "clamp@passenger"
        assert "● ON CAMERA for clamp, driver" in screen_text(app)
        assert "it stands in for clamp@driver" in detail(app)
    events = TickLog(brackets).events[2:]
    assert [(event.did, event.op) for event in events] == [("late", "clamp@driver"), ("note", "clamp@passenger")]
    assert events[1].raw["for"] == "clamp@driver"


async def test_another_side_is_offered_where_the_question_finds_that_nothing_rolled(brackets: Path) -> None:
    ticked(brackets, *BEFORE_TACKS)
    async with opened(brackets, keys="space 4") as (app, pilot):
        await settled(app, pilot)
        assert "● ON CAMERA for tacks 1, driver" in detail(app)  # the plan says so too
        assert "✓ not filmed" in screen_text(app) or "not filmed" in screen_text(app)
        await pilot.press("c")
        await settled(app, pilot)
        assert at(app) == "tacks#1@passenger"
        assert ", not filmed" in screen_text(app).partition("others driver")[2].splitlines()[0]
    did = [(event.did, event.op) for event in TickLog(brackets).events[3:]]
    assert did == [("late", "tacks#1@driver"), ("note", "tacks#1@passenger")]


async def test_a_camera_that_rolls_on_is_asked_about_once_and_can_be_stopped(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    async with opened(brackets, clock=clock, keys="c space 2") as (app, pilot):
        assert "The camera is still rolling" in screen_text(app)
        await pilot.press("escape")
        clock.now += 400
        await pilot.press("space")  # the other side, off camera
        clock.now += 400
        await pilot.press("space", "2")  # on camera again, and next to come is off camera: known already
        assert not isinstance(app.screen, Choose)
        await pilot.press("r", "r")  # another take
        clock.now += 400
        await pilot.press("u", "space", "1")
        await settled(app, pilot)
    kinds = [did for did, _ in logged(brackets)]
    assert kinds[-1] == "stopped"
    assert kinds.count("stopped") == 2


async def test_what_was_done_more_than_once_says_how_often(brackets: Path) -> None:
    ticked(brackets, "set-jig")
    async with opened(brackets, keys="c up a a") as (app, pilot):
        await settled(app, pilot)
        await pilot.press("up") if at(app) != "set-jig" else None
        assert ", 3 times" in detail(app)


async def test_a_one_way_stand_in_asks_for_the_camera_too(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    async with opened(brackets, clock=clock, keys="c f 1") as (app, pilot):
        assert at(app) == "tacks#1@passenger"
        clock.now += 1
        await pilot.press("space")
        assert "Is the camera rolling?" in screen_text(app)


async def test_not_filmed_without_a_stand_in(brackets: Path) -> None:
    ticked(brackets, *BEFORE_TACKS)
    async with opened(brackets, keys="c up f") as (app, pilot):
        assert "is planned off camera" in screen_text(app)
        await pilot.press("up", "f")
        assert "No other side of it is left to film" in " ".join(screen_text(app).replace("│", " ").split())
        await pilot.press("2")
        assert len(logged(brackets)) == 3
        await pilot.press("f", "1")
    assert logged(brackets)[-1] == ("late", "clamp@driver")


async def test_notes_and_readings_are_kept_with_the_operation(brackets: Path) -> None:
    async with opened(brackets, keys="c e") as (app, pilot):
        await pilot.press(*"Shim 2", "enter")
        await settled(app, pilot)
        assert "note    Shim 2  12:00" in detail(app)
        await pilot.press("m", *"0.010 in", "enter")
        await settled(app, pilot)
        assert "reading 0.010 in" in detail(app)
        await pilot.press("e", "enter", "e", "x", "escape", "m", "escape")
    raw = [dict(event.raw) for event in TickLog(brackets).events]
    assert [(each["did"], each.get("text") or each.get("value")) for each in raw] == [
        ("note", "Shim 2"),
        ("reading", "0.010 in"),
    ]


async def test_slates_are_counted(brackets: Path) -> None:
    async with opened(brackets, keys="c s") as (app, pilot):
        assert "episode 1  Brackets on" in screen_text(app)
        await pilot.press("space")  # takes the slate away and nothing else
        await pilot.press("escape")  # what was seen on the camera may be left out
        await pilot.press("s")
        await pilot.click("#card")
        await pilot.press("escape")
        await settled(app, pilot)
        assert at(app) == "set-jig"
    assert [(event.did, event.raw.get("take")) for event in TickLog(brackets).events] == [("slate", 1), ("slate", 2)]


async def test_a_wait_shows_a_countdown_that_outlives_the_app_and_rings(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    one = OneBuild(brackets, "shop", clock)
    one.tick("tacks#1@driver")
    clock.now += 60
    async with opened(brackets, clock=clock, keys="c down") as (app, pilot):
        rung: list[float] = []
        app.bell = lambda: rung.append(clock.now)  # type: ignore[method-assign]
        assert "◷ wait after tacks 1, driver" in screen_text(app)
        assert "◷ waiting, 2:00 more" in detail(app)
        clock.now += 119
        app.second()
        assert "0:01 more" in detail(app)
        assert not rung
        clock.now += 1
        app.second()
        await pilot.pause()
        assert set(rung) == {clock.now}  # a slow machine may see two seconds go by
        assert "◷ OVER: the wait after tacks 1, driver" in screen_text(app)
        assert "z silences the bell" in screen_text(app)
        clock.now += 1
        app.second()
        assert len(rung) >= 2
        await pilot.press("z")
        assert "the bell is silent" in screen_text(app)
        app.second()
        assert len(rung) >= 2
        await pilot.press("z")
        assert "the bell is off for 12 h" in screen_text(app)
        assert "the bell is off; z turns it on" in screen_text(app)
        app.open_build(brackets)
        await settled(app, pilot)
        assert app.ringer.off  # in the next build too
    async with opened(brackets, clock=clock) as (app, _):
        app.read_keys()  # as it does once the first picture stands
        assert app.ringer.off  # through a restart, while it is filmed
        clock.now += 12 * 3600
        app.read_keys()
        assert not app.ringer.off


async def test_a_wait_rings_on_every_screen(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    OneBuild(brackets, "shop", clock).tick("tacks#1@driver")
    async with opened(brackets, clock=clock) as (app, pilot):
        assert "◷ wait 3:00" in screen_text(app)
        rung: list[float] = []
        app.bell = lambda: rung.append(clock.now)  # type: ignore[method-assign]
        for key in ("p", "t", "b"):
            await pilot.press(key)
            await settled(app, pilot)
            app.second()
        clock.now += 181
        app.second()
        assert rung


async def test_too_soon_is_stopped(brackets: Path) -> None:
    clock = Clock()
    ticked(brackets, *BEFORE_TACKS)
    OneBuild(brackets, "shop", clock).tick("tacks#1@driver")
    async with opened(brackets, clock=clock, keys="c space") as (app, pilot):
        clock.now += 1
        await pilot.press("space")
        text = " ".join(screen_text(app).replace("│", " ").split())
        assert "Stop: this would be wrong now" in text
        assert "too soon" in text
        await pilot.press("escape")
    assert logged(brackets)[-1] == ("done", "tacks#1@passenger")


async def test_four_sides_are_all_in_sight(four: Path) -> None:
    async with opened(four, size=(60, 20), keys="c space down") as (app, _):
        text = " ".join(screen_text(app).split())
    for side in ("front-left ✓ done", "front-right ▸ ready", "rear-right ▸ ready"):
        assert side in text


async def test_one_side_and_nothing_left(tmp_path: Path) -> None:
    files = {path: text.replace("[driver, passenger]", "[driver]") for path, text in BRACKETS.items()}
    folder = write(tmp_path, "one", files)
    one = OneBuild(folder, "shop", Clock(1e9))
    at_time = 1e9
    while (following := one.live.next()) is not None:
        one.tick(following.name, at=at_time, anyway=True)
        at_time += 1000
    async with opened(folder, keys="c") as (app, pilot):
        text = screen_text(app)
        assert "✓ complete" in text
        assert "nothing is left after this" in text
        assert "there is one side only" in text
        await pilot.press("g")
        assert "nothing is left to do" in screen_text(app)


async def test_a_take_counts_slates_and_nothing_else(brackets: Path) -> None:
    async with opened(brackets, keys="c") as (app, pilot):
        await settled(app, pilot)
        assert app.opened is not None
        op = app.opened.one.live.next()
        assert op is not None
        app.opened.one.remark(op.name, [{"did": "note", "text": "a note"}, {"did": "reading", "value": "3"}])
        await pilot.press("s")
        await settled(app, pilot)
    events = TickLog(brackets).events
    assert [event.raw["take"] for event in events if event.did == "slate"] == [1]


FIRE = {
    "build.yaml": """\
format: 1
build: One seam
sides: [left, right]
pieces:
  seam: {not-yet: []}
""",
    "episodes/01-seam.yaml": """\
format: 1
episode: 1
title: Seam
stages:
  - stage: Seam
    steps:
      - {step: bead, do: Lay the bead, kind: weld, piece: seam, rounds: 2}
      - {step: watch, do: Watch for smoulder, kind: fire-watch, piece: seam, sides: once}
      - {step: tidy, do: Put the leads away, sides: once}
""",
}


async def test_a_fire_watch_has_its_timer_its_bell_and_is_not_over_in_a_minute(tmp_path: Path) -> None:
    folder = write(tmp_path, "fire", FIRE)
    clock = Clock()
    one = OneBuild(folder, "shop", clock)
    for op in one.plan.operations[:4]:
        one.tick(op.name, anyway=True)
        clock.now += 600
    clock.now -= 600
    async with opened(folder, clock=clock, keys="c") as (app, pilot):
        assert at(app) == "watch"
        assert app.screen.query_one("#timer").has_class("-shown")
        assert "◷ waiting  1:00:00 more" in detail(app)
        clock.now += 60
        await pilot.press("space")
        assert isinstance(app.screen, Choose)  # asked, and with what else can be done
        assert "too soon" in " ".join(screen_text(app).split())
        await pilot.press("2")
        await settled(app, pilot)
        offered = at(app)
        await pilot.press("g", "g")
        await settled(app, pilot)
        assert at(app) == offered == "tidy"  # next, from what must wait, is what the refusal offers
        await pilot.press("g")
        assert at(app) == "watch"
        clock.now += 3541
        app.second()
        assert app.ringer.over == {"watch": clock.now - 1}
        assert app.ringer.left
        await pilot.press("space")
        assert logged(folder)[-1] == ("done", "watch")
