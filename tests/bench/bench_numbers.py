"""Ratios of the numbers against the least that could do the same work.

The numbers are those of the first demo build that has any, else of a build written here.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from planner.files.build.alone import read_alone
from planner.numbers.together import all_numbers
from tests.bench.bench_core import best_pair, report
from tests.numbers.builds import write

ROOT = Path(__file__).resolve().parents[2]
#: What recomputing may take at most, in milliseconds: a tenth of what one repaint of a screen of numbers costs.
RECOMPUTE_MS = 3.0


def bench_process(folder: Path) -> bool:
    """``planner numbers`` as a whole process."""
    env = {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}

    def run(*args: str) -> None:
        quiet = subprocess.DEVNULL
        subprocess.run([sys.executable, *args], cwd=ROOT, env=env, stdout=quiet, stderr=quiet, check=False)

    run("-m", "planner", "numbers", str(folder))
    ours, bare = best_pair(
        lambda: run("-m", "planner", "numbers", str(folder)),
        lambda: run("-c", "import yaml, argparse, dataclasses, json"),
        25,
    )
    return report("all numbers of a build, whole process, against imports", ours, bare, 2.5)


def bench_recompute(folder: Path) -> bool:
    """Working out all numbers again, bars aside, as after a change of one input."""
    numbers = read_alone(folder).numbers
    assert numbers is not None
    sections = {name: each for name, each in numbers.file.sections.items() if name != "bars"}
    best = float("inf")
    for _ in range(200):
        begun = time.process_time()
        all_numbers(sections, numbers.sides, numbers.show)
        best = min(best, time.process_time() - begun)
    verdict = "ok" if best * 1e3 <= RECOMPUTE_MS else "OVER"
    print(f"{'recomputing all numbers, bars aside':<58} {best * 1e3:9.2f} ms (at most {RECOMPUTE_MS})  {verdict}")
    return best * 1e3 <= RECOMPUTE_MS


def main() -> int:
    """Run both; 1 when one is over its limit."""
    with tempfile.TemporaryDirectory() as scratch:
        demos = [each.parent for each in sorted((ROOT / "projects").glob("*/numbers.yaml"))]
        folder = demos[0] if demos else write(Path(scratch) / "build")
        results = [bench_process(folder), bench_recompute(folder)]
    return 0 if all(results) else 1


if __name__ == "__main__":
    sys.exit(main())
