"""Least set-up changes on stages made by chance: our search and CP-SAT side by side, a ladder of sizes, and the demo
builds whole.

Run: python -m tests.bench.bench_orders [most]: CP-SAT up to so many operations (20). Two sides, chains of needs, three
set-ups; nothing spoils, so that both solve the same problem.
"""

from __future__ import annotations

import resource
import sys
import tempfile
import time
from pathlib import Path
from random import Random

from ortools.sat.python import cp_model

from planner.plan.expand import Plan
from planner.plan.orders.best import Found, find_order
from planner.plan.orders.bounds import bounds_of
from planner.plan.orders.scope import Scope, judge, scope_of
from planner.plan.orders.task import compile_scope
from tests.plan.builds import plan_of, write

SETUPS = ("bench", "cradle", "rolled")
LIMIT = 7.0  # seconds


def stage(operations: int, seed: int, folder: Path) -> Scope:
    """A stage of so many operations: each step needs what up to two steps shortly before it give."""
    random = Random(f"stage {operations} {seed}")
    names = [f"s{number}" for number in range(operations // 2)]
    conditions = "".join(f"  {name}.ok: {{kept: side, means: done}}\n" for name in names)
    lines = "  - stage: Work\n    steps:\n"
    for number, name in enumerate(names):
        near = names[max(0, number - 6) : number]
        needs = random.sample(near, min(len(near), random.choice((0, 1, 1, 2))))
        shown = ", ".join(f"{each}.ok{random.choice(('', '', '@all'))}" for each in needs)
        lines += f"      - {{step: {name}, do: Work, gives: [{name}.ok], needs: [{shown}]"
        lines += f", setup: {random.choice(SETUPS)}, time: 5 min}}\n"
    plan = plan_of(write(folder / f"{operations}-{seed}", lines, job=f"conditions:\n{conditions}"))
    return scope_of(plan, (), plan.operations, lambda op: True)


def ours(scope: Scope) -> tuple[Found, float]:
    """Our answer, and the seconds it took to have the set-ups (departures left aside)."""
    began = time.perf_counter()
    found = find_order(scope, lambda: time.perf_counter() - began > LIMIT, hurry=lambda: True)
    return found, time.perf_counter() - began


def whole(plan: Plan, began: float, *, rework: bool) -> Found:
    """The best order of a whole build."""
    scope = scope_of(plan, (), plan.operations, lambda op: True)
    return find_order(scope, lambda: time.perf_counter() - began > LIMIT, rework=rework, hurry=lambda: True)


def cp_sat(scope: Scope) -> tuple[int | None, bool, float]:
    """The least set-up changes by CP-SAT: a circuit through all operations, precedence by their places in it."""
    task = compile_scope(scope, judge(scope, scope.inside))
    before = bounds_of(task).before
    size = task.size
    model = cp_model.CpModel()
    place = [model.new_int_var(0, size - 1, f"p{i}") for i in range(size)]
    arcs, cost = [], []
    for i in range(size):
        arcs.append((size, i, model.new_bool_var(f"first{i}")))
        arcs.append((i, size, model.new_bool_var(f"last{i}")))
        for j in range(size):
            if i == j or before[i] >> j & 1:
                continue
            arc = model.new_bool_var(f"a{i}-{j}")
            arcs.append((i, j, arc))
            model.add(place[j] == place[i] + 1).only_enforce_if(arc)
            if task.doings[i].setup != task.doings[j].setup:
                cost.append(arc)
    model.add_circuit(arcs)
    for i in range(size):
        for j in range(size):
            if before[i] >> j & 1:
                model.add(place[j] < place[i])
    model.minimize(sum(cost))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = 20
    solver.parameters.num_workers = 2
    began = time.perf_counter()
    status = solver.solve(model)
    seconds = time.perf_counter() - began
    known = status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return (round(solver.objective_value) if known else None), status == cp_model.OPTIMAL, seconds


def main() -> int:
    """Print both, size by size; 0 where they agree wherever CP-SAT has proved its answer."""
    most = int(sys.argv[1]) if len(sys.argv) > 1 else 20
    wrong = 0
    with tempfile.TemporaryDirectory() as home:
        for operations in (10, 20, 40, 80, 160):
            for seed in range(3):
                scope = stage(operations, seed, Path(home))
                found, seconds = ours(scope)
                changes = found.cost.set_ups if found.cost else None
                said = f"{operations:4} {seed}: {changes} proved {found.proved} least {found.least_set_ups}"
                said += f" {seconds:.3f} s, {found.states} states"
                if operations <= most:
                    theirs, proved, their_seconds = cp_sat(scope)
                    wrong += proved and theirs != changes
                    said += f"; CP-SAT {theirs} proved {proved} {their_seconds:.3f} s ({their_seconds / seconds:.0f} x)"
                print(said)
    for folder in sorted((Path(__file__).parents[2] / "projects").iterdir()):
        plan = plan_of(folder)
        for rework in (False, True):
            began = time.perf_counter()
            found = whole(plan, began, rework=rework)
            cost = found.cost
            print(
                f"{folder.name} whole, {len(plan.operations)} operations, {'recover' if rework else 'order'}:"
                f" {'none' if cost is None else f'{cost.set_ups} set-ups, {cost.rework} rework'} proved {found.proved}"
                f" least {found.least_set_ups} {time.perf_counter() - began:.3f} s, {found.states} states"
            )
    print(f"memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MiB")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main())
