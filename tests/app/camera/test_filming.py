"""A whole demo episode filmed by keys alone, and the app killed in the middle of one."""

from __future__ import annotations

import asyncio
import os
import pty
import select
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path
from typing import Any

import pytest
from textual.pilot import Pilot

from planner.app.camera.screen import CameraScreen
from planner.app.frame.choose import Choose
from planner.app.shell import PlannerApp
from planner.session.onebuild import OneBuild
from tests.app.support import ROOT, logged
from tests.support.clock import Clock
from tests.support.readings import passing
from tests.support.screens import detail, opened, screen_text, settled

DEMO = "dunlin-pickup"
EPISODE = 5


def shown(app: PlannerApp) -> str:
    assert isinstance(app.screen, CameraScreen)
    op = app.screen.operation()
    assert op is not None
    return op.name


async def test_an_episode_filmed_by_keys_alone(tmp_path: Path) -> None:
    folder = tmp_path / DEMO
    shutil.copytree(ROOT / "projects" / DEMO, folder, ignore=shutil.ignore_patterns("log"))
    clock = Clock()
    one = OneBuild(folder, "shop", clock)
    for op in one.plan.operations:
        if one.plan.stages[op.stage][0].number < EPISODE:
            clock.now += 4000  # every wait of the earlier episodes is over
            one.tick(op.name, anyway=True, remarks=passing(op))
    clock.now += 86_400
    before = len(logged(folder))
    mine = [op for op in one.plan.operations if one.plan.stages[op.stage][0].number == EPISODE]
    expected: list[tuple[str, str | None]] = []
    waited = undone = off_camera = 0
    left_at = mine[len(mine) // 2].name

    async with opened(folder, clock=clock, keys="c") as (app, pilot):
        # A wrong tick: three operations ahead of what comes next.
        await pilot.press("down", "down", "down", "space")
        assert isinstance(app.screen, Choose)
        assert "Stop: this would be wrong now" in screen_text(app)
        await pilot.press("2")
        assert shown(app) == mine[0].name
        for op in mine:
            if op.name == left_at:
                break
            undone += await film(app, pilot, op.name, expected, undo=op.name == mine[2].name)
            clock.now += 60

    # Left in the middle, and taken up again.
    async with opened(folder, clock=clock, keys="c") as (app, pilot):
        assert shown(app) == left_at
        for op in mine[mine.index(one.live.by_name[left_at]) :]:
            assert shown(app) == op.name
            text = screen_text(app)
            if not op.on_camera:
                assert "○ OFF CAMERA" in text
                off_camera += 1
            if "◷ waiting" in detail(app):
                waited += 1
                await pilot.press("space")
                assert "too soon" in " ".join(screen_text(app).split())
                await pilot.press("escape")
                waits = OneBuild(folder, "shop", clock).live.waits(op, clock.now)
                clock.now = max(wait.until for wait in waits)
                app.second()
                await settled(app, pilot)
                assert "◷ OVER" in screen_text(app) or all(wait.full for wait in waits)  # a watch has no step's timer
                assert "▸ ready" in detail(app)
            await film(app, pilot, op.name, expected)
            clock.now += 30

    assert waited >= 1
    assert undone == 1
    assert off_camera >= 3
    assert logged(folder)[before:] == expected
    again = OneBuild(folder, "shop", clock)
    assert [op.name for op, _ in again.live.done][-len(mine) :] == [op.name for op in mine]
    standing = [finding for finding in again.findings() if finding.history and finding.level == "trap"]
    assert not [finding for finding in standing if finding.at in {op.name for op in mine}]


async def film(
    app: PlannerApp, pilot: Pilot[Any], name: str, expected: list[tuple[str, str | None]], undo: bool = False
) -> int:
    """Tick what is shown; say that the camera rolls where it asks; take it back once and tick again."""
    assert shown(app) == name
    await pilot.press("space")
    if isinstance(app.screen, Choose):
        assert "Is the camera rolling?" in screen_text(app)
        await pilot.press("2")
        await pilot.pause()
        expected.append(("rolling", name))
    expected.append(("done", name))
    if not undo:
        return 0
    await pilot.press("u")
    assert shown(app) == name
    await pilot.press("space")
    expected.extend([("undone", name), ("done", name)])
    return 1


@pytest.mark.skipif(sys.platform == "win32", reason="there are no such terminals there")
def test_killed_in_the_middle_it_goes_on_where_it_was(brackets: Path) -> None:
    env = {**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT)}
    command = [sys.executable, "-m", "planner", "--builds", str(brackets.parent), str(brackets)]
    master, slave = pty.openpty()
    child = subprocess.Popen(
        command, stdin=slave, stdout=slave, stderr=slave, env=env, cwd=brackets, start_new_session=True
    )
    os.close(slave)
    try:
        until(master, b"ready")
        os.write(master, b" \x1b[B\x1b[A ")  # other keys between: neither is held
        deadline = time.monotonic() + 30
        while len(logged(brackets)) < 2 and time.monotonic() < deadline:
            drain(master)
        os.kill(child.pid, signal.SIGKILL)
    finally:
        child.kill()
        child.wait()
        os.close(master)
    assert logged(brackets) == [("done", "set-jig"), ("done", "clamp@driver")]
    # What a kill in the middle of a write leaves behind: a torn line, never acknowledged.
    with (brackets / "log" / "shop.jsonl").open("a") as stream:
        stream.write('{"v":1,"n":17973')
    asyncio.run(once_more(brackets))


async def once_more(folder: Path) -> None:
    """Start again: the place, the torn line told, and the next tick kept."""
    async with opened(folder, keys="c") as (app, pilot):
        assert shown(app) == "clamp@passenger"
        assert app.opened is not None
        assert "torn" in app.opened.notices[0].says
        await pilot.press("space")
    assert logged(folder)[-1] == ("done", "clamp@passenger")


def drain(fd: int) -> bytes:
    ready, _, _ = select.select([fd], [], [], 0.05)
    return os.read(fd, 65536) if ready else b""


def until(fd: int, marker: bytes) -> None:
    seen = b""
    deadline = time.monotonic() + 30
    while marker not in seen:
        assert time.monotonic() < deadline, seen[-2000:]
        seen += drain(fd)
