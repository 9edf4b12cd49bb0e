"""Two checkouts side by side: each runs its own benchmarks, in turns, and both answers stand on one line.

``python -m tests.bench --against ../older``. Every benchmark module is run in a process of its own, here and there
alternately, as many rounds as asked for; of each line the best round counts. What a checkout is measured with is what
it holds itself: a line is compared by its name, so a benchmark that only one of them has is told and not compared.
"""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parents[2]
#: How much longer the same thing may take before it is called slower: two runs of one checkout differ by less.
MARGIN = 1.10
# ``name  12.34 ms / 5.67 ms = 2.18  (at most 2.5)  ok``; the second time and the ratio may be missing.
_TABLE = re.compile(r"^(?P<name>.*?)\s+(?P<ms>[\d.]+) ms(?: / +[\d.]+ ms = +(?P<ratio>[\d.]+))?\s+\(at most")
# ``✓ kept  name: 1.05 (at most 1.5); 12.3 ms against 11.7``
_SENTENCE = re.compile(r"^[✓✗] \w+ +(?P<name>.*): (?P<ratio>[\d.]+) \(at most [\d.]+\); (?P<ms>[\d.]+) ms against")


class Measured(NamedTuple):
    """One line of a benchmark: milliseconds, and the ratio to the least that could do it where there is one."""

    ms: float
    ratio: float | None


def read_lines(text: str) -> dict[str, Measured]:
    """The measurements that a benchmark printed, by name; what is no measurement is left out."""
    found: dict[str, Measured] = {}
    for line in text.splitlines():
        match = _SENTENCE.match(line) or _TABLE.match(line)
        if match:
            ratio = match["ratio"]
            found[match["name"].strip()] = Measured(float(match["ms"]), float(ratio) if ratio else None)
    return found


def best(rounds: list[dict[str, Measured]]) -> dict[str, Measured]:
    """Of every name the least milliseconds and the least ratio of all rounds."""
    merged: dict[str, Measured] = {}
    for measured in rounds:
        for name, new in measured.items():
            old = merged.get(name, new)
            ratio = None if new.ratio is None or old.ratio is None else min(new.ratio, old.ratio)
            merged[name] = Measured(min(new.ms, old.ms), ratio)
    return merged


def slower(here: Measured, there: Measured) -> bool:
    """Whether the same thing takes longer here, beyond what chance does."""
    return here.ms > there.ms * MARGIN


def one_line(name: str, here: Measured, there: Measured) -> str:
    """Both ratios, both times, and what the times say."""
    ratios = "            " if here.ratio is None or there.ratio is None else f"{here.ratio:5.2f} | {there.ratio:5.2f}"
    times = f"{here.ms:9.2f} | {there.ms:9.2f} ms"
    word = "SLOWER" if slower(here, there) else "ok"
    return f"{name[:72]:<72} {ratios:>13}  {times}  x{here.ms / max(there.ms, 1e-9):.2f}  {word}"


def measure(checkout: Path, module: str) -> dict[str, Measured]:
    """Run one benchmark module of a checkout; a message on stderr when it says nothing that can be read."""
    env = {**os.environ, "PYTHONPATH": str(checkout)}
    done = subprocess.run(
        [sys.executable, "-m", f"tests.bench.{module}"],
        cwd=checkout, env=env, capture_output=True, text=True, check=False,
    )  # fmt: skip
    found = read_lines(done.stdout)
    if not found:
        print(f"{checkout}: {module} measured nothing: {done.stderr[-500:]}", file=sys.stderr)
    return found


def modules_of(checkout: Path) -> set[str]:
    """The benchmark modules that a checkout holds."""
    return {path.stem for path in (checkout / "tests" / "bench").glob("bench_*.py")}


def compare(other: Path, rounds: int, only: list[str]) -> int:
    """Measure both checkouts in turns and print one line a measurement; 1 when anything is slower here."""
    mine, theirs = modules_of(ROOT), modules_of(other)
    if not theirs:
        print(f"{other}: there is no tests/bench/bench_*.py; name the top of a checkout", file=sys.stderr)
        return 2
    names = sorted(name for name in mine | theirs if not only or name.removeprefix("bench_") in only)
    worst = 0
    print(f"here | {other}: ratios, then times; the best of {rounds}, taken in turns")
    for module in names:
        if module not in mine & theirs:  # with nothing to compare it with, it would only cost time
            print(f"{module}  (only {'here' if module in mine else 'there'}, not run)", flush=True)
            continue
        here: list[dict[str, Measured]] = []
        there: list[dict[str, Measured]] = []
        for _ in range(rounds):
            for checkout, kept in ((ROOT, here), (other, there)):
                kept.append(measure(checkout, module))
        ours, others = best(here), best(there)
        for name in [*ours, *(each for each in others if each not in ours)]:
            if name in ours and name in others:
                print(one_line(name, ours[name], others[name]), flush=True)
                worst = max(worst, slower(ours[name], others[name]))
            else:
                print(f"{name}  (only {'here' if name in ours else 'there'})", flush=True)
    return worst
