"""The meaning of a plan by small examples: operations, references, state, findings."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.plan.builds import findings, names, plan_of, write
from tests.support.commandline import run_json

ROUNDS = """
  - stage: Tacks
    {stage}
    steps:
      - {{step: tacks, do: Tack, rounds: 2, {step}}}
"""


@pytest.mark.parametrize(
    ("stage", "step", "order"),
    [
        ("pace: step-first", "", "1d 1p 2d 2p"),
        ("pace: step-first", "turns: side-first", "1d 2d 1p 2p"),
        ("pace: step-first", "turns: [passenger, driver]", "1p 1d 2p 2d"),
        ("pace: step-first", "first: passenger", "1p 1d 2p 2d"),
        ("first: passenger", "", "1p 1d 2p 2d"),
        ("first: passenger", "first: driver", "1d 1p 2d 2p"),
        ("first: passenger", "turns: [driver, passenger]", "1d 1p 2d 2p"),
        ("pace: side-first", "", "1d 2d 1p 2p"),
        ("pace: side-first", "turns: alternate", "1d 1p 2d 2p"),
        ("pace: side-first", "first: passenger", "1d 2d 1p 2p"),  # a step's own first does not count there
        ("{pace: side-first, first: passenger}", "", "1p 2p 1d 2d"),
    ],
)
def test_rounds_and_turns(tmp_path: Path, stage: str, step: str, order: str) -> None:
    stage = stage.strip("{}").replace(", ", "\n    ")
    write(tmp_path, ROUNDS.format(stage=stage, step=step))
    short = {"d": "driver", "p": "passenger"}
    assert names(tmp_path) == [f"tacks#{item[0]}@{short[item[1]]}" for item in order.split()]


def test_a_run_of_a_side_first_stage_ends_at_what_is_done_once(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: Fit
    pace: side-first
    steps:
      - {step: a, do: A}
      - {step: again, do: Again, sides: once, rework: true}
      - {step: b, do: B}
      - {step: talk, do: Talk, sides: once}
      - {step: c, do: C}
      - {step: d, do: D, turns: [passenger, driver]}
      - {step: e, do: E, sides: [passenger], why: bracket is there}
""",
    )
    assert names(tmp_path) == [
        "a@driver", "b@driver", "a@passenger", "b@passenger", "talk",
        "c@driver", "c@passenger", "d@passenger", "d@driver", "e@passenger",
    ]  # fmt: skip


def test_a_stage_with_rounds_is_passed_in_full_each_time(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: Pull straight
    rounds: 2
    steps:
      - {step: heat, do: Heat, sides: once, spoils: [tube.cool], gives: [tube.moved]}
      - {step: look, do: Look, needs: [tube.moved], spoils: [tube.moved]}
""",
        job="conditions: {tube.cool: {on: job, means: cold}, tube.moved: {on: job, means: moved}}\n",
    )
    assert names(tmp_path) == ["heat#1", "look#1@driver", "look#1@passenger", "heat#2", "look#2@driver",
                               "look#2@passenger"]  # fmt: skip
    found = [item for item in findings(tmp_path) if item["level"] == "trap"]
    assert [(item["rule"], item["at"], item["cause"]) for item in found] == [
        ("spoiled", "look#1@passenger", "look#1@driver"),
        ("spoiled", "look#2@passenger", "look#2@driver"),
    ]


def test_references_ground_by_scope_and_side(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: own, do: x, needs: [s], gives: [s@others], spoils: [j]}
      - {step: whole, do: x, needs: [s@all], sides: once}
      - {step: bare, do: x, needs: [s], sides: once}
      - {step: one, do: x, needs: [s@left], sides: once, gives: [s]}
""",
        sides="left, middle, right",
        job="conditions: {s: {on: side, means: s}, j: {on: job, means: j}}\n",
    )
    ops = {op.name: op for op in plan_of(tmp_path).operations}
    every = {"s@left", "s@middle", "s@right"}
    assert ops["own@middle"].needs == {"s@middle"}
    assert ops["own@middle"].gives == {"s@left", "s@right"}
    assert ops["own@middle"].spoils == {"j"}
    assert ops["whole"].needs == ops["bare"].needs == ops["one"].gives == every
    assert ops["one"].needs == {"s@left"}


def test_gives_come_with_the_last_round_and_job_gives_with_the_last_side(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: tacks, do: x, rounds: 2, gives: [s, j]}
  - stage: Two
    steps:
      - {step: early, do: x, needs: [s, j]}
