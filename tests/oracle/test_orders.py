"""The best order of small builds made by chance, as trying every order says: value, existence, and a core that is
minimal. Set-ups are given by chance; a part of each build is put in order, the rest stands before and behind it.

``PLANNER_TIMES=4`` tries four times as many ways back: more than a thousand.
"""

from __future__ import annotations

import os
from collections.abc import Iterator
from itertools import permutations
from pathlib import Path
from random import Random

import pytest

from planner.plan.expand import Operation, Plan
from planner.plan.orders.best import find_order
from planner.plan.orders.core import find_core
from planner.plan.orders.scope import Pair, Scope, departures, is_good, judge, set_ups
from tests.oracle import generator, trade, writing
from tests.plan.builds import plan_of

BUILDS = 1000
CHUNK = 100
TIMES = int(os.environ.get("PLANNER_TIMES", "1"))
MOST = 6  # operations put in order: 720 orders


def _never() -> bool:
    return False


def with_setups(plan: Plan, random: Random) -> Plan:
    """The plan with a set-up for about half of its steps."""
    setups = {
        step.id: random.choice((None, None, "bench", "cradle", "rolled"))
        for _, stage in plan.stages
        for step in stage.steps
    }

    def fit(op: Operation) -> Operation:
        return op._replace(step=op.step._replace(setup=setups[op.step.id]))

    return plan._replace(
        operations=tuple([fit(op) for op in plan.operations]),
        left_out=tuple([fit(op) for op in plan.left_out]),
        reworks={name: fit(op) for name, op in plan.reworks.items()},
        by_name={name: fit(op) for name, op in plan.by_name.items()},
        made=[],
    )


def scopes(seed: int, folder: Path, most: int = MOST) -> list[Scope]:
    """A part of two builds of this seed: one of plain conditions, one of kinds and pieces."""
    random = Random(f"orders {seed}")
    plain = writing.write(generator.make(seed, small=True), folder / f"plain-{seed}")
    made = trade.write(trade.make(seed), folder / f"trade-{seed}")
    found = []
    for each in (plain, made):
        plan = with_setups(plan_of(each), random)
        ops = plan.operations
        done = random.randrange(len(ops))
        begin = random.randrange(done, len(ops))
        end = min(len(ops), begin + random.randint(1, most))
        found.append(Scope(plan, ops[:done], ops[done:begin], ops[begin:end], ops[end:]))
    return found


def tried_out(scope: Scope) -> tuple[int, int] | None:
    """The least set-up changes, and the least departures with them, of all orders there are."""
    written = judge(scope, scope.inside)
    good = [order for order in permutations(scope.inside) if is_good(scope, order, written)]
    return min([(set_ups(scope, order), departures(scope.inside, order)) for order in good], default=None)


def keeps(scope: Scope, core: frozenset[Pair]) -> bool:
    """Whether any order at all keeps the needs of a core."""
    for order in permutations(scope.inside):
        found = judge(scope, order)
        if not found.turns and core.isdisjoint(found.own | found.other):
            return True
    return False


