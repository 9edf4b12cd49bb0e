"""A repair written into the plan leads to exactly the order that was proved."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from random import Random

import pytest

from planner.files.disk.folders import read_texts
from planner.files.editing.repairs import apply_repair
from planner.files.editing.spots import Edit, Texts, applied
from planner.files.yaml.places import EditError
from planner.plan.changes import Change, MoveOperation, MoveStep, Pace, PutIn, Turns
from planner.plan.expand import Operation, Plan, expand
from planner.plan.findings import check, planned
from planner.plan.live import Live
from planner.plan.model import Build
from planner.plan.repairs import Repair, find_repairs
from tests.files.editing import plans
from tests.files.editing.building import JOB, ONE, written
from tests.oracle.generator import make
from tests.oracle.writing import write

BUILDS = 300
CHUNK = 30


def _left(plan: Plan, done: list[Operation]) -> list[str]:
    """What remains to be done, as the app has it."""
    live = Live(plan, ((op, 0.0) for op in done))
    return [op.name for op in live.remaining()]


def _repairs(plan: Plan, done: list[Operation]) -> list[Repair]:
    live = Live(plan, ((op, 0.0) for op in done))
    findings = live.findings() if done else check(plan, planned(plan))
    rest = live.remaining() if done else list(plan.operations)
    return list(find_repairs(plan, done, rest, findings, lambda: False).by_finding.values())


@pytest.mark.parametrize("chunk", range(BUILDS // CHUNK))
def test_the_order_that_was_proved(chunk: int, tmp_path: Path) -> None:
    """On generated builds, from the start and with some operations ticked, in the plan's order or not."""
    met: Counter[str] = Counter()
    for seed in range(chunk * CHUNK, (chunk + 1) * CHUNK):
        folder = tmp_path / f"b{seed}"
        write(make(seed, small=seed % 2 == 0), folder)
        texts = read_texts(folder)
        build = plans.read(folder)
        plan = expand(build)
        for done in ([], _some_done(plan, Random(seed))):
            for repair in _repairs(plan, done):
                met[_written(folder, texts, build, repair, done)] += 1
    assert met["written"] > 3 * met["cannot be written"], met


def _some_done(plan: Plan, random: Random) -> list[Operation]:
    done = list(plan.operations[: random.randrange(len(plan.operations) + 1)])
    if random.random() < 0.5:
        random.shuffle(done)
        done += [op for op in done if op.step.rework]  # rework, done oftener than planned
    for op in plan.reworks.values():  # or not planned at all
        if random.random() < 0.3:
            done.insert(random.randrange(len(done) + 1), op)
    return done


def _written(folder: Path, texts: Texts, build: Build, repair: Repair, done: list[Operation]) -> str:
    try:
        edit = apply_repair(texts, build, repair, [op.name for op in done])
    except EditError as error:
        assert "cannot be written into the plan" in str(error)
        assert repair.kind in ("move", "two")  # into the middle of another stage
        return "cannot be written"
    fresh = applied(texts, edit.changes)
    plans.write(fresh, texts)
    plan = expand(plans.read(folder))
    plans.write(texts, fresh)
    by_name = plan.by_name
    again = [by_name[op.name] for op in done]
    assert [op.name for op in done] + _left(plan, again) == list(repair.order), (repair, edit.notes)
    return "written"


PLAN = """\
format: 1
episode: 1
title: Posts
stages:
  - stage: First
    steps:
      # The level goes last.
      - step: level
        do: Level it
        needs: [post.set]
      - step: fetch
        do: Fetch the posts
        sides: once
  - stage: Second
    steps:
      - step: pour
        do: Pour the footing
        rounds: 2
      - step: set
        do: Set the post
        gives: [post.set]
      - step: again
        do: Set it again
        rework: true
        gives: [post.set]
"""
PLAN_JOB = """\
format: 1
build: Gate
sides: [left, right]
conditions: {post.set: {on: side, means: the post is set}}
"""
NOTHING = "format: 1\nepisode: 2\ntitle: T\nstages: []\n"
LEVEL = "      # The level goes last.\n      - step: level\n        do: Level it\n        needs: [post.set]\n"


LISTED = """\
    sequence:
      - pour#1@left
      - pour#1@right
      - pour#2@left
      - pour#2@right
      - again@left
      - set@left
      - set@right
"""


