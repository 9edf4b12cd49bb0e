"""Every order that keeps the links is good: random orders of builds made by chance, walked from the start again."""

from __future__ import annotations

from pathlib import Path
from random import Random

import networkx as nx
import pytest

from planner.plan.expand import Operation, Plan, expand
from planner.plan.orders.links import AFTER, GIVES, ROUND, SPOILS, TURN, Links, links_of, neighbours
from planner.plan.orders.scope import Scope, judge, scope_of
from tests.oracle import generator, trade, writing
from tests.plan.builds import plan_of, write

SEEDS = 400
CHUNK = 50


def random_run(random: Random, count: int, links: Links) -> list[int]:
    """A random order that keeps the links."""
    ahead = [0] * count
    behind: list[list[int]] = [[] for _ in range(count)]
    for link in {(link.before, link.after) for link in links.links}:
        ahead[link[1]] += 1
        behind[link[0]].append(link[1])
    free = [index for index in range(count) if not ahead[index]]
    found = []
    while free:
        index = free.pop(random.randrange(len(free)))
        found.append(index)
        for each in behind[index]:
            ahead[each] -= 1
            if not ahead[each]:
                free.append(each)
    assert len(found) == count
    return found


def _good_scope(plan: Plan, random: Random) -> Scope | None:
    """What remains after some operations in planned order, where nothing in it fails."""
    done = random.choice((0, 0, random.randrange(len(plan.operations))))
    scope = scope_of(plan, plan.operations[:done], plan.operations[done:], lambda op: True)
    found = judge(scope, scope.inside)
    return None if found.own or found.other or found.turns else scope


def _seldom_wrong(scope: Scope, random: Random, times: int) -> tuple[int, list[tuple[str, ...]]]:
    links = links_of(scope.plan, scope.done, scope.inside)
    assert all(link.before < link.after for link in links.links)
    wrong, other = [], 0
    for _ in range(times):
        order = [scope.inside[i] for i in random_run(random, len(scope.inside), links)]
        other += tuple(order) != scope.inside
        found = judge(scope, order)
        if found.own or found.other or found.turns:
            wrong.append((*sorted(map(str, (*found.own, *found.other, *found.turns))), *[op.name for op in order]))
    return other, wrong


@pytest.mark.parametrize("first", range(0, SEEDS, CHUNK))
def test_any_order_that_keeps_the_links_is_good(first: int, tmp_path: Path) -> None:
    random = Random(f"links {first}")
    tried = others = 0
    for seed in range(first, first + CHUNK):
        plain = generator.make(seed, small=True)
        made = trade.make(seed)
        plans = [plan_of(writing.write(plain, tmp_path / f"p{seed}"))]
        plans.append(plan_of(trade.write(made, tmp_path / f"t{seed}")))
        for plan in plans:
            scope = _good_scope(plan, random) if plan.operations else None
            if scope is not None:
                other, wrong = _seldom_wrong(scope, random, 5)
                assert not wrong, f"seed {seed}: {wrong[0]}"
                tried, others = tried + 5, others + other
    assert tried >= CHUNK / 2
    assert others


LEAVES = """  - stage: Bench
    steps:
      - {step: mark, do: Mark, gives: [marked], wait: 10 min}
      - {step: cut, do: Cut, needs: [marked@all], spoils: [marked], rounds: 2, wait: 5 min}
      - {step: sweep, do: Sweep, sides: once, after: [cut]}
"""
JOB = "conditions: {marked: {kept: side, means: a line}}\n"


def _shown(plan: Plan, links: Links) -> set[tuple[str, str, str, str, int]]:
    ops: tuple[Operation, ...] = plan.operations
    return {(ops[a].name, ops[b].name, why, kind, wait) for a, b, why, kind, wait in links.links}


def test_each_sort_of_link(tmp_path: Path) -> None:
    plan = plan_of(write(tmp_path, LEAVES.replace("marked@all], spoils: [marked], ", "marked], "), job=JOB))
    found = _shown(plan, links_of(plan, (), plan.operations))
    assert ("mark@driver", "cut#1@driver", "marked@driver", GIVES, 600) in found
    assert ("cut#1@driver", "cut#2@driver", "round", ROUND, 300) in found
    assert ("cut#1@passenger", "cut#2@driver", "turn", TURN, 0) in found
    assert ("cut#2@passenger", "sweep", "cut", AFTER, 300) in found
    assert not any("mark@passenger" in (a, b) and "cut#1@driver" in (a, b) for a, b, *_ in found)


def test_what_spoils_stays_behind_its_taker(tmp_path: Path) -> None:
    stages = "  - stage: A\n    steps:\n      - {step: look, do: L, sides: once, needs: [marked]}\n"
    stages += "      - {step: wipe, do: W, sides: [driver], why: only there, spoils: [marked]}\n"
    plan = plan_of(write(tmp_path, stages, job=JOB + "start: [marked]\n"))
    assert _shown(plan, links_of(plan, (), plan.operations)) == {("look", "wipe@driver", "marked@driver", SPOILS, 0)}


def test_neighbours_leave_out_what_another_stands_for(tmp_path: Path) -> None:
    plan = plan_of(write(tmp_path, LEAVES.replace("marked@all], spoils: [marked], ", "marked], "), job=JOB))
    found = neighbours(plan, (), plan.operations)
    assert found["mark@driver"] == ([], ["cut#1@driver"])
    assert found["sweep"] == (["cut#2@driver", "cut#2@passenger"], [])
    assert found["cut#2@driver"] == (["cut#1@driver", "cut#1@passenger"], ["sweep"])


def test_links_make_no_circle(tmp_path: Path) -> None:
    from planner.files.build.reading import read_build

    for name in ("dunlin-pickup", "four-corners", "hay-trailer"):
        reading = read_build(Path("projects") / name)
        assert reading.build is not None
        plan = expand(reading.build)
        graph = nx.DiGraph([(a, b) for a, b, *_ in links_of(plan, (), plan.operations).links])
        assert nx.is_directed_acyclic_graph(graph)
