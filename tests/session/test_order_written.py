"""``order --write`` and ``recover --write``: the smallest edit that says the order; every comment stays."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.session.onebuild import OneBuild
from tests.support.builds import write_files
from tests.support.commandline import run, run_json

JOB = """\
format: 1
build: Roll cage   # the short one
sides: [left, right]
conditions:
  tube.flush: {kept: side, means: no bead stands proud}
start: [tube.flush]
"""
EPISODE = """\
format: 1
episode: 1
title: First beads
stages:
  # All that is done in the jig.
  - stage: Jig
    steps:
      - step: weld
        do: Weld the first bead    # a quarter at a time
        spoils: [tube.flush]
      - step: roll
        do: Roll it over
        sides: once
        needs: [tube.flush@left, tube.flush@right]
      # Nobody sees it, and it is forgotten.
      - step: dress
        do: Dress the bead flush   # 80 grit
        gives: [tube.flush]
"""
BACK = """\
      - step: roll-back
        do: Grind what stands proud where it lies   # on its side
        gives: [tube.flush]
        rework: true
        time: 20 min
"""


def build(home: Path, episode: str = EPISODE) -> Path:
    return write_files(home / "cage", {"build.yaml": JOB, "episodes/01-beads.yaml": episode})


def lines(folder: Path) -> list[str]:
    return (folder / "episodes/01-beads.yaml").read_text().splitlines()


def traps(folder: Path) -> int:
    return sum(1 for each in OneBuild(folder).findings() if each.level == "trap" and not each.history)


def test_the_written_order_is_the_one_that_was_found_and_nothing_but_its_lines_move(tmp_path: Path) -> None:
    folder = build(tmp_path)
    before = lines(folder)
    wanted = run_json("order", str(folder))[1]["order"]
    assert lines(folder) == before  # without --write nothing is written
    code, _, err = run("order", str(folder), "--write")
    assert code == 0
    assert "written: episodes/01-beads.yaml" in err
    after = lines(folder)
    assert sorted(after) == sorted(before)  # lines moved, none changed: every comment is there
    assert after.index("      # Nobody sees it, and it is forgotten.") + 1 == after.index("      - step: dress")
    assert [op.name for op in OneBuild(folder).plan.operations] == wanted
    assert traps(folder) == 0
    code, _, err = run("order", str(folder), "--write")
    assert (code, lines(folder)) == (0, after)
    assert "nothing was written" in err


def test_rework_is_written_as_a_sequence_that_keeps_comments(tmp_path: Path) -> None:
    episode = EPISODE.partition("      # Nobody")[0] + BACK
    folder = build(tmp_path, episode)
    for op in ("weld@left", "weld@right"):
        assert run("tick", str(folder), op, "--anyway")[0] == 0
    _, found = run_json("recover", str(folder))
    assert found["rework"] == 2
    before = lines(folder)
    assert run("recover", str(folder), "--write")[0] == 0
    after = lines(folder)
    assert [each for each in after if each in before] == before  # only added to
    left = [op.name for op in OneBuild(folder).live.remaining()]
    assert left == [each["op"] for each in found["order"]]
    assert traps(folder) == 0


@pytest.mark.parametrize("part", [["--stage", "jigs"], ["--episode", "7"]])
def test_a_part_that_is_not_there_is_told_with_the_nearest(tmp_path: Path, part: list[str]) -> None:
    folder = build(tmp_path)
    code, out, err = run("order", str(folder), *part, "--write")
    assert (code, out) == (2, "")
    assert ("did you mean jig?" if part[0] == "--stage" else "there are 1") in err
    assert len(err.splitlines()) == 1


def test_where_no_order_exists_nothing_is_written_and_the_core_is_said(tmp_path: Path) -> None:
    bad = EPISODE.replace("gives: [tube.flush]", "film: none").replace(
        "sides: once", "sides: once\n        after: [weld]"
    )
    folder = build(tmp_path, bad)
    before = lines(folder)
    code, found = run_json("order", str(folder), "--write")
    assert (code, found["order"], found["proved"]) == (1, None, True)
    assert found["core"]
    assert lines(folder) == before
