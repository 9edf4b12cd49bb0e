"""What the tests of the numbers screen share: a build with numbers as a person writes them, a desk without a screen."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Input

from planner.app.numbers.screen import NumbersScreen
from planner.app.shell import PlannerApp
from planner.session.numbers.desk import Desk
from planner.session.numbers.file import read_now
from planner.telling.looks import plain
from tests.app.support import write
from tests.support.screens import settled

#: The key that goes to the numbers.
HASH = "number_sign"
SIDES = ("driver", "passenger")

NUMBERS = """\
# Taken on the bench, Tuesday.
format: 1
wheel:
  width: 7 in
  backspacing: 4 in ± 1/16   # on the wheel itself

fit:
  lip: {driver: 34 in, passenger: 34 1/4 in}
  frame: 21 in
  section: 9 in
  outer-clearance: 1 in
  inner-clearance: 1 in

narrow:
  flange-to-flange: 60 in ± 1/32
  pinion-to-flange: {driver: 31 in ± 1/32, passenger: 29 in ± 1/32}   # never twice the one
  flange-to-plate: 3 in
  plate-to-plate: "54 in ± 1/32"
  shaft:
    driver: 30 in
    passenger: 28 in
  pads: 54 1/2 in
  hat: 1/4 in
  first-line: 4 in
  keep-out: {driver: "8 1/2..11 in perch", passenger: none}
  kerf: 1/8 in
  gap: 1/16 in
  shrinkage: 0.020..0.080 in
  to-centre: 6 in
  pocket: 1 in

cradle:
  differential: 13 in
  tube: 3 in
  clearance: 1/4 in
  upright-width: 2 in
  inset: 1/2 in
  window: 1 1/2 in
bars:
  stock: 100 in
"""

BUILD = {
    "build.yaml": """\
format: 1
build: Bench axle
sides: [driver, passenger]
show: {lengths: inch 1/32}
""",
    "numbers.yaml": NUMBERS,
    "episodes/01-lines.yaml": """\
format: 1
episode: 1
title: Lines
stages:
  - stage: Lines
    steps:
      - step: scribe
        do: Scribe the second line at {narrow.second-line}
      - step: halves
        do: Saw the half, {cradle.half}
""",
}


def axle(home: Path, numbers: str | None = NUMBERS) -> Path:
    """A build with that file of numbers; None: with none."""
    files = {name: text for name, text in BUILD.items() if name != "numbers.yaml"}
    if numbers is None:
        files["episodes/01-lines.yaml"] = files["episodes/01-lines.yaml"].replace("{", "").replace("}", "")
    else:
        files["numbers.yaml"] = numbers
    return write(home / "builds", "axle", files)


def desk_of(folder: Path) -> Desk:
    """The desk of a build, with what should run beside a screen run at once."""
    now = read_now(folder, SIDES, "inch 1/32")
    assert not now.problems
    return Desk(now, SIDES, lambda work, done: done(work()), lambda: None)


def screen_of(app: PlannerApp) -> NumbersScreen:
    """The numbers screen, which is shown."""
    assert isinstance(app.screen, NumbersScreen)
    return app.screen


def results(app: PlannerApp) -> str:
    """What the screen says of results, unfolded."""
    return plain(screen_of(app).result_lines(200))


def form(app: PlannerApp) -> str:
    """The rows of the form, as they are drawn."""
    return plain([row.drawn for row in screen_of(app).form.rows])


def entries(app: PlannerApp) -> str:
    """The form in words, whether a remark found room beside its value or stands under it."""
    return " ".join(form(app).split())


async def typed(
    app: PlannerApp, pilot: Pilot[Any], key: str, text: str, side: str | None = None, end: str = "enter"
) -> None:
    """Go to a value, put a text in its place as a paste would, and end with a key."""
    screen = screen_of(app)
    screen.form.to(key, side)
    await pilot.press("enter")
    figure(app).value = text
    figure(app).cursor_position = len(text)
    await pilot.pause()
    if end:
        await pilot.press(end)
    await settled(app, pilot)


def figure(app: PlannerApp) -> Input:
    """The line that is typed into."""
    return screen_of(app).query_one("#figure", Input)


def where(app: PlannerApp) -> tuple[str, str, str | None]:
    screen = screen_of(app)
    row = screen.form.row
    assert row is not None
    return screen.chosen, row.key, row.side
