"""Keys, sizes and clicks at random over every screen: nothing raises, and the files stay whole.

Fixed seeds, so that what fails fails again. ``tests/bench/random_keys.py`` presses them by the thousand.
"""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from planner.app.keys.table import KEYS
from planner.files.build.reading import read_build
from planner.files.log.ticklog import TickLog
from planner.files.starters.shelf import REMOVED
from planner.session.onebuild import OneBuild
from tests.support.clock import Clock
from tests.support.screens import opened

SCREENS = ("plan", "camera", "traps", "numbers", "write", "builds", "problems", "calendar", "series")
SIZES = ((80, 24), (60, 20), (120, 36), (40, 4), (20, 8), (200, 60))
EACH = 25
QUITS = {key.key for key in KEYS if key.action == "quit"}
#: Every key of the table but those that quit; some letters and signs to type; moving about more often than the rest.
PRESSED = [
    *sorted({key.key for key in KEYS} - QUITS),
    *"0123456789aeinst.-[]{}'\"",
    *(["down", "up", "enter", "escape", "tab", "space"] * 4),
]


@pytest.mark.parametrize("screen", SCREENS)
async def test_nothing_raises_and_the_files_stay_whole(screen: str, brackets: Path) -> None:
    await nothing_raises(screen, brackets, f"keys of {screen}", EACH)


async def nothing_raises(screen: str, folder: Path, seed: str, count: int) -> None:
    """Press that many keys, sizes and clicks among them, from a screen on; then look at the files."""
    chance = random.Random(seed)
    clock = Clock()
    log: list[str] = []
    async with opened(folder, clock=clock) as (app, pilot):
        # A click or a chosen action may quit: the app is told to, and the keys go on.
        setattr(app, "exit", lambda *_: log.append("quit"))  # noqa: B010
        app.go(screen)
        await pilot.pause()
        for number in range(count):
            what = chance.random()
            if what < 0.03:
                size = chance.choice(SIZES)
                log.append(f"{size}")
                await pilot.resize_terminal(*size)
            elif what < 0.08:
                spot = (chance.randrange(app.size.width), chance.randrange(app.size.height))
                log.append(f"click {spot}")
                await pilot.click(offset=spot)
            else:
                log.append(chance.choice(PRESSED))
                await pilot.press(log[-1])
            clock.now += chance.choice((0.01, 0.5, 30.0))
            if not app.is_running or app._exception is not None:  # there is no public way to ask
                break
            if number % 25 == 0:
                await pilot.pause()
        assert app.is_running, log[-12:]
        assert app._exception is None, log[-12:]
        await pilot.pause()
    _whole(folder, log)


def _whole(folder: Path, log: list[str]) -> None:
    """The plan can be read, every tick too, and nothing hidden is left; where it was removed that is so there."""
    if not folder.exists():
        folder = folder.parent / REMOVED / folder.name
    assert read_build(folder).build is not None, log
    assert not TickLog(folder).notices, log
    one = OneBuild(folder, "shop", Clock())
    assert one.ticked() <= len(one.plan.operations)
    assert not [path for path in folder.rglob(".*") if path.is_file() and "lock" not in path.name], log
