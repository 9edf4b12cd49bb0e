"""A reading supersedes its number until later work spoils what the step gave that took it."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.build.reading import read_build
from planner.numbers.together import StepNumber
from planner.plan.expand import Plan
from planner.plan.readings import readings
from planner.plan.ticks import Entry
from planner.session.onebuild import OneBuild, Refusal, plan_of
from planner.session.results import Reason
from tests.numbers.builds import BUILD, NUMBERS, write
from tests.support.commandline import run_json

EPISODE = """format: 1
episode: 1
title: The number that counts
stages:
  - stage: Measure and weld
    any-time: true
    steps:
      - step: measure
        do: Measure the half; it was {narrow.half}
        reads: narrow.measured-half
        gives: [half.known]
      - step: weld
        do: Weld the perch
        spoils: [half.known]
      - step: pads
        do: Measure the pads
        sides: once
        reads: fit.pads
      - step: order
        do: Order at {narrow.shaft-order}, planned {narrow.shaft}
        sides: once
"""
JOB = BUILD + "conditions:\n  half.known: {kept: side, means: the half was read cold}\n"
SHAFTS = NUMBERS + "  shaft: {driver: 30 in ± 1/32, passenger: 28 in ± 1/32}\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A build whose halves are measured, welded near and ordered by."""
    return write(tmp_path / "plover", SHAFTS, EPISODE, JOB)


def half(build: OneBuild, side: str, name: str = "narrow.half") -> tuple[float, bool] | None:
    """A number on a side, in inches, and whether it is measured."""
    found = build.plan.build.numbers[name].get(side)
    return None if found is None or found[0] is None else (round(found[0] / 25.4, 6), StepNumber(*found).measured)


def read(build: OneBuild, op: str, text: str, did: str = "done") -> None:
    """Tick an operation with a reading."""
    done = build.tick(op, did, remarks=[{"did": "reading", "value": text}], anyway=True)
    assert not isinstance(done, Refusal), done


def test_a_reading_counts_until_it_is_spoiled(folder: Path) -> None:
    """Measured, then planned again after the weld, measured once more, and taken back step by step."""
    build = OneBuild(folder, "bench", lambda: 1.8e9)
    planned = half(build, "driver")
    assert planned is not None
    assert planned[1] is False
    assert half(build, "driver", "narrow.shaft-order") is None
    read(build, "measure@driver", "26 1/4 in ± 1/32")
    assert half(build, "driver") == (26.25, True)
    assert half(build, "passenger", "narrow.shaft") != (26.25, True)
    order, shaft = (half(build, "driver", f"narrow.{name}") for name in ("shaft-order", "shaft"))
    # c = P - L = 1 1/16 in and e' = 3 in, so the shaft is the half and 1 15/16 in
    assert order == shaft == (28.1875, True)
    build.tick("weld@driver", anyway=True)
    assert half(build, "driver") == planned
    assert half(build, "driver", "narrow.shaft-order") is None
    read(build, "measure@driver", "26 1/8 in", "again")
    assert half(build, "driver") == (26.125, True)
    build.tick("measure@driver", "undone")
    assert half(build, "driver") == planned  # the first reading stands again, and the weld has spoiled it
    build.tick("weld@driver", "undone")
    assert half(build, "driver") == (26.25, True)
    assert OneBuild(folder, "bench").plan.build.numbers["narrow.half"]["driver"][-1] is True  # read back from the log


def test_what_a_reading_does_not_move(folder: Path) -> None:
    """The lines are where they were planned: the cut is behind us when the finished half is read."""
    build = OneBuild(folder, "bench", lambda: 1.8e9)
    names = ("narrow.second-line", "narrow.shorten", "narrow.between", "narrow.plate-to-plate")
    before = [dict(build.plan.build.numbers[name]) for name in names]
    read(build, "measure@driver", "26 1/4 in")
    assert [dict(build.plan.build.numbers[name]) for name in names] == before


