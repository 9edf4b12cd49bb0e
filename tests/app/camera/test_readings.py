"""Readings on the camera screen: the keypad at the tick, the verdict that is never silent, the way to the rework."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.frame.keypad import PAD, Keypad, Pad
from tests.app.support import logged, write
from tests.numbers.builds import NUMBERS
from tests.support.clock import Clock
from tests.support.screens import detail, opened, screen_text

BUILD = """\
format: 1
build: Two stubs
sides: [driver, passenger]
film: driver
shop: {timezone: UTC}
conditions:
  stub.straight: {kept: side, means: the end stands square}
  stub.cold: {kept: side, means: cold all through}
start: [stub.cold]
"""
EPISODE = """\
format: 1
episode: 1
title: Stubs
stages:
  - stage: Straight
    steps:
      - step: straight
        do: Read the plate
        needs: [stub.cold]
        gives: [stub.straight]
        hold: {limit: 0.010 in, plus-minus: 0.004 in}
      - step: draw
        do: Draw it back
        rework: true
        gives: [stub.cold]
      - step: press
        do: Press the bearing in
        needs: [stub.straight]
"""


@pytest.fixture
def stubs(tmp_path: Path) -> Path:
    """Two ends that are held until they are straight."""
    return write(tmp_path / "builds", "stubs", {"build.yaml": BUILD, "episodes/01-stubs.yaml": EPISODE})


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_the_keypad_is_whole_at_every_size(stubs: Path, size: tuple[int, int]) -> None:
    """Every key in sight, the numerals large, the unit there already."""
    async with opened(stubs, size=size, keys="c space 0 . 0 1 1") as (app, _):
        text = screen_text(app)
        keypad = app.screen
        assert isinstance(keypad, Keypad)
        assert keypad.typed == "0.011"
        assert keypad.query_one(Pad).key_height == (2 if size[1] == 20 else 3)
    assert "HOLD straight, driver" in text
    assert "▄▀▀▄" in text  # a nought, three lines high
    assert "± 0.004 in unless" in text
    for row in PAD:
        for key in row:
            assert key in text or key == "unit"
    assert "→ mm" in text
    assert "Esc cancel" in text


async def test_a_pass_ticks_and_goes_on(stubs: Path) -> None:
    async with opened(stubs, keys="c space . 0 0 6 enter") as (app, _):
        assert "✓ ticked: straight, driver" in screen_text(app)
    assert logged(stubs) == [("reading", "straight@driver"), ("done", "straight@driver")]


async def test_outside_is_never_silent_and_leads_to_the_rework(stubs: Path) -> None:
    clock = Clock()
    async with opened(stubs, clock=clock, keys="c space . 0 2 0 enter") as (app, pilot):
        text = screen_text(app)
        assert "✗ OUTSIDE   straight, driver" in text
        assert "It is not done" in text
        await pilot.press("2")
        assert "draw" in screen_text(app)
        clock.now += 60
        await pilot.press("space")
        clock.now += 60
        await pilot.press("g")
        assert ".020 in  ✗ outside: limit 0.010 in" in detail(app)
        await pilot.press("space", *"0.001", "enter")
        assert "✓ ticked: straight, driver" in screen_text(app)
    assert logged(stubs) == [
        ("reading", "straight@driver"),
        ("done", "draw@driver"),
        ("reading", "straight@driver"),
        ("done", "straight@driver"),
    ]


async def test_cannot_tell_names_the_instrument_and_reads_again(stubs: Path) -> None:
    async with opened(stubs, keys="c space . 0 1 1 enter") as (app, pilot):
        text = screen_text(app)
        assert "? CANNOT TELL" in text
        assert "a dial indicator" in " ".join(text.split())
        await pilot.press("3")
        assert isinstance(app.screen, Keypad)
        await pilot.press(*".0060", "space", "plus", "minus", *".0005", "enter")
        assert "✓ ticked: straight, driver" in screen_text(app)
    assert [did for did, _ in logged(stubs)] == ["reading", "reading", "done"]


async def test_what_is_no_reading_is_asked_again_and_not_kept(stubs: Path) -> None:
    async with opened(stubs, keys="c m") as (app, pilot):
        assert isinstance(app.screen, Keypad)  # a reading of a hold point is its tick
        await pilot.press(*"way", "space", *"out,", "space", *"5", "enter")
        assert isinstance(app.screen, Keypad)
        text = " ".join(screen_text(app).split())
        assert "that is not a reading" in text
        assert app.screen.typed.startswith("way out, 5")
        await pilot.press("enter", "escape")
        assert "nothing was ticked" in screen_text(app)
    assert logged(stubs) == []


async def test_the_keys_are_hit_with_a_finger_too(stubs: Path) -> None:
    """Every key of the pad, in the middle of it."""
    async with opened(stubs, keys="c space") as (app, pilot):
        keypad = app.screen
        assert isinstance(keypad, Keypad)
        pad = keypad.query_one(Pad)

        async def hit(key: str) -> None:
            row = next(index for index, keys in enumerate(PAD) if key in keys)
            column = PAD[row].index(key)
            cell = pad.cell(pad.size.width)
            await pilot.click(Pad, offset=(column * cell + cell // 2, row * pad.key_height))

        for key in ("7", ".", "5", "-", "/", "±", "space", ","):
            await hit(key)
        assert keypad.typed == "7.5-/± ,"
        for _ in range(8):
            await hit("erase")
        assert keypad.typed == ""
        assert keypad.unit == "in"
        await hit("unit")
        assert keypad.unit == "mm"
        await hit("keep")  # nothing is typed: it stays
        assert app.screen is keypad
        await hit("1")
        await hit("keep")
        assert "✗ OUTSIDE" in screen_text(app)
    assert logged(stubs) == [("reading", "straight@driver")]


async def test_a_number_is_asked_for_and_may_stay_planned(tmp_path: Path) -> None:
    """A step that reads a number asks for it at its tick; Enter alone ticks it without."""
    episode = EPISODE.replace("hold: {limit: 0.010 in, plus-minus: 0.004 in}", "reads: narrow.measured-half")
    files = {"build.yaml": BUILD, "episodes/01-stubs.yaml": episode, "numbers.yaml": NUMBERS}
    folder = write(tmp_path / "builds", "stubs", files)
    async with opened(folder, keys="c space") as (app, pilot):
        assert "READ straight, driver" in screen_text(app)
        assert "narrow.measured-half@driver" in screen_text(app)
        await pilot.press(*"26", "space", *"1/4", "enter")
        await pilot.press("space", "enter")
        await pilot.pause()
    assert logged(folder) == [
        ("reading", "straight@driver"),
        ("done", "straight@driver"),
        ("done", "straight@passenger"),
    ]


async def test_undo_does_not_take_a_failed_reading_for_a_tick(stubs: Path) -> None:
    async with opened(stubs, keys="c space . 0 2 0 enter 1 u") as (app, _):
        assert "nothing is ticked" in screen_text(app)
    assert logged(stubs) == [("reading", "straight@driver")]
