"""A thermometer's reading corrects the wait that runs: by the calculator, through restarts and undo."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from planner.numbers.quantity import Quantity
from planner.session.onebuild import OneBuild, Refusal, Ticked
from tests.numbers.asking import ask
from tests.support.builds import write_files
from tests.support.clock import Clock

BUILD = """format: 1
build: Two stubs
sides: [left, right]
conditions:
  stub.cold: {kept: side, means: as cold as the air}
"""
EPISODE = """format: 1
episode: 1
title: Stubs
stages:
  - stage: Stubs
    steps:
      - {step: cool, do: Leave it, gives: [stub.cold], wait: {cool-to: 45 C}}
      - {step: press, do: Press it, needs: [stub.cold]}
      - {step: look, do: Look at both, sides: once, after: [cool]}
"""
TUBE = {"diameter": "76 mm", "wall": "6 mm", "hot": "250 C", "air": "20 C"}
START = 1_790_000_000.0


def build_of(folder: Path, clock: Clock) -> OneBuild:
    """That build, open on a device."""
    numbers = "format: 1\ncool: {diameter: 76 mm, wall: 6 mm, hot: 250 C, air: 20 C}\n"
    files = {"build.yaml": BUILD, "episodes/01-stubs.yaml": EPISODE, "numbers.yaml": numbers}
    return OneBuild(write_files(folder, files), "shop", clock)


def told(seen: str, key: str = "to-target") -> int:
    """The calculator's time from the tick, to its long end and a whole minute."""
    cell = ask("cool", {**TUBE, "target": "45 C", "readings": seen}).results[key]
    assert isinstance(cell, Quantity)
    return 60 * math.ceil((cell.value + cell.plus_minus) / 60)


def read(one: OneBuild, typed: str, op: str = "cool@left", at: float | None = None) -> Ticked | Refusal:
    """What comes of a reading of what was done."""
    return one.tick(op, remarks=[{"did": "reading", "value": typed}], at=at)


def ends(one: OneBuild, op: str) -> float | None:
    """Until when an operation waits, in seconds since the tick."""
    until = one.state_of(one.live.by_name[op]).waiting_until
    return None if until is None else until - START


def test_the_wait_follows_the_thermometer_both_ways(tmp_path: Path) -> None:
    """Colder than worked out makes it shorter, hotter longer; each is the calculator's, on the disk as in the hand."""
    clock = Clock(START)
    one = build_of(tmp_path, clock)
    for op in ("cool@left", "cool@right"):
        one.tick(op)
    planned = ends(one, "press@left")
    assert planned is not None
    clock.now += 600
    found = read(one, "90 C ± 2")
    assert isinstance(found, Ticked)
    assert found.until == START + told("10 min 90 C ± 2") < START + planned
    assert (ends(one, "press@left"), ends(one, "press@right")) == (told("10 min 90 C ± 2"), planned)
    assert ends(one, "look") == planned  # both sides: the longer holds
    clock.now += 600
    read(one, "188 F", "cool@left")  # 86.7 C: far slower than worked out
    slow = told("10 min 90 C ± 2; 20 min 188 F")
    assert ends(one, "press@left") == slow > planned
    assert ends(one, "look") == slow
    again = OneBuild(tmp_path, "another", clock)
    assert (ends(again, "press@left"), ends(again, "look")) == (slow, slow)
    assert [wait.until - START for wait in again.running()] == sorted([planned, slow])
    read(one, "88 C", at=clock.now - 300)  # written down late: the latest one still decides
    assert ends(one, "press@left") == told("10 min 90 C ± 2; 15 min 88 C; 20 min 188 F")
    clock.now += 60
    read(one, "150 C")  # hotter than before: heated, or read wrongly; it begins anew
    assert ends(one, "press@left") == told("21 min 150 C")


def test_a_reading_below_the_target_ends_the_wait_and_undo_brings_it_back(tmp_path: Path) -> None:
    clock = Clock(START)
    one = build_of(tmp_path, clock)
    one.tick("cool@left")
    planned = ends(one, "press@left")
    clock.now += 300
    read(one, "40 C")
    assert ends(one, "press@left") is None
    one.tick("cool@right")
    one.tick("press@left")
    undone = one.live.would_find_undone(one.live.by_name["cool@right"])
    assert not [each for each in (*one.findings(), *undone) if each.rule == "too-soon"]
    one.tick("press@left", "undone")
    one.tick("cool@left", "undone")
    clock.now += 60
    one.tick("cool@left")
    assert planned is not None
    assert ends(one, "press@left") == planned + 360
    one.tick("cool@left", "again")
    read(one, "40 C", at=clock.now)
    assert ends(one, "press@left") is None
    one.tick("cool@left", "undone")
    for each in (one, OneBuild(tmp_path, "another", clock)):
        assert ends(each, "press@left") == planned + 360


def test_what_was_done_before_the_reading_is_judged_by_what_was_known_then(tmp_path: Path) -> None:
    clock = Clock(START)
    one = build_of(tmp_path, clock)
    one.tick("cool@left")
    clock.now = START + (ends(one, "press@left") or 0) + 1
    one.tick("press@left", anyway=True)
    clock.now += 60
    read(one, "120 C")
    for each in (one, OneBuild(tmp_path, "another", clock)):
        assert not [finding for finding in each.findings() if finding.rule == "too-soon"]
        assert each.running()


@pytest.mark.parametrize(
    ("typed", "after", "says"),
    [
        ("95", 0, "has no unit"),
        ("warm", 0, "while it cools a reading is a temperature"),
        ("2 C", 0, "colder than the air, 20 C"),
        ("2000 C", 0, "hotter than 900 C"),
        ("80 C", 60, "later than now"),
        ("80 C", -900, "before the wait began"),
    ],
)
def test_what_cannot_be_is_refused_in_one_line_and_nothing_is_kept(
    tmp_path: Path, typed: str, after: float, says: str
) -> None:
    clock = Clock(START)
    one = build_of(tmp_path, clock)
    one.tick("cool@left")
    before = len(one.log.events), ends(one, "press@left")
    clock.now += 600
    found = read(one, typed, at=clock.now + after)
    assert isinstance(found, Refusal)
    assert says in found.says
    assert "\n" not in found.says
    assert (len(one.log.events), ends(one, "press@left")) == before
