"""A reading beside the first one of the same thing: by how much it changed, with the ± that the library finds."""

from __future__ import annotations

from pathlib import Path

import pytest
import uncertainties

from planner.commands.paper import run as paper
from planner.session.asfound import changed_last
from planner.session.onebuild import OneBuild
from planner.session.opened import Opened
from planner.telling.looks import plain
from planner.telling.step import remark_lines
from tests.support.builds import write_files
from tests.support.clock import Clock

BUILD = """format: 1
build: Two stubs
sides: [left, right]
pieces: {tube: {}}
"""
EPISODE = """format: 1
episode: 1
title: Stubs
stages:
  - stage: Stubs
    any-time: true
    steps:
      - {step: as-found, do: Look, piece: tube, sides: once, hold: {limit: 0.060 in, plus-minus: 0.010 in}}
      - {step: straight, do: Look, piece: tube, sides: once, hold: {limit: 0.030 in, plus-minus: 0.005 in}}
      - {step: warm, do: Look, piece: tube, sides: once, hold: {most: 45 C}}
      - {step: tilt, do: Look, piece: tube, hold: {limit: 0.010 in, plus-minus: 0.002 in}}
"""


def build_of(folder: Path) -> OneBuild:
    """That build, open."""
    return OneBuild(write_files(folder, {"build.yaml": BUILD, "episodes/01-stubs.yaml": EPISODE}), "shop", Clock())


def read(one: OneBuild, op: str, typed: str) -> str:
    """What a reading is told to have changed by."""
    one.tick(op, remarks=[{"did": "reading", "value": typed}], anyway=True)
    return changed_last(one, one.live.by_name[op])


@pytest.mark.parametrize(("now", "own"), [("0.041 in", 0.005), ("0.021 in ± 0.0005", 0.0005), ("-0.020 in", 0.005)])
def test_the_change_has_the_doubt_of_both_readings(tmp_path: Path, now: str, own: float) -> None:
    """PyPI uncertainties: the difference of two readings that stand by themselves."""
    one = build_of(tmp_path)
    assert read(one, "as-found", "0.012 in") == ""
    said = read(one, "straight", now)
    by = uncertainties.ufloat(float(now.split(maxsplit=1)[0]), own) - uncertainties.ufloat(0.012, 0.010)
    told, _, rest = said.removeprefix("since as-found: ").partition(" ± ")
    assert float(told) == pytest.approx(by.nominal_value, abs=5e-4)
    assert by.std_dev <= float(rest.split()[0]) <= by.std_dev * 1.1
    assert ("no change is shown" in said) == (abs(by.nominal_value) < by.std_dev)
    assert said in [plain([row]).strip() for row in remark_lines(Opened(tmp_path, one), "straight")]
    page = tmp_path / "as-built.txt"
    assert paper([str(tmp_path), "as-built", "--to", str(page)]) == 0
    assert said in " ".join(page.read_text(encoding="utf-8").split())


def test_only_the_same_is_compared(tmp_path: Path) -> None:
    """Not another unit, not another side; place by place where both were read there."""
    one = build_of(tmp_path)
    read(one, "as-found", "0.012 in")
    assert read(one, "warm", "30 C") == ""
    assert read(one, "tilt@left", "up .002, fore .004 in") == ""
    assert read(one, "tilt@right", "up .002, fore .004 in") == ""
    said = read(one, "tilt@left", "up .008, fore .004, aft .001 in")
    assert said == "since tilt@left: up +0.0060 ± 0.0029 in, fore +0.0000 ± 0.0029 in (no change is shown)"
