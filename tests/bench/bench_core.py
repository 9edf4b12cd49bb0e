"""Ratios of the reader, the walk and the tick against the least that could do the same work.

Run all of them with ``python -m tests.bench``. Each ratio is taken in one run, side by side, best of several, so
that a slow or busy machine slows both halves alike.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import yaml

from planner.files.build.reading import read_build
from planner.files.log.ticklog import TickLog
from planner.plan.expand import Operation, expand
from planner.plan.findings import check, planned
from planner.plan.machine import Machine
from planner.session.onebuild import OneBuild, Ticked
from tests.bench.builds import write_build

ROOT = Path(__file__).resolve().parents[2]
AXLE = ROOT / "projects"


def best_pair(one: Callable[[], object], other: Callable[[], object], times: int) -> tuple[float, float]:
    """The best time of each, taken in turns."""
    found = [float("inf"), float("inf")]
    for _ in range(times):
        for index, function in enumerate((one, other)):
            begun = time.perf_counter()
            function()
            found[index] = min(found[index], time.perf_counter() - begun)
    return found[0], found[1]


def report(name: str, ours: float, bare: float, limit: float) -> bool:
    """Print one ratio; whether it is within its limit."""
    ratio = ours / bare
    verdict = "ok" if ratio <= limit else "OVER"
    print(f"{name:<58} {ours * 1e3:9.2f} ms / {bare * 1e3:9.2f} ms = {ratio:5.2f}  (at most {limit})  {verdict}")
    return ratio <= limit


def bench_check_process() -> bool:
    """``planner check`` on the axle demo as a whole process."""
    axle = next(each for each in sorted(AXLE.iterdir()) if "axle" in (each / "build.yaml").read_text("utf-8"))
    env = {**os.environ, "PYTHONDONTWRITEBYTECODE": ""}

    def run(*args: str) -> None:
        subprocess.run([sys.executable, *args], cwd=ROOT, env=env, stdout=subprocess.DEVNULL, check=False)

    run("-m", "planner", "check", str(axle))  # once, so that both sides have their bytecode
    ours, bare = best_pair(
        lambda: run("-m", "planner", "check", str(axle)),
        lambda: run("-c", "import yaml, argparse, dataclasses, json"),
        25,
    )
    return report("check on the axle demo, whole process, against imports", ours, bare, 2.5)


def bench_reading() -> bool:
    """Reading and walking 5,000 steps in 50 files."""
    with tempfile.TemporaryDirectory() as folder:
        files = write_build(Path(folder) / "big", 5000, 50)
        texts = [path.read_text(encoding="utf-8") for path in files]

        def ours() -> None:
            reading = read_build(Path(folder) / "big")
            assert reading.build is not None, reading.problems[:3]
            plan = expand(reading.build)
            check(plan, planned(plan))

        first, second = best_pair(ours, lambda: [yaml.load(text, yaml.CSafeLoader) for text in texts], 7)
    return report("reading and walking 5,000 steps, against the C loader", first, second, 1.4)


def _wide_plan(operations: int) -> tuple[frozenset[str], list[Operation]]:
    """What holds at the start, and that many operations, each with conditions of its own."""
    with tempfile.TemporaryDirectory() as folder:
        write_build(Path(folder) / "wide", 1000, 10)
        reading = read_build(Path(folder) / "wide")
    assert reading.build is not None
    plan = expand(reading.build)
    one = plan.operations
    asked = frozenset[str]().union(*[op.needs for op in one])
    standing = [fact for fact in plan.build.start if fact in asked]
    start: set[str] = set()
    ops: list[Operation] = []
    copy = 0
    while len(ops) < operations:  # fresh conditions each time round, so that the state grows with the build
        mark = f"~{copy}"
        start.update([fact + mark for fact in standing])
        for op in one:
            ops.append(
                op._replace(
                    name=op.name + mark,
                    needs=frozenset([n + mark for n in op.needs]),
                    gives=frozenset([n + mark for n in op.gives]),
                    spoils=frozenset([n + mark for n in op.spoils]),
                )
            )
        copy += 1
    return frozenset(start), ops[:operations]


def bench_walk() -> bool:
    """The walk over 100,000 operations of a sound build, and whether it is linear."""
    start, ops = _wide_plan(100_000)
    machine = Machine(start, ops)  # once a plan, as reading is; bench_reading holds what it costs
    sets = [(op.needs, op.spoils, op.gives) for op in ops]

    asked = frozenset[str]().union(*[op.needs for op in ops[:1000]])
    begins = {100_000: start, 1000: start & asked}  # the copying of what holds at the start is no walking

    def bare(count: int, times: int = 1) -> None:
        for _ in range(times):
            state = set(begins[count])
            for needs, spoils, gives in sets[:count]:
                if not needs <= state:
                    raise AssertionError("the build of this benchmark must be sound")
                state -= spoils
                state |= gives

    def ours(count: int, times: int = 1) -> None:
        for _ in range(times):
            machine.walk(ops[:count])

    first, second = best_pair(lambda: ours(100_000), lambda: bare(100_000), 7)
    good = report("walking 100,000 operations, against bare set operations", first, second, 3.0)
    # The bare loop slows down too as the state outgrows the processor's cache: only what is ours counts.
    large, small = best_pair(lambda: ours(100_000), lambda: ours(1000, 100), 7)
    bare_large, bare_small = best_pair(lambda: bare(100_000), lambda: bare(1000, 100), 7)
    growth, least = large / small, bare_large / bare_small
    return report("  growth from 1,000 to 100,000, against the bare loop's", growth / 1e3, least / 1e3, 1.3) and good


def bench_tick() -> bool:
    """A tick in process with the state loaded, against a bare append and fsync."""
    with tempfile.TemporaryDirectory(dir=os.environ.get("BENCH_DISK")) as folder:
        home = Path(folder)
        write_build(home / "tick", 1000, 10)
        build = OneBuild(home / "tick", "bench")
        names = [op.name for op in build.plan.operations]
        record = json.dumps({"v": 1, "n": 1, "at": "2027-01-01T10:00:00.000Z", "by": "bench", "op": names[0]})
        line = (record + "\n").encode()
        fd = os.open(home / "bare", os.O_WRONLY | os.O_CREAT | os.O_APPEND)
        ours, bare = [], []
        for name in names[:800]:
            begun = time.perf_counter()
            result = build.tick(name)
            ours.append(time.perf_counter() - begun)
            assert isinstance(result, Ticked), result
            begun = time.perf_counter()
            os.write(fd, line)
            os.fsync(fd)
            bare.append(time.perf_counter() - begun)
        os.close(fd)
        build.log.close()
        assert len(TickLog(home / "tick").events) == 800
    middle = len(ours) // 2
    ticked, appended = sorted(ours)[middle], sorted(bare)[middle]
    return report("a tick in process, against append and fsync (median)", ticked, appended, 1.3)


def main() -> int:
    """Run every benchmark of the core; 1 when one is over its limit."""
    results = [bench_check_process(), bench_reading(), bench_walk(), bench_tick()]
    return 0 if all(results) else 1


if __name__ == "__main__":
    sys.exit(main())
