"""What the tests of the app share: small builds as a person writes them, a clock that obeys, the screen as text."""

from __future__ import annotations

import os
import re
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from html import unescape
from pathlib import Path
from typing import Any

from textual.pilot import Pilot

from planner.app import make
from planner.app.keys.presses import Presses
from planner.app.shell import PlannerApp
from planner.files.log.ticklog import TickLog
from planner.telling.looks import plain
from tests.support.builds import write_files

ROOT = Path(__file__).parent.parent.parent
NOON = 1_797_336_000.0  # 2026-12-15 12:00 UTC

BRACKETS = {
    "build.yaml": """\
format: 1
build: Shock brackets
sides: [driver, passenger]
film: driver
shop: {timezone: UTC}
conditions:
  tube.smooth: {on: side, means: nothing stands proud of the tube where the jig bears}
  jig.true: {on: job, means: both halves of the jig in line under a straight edge}
  bracket.clamped: {on: side, means: the bracket is held in the jig}
  bracket.tacked: {on: side, means: four tacks hold the bracket}
  spare.washer: {on: job, means: a washer nobody asks for}
start: [tube.smooth]
""",
    "episodes/01-on.yaml": """\
format: 1
episode: 1
title: Brackets on
stages:
  - stage: Jig
    steps:
      - step: set-jig
        do: Set the jig under a straight edge
        sides: once
        gives: [jig.true]
        time: 10 min
        film: none
      - step: clamp
        do: Clamp the bracket, marks matched
        needs: [tube.smooth@all, jig.true]
        gives: [bracket.clamped]
        cautions: [Keep fingers out of the clamp.]
        shots: [The marks from above]
        say: ["Marks first, muscle later"]
        time: 5 min
      - step: tacks
        do: Tack in opposite pairs
        rounds: 2
        needs: [bracket.clamped]
        gives: [bracket.tacked]
        wait: 3 min
        one-way: true
        cautions: ["Eyes, hands and neck covered."]
  - stage: Round
    steps:
      - step: weld
        do: Weld all round
        needs: [bracket.tacked]
        spoils: [tube.smooth]
        one-way: true
      - step: roll
        do: Roll the tube over
        sides: once
        needs: [tube.smooth]
        note: Two people.
        hands: 2
      - step: dress
        do: Dress the weld flush
        gives: [tube.smooth]
  - stage: Last look
    steps:
      - step: photo
        do: Photograph the bracket
        sides: [driver]
      - step: grind-back
        do: Grind a bad tack out
        spoils: [bracket.tacked]
        rework: true
""",
}

FOUR = {
    "build.yaml": """\
format: 1
build: Four hubs
sides: [front-left, front-right, rear-left, rear-right]
conditions:
  hub.clean: {on: side, means: the face of the hub is clean}
""",
    "episodes/01-hubs.yaml": """\
format: 1
episode: 1
title: Hubs
stages:
  - stage: Faces
    steps:
      - step: clean
        do: Clean the face of the hub
        gives: [hub.clean]
      - step: seat
        do: Seat the disc and turn the nuts in turn
        rounds: 3
        needs: [hub.clean]
""",
}


def write(home: Path, name: str, files: dict[str, str]) -> Path:
    """A build folder with these files."""
    return write_files(home / name, files)


class Clock:
    """Time that goes on only when it is told to."""

    def __init__(self, now: float = NOON) -> None:
        self.now = now

    def __call__(self) -> float:
        return self.now


class Apart(Presses):
    """Presses with time between them."""

    def press(self, action: str, now: float) -> bool:
        """No key is held."""
        return True


@asynccontextmanager
async def opened(
    folder: Path | None,
    home: Path | None = None,
    *,
    size: tuple[int, int] = (80, 24),
    clock: Clock | None = None,
    keys: str = "",
    holding: bool = False,
) -> AsyncIterator[tuple[PlannerApp, Pilot[Any]]]:
    """The app on a build (None: on the builds of ``home``), everything read, some keys pressed.

    The clock stands still while a test presses keys: unless it is about ``holding`` one, each is a press of its own.
    """
    where = home if home is not None else (folder.parent if folder is not None else Path())
    app = make(where, folder, clock or Clock())
    if not holding:
        app.presses = Apart()
    async with app.run_test(size=size, notifications=True) as pilot:
        await settled(app, pilot)
        if keys:
            await pilot.press(*keys.split())
            await settled(app, pilot)
        yield app, pilot
    assert not app.fault, app.fault


async def settled(app: PlannerApp, pilot: Pilot[Any]) -> None:
    """Everything that runs beside the screen is over, and drawn."""
    await pilot.pause()
    await app.workers.wait_for_complete()
    await pilot.pause()


def screen_text(app: PlannerApp) -> str:
    """The screen as plain text, as the picture of it shows it."""
    return svg_text(app.export_screenshot())


_TEXT = re.compile(r'<text class="[^"]*" x="([\d.]+)" y="([\d.]+)"[^>]*>(.*?)</text>', re.DOTALL)
CELL = 12.2  # width of a cell in pictures that Rich draws


def svg_text(svg: str) -> str:
    """The text of a picture, line by line; the frame and its title left out."""
    rows: dict[float, list[tuple[int, str]]] = {}
    for x, y, text in _TEXT.findall(svg):
        rows.setdefault(float(y), []).append((round(float(x) / CELL), unescape(text).replace("\xa0", " ")))
    lines = []
    for _, parts in sorted(rows.items()):
        line = ""
        for column, text in sorted(parts):
            line = line.ljust(column) + text
        lines.append(line.rstrip())
    return "\n".join(lines).rstrip() + "\n"


def detail(app: PlannerApp) -> str:
    """The text of the detail, not folded."""
    assert app.page is not None
    return plain(app.page.detail_lines())


def same_as_golden(test: str, name: str, text: str) -> None:
    """Compare with a reviewed file in golden/ beside that test; PLANNER_GOLDEN=write takes what is there now."""
    path = Path(test).parent / "golden" / f"{name}.txt"
    if os.environ.get("PLANNER_GOLDEN") == "write":
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8", newline="\n")
    assert path.is_file(), f"{path} is missing; PLANNER_GOLDEN=write makes it, then review it"
    kept = path.read_text(encoding="utf-8")
    assert text.split("\n") == kept.split("\n"), f"{path} differs; PLANNER_GOLDEN=write takes the new screen"


def logged(folder: Path) -> list[tuple[str, str | None]]:
    """What the logs of a build hold: what was done, and with which operation."""
    return [(event.did, event.op) for event in TickLog(folder).events]