def _apply(tmp_path: Path, change: Change, order: str) -> Edit:
    folder = tmp_path / "gate"
    texts = written(folder, job=PLAN_JOB, one=PLAN, two=NOTHING)
    return apply_repair(texts, plans.read(folder), Repair("any", change, tuple(order.split())))


BEFORE = "level@left level@right fetch pour#1@left pour#1@right pour#2@left pour#2@right set@left set@right"


@pytest.mark.parametrize(
    ("change", "order", "old", "new"),
    [
        (
            Turns("pour", "side-first"),
            BEFORE.replace("pour#1@right pour#2@left", "pour#2@left pour#1@right"),
            "        rounds: 2\n",
            "        rounds: 2\n        turns: side-first\n",
        ),
        (
            Turns("set", ("right", "left")),
            BEFORE.replace("set@left set@right", "set@right set@left"),
            "        do: Set the post\n",
            "        do: Set the post\n        turns: [right, left]\n",
        ),
        (
            Pace(1, "side-first"),
            "level@left level@right fetch pour#1@left pour#2@left set@left pour#1@right pour#2@right set@right",
            "  - stage: Second\n",
            "  - stage: Second\n    pace: side-first\n",
        ),
        (
            MoveStep("level", 0, 1),
            "fetch level@left level@right pour#1@left pour#1@right pour#2@left pour#2@right set@left set@right",
            PLAN[PLAN.index(LEVEL) : PLAN.index("  - stage: Second")],
            "      - step: fetch\n        do: Fetch the posts\n        sides: once\n" + LEVEL,
        ),
        (
            MoveOperation("level@right", "fetch", False),
            "level@left fetch level@right pour#1@left pour#1@right pour#2@left pour#2@right set@left set@right",
            "  - stage: Second\n",
            "    sequence: [level@left, fetch, level@right]\n  - stage: Second\n",
        ),
        (
            PutIn("again@left", "set@left", True),
            BEFORE.replace("set@left", "again@left set@left"),
            "        rework: true\n        gives: [post.set]\n",
            "        rework: true\n        gives: [post.set]\n" + LISTED,
        ),
    ],
)
def test_as_it_is_written(tmp_path: Path, change: Change, order: str, old: str, new: str) -> None:
    """The smallest change that leads there."""
    edit = _apply(tmp_path, change, order)
    assert list(edit.changes.values()) == [PLAN.replace(old, new)]
    assert bool(edit.notes) == ("sequence" in new)


def test_a_step_into_another_stage(tmp_path: Path) -> None:
    """With its comments; nothing is listed where the place alone does it."""
    edit = _apply(
        tmp_path,
        MoveStep("level", 1, 3),
        "fetch pour#1@left pour#1@right pour#2@left pour#2@right set@left set@right level@left level@right",
    )
    assert list(edit.changes.values()) == [PLAN.replace(LEVEL, "") + LEVEL]


def test_what_a_plan_cannot_say(tmp_path: Path) -> None:
    """One operation of a step in the middle of another stage."""
    order = "level@left fetch pour#1@left level@right pour#1@right pour#2@left pour#2@right set@left set@right"
    with pytest.raises(EditError, match="cannot be written into the plan"):
        _apply(tmp_path, MoveOperation("level@left", "fetch", True), order)


def test_nothing_to_do(tmp_path: Path) -> None:
    """An order that is planned already."""
    texts = written(tmp_path / "gate", job=JOB, one=ONE, two=NOTHING)
    build = plans.read(tmp_path / "gate")
    order = tuple(op.name for op in expand(build).operations)
    assert apply_repair(texts, build, Repair("pace", Pace(0, "side-first"), order)) == Edit({})


@pytest.mark.parametrize(
    ("change", "before"),
    [(MoveStep("level", 0, 1), "  - stage: Second\n"), (MoveStep("level", 1, 0), "      - step: pour\n")],
)
def test_what_the_repair_says_is_what_is_written(tmp_path: Path, change: Change, before: str) -> None:
    """At the end of a stage or at the start of the next: the order is one, and the place that is said is written."""
    order = "fetch level@left level@right pour#1@left pour#1@right pour#2@left pour#2@right set@left set@right"
    (text,) = _apply(tmp_path, change, order).changes.values()
    assert text == PLAN.replace(LEVEL, "").replace(before, LEVEL + before)
