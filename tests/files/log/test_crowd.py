"""Four programs tick one build at once: nothing is lost, no number is given twice, all readers agree."""

from __future__ import annotations

import json
import subprocess
import sys
import time
from pathlib import Path

import pytest

from planner.files.disk.locking import lock, unlock
from planner.files.log.line import merge
from planner.files.log.ticklog import NotWrittenError, TickLog
from planner.session.onebuild import OneBuild
from tests.files.log.making import JOB, write_build
from tests.files.log.ticking_child import digest

ROOT = Path(__file__).resolve().parents[3]
EACH = 2000


def run_crowd(folder: Path, devices: list[str], what: str, each: int) -> list[list[int]]:
    """Let programs of these devices tick at once; the numbers that each was acknowledged.

    Every reader, those that took part and a fresh one, must see the same in the end.
    """
    crowd = [
        subprocess.Popen(
            [sys.executable, "-m", "tests.files.log.ticking_child", what, str(folder), device, str(each)],
            cwd=ROOT,
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
        )
        for device in devices
    ]
    try:
        for word in ("go\n", "look\n"):  # all begin together, and look when all are done
            numbers = [json.loads(line) if (line := read(child)) != "here" else [] for child in crowd]
            for child in crowd:
                assert child.stdin is not None
                child.stdin.write(word)
                child.stdin.flush()
        seen = {read(child) for child in crowd}
    finally:
        for child in crowd:
            child.communicate(timeout=60)
    assert seen == {digest(TickLog(folder))}
    return numbers


def read(child: subprocess.Popen[str]) -> str:
    """The next line of a child."""
    assert child.stdout is not None
    return child.stdout.readline().rstrip("\n")


@pytest.mark.parametrize("devices", [["bench", "phone", "tablet", "truck"], ["bench"] * 4], ids=["four", "shared"])
def test_four_programs_of_2000_ticks_each(quick: Path, devices: list[str]) -> None:
    folder = write_build(quick / "build")
    acknowledged = run_crowd(folder, devices, "crowd", EACH)
    log = TickLog(folder)
    assert log.notices == []
    assert len(log.events) == 4 * EACH
    assert len({(event.by, event.n) for event in log.events}) == 4 * EACH
    stored = {(event.by, event.n) for event in log.events}
    for device, numbers in zip(devices, acknowledged, strict=True):
        assert len(numbers) == EACH and numbers == sorted(set(numbers))
        assert {(device, number) for number in numbers} <= stored
    written = [name.name for name in (folder / "log").iterdir()]
    assert sorted(written) == sorted({f"{device}.jsonl" for device in devices})
    # Each program's own ticks stand in the order in which it made them.
    for pid in {event.raw["pid"] for event in log.events}:
        ops = [event.op for event in log.events if event.raw["pid"] == pid]
        assert ops == [f"step-{index}" for index in range(EACH)]


@pytest.mark.parametrize("devices", [["bench", "phone", "tablet", "truck"], ["bench"] * 4], ids=["four", "shared"])
def test_four_programs_share_a_builds_work(quick: Path, devices: list[str]) -> None:
    """Through the whole build: with one name nothing is done twice, with four names doubles count once."""
    steps = "".join(f"      - {{step: tack-{number}, do: Tack it}}\n" for number in range(300))
    folder = write_build(quick / "build", "  - stage: Tacks\n    steps:\n" + steps, JOB)
    acknowledged = run_crowd(folder, devices, "crowd-build", 50)
    build = OneBuild(folder)
    assert build.log.notices == []
    stored = {(event.by, event.n) for event in build.log.events if event.did == "done"}
    assert {(d, n) for d, numbers in zip(devices, acknowledged, strict=True) for n in numbers} == stored
    assert len(stored) == 200
    assert len(build.ticks.entries) + len(build.ticks.doubles) == 200
    if len(set(devices)) == 1:
        assert build.ticks.doubles == ()


def test_a_program_that_never_lets_go_makes_a_tick_fail_and_not_hang(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    from planner.files.log import ticklog

    folder = write_build(tmp_path)
    other = TickLog(folder, "bench")
    with other.writing():
        held = (folder / "log" / "bench.jsonl").open("rb")
        with held, pytest.raises(OSError, match="does not let go"):
            lock(held.fileno(), patience=0.05)
        monkeypatch.setattr(ticklog, "lock", lambda fd: lock(fd, patience=0.05))
        begun = time.monotonic()
        with pytest.raises(NotWrittenError, match="another program holds it"):
            OneBuild(folder, "bench").tick("brush@left")
        assert time.monotonic() - begun < 5
        monkeypatch.undo()
    OneBuild(folder, "bench").tick("brush@left")
    assert len(TickLog(folder).events) == 1


def test_a_lock_is_had_again_once_it_is_let_go(tmp_path: Path) -> None:
    path = tmp_path / "file"
    path.write_bytes(b"")
    with path.open("rb") as one, path.open("rb") as two:
        lock(one.fileno())
        unlock(one.fileno())
        lock(two.fileno(), patience=0)
        unlock(two.fileno())


def test_merging_twenty_thousand_records_is_quick() -> None:
    """The longest build there will be opens while one puts the gloves on: two seconds, on any machine."""
    from planner.plan.ticks import Event

    events = [
        Event(n, by, 1.0, "x", "done", {"v": 1, "n": n, "by": by, "text": "y" * 50})
        for by in ("a", "b", "c", "d")
        for n in range(5000)
    ]
    begun = time.process_time()
    assert len(merge([*events[::-1], *events])) == 20_000
    assert time.process_time() - begun < 2
