"""Repairs: each one proposed is a true one, and where a single change would do, one is proposed.

Source: the plain walk in this folder, and for the second a search by brute force over every single change.
"""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from tests.oracle import plain
from tests.oracle.changes import single_changes
from tests.oracle.generator import make
from tests.oracle.plain import Ground
from tests.oracle.product import pairs_of, run
from tests.oracle.shapes import Stage, Step
from tests.oracle.turning import Turns, broken_turns, consistent, kept
from tests.oracle.writing import as_text

BUILDS = 500
CHUNK = 50
CHUNKS = [range(first, first + CHUNK) for first in range(0, BUILDS, CHUNK)]
SMALL_BUILDS = 800
KINDS = {"turns", "pace", "move", "rework", "sides", "two"}
LEAST_SHARE = 0.97
TIME_LIMIT = 2.0  # seconds, the product's own: these builds must stay far below it


def faults(plan: Ground, finding: dict[str, Any]) -> list[str]:
    """What is wrong with the repair of a finding; nothing when it is a true one."""
    repair = finding["repair"]
    order = repair["order"]
    if repair["kind"] == "sides":
        # Operations that this plan has not: the walk of the wider plan is compared where it is found.
        lost = Counter(plan.planned) - Counter(order)
        strange = [
            n for n in order if n not in plan.operations and n.partition("@")[0].partition("#")[0] not in _steps(plan)
        ]
        return [f"lost {sorted(lost)} or put in {strange}"] if lost or strange else []
    unknown = [name for name in order if name not in plan.operations]
    if unknown or repair["kind"] not in KINDS:
        return [f"unknown {unknown or repair['kind']}"]
    found = _multiset_faults(plan, finding, order)
    old, _ = plain.failing_pairs(plan, plan.planned)
    new, _ = plain.failing_pairs(plan, order)
    own = pairs_of(finding)
    if repair["partial"]:
        own = {pair for pair in own if pair[0] == finding["at"]}
    if new & own:
        found.append(f"still failing {sorted(new & own)}")
    if new - old:
        found.append(f"newly failing {sorted(new - old)}")
    if own and not new < old:
        found.append("not a strict subset")
    return found + _turn_faults(plan, repair["kind"], order)


def _steps(plan: Ground) -> set[str]:
    return {operation.step for operation in plan.operations.values()}


def _multiset_faults(plan: Ground, finding: dict[str, Any], order: list[str]) -> list[str]:
    """The same operations; rework may be put in, and what was left out may be put back."""
    before, after = Counter(plan.planned), Counter(order)
    found = [f"lost {sorted(before - after)}"] if before - after else []
    added = after - before
    strange = [name for name in added if not plan.operations[name].rework]
    if finding["rule"] == "side-missed":
        strange = [name for name in strange if name not in plain.left_out(plan) or added[name] > 1]
    if strange:
        found.append(f"put in {strange}, which is not rework")
    if (
        added
        and not strange
        and finding["repair"]["kind"] not in ("rework", "two")
        and finding["rule"] != "side-missed"
    ):
        found.append(f"put in {sorted(added)} as {finding['repair']['kind']}")
    return found


def _turn_faults(plan: Ground, kind: str, order: list[str]) -> list[str]:
    """Steps whose turns are newly broken; a repair may have changed one step's turns or one stage's pace."""
    broken = {
        step
        for step, turns in plan.turns.items()
        if broken_turns(turns, order).certain.keys() - broken_turns(turns, plan.planned).certain.keys()
    }
    forgiven = []
    for stage in plan.build.stages():
        for step in stage.steps:
            if step.name not in broken:
                continue
            names = [name for name in order if plan.operations[name].step == step.name]
            free = kind == "turns" or (kind in ("pace", "move") and step.turns is None)
            if free and consistent(step, stage, plan.build.sides, names):
                forgiven.append((stage, step))
    allowed = _allowed(kind, forgiven)
    return [f"turns newly broken: {sorted(broken - allowed)}"] if broken - allowed else []


def _allowed(kind: str, forgiven: list[tuple[Stage, Step]]) -> set[str]:
    """Only one step's turns, or the steps of one stage, can have been changed."""
    if kind == "pace":
        stages = {stage.name for stage, _ in forgiven}
        return {step.name for _, step in forgiven} if len(stages) == 1 else set()
    return {step.name for _, step in forgiven} if len(forgiven) == 1 else set()


