"""Keys, sizes and clicks at random over every screen of several builds, by the thousand.

Run by hand, in slices:  python -m tests.bench.random_keys --keys 50000 --seconds 420
A slice says at which seed the next one goes on (--seed). What fails names its seed, its screen and the latest keys;
the short sample that the suite runs is tests/app/frame/test_random.py.
"""

from __future__ import annotations

import argparse
import asyncio
import os
import shutil
import sys
import tempfile
import time
import traceback
from collections import Counter
from pathlib import Path

from tests.app.frame.test_random import SCREENS, nothing_raises
from tests.app.support import BRACKETS, FOUR, ROOT, write

SESSION = 250  # keys from one start of the app to its end


def build_of(home: Path, number: int) -> Path:
    """The builds in turns: two small ones, and a demo build."""
    if number % 3 == 0:
        return write(home, "brackets", BRACKETS)
    if number % 3 == 1:
        return write(home, "four", FOUR)
    demos = sorted(each for each in (ROOT / "projects").iterdir() if each.is_dir())
    return Path(shutil.copytree(demos[number // 3 % len(demos)], home / "demo"))


def at_home(home: Path) -> None:
    """Nothing of the person's own machine, and a place for what is written without a folder's name."""
    os.environ.update(
        {name: str(home / "own") for name in ("HOME", "XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME")}
    )
    os.environ.update(PLANNER_DEVICE="shop", TEXTUAL_ANIMATIONS="none")
    os.chdir(home)


def main() -> int:
    """Press the keys, and say what failed."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--keys", type=int, default=50_000, help="how many in all (50,000)")
    parser.add_argument("--seconds", type=float, default=420, help="stop between two sessions after that long (420)")
    parser.add_argument("--seed", type=int, default=0, help="the first session's seed (0)")
    parser.add_argument("--step", type=int, default=1, help="from one session's seed to the next (1)")
    asked = parser.parse_args()
    until = time.monotonic() + asked.seconds
    pressed, failed, seed = 0, 0, asked.seed
    by_screen: Counter[str] = Counter()
    while pressed < asked.keys and time.monotonic() < until:
        screen = SCREENS[seed % len(SCREENS)]
        home = Path(tempfile.mkdtemp(prefix="planner-keys-"))
        try:
            at_home(home)
            folder = build_of(home, seed // len(SCREENS))
            asyncio.run(nothing_raises(screen, folder, f"session {seed}", SESSION))
        except Exception:  # whatever it is, the other sessions go on, and it is told whole
            failed += 1
            print(f"✗ seed {seed}, screen {screen}", flush=True)
            traceback.print_exc()
        finally:
            os.chdir(ROOT)
            shutil.rmtree(home, ignore_errors=True)
        by_screen[screen] += SESSION
        pressed += SESSION
        seed += asked.step
    told = ", ".join(f"{screen} {count}" for screen, count in sorted(by_screen.items()))
    print(f"{pressed} keys, sizes and clicks ({told}); seeds {asked.seed} up to {seed}; {failed} sessions failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
