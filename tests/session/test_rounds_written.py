"""The order of tacks and beads, written into a step: the operations come out as the calculator has them."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from planner.plan.expand import expand
from planner.session.onebuild import OneBuild
from planner.session.writing.rounds import rounds_of, steps_for
from tests.support.commandline import run

BUILD = """\
format: 1
build: A stub on each side
sides: [near, far]
"""
STEPS = """\
format: 1
episode: 1
title: Stubs
stages:
  - stage: Hold
    steps:
      - step: tack-stubs   # opposite first
        do: Tack the next pair of {tacks.order}
        kind: tack
        piece: stub

  - stage: Join
    pace: side-first
    steps:
      - step: run-beads
        do: Run the next bead
        # never two beside each other
        kind: weld
        piece: stub
      - step: look
        do: Look it over
  - stage: Twice
    rounds: 2
    steps:
      - {step: pass, do: Run a pass, kind: weld, piece: stub}
  - stage: Alone
    steps:
      - {step: plug, do: Weld the plug, kind: weld, piece: plug, sides: once}
      - {step: fill, do: Fill it, kind: weld, piece: plug, sides: once, rework: true}
"""
NUMBERS = """\
format: 1
tacks:
  diameter: 3 in
  number: 6
  length: 1/2 in
beads:
  diameter: 3 in
  length: 1 in
  layers: 2
  wait: 2 min
"""


@pytest.fixture
def stubs(tmp_path: Path) -> Path:
    folder = tmp_path / "stubs"
    (folder / "episodes").mkdir(parents=True)
    (folder / "build.yaml").write_text(BUILD)
    (folder / "episodes" / "01-stubs.yaml").write_text(STEPS)
    (folder / "numbers.yaml").write_text(NUMBERS)
    return folder


def text_of(folder: Path) -> str:
    return (folder / "episodes" / "01-stubs.yaml").read_text()


def operations(folder: Path, step: str) -> list[str]:
    build = read_build(folder).build
    assert build is not None
    return [op.name for op in expand(build).operations if op.step.id == step]


def test_beads_become_rounds_with_the_sides_in_turn_and_the_wait(stubs: Path) -> None:
    code, _, err = run("numbers", str(stubs), "--write", "beads=run-beads")
    assert code == 0, err
    # Ten beads of about an inch go round 3 in of tube (pi x 3 = 9.42), twice over: 20 at a joint, two joints.
    assert operations(stubs, "run-beads") == [f"run-beads#{k}@{side}" for k in range(1, 21) for side in ("near", "far")]
    added = [line for line in text_of(stubs).splitlines() if line not in STEPS.splitlines()]
    assert [line.strip() for line in added] == ["rounds: 20", "turns: alternate", "wait: 2 min"]
    assert [line for line in text_of(stubs).splitlines() if line not in added] == STEPS.splitlines()
    assert "episodes/01-stubs.yaml" in err and "rounds: 20" in err
    again = text_of(stubs)
    code, _, err = run("numbers", str(stubs), "--write", "beads=run-beads")
    assert code == 0 and "says this order already" in err and text_of(stubs) == again


def test_tacks_become_a_round_a_pair(stubs: Path) -> None:
    code, _, err = run("numbers", str(stubs), "--write", "tacks=tack-stubs")
    assert code == 0, err
    assert operations(stubs, "tack-stubs") == [f"tack-stubs#{k}@{side}" for k in (1, 2, 3) for side in ("near", "far")]
    assert [line.strip() for line in text_of(stubs).splitlines() if line not in STEPS.splitlines()] == ["rounds: 3"]


def test_turns_of_its_own_stay(stubs: Path) -> None:
    path = stubs / "episodes" / "01-stubs.yaml"
    path.write_text(
        STEPS.replace("        do: Run the next bead", "        do: Run the next bead\n        turns: [far, near]")
    )
    code, _, err = run("numbers", str(stubs), "--write", "beads=run-beads")
    assert code == 0, err
    assert operations(stubs, "run-beads")[:3] == ["run-beads#1@far", "run-beads#1@near", "run-beads#2@far"]


@pytest.mark.parametrize(
    ("asked", "says"),
    [
        ("beads=run-bead", "there is no step “run-bead”; did you mean run-beads?"),
        ("beads=", "there is no step “”; did you mean run-beads?"),
        ("beads=plug", "beads goes over 2 joints in turn and plug is done once; choose another step, or set joints: 1"),
        ("beads=pass", "the stage “Twice” does all its steps 2 times over, so that pass has no rounds of its own"),
        ("beads=fill", "fill is rework, which has no rounds"),
        ("wheel=run-beads", "wheel yields no order; beads and tacks do"),
        ("cool=run-beads", "cool yields no order; beads and tacks do"),
    ],
)
def test_what_cannot_be_written_is_refused_in_a_line(stubs: Path, asked: str, says: str) -> None:
    code, out, err = run("numbers", str(stubs), "--write", asked)
    assert code in (2, 3) and out == ""
    assert says in err and "Traceback" not in err
    assert text_of(stubs) == STEPS


def test_numbers_that_are_missing_are_named(stubs: Path) -> None:
    tacks = NUMBERS.partition("beads:")[0]
    (stubs / "numbers.yaml").write_text(tacks)
    code, _, err = run("numbers", str(stubs), "--write", "beads=run-beads")
    assert code == 3 and "numbers.yaml has no section beads" in err
    (stubs / "numbers.yaml").write_text(tacks + "beads:\n  length: 1 in\n")
    code, _, err = run("numbers", str(stubs), "--write", "beads=run-beads")
    assert code == 3 and "beads cannot be worked out: diameter" in err


def test_steps_that_name_the_order_come_alone(stubs: Path) -> None:
    build = OneBuild(stubs).plan.build
    assert [step.id for step in steps_for(build, rounds_of(build, "tacks"))] == ["tack-stubs"]
    # Not the stage done twice over, not what is done once, not rework; none of them names the beads.
    assert [step.id for step in steps_for(build, rounds_of(build, "beads"))] == ["run-beads"]


def test_ticks_are_not_lost_unasked(stubs: Path) -> None:
    one = OneBuild(stubs, "shop")
    one.tick("run-beads@near", anyway=True)
    one.log.close()
    code, _, err = run("numbers", str(stubs), "--write", "beads=run-beads")
    assert code == 3 and "run-beads is ticked already" in err
    assert text_of(stubs) == STEPS