@pytest.mark.parametrize("seeds", CHUNKS, ids=lambda seeds: f"{seeds[0]}-{seeds[-1]}")
def test_repairs_are_true(seeds: range, tmp_path: Path) -> None:
    """Walked again: fewer failures, none of the finding's own, no new ones, no turns newly broken."""
    wrong: list[str] = []
    example = ""
    kinds: Counter[str] = Counter()
    for seed in seeds:
        build = make(seed)
        plan = plain.ground(build)
        answer = run("check", build, tmp_path / str(seed))
        for finding in answer.findings:
            if finding["repair"] is None:
                continue
            kinds[finding["repair"]["kind"]] += 1
            found = [f"seed {seed}: {finding['id']} {finding['repair']}: {words}" for words in faults(plan, finding)]
            example = example or (as_text(build) if found else "")
            wrong += found
    print(dict(kinds))
    assert sum(kinds.values()) > len(seeds) / 2, "hardly any repairs to test"
    assert not wrong, "\n".join([*wrong[:20], f"{len(wrong)} in all; the first build:", example])


def curable(plan: Ground, wanted: list[set[plain.Pair]]) -> list[set[str]]:
    """For each set of pairs, the kinds of single change that cure it and break nothing else."""
    old, _ = plain.failing_pairs(plan, plan.planned)
    cures: list[set[str]] = [set() for _ in wanted]
    for change in single_changes(plan):
        new, _ = plain.failing_pairs(plan, change.order)
        if not new < old or _any_broken(change.turns, change.order):
            continue
        for kinds, pairs in zip(cures, wanted, strict=True):
            if not new & pairs:
                kinds.add(change.kind)
    return cures


def _any_broken(turns: dict[str, Turns], order: tuple[str, ...]) -> bool:
    """Strictly: nor anything that might be called broken."""
    return not all(kept(each, order) for each in turns.values())


def test_repairs_are_found(tmp_path: Path) -> None:
    """Of what a single change can cure, nearly all has a repair."""
    by_kind: dict[str, Counter[bool]] = {}
    total: Counter[bool] = Counter()
    missed: list[str] = []
    slowest = 0.0
    for seed in range(SMALL_BUILDS):
        build = make(seed, small=True)
        plan = plain.ground(build)
        answer = run("check", build, tmp_path / str(seed))
        slowest = max(slowest, answer.seconds)
        findings = [finding for finding in answer.findings if pairs_of(finding)]
        for finding, cures in zip(findings, curable(plan, [pairs_of(f) for f in findings]), strict=True):
            if not cures:
                continue
            has = finding["repair"] is not None
            total[has] += 1
            by_kind.setdefault("+".join(sorted(cures)), Counter())[has] += 1
            if not has:
                missed.append(f"seed {seed}: {finding['id']} at {finding['at']}, curable by {sorted(cures)}")
    share = total[True] / max(1, total.total())
    print(f"\nrepairs found for {total[True]} of {total.total()} curable findings: {share:.1%}")
    print(f"slowest check {slowest:.2f} s")
    print("\n".join(f"  {kinds}: {had[True]} of {had.total()}" for kinds, had in sorted(by_kind.items())))
    print("\n".join(missed[:20]))
    assert total.total() > 200, "too few curable findings to say anything"
    assert slowest < TIME_LIMIT, "this measures the time limit, not the search for repairs"
    assert share >= LEAST_SHARE, "\n".join(missed[:20])


def test_brute_force_changes_one_thing() -> None:
    """The search itself: the same operations in another order, or one rework operation more; never a loss."""
    kinds: Counter[str] = Counter()
    for seed in range(60):
        plan = plain.ground(make(seed, small=True))
        before = Counter(plan.planned)
        for change in single_changes(plan):
            kinds[change.kind] += 1
            added = Counter(change.order) - before
            assert not before - Counter(change.order), change
            assert added.total() == (1 if change.kind == "rework" else 0), change
            assert all(plan.operations[name].rework for name in added), change
    assert set(kinds) == {"pace", "turns", "step", "operation", "block", "rework"}
