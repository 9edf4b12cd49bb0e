"""What the app costs, as ratios: first paint against a minimal Textual app, large builds against small ones.

Run by hand:  python tests/bench/bench_app.py [--runs 15]
Times of one machine mean little on another; ratios taken in turn on the same one do.
"""

from __future__ import annotations

import argparse
import asyncio
import itertools
import os
import pty
import select
import shutil
import statistics
import struct
import subprocess
import sys
import tempfile
import termios
import time
from collections.abc import Callable
from fcntl import ioctl
from functools import partial
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
MINIMAL = """
from textual.app import App
from textual.widgets import Static
class Minimal(App):
    def compose(self):
        yield Static("first-paint")
Minimal().run()
"""


def first_paint(command: list[str], marker: bytes, env: dict[str, str]) -> float:
    """Seconds from starting the program until the terminal has been sent the marker."""
    master, slave = pty.openpty()
    ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 24, 80, 0, 0))
    started = time.perf_counter()
    child = subprocess.Popen(command, stdin=slave, stdout=slave, stderr=slave, env=env, cwd=ROOT, close_fds=True)
    os.close(slave)
    seen = b""
    try:
        while marker not in seen:
            ready, _, _ = select.select([master], [], [], 20)
            if not ready:
                raise SystemExit(f"{command}: {marker!r} was never drawn: {seen[-2000:]!r}")
            seen += os.read(master, 65536)
        return time.perf_counter() - started
    finally:
        child.kill()
        child.wait()
        os.close(master)


def build_of(home: Path, name: str, steps: int) -> Path:
    """A two-sided build with that many steps, all of them in an order that works."""
    folder = home / name
    (folder / "episodes").mkdir(parents=True)
    conditions = "\n".join(f"  part.made-{n}: {{on: side, means: part {n} is made}}" for n in range(steps))
    (folder / "build.yaml").write_text(
        f"format: 1\nbuild: {name}\nsides: [driver, passenger]\nfilm: driver\nconditions:\n{conditions}\n"
    )
    for episode in range(0, steps, 250):
        lines = [f"format: 1\nepisode: {episode // 250 + 1}\ntitle: Part {episode // 250 + 1}\nstages:"]
        for n in range(episode, min(episode + 250, steps)):
            if n % 25 == 0:
                lines.append(f"  - stage: Stage {n // 25 + 1}\n    steps:")
            lines.append(f"      - step: make-{n}\n        do: Make part {n} and lay it by")
            lines.append(f"        gives: [part.made-{n}]")
            if n:
                lines.append(f"        needs: [part.made-{n - 1}]")
        (folder / "episodes" / f"{episode // 250 + 1:02}-part.yaml").write_text("\n".join(lines) + "\n")
    return folder


async def key_cost(folder: Path, keys: str, count: int) -> float:
    """Processor seconds of a key on the plan screen, the drawing included."""
    from planner.app import make

    seconds = itertools.count(1_800_000_000, 2)  # later at every look: a key that is held would do its work only once
    app = make(folder.parent, folder, lambda: float(next(seconds)))
    async with app.run_test(size=(120, 36)) as pilot:
        await app.workers.wait_for_complete()
        await pilot.pause()
        await pilot.press(keys)  # the first one pays for what is made once
        await app.workers.wait_for_complete()
        await pilot.pause()
        started = time.process_time()
        for _ in range(count):
            await pilot.press(keys)
        await pilot.pause()
        return (time.process_time() - started) / count


def compare(title: str, most: float, mine: Callable[[], float], other: Callable[[], float], runs: int) -> bool:
    """Run both in turn, compare the medians, and say whether the ratio is kept."""
    times: tuple[list[float], list[float]] = ([], [])
    for _ in range(runs):
        times[0].append(mine())
        times[1].append(other())
    one, two = statistics.median(times[0]), statistics.median(times[1])
    ratio = one / two
    good = ratio <= most
    word = "✓ kept" if good else "✗ over"
    print(f"{word}  {title}: {ratio:.2f} (at most {most}); {one * 1000:.1f} ms against {two * 1000:.1f}", flush=True)
    return good


def main() -> int:
    """Run all comparisons."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--runs", type=int, default=15)
    runs = parser.parse_args().runs
    home = Path(tempfile.mkdtemp(prefix="planner-bench-"))
    os.environ.update(PLANNER_DEVICE="bench", HOME=str(home))
    env = {**os.environ, "TERM": "xterm-256color", "PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": str(home / "made")}
    env.pop("PYTHONDONTWRITEBYTECODE", None)  # what is installed was compiled once: else it is measured every time
    try:
        demo = home / "demo"
        shutil.copytree(ROOT / "projects", demo)
        first = min(each for each in demo.iterdir() if each.is_dir())
        small, large = build_of(home, "small", 50), build_of(home, "large", 5000)
        python = [sys.executable]

        def minimal() -> float:
            return first_paint([*python, "-c", MINIMAL], b"first-paint", env)

        def builds() -> float:
            return first_paint([*python, "-m", "planner", "--builds", str(demo)], b"builds", env)

        def plan() -> float:
            return first_paint([*python, "-m", "planner", "--builds", str(demo), str(first)], b"ready", env)

        minimal(), builds(), plan()  # the first run compiles and fills the disk's memory
        kept = [
            compare("first paint of the builds screen against a minimal app", 1.4, builds, minimal, runs),
            compare("first paint of the plan screen, steps and all, against a minimal app", 1.8, plan, minimal, runs),
        ]
        for title, key in (("a move of the cursor", "down"), ("a tick in planned order", "space")):

            def cost(folder: Path, key: str = key) -> float:
                # ticks are kept in a copy, so that every run begins at the beginning
                shutil.rmtree(folder / "log", ignore_errors=True)
                return asyncio.run(key_cost(folder, key, 30))

            kept.append(
                compare(
                    f"processor time of {title}, 5,000 steps against 50",
                    1.5,
                    partial(cost, large),
                    partial(cost, small),
                    max(3, runs // 4),
                )
            )
        return 0 if all(kept) else 1
    finally:
        shutil.rmtree(home, ignore_errors=True)


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    sys.exit(main())
