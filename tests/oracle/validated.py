"""Builds as problems of a planning library (PyPI `unified-planning`), whose validator judges a whole order, and whose
planner (PyPI `pyperplan`) finds one of its own or proves that there is none. Turns are no part of the translation.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

import unified_planning.shortcuts as up
from unified_planning.engines import CompilationKind, PlanGenerationResultStatus, ValidationResultStatus
from unified_planning.plans import ActionInstance, SequentialPlan

from tests.oracle.plain import Ground
from tests.oracle.trading import Mark, Oracle

up.get_environment().credits_stream = None  # no banner among the test output


@dataclass(frozen=True, slots=True)
class Act:
    """An operation: needs, what must have been done, what it spoils, and what comes once those are done and hold."""

    needs: frozenset[object]
    after: frozenset[str]
    spoils: Sequence[tuple[object, frozenset[str]]]
    gives: Sequence[tuple[object, frozenset[str], frozenset[object]]]
    rework: bool = False


@dataclass(frozen=True, slots=True)
class Problem:
    """A problem, and its actions by the operation's name. All operations but rework are to be done, once."""

    problem: Any
    actions: Mapping[str, Any]

    def is_valid(self, order: Iterable[str]) -> bool:
        """Whether the validator lets the order through."""
        plan = SequentialPlan([ActionInstance(self.actions[name]) for name in order])
        with up.PlanValidator(name="sequential_plan_validator") as validator:
            result = validator.validate(self.problem, plan)
        return bool(result.status == ValidationResultStatus.VALID)

    def has_a_way(self) -> bool:
        """Whether the planner finds an order at all."""
        problem = self.problem
        for kind in (
            CompilationKind.CONDITIONAL_EFFECTS_REMOVING,
            CompilationKind.DISJUNCTIVE_CONDITIONS_REMOVING,
            CompilationKind.NEGATIVE_CONDITIONS_REMOVING,
        ):
            with up.Compiler(problem_kind=problem.kind, compilation_kind=kind) as compiler:
                problem = compiler.compile(problem, kind).problem
        with up.OneshotPlanner(name="pyperplan") as planner:
            status = planner.solve(problem).status
        known = {
            PlanGenerationResultStatus.SOLVED_SATISFICING: True,
            PlanGenerationResultStatus.SOLVED_OPTIMALLY: True,
            PlanGenerationResultStatus.UNSOLVABLE_PROVEN: False,
            PlanGenerationResultStatus.UNSOLVABLE_INCOMPLETELY: False,
        }
        return known[status]


def problem_of(
    acts: Mapping[str, Act], true: Iterable[object], never: Iterable[str] = (), *, rework: bool = True
) -> Problem:
    """The problem of these operations, where these facts are true at first. ``never``: others, which nobody does;
    ``rework``: it may be put in."""
    problem = up.Problem("build")
    start = set(true)
    facts: dict[object, Any] = {}
    for act in acts.values():
        for fact in (*act.needs, *(f for f, _ in act.spoils), *(f for f, _, _ in act.gives)):
            facts.setdefault(fact, None)
        for _, _, counts in act.gives:
            facts.update({fact: None for fact in counts if fact not in facts})
    for number, fact in enumerate(sorted(facts, key=str)):
        facts[fact] = problem.add_fluent(f"c{number}", default_initial_value=fact in start)
    done = {name: problem.add_fluent(f"d{n}", default_initial_value=False) for n, name in enumerate((*acts, *never))}
    actions = {}
    for number, (name, act) in enumerate(acts.items()):
        if act.rework and not rework:
            continue
        action = actions[name] = up.InstantaneousAction(f"do{number}")
        for fact in sorted(act.needs, key=str):
            action.add_precondition(facts[fact])
        for each in sorted(act.after):
            action.add_precondition(done[each])
        if not act.rework:
            action.add_precondition(up.Not(done[name]))
        action.add_effect(done[name], True)

        def when(names: frozenset[str], counts: Iterable[object] = (), mine: str = name) -> Any:
            wanted = [done[each] for each in sorted(names - {mine})]
            wanted += [facts[fact] for fact in sorted(counts, key=str)]
            return up.And(wanted) if wanted else up.TRUE()

        for fact, names in act.spoils:
            action.add_effect(facts[fact], False, when(names))
        for fact, names, counts in act.gives:
            action.add_effect(facts[fact], True, when(names, counts))
    problem.add_actions(list(actions.values()))
    for name, act in acts.items():
        if not act.rework:
            problem.add_goal(done[name])
    return Problem(problem, actions)


def of_plain(plan: Ground, *, rework: bool = True) -> Problem:
    """A build of plain conditions; what its sequences leave out is left out."""
    here = set(plan.planned)
    acts = {
        name: Act(
            op.needs,
            frozenset().union(*(required for _, required in op.after)),
            [(fact, frozenset()) for fact in sorted(op.spoils)],
            [
                *((fact, op.rounds_here, frozenset()) for fact in sorted(op.gives_on_side)),
                *((fact, op.rounds_everywhere, frozenset()) for fact in sorted(op.gives_on_job)),
            ],
            op.rework,
        )
        for name, op in plan.operations.items()
        if op.rework or name in here
    }
    return problem_of(acts, plan.start, plan.operations.keys() - acts.keys(), rework=rework)


def of_trade(oracle: Oracle) -> Problem:
    """A build of kinds and pieces; debts are no part of it."""
    trade = oracle.trade
    acts: dict[str, Act] = {}
    marks: set[Mark] = set()
    for name, op in oracle.operations.items():
        kind = trade.kinds[trade.work[op.step.name][0]]

        def wanted(written: Iterable[str], op: Any = op) -> frozenset[object]:
            return frozenset(m for each in written for _, found in oracle.conditions(each, op) for m in found)

        spoils = [(m, frozenset[str]()) for each in kind.spoils for m in oracle.reached(each, op, spoil=True)]
        spoils += [(m, op.here) for each in kind.used_up for m in oracle.reached(each, op, spoil=True)]
        gives = []
        for each in kind.gives:
            behind = op.everywhere if trade.words[each.partition("@")[0]].job else op.here
            gives += [(m, behind, wanted(kind.counts_when)) for m in oracle.reached(each, op, spoil=False)]
        acts[name] = Act(wanted(kind.needs), frozenset(), spoils, gives)
        marks |= {*wanted(kind.needs), *wanted(kind.counts_when), *(m for m, _ in spoils), *(m for m, _, _ in gives)}  # type: ignore[arg-type]
    return problem_of(acts, [mark for mark in marks if oracle.holds_at_start(mark)])
