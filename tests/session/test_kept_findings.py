"""What the joined build keeps between ticks is what it would work out anew."""

from __future__ import annotations

import shutil
from pathlib import Path
from random import Random

import pytest

from planner.session.onebuild import OneBuild, Refusal
from planner.session.opened import Opened, open_build
from tests.app.support import ROOT
from tests.support.clock import Clock

DEMOS = sorted(path.name for path in (ROOT / "projects").iterdir() if (path / "build.yaml").is_file())


@pytest.mark.parametrize("seed", range(3))
@pytest.mark.parametrize("demo", DEMOS)
def test_after_any_ticks(demo: str, seed: int, tmp_path: Path) -> None:
    folder = tmp_path / demo
    shutil.copytree(ROOT / "projects" / demo, folder, ignore=shutil.ignore_patterns("log"))
    chance = Random(seed)
    clock = Clock()
    opened = open_build(folder, clock)
    assert isinstance(opened, Opened)
    one = opened.one
    opened.stage_done()
    for _ in range(60):
        clock.now += chance.choice([5, 60, 600, 7200])
        one.running()
        one.found()
        one.ticked()
        following = one.live.next()
        assert following is not None
        op = following if chance.random() < 0.75 else chance.choice(one.plan.operations)
        did = "done" if chance.random() < 0.9 else chance.choice(["undone", "again", "late"])
        was_open = one.live.is_open(op)
        result = one.tick(op.name, did, anyway=chance.random() < 0.5)
        if not isinstance(result, Refusal):
            opened.count_tick(op, was_open and did == "done")
        assert one.found() == one.live.findings()
        assert one.ticked() == len(one.plan.operations) - len(one.live.remaining())
        assert one.running() == one.live.running(clock.now)
        done = [0] * len(one.plan.stages)
        for each in one.plan.operations:
            done[each.stage] += not one.live.is_open(each)
        assert opened.stage_done() == done
        fresh = OneBuild(folder, None, clock)
        assert fresh.findings() == one.found()
        assert (one.rolling() is None) == (fresh.rolling() is None)
        if chance.random() < 0.2:
            one.remark(op.name, [{"did": chance.choice(["rolling", "stopped", "note"])}])
        states = {state.op.name: state for state in one.states()}
        for each in chance.sample(one.plan.operations, 5):
            assert one.state_of(each) == states[each.name]


def test_a_dry_tick_answers_as_the_tick_would(brackets: Path) -> None:
    clock = Clock()
    one = OneBuild(brackets, "shop", clock)
    for name in [op.name for op in one.plan.operations]:
        clock.now += 1000
        wanted = one.would_refuse(name)
        got = one.tick(name)
        assert (wanted if wanted is not None else None) == (got if isinstance(got, Refusal) else None)
    assert one.would_refuse("set-jig") is not None
    assert one.would_refuse("set-jig", "again") is None