@pytest.mark.parametrize("first", range(0, BUILDS // 2, CHUNK))
def test_the_best_order_is_the_best_of_all(first: int, tmp_path: Path) -> None:
    none = 0
    for seed in range(first, first + CHUNK):
        for scope in scopes(seed, tmp_path):
            wanted = tried_out(scope)
            found = find_order(scope, _never, hurry=_never)
            assert found.proved, seed
            assert found.departures_proved or found.order is None, seed
            if wanted is None:
                none += 1
                assert found.order is None, seed
            else:
                assert found.cost is not None, seed
                assert (found.cost.set_ups, found.cost.departures) == wanted, seed
                assert found.least_set_ups == wanted[0], seed
    assert CHUNK / 4 < none < CHUNK * 7 / 4


@pytest.mark.parametrize("first", range(0, 200 * TIMES, 50))
def test_a_core_contradicts_itself_and_nothing_less_does(first: int, tmp_path: Path) -> None:
    cores = 0
    for seed in range(first, first + 50):
        for scope in scopes(seed, tmp_path, most=5):
            if find_order(scope, _never, hurry=_never).order is not None:
                continue
            core = find_core(scope, _never)
            assert core is not None, seed
            whole = frozenset(core)
            assert not keeps(scope, whole), seed
            assert all(keeps(scope, whole - {each}) for each in core), (seed, core)
            cores += bool(core)
    assert cores > 10


def with_rework(scope: Scope, most: int) -> tuple[int, int, int] | None:
    """The least rework (up to ``most``), set-up changes and departures of all ways to put rework in anywhere."""
    written = judge(scope, scope.inside)

    def put_in(order: tuple[Operation, ...], left: int, start: int) -> Iterator[tuple[Operation, ...]]:
        if not left:
            yield order
            return
        for place in range(start, len(order) + 1):
            for op in scope.plan.reworks.values():
                yield from put_in((*order[:place], op, *order[place:]), left - 1, place + 1)

    for count in range(most + 1):
        costs = [
            (count, set_ups(scope, order), departures(scope.inside, [op for op in order if not op.step.rework]))
            for plain in permutations(scope.inside)
            for order in put_in(plain, count, 0)
            if is_good(scope, order, written)
        ]
        if costs:
            return min(costs)
    return None


def trade_with_rework(seed: int, folder: Path) -> Scope:
    """A small part of a build of kinds and pieces, some of it done, to which two or three rework steps are given."""
    random = Random(f"back {seed}")
    made = trade.make(seed)
    where = trade.write(made, folder / f"back-{seed}")
    used = [(made.kinds[kind], piece) for kind, piece in made.work.values()]
    wanted = [(word.partition("@")[0], piece) for kind, piece in used for word in kind.needs]
    mending = [
        (name, piece)
        for word, piece in wanted
        for name, kind in made.kinds.items()
        if word in {each.partition("@")[0] for each in kind.gives}
    ] or [(random.choice(list(made.kinds)), random.choice(list(made.pieces)))]
    more = ["  - stage: When it went wrong", "    steps:"]
    for number in range(random.choice((2, 3))):
        kind, piece = random.choice(mending)
        more += [f"      - {{step: back-{number}, do: Mend, kind: {kind}, piece: {piece}, sides: once, rework: true}}"]
    last = max((where / "episodes").iterdir())
    last.write_text(last.read_text() + "\n".join(more) + "\n")
    plan = with_setups(plan_of(where), random)
    ops = plan.operations
    done = random.randrange(len(ops))
    begin = random.randrange(done, len(ops))
    end = min(len(ops), begin + random.randint(1, 3))
    mixed = random.sample(ops[:done], done)  # as it was really ticked: not always in the planned order
    return Scope(plan, tuple(mixed), ops[done:begin], ops[begin:end], ops[end:])


@pytest.mark.parametrize("first", range(0, 200 * TIMES, 100))
def test_the_way_back_with_kinds_is_the_shortest_of_all(first: int, tmp_path: Path) -> None:
    with_some = none = 0
    for seed in range(first, first + 100):
        scope = trade_with_rework(seed, tmp_path)
        wanted = with_rework(scope, 2)
        found = find_order(scope, _never, rework=True, hurry=_never)
        if wanted is None:
            none += 1
            assert found.order is None or (found.cost is not None and found.cost.rework > 2), seed
        else:
            assert found.cost == wanted, seed
            assert found.proved, seed
            with_some += found.cost is not None and found.cost.rework > 0
    assert with_some > 0
    assert none > 2


@pytest.mark.parametrize("first", range(0, 120 * TIMES, 120))
def test_the_way_back_is_the_shortest_of_all(first: int, tmp_path: Path) -> None:
    with_some = 0
    for seed in range(first, first + 120):
        scope = scopes(seed, tmp_path, most=4)[0]
        if not scope.plan.reworks or any(op.step.rework for op in scope.inside):
            continue
        wanted = with_rework(scope, 2)
        found = find_order(scope, _never, rework=True, hurry=_never)
        if wanted is None:
            assert found.order is None or (found.cost is not None and found.cost.rework > 2), seed
        else:
            assert found.cost == wanted, seed
            assert found.proved, seed
            with_some += found.cost is not None and found.cost.rework > 0
    assert with_some > 1
