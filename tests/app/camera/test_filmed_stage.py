"""A whole stage filmed by keys: tacks in rounds, waits from numbers, a hold that fails, rework, a pass; read back."""

from __future__ import annotations

import math
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

from textual.pilot import Pilot

from planner.app.camera.screen import CameraScreen
from planner.app.frame.choose import Choose
from planner.app.frame.keypad import Keypad
from planner.app.shell import PlannerApp
from planner.numbers.quantity import Quantity
from planner.session.onebuild import OneBuild
from planner.telling.times import clock_words
from tests.app.support import logged, write
from tests.numbers.asking import ask
from tests.support.clock import Clock
from tests.support.screens import opened, screen_text, settled

BUILD = """\
format: 1
build: Two stubs
sides: [driver, passenger]
film: driver
shop: {timezone: America/New_York}
conditions:
  stub.tacked: {kept: side, means: four tacks hold it}
  stub.cold: {kept: side, means: as cold as the air}
  stub.straight: {kept: side, means: it stands square}
"""
EPISODE = """\
format: 1
episode: 1
title: Stubs
stages:
  - stage: On
    steps:
      - step: tacks
        do: Tack an opposite pair
        rounds: 2
        gives: [stub.tacked]
        spoils: [stub.cold]
        wait: 3 min
        one-way: true
      - step: cool
        do: Leave it alone
        needs: [stub.tacked]
        gives: [stub.cold]
        wait: {cool-to: measure}
      - step: straight
        do: Read the plate
        needs: [stub.cold]
        gives: [stub.straight]
        hold: {limit: 0.010 in, plus-minus: 0.002 in}
      - step: draw
        do: Draw it back
        rework: true
        spoils: [stub.straight]
      - step: press
        do: Press the bearing in
        needs: [stub.straight]
        one-way: true
"""
TUBE = {"diameter": "76 mm", "wall": "6 mm", "hot": "250 C", "air": "20 C"}
NUMBERS = "format: 1\ncool: {diameter: 76 mm, wall: 6 mm, hot: 250 C, air: 20 C}\n"
#: Half an hour before the clocks of New York go back: 01:30 is there twice that night.
START = datetime(2026, 11, 1, 1, 30, tzinfo=ZoneInfo("America/New_York")).timestamp()


async def hit(app: PlannerApp, pilot: Pilot[Any], *keys: str) -> None:
    """Press keys one after the other, each when what the one before did is over; the camera rolls on all the time."""
    for key in keys:
        await pilot.press(key)
        await settled(app, pilot)
        while isinstance(app.screen, Choose) and "camera is still rolling" in screen_text(app):
            await pilot.press("2")
            await settled(app, pilot)


async def test_a_stage_is_filmed_from_the_first_tack_to_the_bearing(tmp_path: Path) -> None:
    files = {"build.yaml": BUILD, "episodes/01-stubs.yaml": EPISODE, "numbers.yaml": NUMBERS}
    folder = write(tmp_path / "builds", "stubs", files)
    clock = Clock(START)
    found = ask("cool", TUBE).results["to-measure"]
    assert isinstance(found, Quantity)
    cold = 60 * math.ceil((found.value + found.plus_minus) / 60)  # the long end, up to a whole minute
    async with opened(folder, clock=clock, keys="c") as (app, pilot):
        await hit(app, pilot, "space")
        assert isinstance(app.screen, Choose)  # one-way and on camera: is it rolling?
        await hit(app, pilot, "2")
        await hit(app, pilot, "space")
        text = screen_text(app)
        assert "waiting, 3:00 more" in text  # the second round of the driver's tacks
        await hit(app, pilot, "space")
        assert isinstance(app.screen, Choose)  # too soon: that is asked, not done
        await hit(app, pilot, "1")
        for _ in range(2):
            clock.now += 181
            await hit(app, pilot, "space")
        clock.now += 181
        await hit(app, pilot, "space", "space")  # cooling begins on both sides
        cooled = clock.now
        clock.now += 600
        await hit(app, pilot, "m")  # what comes next waits for the driver's stub: how hot is it?
        assert isinstance(app.screen, Keypad)
        assert "how hot it is now" in screen_text(app)
        await hit(app, pilot, *"240", "enter")
        assert "its wait is over" in screen_text(app)
    one = OneBuild(folder, "shop", clock)
    straight = one.live.by_name["straight@driver"]
    passenger = one.live.by_name["straight@passenger"]
    assert one.state_of(passenger).waiting_until == cooled + cold
    read = ask("cool", {**TUBE, "readings": "10 min 240 C"}).results["to-measure"]
    assert isinstance(read, Quantity)
    cold = 60 * math.ceil((read.value + read.plus_minus) / 60)  # hotter than worked out: longer
    assert one.state_of(straight).waiting_until == cooled + cold

    # The app was left and the clocks went back; the wait is what it was, and no hour longer or shorter.
    clock.now = cooled + 3600
    before = datetime.fromtimestamp(cooled, UTC).astimezone(ZoneInfo("America/New_York"))
    after = datetime.fromtimestamp(clock.now, UTC).astimezone(ZoneInfo("America/New_York"))
    assert (before.hour, before.minute) == (after.hour, after.minute)
    async with opened(folder, clock=clock, keys="c g") as (app, pilot):
        assert isinstance(app.screen, CameraScreen)
        left = cold - 3600
        assert f"waiting, {clock_words(left)} more" in screen_text(app)
        clock.now = cooled + cold + 1
        await hit(app, pilot, "space")
        assert isinstance(app.screen, Keypad)
        await hit(app, pilot, *"0.016", "enter")
        assert "✗ OUTSIDE" in screen_text(app)
        await hit(app, pilot, "2")  # to the rework
        assert "draw" in screen_text(app)
        clock.now += 60
        await hit(app, pilot, "space")
        clock.now += 60
        await hit(app, pilot, "g", "space", *"0.011", "enter")
        assert "? CANNOT TELL" in screen_text(app)
        await hit(app, pilot, "3", *".004", "enter")
        assert "✓ ticked: straight, driver" in screen_text(app)
        await hit(app, pilot, "space", *"-.003", "enter")
        clock.now += 60
        await hit(app, pilot, "space")  # the camera has rolled for longer than is believed: it asks once more
        if isinstance(app.screen, Choose):
            await hit(app, pilot, "2")
        clock.now += 60
        await hit(app, pilot, "space")
        await settled(app, pilot)
        assert "nothing is left to do" in screen_text(app) or "complete 10/10" in screen_text(app)
    assert [each for each in logged(folder) if each[0] != "rolling"] == [
        ("done", "tacks#1@driver"),
        ("done", "tacks#1@passenger"),
        ("done", "tacks#2@driver"),
        ("done", "tacks#2@passenger"),
        ("done", "cool@driver"),
        ("done", "cool@passenger"),
        ("reading", "cool@driver"),
        ("reading", "straight@driver"),
        ("done", "draw@driver"),
        ("reading", "straight@driver"),
        ("reading", "straight@driver"),
        ("done", "straight@driver"),
        ("reading", "straight@passenger"),
        ("done", "straight@passenger"),
        ("done", "press@driver"),
        ("done", "press@passenger"),
    ]
    again = OneBuild(folder, "another", clock)
    assert again.live.next() is None
    assert not [each for each in again.findings() if not each.history]
    verdicts = [event.raw["verdict"] for event in again.log.events if "verdict" in event.raw]
    assert verdicts == ["outside", "cannot tell", "inside", "inside"]
