"""Five hundred builds made by chance: the product's findings against a planning library and a plain walk.

Source of the failing pairs: PyPI `unified-planning`, its sequential simulator. Source of rule and cause: the
plain walk in this folder, which shares no code with the product.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest

from tests.oracle import plain
from tests.oracle.differences import all_differences
from tests.oracle.generator import make
from tests.oracle.product import run
from tests.oracle.shapes import Build
from tests.oracle.writing import as_text

BUILDS = 500
CHUNK = 50
CHUNKS = [range(first, first + CHUNK) for first in range(0, BUILDS, CHUNK)]


@pytest.mark.parametrize("seeds", CHUNKS, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_findings(seeds: range, tmp_path: Path) -> None:
    """Pairs, rules, causes, after, turns, sides missed: all as the oracles say."""
    wrong: list[str] = []
    example = ""
    for seed in seeds:
        build = make(seed)
        found = all_differences(plain.ground(build), run("check", build, tmp_path / str(seed), "--no-repairs"))
        example = example or (as_text(build) if found else "")
        wrong += found
    assert not wrong, "\n".join([*wrong[:20], f"{len(wrong)} in all; the first build:", example])


@pytest.mark.parametrize("seeds", CHUNKS, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_order(seeds: range, tmp_path: Path) -> None:
    """The operations, in the order in which the plan does them."""
    for seed in seeds:
        build = make(seed)
        plan = plain.ground(build)
        answer = run("steps", build, tmp_path / str(seed))
        shown = [(o["op"], o["step"], o["side"], o["on_camera"]) for o in answer.data["operations"]]
        expected = [plan.operations[name] for name in plan.planned]
        assert shown == [(o.name, o.step, o.side, o.filmed) for o in expected], as_text(build)


def _features(build: Build) -> set[str]:
    """What a build exercises."""
    plan = plain.ground(build)
    walked = plain.walk(plan, plan.planned)
    found = {f"{len(build.sides)} sides", f"{len(build.episodes)} episodes"}
    for stage in build.stages():
        found |= {f"pace {stage.pace}", "stage rounds" if stage.rounds > 1 else "no stage rounds"}
        found |= {"sequence"} if stage.sequence is not None else set()
        found |= {"stage first"} if stage.first else set()
        put_in = set(stage.sequence or ()) & {name for name, op in plan.operations.items() if op.rework}
        found |= {"rework put in"} if put_in else set()
        found |= {"passes in sequence"} if stage.sequence is not None and stage.rounds > 1 else set()
        for step in stage.steps:
            found |= {f"sides {'list' if isinstance(step.sides, tuple) else step.sides}"}
            turns = "list" if isinstance(step.turns, tuple) else step.turns
            found |= {f"turns {turns}"} if turns or step.rounds > 1 else set()
            found |= {f"rounds, pace {stage.pace}"} if step.rounds > 1 else set()
            found |= {"rework"} if step.rework else set()
            found |= {"step first"} if step.first else set()
            found |= {"after own" if "@own" in link else "after" for link in step.after}
            for word in step.needs + step.gives + step.spoils:
                where = word.partition("@")[2]
                found.add(f"@{where if where in ('', 'all', 'others') else 'side'}")
    found |= {"not on camera"} if any(not op.filmed for op in plan.operations.values()) else set()
    found |= {"on-camera needs"} if build.on_camera_needs else set()
    found |= {f"rule {rule}" for failure in walked.needs for rule, _ in failure.explanations}
    found |= {"rule after-broken"} if walked.after else set()
    found |= {"rule turn-broken"} if plain.failing_pairs(plan, plan.planned)[1] else set()
    found |= {"rule side-missed"} if plain.side_missed(plan) else set()
    found |= {"left out"} if plain.left_out(plan) else set()
    found |= {"sound"} if not walked.needs and not walked.after else set()
    return found


FEATURES = {
    "1 sides": 40,
    "2 sides": 100,
    "3 sides": 40,
    "4 sides": 25,
    "1 episodes": 50,
    "3 episodes": 50,
    "pace None": 100,
    "pace step-first": 50,
    "pace side-first": 100,
    "stage rounds": 50,
    "stage first": 50,
    "step first": 50,
    "sequence": 100,
    "passes in sequence": 5,
    "rework": 100,
    "rework put in": 25,
    "left out": 50,
    "sides each": 300,
    "sides once": 100,
    "sides list": 100,
    "turns None": 100,
    "turns alternate": 50,
    "turns side-first": 50,
    "turns list": 50,
    "rounds, pace side-first": 50,
    "after": 100,
    "after own": 50,
    "@": 400,
    "@all": 100,
    "@others": 100,
    "@side": 100,
    "on-camera needs": 100,
    "not on camera": 50,
    "rule never-given": 100,
    "rule other-side": 25,
    "rule given-later": 100,
    "rule spoiled": 100,
    "rule after-broken": 100,
    "rule turn-broken": 50,
    "rule side-missed": 100,
    "sound": 30,
}


def test_generator_is_not_blind() -> None:
    """Enough builds exercise each feature; otherwise the tests above prove less than they say."""
    counts = Counter(feature for seed in range(BUILDS) for feature in _features(make(seed)))
    print(dict(sorted(counts.items())))
    rare = {name: counts[name] for name, least in FEATURES.items() if counts[name] < least}
    assert not rare
