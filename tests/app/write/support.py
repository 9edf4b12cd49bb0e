"""A small build on the disk, an app over it, and waiting until everything that was begun is done."""

from __future__ import annotations

import asyncio
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from pathlib import Path
from typing import Any

from textual.pilot import Pilot
from textual.widgets import Input, Static, TextArea

from planner.app.draw.linelist import LineList
from planner.app.frame.choose import Choose
from planner.app.frame.page import Page
from planner.app.shell import PlannerApp
from planner.app.write.form import FormScreen
from planner.app.write.screen import WriteScreen
from planner.files.build.reading import read_build
from planner.telling.looks import plain
from tests.support.screens import opened

JOB = """\
# A bracket on each side of a cart.
format: 1
build: Cart brackets   # the working title
sides: [driver, passenger]
film: driver
conditions:
  plate.true:
    on: job
    means: the plate lies flat
  bracket.on: {on: side, means: the bracket is on}
start: [plate.true]
"""
ONE = """\
format: 1
episode: 1
title: Brackets
stages:
  - stage: Make ready
    steps:
      # Twice, since the camera shows it once.
      - step: clean-ends
        do: Clean the ends    # to bright metal
        time: 10 min

      - step: fit
        do: Fit the bracket
        gives: [bracket.on]
  - stage: Join
    steps:
      - step: tack-it
        do: Tack it
        needs: [bracket.on@all]
        rounds: 2
"""
TWO = """\
format: 1
episode: 2
title: Paint
stages:
  - stage: Colour
    steps:
      - step: paint-it
        do: Paint it
        after: [tack-it]
"""


def make(home: Path, *, job: str = JOB, one: str = ONE, two: str = TWO) -> Path:
    """The build in a folder, its files byte for byte."""
    folder = home / "builds" / "cart"
    (folder / "episodes").mkdir(parents=True)
    for path, text in (("build.yaml", job), (FIRST, one), (SECOND, two)):
        (folder / path).write_text(text, encoding="utf-8", newline="")
    return folder


FIRST, SECOND = "episodes/01-brackets.yaml", "episodes/02-paint.yaml"


def text_of(folder: Path, path: str = FIRST) -> str:
    """The text of a file, its line ends as they are."""
    return (folder / path).read_bytes().decode("utf-8")


async def settle(pilot: Pilot[Any]) -> None:
    """Until nothing is being worked out any more but what waits for a person."""
    for _ in range(400):
        await pilot.pause()
        busy = [each for each in pilot.app.workers if not each.is_finished]
        if not busy or isinstance(pilot.app.screen, Choose):
            break
        await asyncio.sleep(0.005)
    await pilot.pause()
    await pilot.pause()


async def press(pilot: Pilot[Any], keys: str) -> None:
    """Press keys, each when the one before has had its effect."""
    for key in keys.split():
        await pilot.press(key)
        await settle(pilot)


async def type_text(pilot: Pilot[Any], text: str) -> None:
    """Type into what has the keys; a line into a field goes in at once, as when it is pasted."""
    widget = pilot.app.focused
    if isinstance(widget, Input):
        widget.insert_text_at_cursor(text)
    elif isinstance(widget, TextArea):
        widget.insert(text)
    else:
        await pilot.press(*text)
    await settle(pilot)


@asynccontextmanager
async def writing(
    folder: Path, keys: str = "w", size: tuple[int, int] = (80, 24)
) -> AsyncIterator[tuple[PlannerApp, Pilot[Any]]]:
    """The app on a build, some keys pressed."""
    async with opened(folder, size=size) as (app, pilot):
        await press(pilot, keys)
        yield app, pilot


def said(app: PlannerApp) -> str:
    """What the screen says in its line."""
    assert isinstance(app.screen, Page)
    return " ".join(plain(list(app.screen.said)).split())


def on_row(app: PlannerApp) -> str:
    """What the cursor of the writing screen is on."""
    assert isinstance(app.screen, WriteScreen)
    row = app.screen.write_row()
    return row.said if row is not None else ""


async def to_row(pilot: Pilot[Any], name: object) -> None:
    """Put the cursor of the writing screen on a row by its name, or by its words."""
    screen = pilot.app.screen
    assert isinstance(screen, WriteScreen)
    rows = [row for row in screen.rows if name in (row.name, row.said, row.text)]
    screen.go_to_row(rows[0].name)
    await settle(pilot)


async def to_field(pilot: Pilot[Any], key: str) -> None:
    """Put the cursor of the form on a key."""
    screen = pilot.app.screen
    assert isinstance(screen, FormScreen)
    screen.query_one("#fields", LineList).move_to([field.key for field in screen.fields].index(key))
    await settle(pilot)


async def fill(pilot: Pilot[Any], key: str, text: str, keep: str = "enter") -> None:
    """Write a key of the form by typing."""
    await to_field(pilot, key)
    await press(pilot, "enter")
    widget = pilot.app.focused
    if isinstance(widget, Input):
        widget.value = ""
    elif isinstance(widget, TextArea):
        widget.text = ""
    await type_text(pilot, text)
    await press(pilot, keep)


def strip(app: PlannerApp) -> str:
    """What the editor says that its value comes to."""
    return str(app.screen.query_one("#strip", Static).visual)


def readable(folder: Path) -> bool:
    """Whether the reader takes what is on the disk."""
    return read_build(folder).build is not None
