"""Many edits one after the other, without a screen: every state can be read, and undoing leads back byte for byte."""

from __future__ import annotations

import random
import shutil
from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from planner.files.disk.folders import read_texts
from planner.files.editing.spots import Edit, Texts
from planner.files.editing.steps import delete_step, duplicate_stage, duplicate_step, move_stage, move_step
from planner.files.editing.typed import parts_of, put_in
from planner.files.plankeys import STEP_FIELDS
from planner.session.onebuild import plan_of
from planner.session.opened import Opened, open_build
from planner.session.writing.desk import Outcome, Task, desk_of, no_edit, now_of
from planner.session.writing.rows import WriteRow, stage_neighbour, step_neighbour, write_rows
from planner.session.writing.targets import edit_key, spot_at
from planner.telling.edit import said
from tests.app.support import ROOT
from tests.support.clock import Clock

VALUES = {
    "do": "Do it otherwise: [slowly]", "piece": "end-joint", "rounds": 2, "time": "25 min", "wait": "1 h",
    "first": "driver", "setup": "on the floor", "one-way": True, "hands": 2, "where": "desk", "film": "none",
    "shots": ["A picture", "# no"], "note": "- a dash: first\nand a second line\n", "cautions": None,
    "say": ["yes", "1:30"], "gives": ["width.decided"], "needs": ["no.such"], "kind": "weld", "turns": "side-first",
    "after": ["no-such-step"], "sides": "once",
}  # fmt: skip


def opened(folder: Path) -> Opened:
    """A build that is open, without a screen."""
    found = open_build(folder, Clock())
    assert isinstance(found, Opened)
    return found


def do(build: Opened, task: Task) -> Outcome:
    """Work an edit out, and keep it where it can be kept."""
    desk = desk_of(build)
    outcome = desk.work_out(task, now_of(build))
    if outcome.good and outcome.edit.changes:
        desk.keep(outcome, build)
    return outcome


def some_edit(chance: random.Random, build: Opened) -> Task:
    """An edit of any sort; not all can be kept."""
    assert build.one is not None
    plan = build.one.plan.build
    rows = write_rows(plan)
    row: WriteRow = chance.choice([each for each in rows if each.step is not None])
    stage: WriteRow = chance.choice([each for each in rows if each.what == "stage"])
    by = chance.choice((-1, 1))

    def make(texts: Texts) -> Edit:
        what = chance.choice(("key", "key", "key", "delete", "duplicate", "move", "stage", "typed", "twice"))
        if what == "key":
            field = chance.choice([each for each in STEP_FIELDS if each.key in VALUES])
            return edit_key(texts, row.target, field, VALUES[field.key])  # type: ignore[arg-type]
        if what == "delete":
            return delete_step(texts, row.spot)
        if what == "duplicate":
            return duplicate_step(texts, row.spot)
        if what == "typed":
            return put_in(texts, spot_at(stage.target), stage.steps, parts_of("Look\nMore\n  Look again"))
        if what == "twice":
            return duplicate_stage(texts, stage.spot)
        near = step_neighbour(plan, row.spot, by) if what == "move" else stage_neighbour(plan, stage.spot, by)
        if near is None:
            return Edit({})
        if what == "move":
            return move_step(texts, row.spot, near.to, near.at)
        return move_stage(texts, stage.spot, near.to.path, near.at)

    return Task("some edit", make)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("name", ["dunlin-pickup", "four-corners", "hay-trailer"])
def test_every_state_can_be_read_and_undone(tmp_path: Path, name: str, seed: int) -> None:
    folder = tmp_path / name
    shutil.copytree(ROOT / "projects" / name, folder)
    before = {path: Path(path).read_bytes() for path in read_texts(folder)}
    build, chance = opened(folder), random.Random(seed)
    kept = 0
    for _ in range(25):
        outcome = do(build, some_edit(chance, build))
        if outcome.good:
            kept += bool(outcome.edit.changes)
            reading = read_build(folder)
            assert reading.build is not None
            assert plan_of(reading)._replace(made=[]) == build.one.plan._replace(made=[])
            assert said(outcome)
        else:
            assert outcome.refused or outcome.problems
        assert build.seen and not build.changed_outside()
    assert kept > 5
    last = {path: Path(path).read_bytes() for path in read_texts(folder)}
    for _ in range(kept):
        assert do(build, Task("undone", no_edit, step=-1)).edit.changes
    assert {path: Path(path).read_bytes() for path in read_texts(folder)} == before
    for _ in range(kept):
        assert do(build, Task("redone", no_edit, step=1)).edit.changes
    assert {path: Path(path).read_bytes() for path in read_texts(folder)} == last
