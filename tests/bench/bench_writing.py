"""What writing costs from the key to the repaint, in a build of 5,000 steps against one of 50, as ratios.

Run by hand:  python tests/bench/bench_writing.py [--runs 5]
What an edit comes to is worked out beside the screen once no key has come for a moment; it is shown at the end,
and is no part of a key.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import shutil
import statistics
import sys
import tempfile
import time
from collections.abc import Awaitable, Callable
from pathlib import Path
from typing import Any

ROOT = Path(__file__).parent.parent.parent
Enter = Callable[[Any], Awaitable[None]]


async def settle(pilot: Any) -> None:
    """Until nothing is being worked out."""
    for _ in range(1000):
        await pilot.pause()
        if all(each.is_finished for each in pilot.app.workers):
            break
        await asyncio.sleep(0.01)
    await pilot.pause()


async def open_field(pilot: Any, key: str) -> None:
    """The form of a step in the middle of the build, a key of it being edited."""
    await pilot.press("w")
    await settle(pilot)
    screen = pilot.app.screen
    steps = [row for row in screen.rows if row.step is not None]
    screen.go_to_row(steps[len(steps) // 2].name)
    await pilot.press("e")
    await settle(pilot)
    form = pilot.app.screen
    if key:
        names = [field.key for field in form.fields]
        form.query_one("#fields").move_to(names.index(key))
        await pilot.press("enter")
        await settle(pilot)


async def key_cost(folder: Path, before: Enter, keys: list[str]) -> float:
    """Processor seconds of a key, the drawing included and what comes a moment later not."""
    from planner.app import make
    from planner.app.editors import editor as write_editor

    write_editor.PAUSE = 3600.0  # it is worked out after the last key; measured by itself
    app = make(folder.parent, folder)
    async with app.run_test(size=(120, 36)) as pilot:
        await settle(pilot)
        await before(pilot)
        for key in keys[:2]:
            await pilot.press(key)
        await pilot.pause()
        started = time.process_time()
        for key in keys[2:]:
            await pilot.press(key)
        await pilot.pause()
        return (time.process_time() - started) / (len(keys) - 2)


async def first_answer(folder: Path) -> tuple[float, float]:
    """Processor seconds from Enter until it is drawn that the edit is looked over; seconds until it is kept."""
    from textual.widgets import Input

    from planner.app import make
    from planner.app.editors import editor as write_editor

    app = make(folder.parent, folder)
    async with app.run_test(size=(120, 36)) as pilot:
        await settle(pilot)
        await open_field(pilot, "do")
        editor = app.screen
        drawn: list[float] = []
        kept = getattr(write_editor, "keep")  # noqa: B009  # it is watched, and put back below

        def keep(*args: Any, **kept_as: Any) -> None:
            drawn.append(time.process_time())  # called once the screen has been painted
            kept(*args, **kept_as)

        setattr(write_editor, "keep", keep)  # noqa: B010
        try:
            editor.query_one(Input).value = "Make it and lay it by, twice"
            await pilot.pause()
            started, wall = time.process_time(), time.perf_counter()
            await pilot.press("enter")
            await settle(pilot)
            return drawn[0] - started, time.perf_counter() - wall
        finally:
            setattr(write_editor, "keep", kept)  # noqa: B010


def main() -> int:
    """Compare both builds."""
    sys.path.insert(0, str(ROOT))
    from tests.bench.bench_app import build_of

    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=5)
    runs = parser.parse_args().runs
    home = Path(tempfile.mkdtemp(prefix="planner-bench-"))
    os.environ.update(PLANNER_DEVICE="bench", HOME=str(home), XDG_CONFIG_HOME=str(home), XDG_STATE_HOME=str(home))
    small, large = build_of(home, "small", 50), build_of(home, "large", 5000)
    letters = list("abcdefghijklmnopqrstuvwxyz")

    async def list_of(pilot: Any) -> None:
        await pilot.press("w")
        await settle(pilot)

    cases: list[tuple[str, Enter, list[str]]] = [
        ("a letter typed into what is to be done", lambda pilot: open_field(pilot, "do"), letters),
        ("a letter typed to look for a condition", lambda pilot: open_field(pilot, "needs"), list("part.made-1")),
        ("a letter typed to look for a step", lambda pilot: open_field(pilot, "after"), list("make-1")),
        ("a move in the list that is written on", list_of, ["down"] * 30),
        ("a move in the form of a step", lambda pilot: open_field(pilot, ""), ["down"] * 20),
    ]
    good = True
    try:
        for title, before, keys in cases:
            times: tuple[list[float], list[float]] = ([], [])
            for _ in range(runs):
                times[0].append(asyncio.run(key_cost(large, before, keys)))
                times[1].append(asyncio.run(key_cost(small, before, keys)))
            good &= said(title, *times)
        answers: tuple[list[float], list[float]] = ([], [])
        walls: list[float] = []
        for _ in range(runs):
            for index, (folder, steps) in enumerate(((large, 5000), (small, 50))):
                shutil.rmtree(folder)
                build_of(home, folder.name, steps)
                cost, wall = asyncio.run(first_answer(folder))
                answers[index].append(cost)
                if index == 0:
                    walls.append(wall)
        good &= said("Enter, until it is drawn that the edit is looked over", *answers)
        print(f"  for knowledge: an edit of 5,000 steps is on the disk {statistics.median(walls):.2f} s after Enter")
        return 0 if good else 1
    finally:
        shutil.rmtree(home, ignore_errors=True)


def said(title: str, mine: list[float], other: list[float], most: float = 1.5) -> bool:
    """Print a ratio of medians, and whether it is kept."""
    one, two = statistics.median(mine), statistics.median(other)
    kept = one / two <= most
    mark = "✓ kept" if kept else "✗ over"
    print(f"{mark}  {title}: {one / two:.2f} (at most {most}); {one * 1000:.1f} ms against {two * 1000:.1f}")
    return kept


if __name__ == "__main__":
    sys.exit(main())
