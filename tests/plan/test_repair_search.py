"""The search for repairs: the worst first, nobody starved, stopped when the time is up; turns kept again."""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from planner.plan.findings import check, planned
from planner.plan.live import Live
from planner.plan.repairs import Repairs, find_repairs
from tests.plan.builds import findings, plan_of, write

JOB = "conditions:\n" + "".join(f"  c{k}.ok: {{kept: side, means: x}}\n" for k in range(40))


def late_givers(count: int, *, one_way: int) -> str:
    """Pairs of steps in one stage of which the first needs what the second gives; one of the first is one-way."""
    lines = ["  - stage: One", "    steps:"]
    for k in range(count):
        hard = ", one-way: true" if k == one_way else ""
        lines += [
            f"      - {{step: a{k}, do: x, needs: [c{k}.ok]{hard}}}",
            f"      - {{step: b{k}, do: x, gives: [c{k}.ok]}}",
        ]
    return "\n".join(lines) + "\n"


def looked(folder: Path, asks: int | None) -> tuple[Repairs, list[str]]:
    """The repairs found before the search has asked so many times whether its time is up; and all ids, worst first."""
    plan = plan_of(folder)
    found = check(plan, planned(plan))
    asked = 0

    def expired() -> bool:
        nonlocal asked
        asked += 1
        return asks is not None and asked > asks

    repairs = find_repairs(plan, [], list(plan.operations), found, expired)
    return repairs, [finding.id for finding in found if finding.level != "notice"]


@pytest.mark.parametrize("asks", [5, 30])
def test_the_worst_come_first_and_stopping_is_said(tmp_path: Path, asks: int) -> None:
    repairs, ids = looked(write(tmp_path, late_givers(30, one_way=29), job=JOB), asks)
    assert repairs.stopped and len(repairs.by_finding) < len(ids)
    if repairs.by_finding:
        assert ids[0] in repairs.by_finding  # the one-way step stands last in the plan and first in the list
    every, _ = looked(tmp_path, None)
    assert not every.stopped and set(every.by_finding) == set(ids)


def test_a_finding_that_nothing_cures_does_not_take_the_time_of_the_others(tmp_path: Path) -> None:
    """The first needs what spoils all the others, and gives what all of them need: no change helps, and there are many
    to try."""
    first = "      - {step: first, do: x, needs: [r.ok], gives: [w.ok], one-way: true}\n"
    last = "      - {step: last, do: x, gives: [r.ok], spoils: [v.ok]}\n"
    job = JOB + "".join(f"  {name}.ok: {{kept: side, means: x}}\n" for name in "rvw") + "start: [v.ok]\n"
    pairs = late_givers(30, one_way=-1).replace(".ok]}\n      - {step: b", ".ok, v.ok, w.ok]}\n      - {step: b")
    text = pairs.replace("    steps:\n", "    steps:\n" + first) + last
    folder = write(tmp_path, text, job=job)
    repairs, _ = looked(folder, 1350)
    plan = plan_of(folder)
    cured = [each for each in check(plan, planned(plan)) if each.id in repairs.by_finding]
    assert sum(finding.at.startswith("a") for finding in cured) >= 30


def test_two_seconds_hold_whatever_the_size(tmp_path: Path) -> None:
    """No single step of the search may take long: the time that passes between two looks at the clock stays a small
    part of the whole, ten times the build or not."""
    plan = plan_of(write(tmp_path, late_givers(40, one_way=3), job=JOB))
    found = check(plan, planned(plan))
    gaps: list[float] = []
    last = time.perf_counter()

    def expired() -> bool:
        nonlocal last
        now = time.perf_counter()
        gaps.append(now - last)
        last = now
        return False

    find_repairs(plan, [], list(plan.operations), found, expired)
    assert max(gaps) < sum(gaps) / 4


TURNS = """
  - stage: One
    steps:
      - {step: tacks, do: Tack, rounds: 2}
      - {step: look, do: Look, sides: once}
    sequence: ["tacks#1@driver", "tacks#2@driver", "tacks#1@passenger", look, "tacks#2@passenger"]
"""


def test_turns_that_a_sequence_leaves_are_kept_again(tmp_path: Path) -> None:
    (broken,) = [f for f in findings(write(tmp_path, TURNS)) if f["rule"] == "turn-broken"]
    assert broken["at"] == "tacks#2@driver"
    repair = broken["repair"]
    assert repair["kind"] == "move" and repair["why"] == "Everything then comes in its turn."
    order = repair["order"]
    assert order.index("tacks#1@passenger") < order.index("tacks#2@driver") < order.index("tacks#2@passenger")
    assert sorted(order) == sorted(["look", *[f"tacks#{k}@{side}" for k in (1, 2) for side in ("driver", "passenger")]])


def test_a_side_that_was_begun_is_finished_first_by_the_repair_too(tmp_path: Path) -> None:
    """Side-first means the side that was really begun, whichever the plan names first: what is out of turn then, and
    the order that mends it, go by the ticks."""
    text = "  - stage: One\n    steps:\n      - {step: press, do: x, rounds: 2, turns: side-first}\n"
    plan = plan_of(write(tmp_path, text))
    done = plan.by_name["press#1@passenger"]
    live = Live(plan, [(done, 0.0)])
    (finding,) = live.findings()
    assert (finding.rule, finding.at, finding.cause) == ("turn-broken", "press#1@driver", "press#2@passenger")
    repairs = find_repairs(plan, [done], live.remaining(), [finding], lambda: False)
    order = ("press#1@passenger", "press#2@passenger", "press#1@driver", "press#2@driver")
    assert repairs.by_finding[finding.id].order == order


def test_a_repair_is_walked_from_where_the_ticks_have_led(tmp_path: Path) -> None:
    """Of two ways to give back what was spoiled, the one that needs what was spoiled as well is none."""
    job = "conditions: {x.ok: {kept: job, means: x}, z.ok: {kept: job, means: z}}\nstart: [x.ok, z.ok]\n"
    text = """\
  - stage: One
    steps:
      - {step: burn, do: x, sides: once, spoils: [x.ok, z.ok]}
      - {step: use, do: x, sides: once, needs: [x.ok]}
      - {step: fix-one, do: x, sides: once, rework: true, needs: [z.ok], gives: [x.ok]}
      - {step: fix-two, do: x, sides: once, rework: true, gives: [x.ok]}
"""
    plan = plan_of(write(tmp_path, text, job=job))
    done = plan.by_name["burn"]
    live = Live(plan, [(done, 0.0)])
    (finding,) = live.findings()
    repairs = find_repairs(plan, [done], live.remaining(), [finding], lambda: False)
    assert repairs.by_finding[finding.id].order == ("burn", "fix-two", "use")