def test_a_number_of_the_whole_job(folder: Path) -> None:
    """Where the step gives nothing it stands until the next reading; everything computed from it follows."""
    build = OneBuild(folder, "bench", lambda: 1.8e9)
    flanges = build.plan.build.numbers["narrow.flange-to-flange"][""][0]
    pads = build.plan.build.numbers["fit.pads"][""][0]
    assert flanges == pads
    read(build, "pads", "1320 mm")
    assert build.plan.build.numbers["fit.pads"][""][0] == 1320
    assert build.plan.build.numbers["narrow.flange-to-flange"][""][0] == 1320
    assert build.plan.build.numbers["fit.pads"][""][1].startswith("measured ")
    assert build.plan.build.numbers["narrow.flange-to-flange"][""][-1] is False


@pytest.mark.parametrize("text", ["way out, 5 in", "5", "nan in", "5 furlongs", "26..27 in", "1 in", ""])
def test_a_reading_has_the_form_of_its_number(folder: Path, text: str) -> None:
    """Nothing is recorded of one that has not."""
    build = OneBuild(folder, "bench", lambda: 1.8e9)
    refused = build.tick("measure@driver", remarks=[{"did": "reading", "value": text}])
    assert isinstance(refused, Refusal)
    assert refused.reason is Reason.NO_READING
    assert not OneBuild(folder, "bench").log.events


def test_the_listing_has_it_too(folder: Path) -> None:
    """planner numbers and planner steps agree with the ticks."""
    OneBuild(folder, "bench").tick("measure@driver", remarks=[{"did": "reading", "value": "26 1/4 in ± 1/32"}])
    cells = run_json("numbers", str(folder))[1]["results"]["narrow"]
    assert cells["half"]["driver"]["measured"] is True
    assert cells["half"]["passenger"]["measured"] is False
    assert list(cells["shaft-order"]) == ["driver"]
    steps = {row["op"]: row["do"] for row in run_json("steps", str(folder))[1]["operations"]}
    assert "measured 26 1/4 in" in steps["measure@driver"]
    assert "measured" not in steps["measure@passenger"]


@pytest.mark.parametrize(
    ("line", "says"),
    [
        ("reads: narrow.measured-haf", "reads: there is no number narrow.measured-haf in numbers.yaml"),
        ("reads: narrow.measured-half@driver", "reads: a step done on each side reads its own number"),
        ("reads: fit.pads", "reads: the whole job has fit.pads once"),
    ],
)
def test_what_can_not_be_read(tmp_path: Path, line: str, says: str) -> None:
    """A located problem each."""
    folder = write(tmp_path / "plover", SHAFTS, EPISODE.replace("reads: narrow.measured-half", line), JOB)
    code, found = run_json("check", str(folder))
    problems = found["problems"]
    assert code == 2
    assert [says in each["message"] for each in problems] == [True], problems
    assert problems[0]["line"] == 10


@cache
def _plan() -> Plan:
    with TemporaryDirectory() as place:
        return plan_of(read_build(write(Path(place) / "plover", SHAFTS, EPISODE, JOB)))


@given(st.lists(st.tuples(st.sampled_from(("measure", "weld")), st.sampled_from(("driver", "passenger"))), max_size=12))
@settings(max_examples=60, deadline=None)
def test_a_measured_value_wins_until_it_is_spoiled(work: list[tuple[str, str]]) -> None:
    """Against a plain replay by hand."""
    plan = _plan()
    stands: dict[str, str | None] = {}
    entries = []
    for i, (what, side) in enumerate(work):
        entries.append(Entry(f"{what}@{side}", float(i), {}, f"{i} in" if what == "measure" else None))
        if what == "measure":
            stands[side] = f"{i} in"
        elif side in stands:
            stands[side] = None
    found = readings(plan, entries).get("narrow.measured-half", {})
    assert {side: None if read.lost_to else read.text for side, read in found.items()} == stands