""",
        job="conditions: {s: {on: side, means: s}, j: {on: job, means: j}}\nstart: []\n",
    )
    moved = (tmp_path / "episodes" / "01-part.yaml").read_text(encoding="utf-8")
    assert findings(tmp_path) == []
    # With the second stage first on the driver side between the rounds, by a sequence.
    (tmp_path / "episodes" / "01-part.yaml").write_text(
        moved.replace("  - stage: Two\n    steps:\n", "").replace(
            "  - stage: One\n",
            "  - stage: One\n    sequence: [tacks#1@driver, tacks#1@passenger, tacks#2@driver, early@driver,"
            " tacks#2@passenger, early@passenger]\n",
        ),
        encoding="utf-8",
    )
    found = findings(tmp_path)
    assert [(f["rule"], f["at"], f["condition"], f["cause"]) for f in found] == [
        ("given-later", "early@driver", "j", "tacks#2@passenger")
    ]


def test_after_waits_for_every_side_and_own_for_this_side(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    pace: side-first
    steps:
      - {step: cut, do: x}
      - {step: both, do: x, after: [cut]}
      - {step: own, do: x, after: [cut@own]}
""",
    )
    found = findings(tmp_path)
    assert [(f["rule"], f["at"], f["also"], f["condition"], f["cause"]) for f in found] == [
        ("after-broken", "both@driver", [], None, "cut")
    ]
    assert found[0]["repair"] is not None


def test_a_condition_both_spoiled_and_given_ends_true(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: again, do: x, needs: [j], spoils: [j], gives: [j]}
      - {step: last, do: x, needs: [j]}
""",
        job="conditions: {j: {on: job, means: j}}\nstart: [j]\n",
    )
    # Its gives of job conditions come only with the last side, so the first side's spoiling stands for a while.
    found = findings(tmp_path)
    assert [(f["rule"], f["at"], f["cause"]) for f in found] == [("spoiled", "again@passenger", "again@driver")]


def test_forgotten_sides_and_left_out_operations_are_traps(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    sequence: [a@driver, a@passenger, b@driver]
    steps:
      - {step: a, do: x}
      - {step: b, do: x, one-way: true}
  - stage: Two
    steps:
      - {step: c, do: x, sides: [driver]}
      - {step: d, do: x, sides: [driver], why: only this side has a filler}
""",
    )
    found = findings(tmp_path)
    assert [(f["rule"], f["at"], f["one_way"]) for f in found] == [
        ("side-missed", "b@passenger", True),
        ("side-missed", "c", False),
    ]
    assert run_json("check", str(tmp_path))[0] == 1


def test_rework_does_not_count_as_giving(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: dress, do: x, rework: true, gives: [s]}
      - {step: clamp, do: x, needs: [s]}
""",
        job="conditions: {s: {on: side, means: smooth}}\n",
    )
    found = findings(tmp_path)
    assert [(f["rule"], f["level"], f["at"]) for f in found] == [
        ("never-given", "gap", "clamp@driver"),
        ("never-given", "gap", "clamp@passenger"),
    ]
    assert {f["repair"]["kind"] for f in found} == {"rework"}
    assert run_json("check", str(tmp_path))[0] == 0
    assert run_json("check", str(tmp_path), "--strict")[0] == 1


def test_failures_of_one_cause_are_one_finding_that_lists_them(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: weld, do: x, sides: once, spoils: [j]}
      - {step: a, do: x, needs: [j]}
      - {step: cut, do: x, needs: [j], one-way: true}
""",
        job="conditions: {j: {on: job, means: bright and dry}}\nstart: [j]\n",
    )
    (found,) = findings(tmp_path)
    assert found["at"] == "a@driver"
    assert found["also"] == ["a@passenger", "cut@driver", "cut@passenger"]
    assert found["one_way"] is True
    assert "bright and dry" in found["says"]
    assert "cannot be undone" in found["says"]


def test_film_decides_what_is_on_camera(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: a, do: x}
      - {step: b, do: x, film: all}
      - {step: c, do: x, film: none}
      - {step: d, do: x, sides: once}
      - {step: e, do: x, sides: once, film: none}
  - stage: Two
    film: driver
    steps:
      - {step: f, do: x}
""",
        job="film: passenger\n",
    )
    on = {op.name for op in plan_of(tmp_path).operations if op.on_camera}
    assert on == {"a@passenger", "b@driver", "b@passenger", "d", "f@driver"}


def test_finding_ids_stay_while_the_rest_is_edited(tmp_path: Path) -> None:
    text = """
  - stage: One
    steps:
      - {step: weld, do: x, spoils: [s]}
      - {step: roll, do: x, sides: once, needs: [s]}
"""
    job = "conditions: {s: {on: side, means: smooth}}\nstart: [s]\n"
    before = {f["id"] for f in findings(write(tmp_path, text, job=job))}
    more = text + "      - {step: paint, do: x}\n"
    after = {f["id"] for f in findings(write(tmp_path, "\n# a remark\n" + more, job=job))}
    assert before == after
    assert len(before) == 2
