"""The app over a build, its keys pressed, and its screen as text."""

from __future__ import annotations

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
from planner.telling.looks import plain
from tests.support.clock import Clock


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
