"""Three hundred sudden deaths: whatever was acknowledged is in the log, and the log stays usable."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from pathlib import Path
from random import Random

import pytest

from planner.files.log.ticklog import TickLog
from planner.session.onebuild import OneBuild, Ticked
from tests.files.log.making import JOB, write_build

ROOT = Path(__file__).resolve().parents[3]
KILLS = 300
SLOWEST = 60.0  # seconds for all of it

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="children are forked, and this system cannot")

STEPS = "".join(f"      - {{step: tack-{number}, do: Tack it}}\n" for number in range(1500))
MANY = "  - stage: Tacks\n    steps:\n" + STEPS
EIGHT = JOB.replace("[left, right]", "[a, b, c, d, e, f, g, h]").replace("film: left\n", "")


def test_every_acknowledged_tick_survives_300_kills(quick: Path) -> None:
    folder = write_build(quick / "build", MANY, EIGHT)
    random = Random(300)
    acknowledged: list[tuple[int, str, str]] = []
    begun = time.monotonic()
    with subprocess.Popen(
        [sys.executable, "-m", "tests.files.log.ticking_child", "kill", str(folder), "bench"],
        cwd=ROOT,
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
    ) as nursery:
        assert nursery.stdin is not None and nursery.stdout is not None
        for _ in range(KILLS):
            nursery.stdin.write(b"next\n")
            nursery.stdin.flush()
            word, pid = nursery.stdout.readline().split()
            assert word == b"pid"
            # In the middle of work; one in five while it wakes up.
            awaited = random.choice([0, 1, 4, 9, 16])
            lines = [nursery.stdout.readline().decode() for _ in range(awaited)]
            time.sleep(random.uniform(0, 0.003))
            os.kill(int(pid), signal.SIGKILL)
            while (line := nursery.stdout.readline().decode()) != "dead\n":
                lines.append(line)
            for line in lines:
                number, op, did = line.split()
                assert number.isdigit(), line
                acknowledged.append((int(number), op, did))
        nursery.stdin.close()
    assert nursery.returncode == 0
    assert time.monotonic() - begun < SLOWEST

    log = TickLog(folder, "bench")
    stored = {event.n: (event.n, event.op, event.did) for event in log.events}
    assert len(acknowledged) > 5 * KILLS  # they were killed in the middle of work, not before it
    assert [each for each in acknowledged if stored.get(each[0]) != each] == []
    assert len(stored) == len(log.events)  # no number twice
    torn = [notice for notice in log.notices if "damaged" not in notice.says and "torn" not in notice.says]
    assert torn == []

    build = OneBuild(folder, "bench")
    answer = build.tick("tack-0@a", "again", anyway=True)
    assert isinstance(answer, Ticked)
    last = (folder / "log" / "bench.jsonl").read_bytes().split(b"\n")[-2]
    assert json.loads(last)["op"] == "tack-0@a"
    assert TickLog(folder).events[-1].raw == json.loads(last)
