"""The same builds stepped by a general planning library (PyPI `unified-planning`, `SequentialSimulator`).

Every operation becomes an instantaneous action. Its effects sit in an action without preconditions, so that
the simulator can step past a failure; its needs sit in a twin that has preconditions and no effects, whose
applicability the simulator decides on its own state. That a step gives only once its rounds are complete is
said in the model itself, by conditional effects. Spoiled and given at once ends true: the library adds after
it deletes.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

import unified_planning.shortcuts as up

from tests.oracle.plain import Ground, Operation, Pair

up.get_environment().credits_stream = None  # no banner among the test output


@dataclass(slots=True)
class Model:
    """One build as a planning problem, with the simulator that steps it."""

    simulator: Any
    effects: dict[str, Any] = field(default_factory=dict)
    needing: dict[str, Any] = field(default_factory=dict)
    single: dict[tuple[str, str], Any] = field(default_factory=dict)  # a twin for each pair, to name what fails


def model(plan: Ground) -> Model:
    """Translate a build."""
    problem = up.Problem("build")
    conditions: dict[str, Any] = {}
    done: dict[str, Any] = {}
    for operation in plan.operations.values():
        words = operation.needs | operation.gives_on_side | operation.gives_on_job | operation.spoils
        for word in words | plan.start:
            conditions.setdefault(word, None)
    for number, word in enumerate(sorted(conditions)):
        conditions[word] = problem.add_fluent(f"c{number}", default_initial_value=word in plan.start)
    for number, name in enumerate(plan.operations):
        done[name] = problem.add_fluent(f"d{number}", default_initial_value=False)

    effects: dict[str, Any] = {}
    needing: dict[str, Any] = {}
    single: dict[tuple[str, str], Any] = {}
    for number, (name, operation) in enumerate(plan.operations.items()):
        effects[name] = _effects(f"do{number}", operation, conditions, done)
        wanted = {word: conditions[word] for word in operation.needs}
        wanted |= {f"after:{step}": _all(done, required) for step, required in operation.after}
        needing[name] = up.InstantaneousAction(f"check{number}")
        for count, (word, expression) in enumerate(sorted(wanted.items())):
            needing[name].add_precondition(expression)
            single[name, word] = up.InstantaneousAction(f"check{number}-{count}")
            single[name, word].add_precondition(expression)
    problem.add_actions([*effects.values(), *needing.values(), *single.values()])
    return Model(up.SequentialSimulator(problem), effects, needing, single)


def _all(done: dict[str, Any], names: frozenset[str]) -> Any:
    """All of these operations have been done."""
    return up.And([done[name] for name in sorted(names)]) if names else up.TRUE()


def _effects(label: str, operation: Operation, conditions: dict[str, Any], done: dict[str, Any]) -> Any:
    """The action that carries an operation out, whatever the state."""
    action = up.InstantaneousAction(label)
    action.add_effect(done[operation.name], True)
    for word in operation.spoils:
        action.add_effect(conditions[word], False)
    for words, rounds in (
        (operation.gives_on_side, operation.rounds_here),
        (operation.gives_on_job, operation.rounds_everywhere),
    ):
        for word in words:
            action.add_effect(conditions[word], True, _all(done, rounds - {operation.name}))
    return action


def failing_pairs(plan: Ground, order: tuple[str, ...] | list[str]) -> set[Pair]:
    """The pairs that fail in an order, as the simulator sees them."""
    made = model(plan)
    simulator = made.simulator
    state = simulator.get_initial_state()
    pairs: set[Pair] = set()
    for name in order:
        if not simulator.is_applicable(state, made.needing[name]):
            pairs |= {
                (operation, word)
                for (operation, word), twin in made.single.items()
                if operation == name and not simulator.is_applicable(state, twin)
            }
        state = simulator.apply_unsafe(state, made.effects[name])
    return pairs
