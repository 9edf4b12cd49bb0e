"""Orders, ways back and runs of the links, judged by the second walk and by a planning library's validator; and its
planner on whether there is a way at all. Builds made by chance, of plain conditions and of kinds and pieces.
"""

from __future__ import annotations

import os
import time
from pathlib import Path
from random import Random

import pytest

from planner.plan.expand import Operation, Plan
from planner.plan.orders.best import find_order
from planner.plan.orders.links import links_of
from planner.plan.orders.scope import scope_of
from tests.oracle import generator, trade, writing
from tests.oracle.plain import failing_pairs, ground
from tests.oracle.trading import Oracle
from tests.oracle.validated import of_plain, of_trade
from tests.plan.builds import plan_of
from tests.plan.orders.test_links import random_run

TIMES = int(os.environ.get("PLANNER_TIMES", "1"))
PLAIN, TRADE, RUNS, MOST = 200 * TIMES, 200 * TIMES, 4, 24


def best(plan: Plan, *, rework: bool) -> tuple[tuple[Operation, ...] | None, bool]:
    """The best order of a whole build, and whether that is proved."""
    scope = scope_of(plan, (), plan.operations, lambda op: True)
    began = time.monotonic()
    found = find_order(scope, lambda: time.monotonic() - began > 3, rework=rework, hurry=lambda: True)
    return found.order, found.proved


def runs(plan: Plan, order: tuple[Operation, ...], random: Random) -> list[list[str]]:
    """Random orders that keep its links, by name."""
    links = links_of(plan, (), order)
    return [[order[i].name for i in random_run(random, len(order), links)] for _ in range(RUNS)]


@pytest.mark.parametrize("first", range(0, PLAIN, 50))
def test_of_plain_conditions(first: int, tmp_path: Path) -> None:
    walked = 0
    for seed in range(first, first + 50):
        build = generator.make(seed, small=True)
        plan = plan_of(writing.write(build, tmp_path / str(seed)))
        if len(plan.operations) > MOST:
            continue
        known, problem, random = ground(build), of_plain(ground(build)), Random(seed)
        for rework in (False, True):
            order, _ = best(plan, rework=rework)
            if order is None:
                continue
            for names in ([op.name for op in order], *runs(plan, order, random)):
                assert failing_pairs(known, names) == (set(), set()), (seed, names)
                planned = [op for op in order if op.step.rework and op in plan.operations]
                assert planned or problem.is_valid(names), (seed, names)
                walked += 1
    assert walked > 60


@pytest.mark.parametrize("first", range(0, TRADE, 50))
def test_of_kinds_and_pieces(first: int, tmp_path: Path) -> None:
    walked = 0
    for seed in range(first, first + 50):
        made = trade.make(seed)
        oracle = Oracle(made)
        plan = plan_of(trade.write(made, tmp_path / str(seed)))
        if len(plan.operations) > MOST:
            continue
        order, _ = best(plan, rework=False)
        if order is None:
            continue
        oracle.order = [op.name for op in plan.operations]
        owed = {(at, condition) for at, condition, _ in oracle.walk().debts}
        problem = of_trade(oracle)
        for names in ([op.name for op in order], *runs(plan, order, Random(seed))):
            oracle.order = names
            found = oracle.walk()
            assert not found.needs, (seed, names)
            assert {(at, condition) for at, condition, _ in found.debts} <= owed, (seed, names)
            assert problem.is_valid(names), (seed, names)
            walked += 1
    assert walked > 20


def test_the_planner_agrees_whether_there_is_a_way(tmp_path: Path) -> None:
    """library: pyperplan by unified-planning; builds without turns, which the translation does not know."""
    said = []
    for seed in range(300):
        build = generator.make(seed, small=True)
        known = ground(build)
        passes = any(stage.rounds > 1 for stage in build.stages())
        if known.turns or passes or len(known.planned) > 12:
            continue
        plan = plan_of(writing.write(build, tmp_path / str(seed)))
        if any(op.step.rework for op in plan.operations):
            continue
        for rework in (False, True):
            order, proved = best(plan, rework=rework)
            assert proved, seed
            way = of_plain(known, rework=rework).has_a_way()
            assert way == (order is not None), (seed, rework)
            said.append(way)
    assert len(said) > 30
    assert 5 < sum(said) < len(said) - 5
