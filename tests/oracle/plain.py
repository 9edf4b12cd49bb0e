"""A second walk, written from the meaning of a build and from nothing else, as plainly as possible.

`ground` turns a build into operations with grounded conditions and says their planned order; `walk` steps
through any order of operation names and says what fails and why; `failing_pairs` keeps only what fails.

Where the meaning is open, an explanation allows more than one answer and the tests take any of them.
"""

from __future__ import annotations

from dataclasses import dataclass

import networkx

from tests.oracle.planned import planned_order
from tests.oracle.shapes import Build, Step, covered, operation_name
from tests.oracle.turning import Turns, broken_turns, turns_of

Pair = tuple[str, str]  # operation and grounded condition, or operation and `after:` with a step's id


@dataclass(frozen=True, slots=True)
class Operation:
    """One step on one side, one round (or pass) of it, with everything grounded."""

    name: str
    step: str
    side: str | None
    number: int  # its round, or the pass of its stage; 1 where there is one only
    rework: bool
    one_way: bool
    filmed: bool
    needs: frozenset[str]
    gives_on_side: frozenset[str]  # come once its rounds on this side are complete
    gives_on_job: frozenset[str]  # come once the step is complete on all its sides
    spoils: frozenset[str]
    after: tuple[tuple[str, frozenset[str]], ...]  # step id, and the operations that must have been done
    rounds_here: frozenset[str]  # all operations of the step on this side (of this pass)
    rounds_everywhere: frozenset[str]  # all operations of the step (of this pass)


@dataclass(frozen=True, slots=True)
class Ground:
    """A build ready to be walked."""

    build: Build
    operations: dict[str, Operation]
    planned: tuple[str, ...]
    start: frozenset[str]
    turns: dict[str, Turns]  # of the steps that have any


@dataclass(frozen=True, slots=True)
class Failure:
    """A need that fails, with every (rule, cause) that explains it: one, unless the meaning is open."""

    operation: str
    condition: str
    explanations: tuple[tuple[str, str | None], ...]


@dataclass(frozen=True, slots=True)
class Walked:
    """All that is wrong with one order."""

    needs: tuple[Failure, ...]
    after: tuple[Pair, ...]  # operation, step id


def grounded(reference: str, side: str | None, build: Build) -> set[str]:
    """The conditions that a reference means, written in an operation on `side` (None: done once)."""
    name, _, where = reference.partition("@")
    if build.conditions[name] == "job":
        return {name}
    if where == "all" or (where == "" and side is None):
        wanted = set(build.sides)
    elif where == "":
        wanted = {str(side)}
    elif where == "others":
        wanted = set(build.sides) - {str(side)}
    else:
        wanted = {where}
    return {f"{name}@{each}" for each in wanted}


def on_camera(film: str | None, side: str | None) -> bool:
    """Whether an operation is filmed; `film` is what the step, stage, episode or build says first."""
    if film is None or film == "all":
        return True
    return film != "none" and (side is None or film == side)


def ground(build: Build) -> Ground:
    """Every operation that the build can have, rework included, and the order in which the plan does them."""
    operations: dict[str, Operation] = {}
    where = {step.name: stage for stage in build.stages() for step in stage.steps}
    targets = {step.name: step for step in build.steps()}

    def names(step: Step, sides: list[str | None], passes: list[int]) -> frozenset[str]:
        stage = where[step.name]
        found = set()
        for side in sides:
            for turn in passes:
                for number in range(1, step.rounds + 1):
                    label = turn if stage.rounds > 1 else number if step.rounds > 1 else None
                    found.add(operation_name(step.name, side, label))
        return frozenset(found)

    def must_be_done(link: str, step: Step, side: str | None, turn: int) -> tuple[str, frozenset[str]]:
        name, _, own = link.partition("@")
        target, stage = targets[name], where[name]
        sides = covered(target, build.sides)
        if own:
            sides = [each for each in sides if each is None or each == side]
        same_stage = stage is where[step.name]
        passes = [turn] if same_stage else list(range(1, stage.rounds + 1))
        return name, names(target, sides, passes)

    for episode in build.episodes:
        for stage in episode.stages:
            for step in stage.steps:
                film = step.film or stage.film or episode.film or build.film
                sides = covered(step, build.sides)
                for turn in range(1, stage.rounds + 1):
                    for number in range(1, step.rounds + 1):
                        for side in sides:
                            label = turn if stage.rounds > 1 else number if step.rounds > 1 else None
                            filmed = on_camera(film, side)
                            needs = step.needs + (build.on_camera_needs if filmed else ())
                            spoils = step.spoils + (build.on_camera_spoils if filmed else ())
                            gives = {c for word in step.gives for c in grounded(word, side, build)}
                            name = operation_name(step.name, side, label)
                            operations[name] = Operation(
                                name,
                                step.name,
                                side,
                                turn if stage.rounds > 1 else number,
                                step.rework,
                                step.one_way,
                                filmed,
                                frozenset(c for word in needs for c in grounded(word, side, build)),
                                frozenset(c for c in gives if "@" in c),
                                frozenset(c for c in gives if "@" not in c),
                                frozenset(c for word in spoils for c in grounded(word, side, build)),
                                tuple(must_be_done(link, step, side, turn) for link in step.after),
                                names(step, [side], [turn]),
                                names(step, sides, [turn]),
                            )
    start = frozenset(c for word in build.start for c in grounded(word, None, build))
    return Ground(build, operations, tuple(planned_order(build)), start, turns_of(build))


def circular(plan: Ground) -> set[Pair]:
    """The pairs that stand in a circle: operations that wait for each other, by `after` or for what does not hold at
    the start and only one step gives, on one side or once for all; rework apart. By PyPI `networkx`."""
    graph = networkx.DiGraph()
    waiting: dict[Pair, frozenset[str]] = {}
    for name, operation in plan.operations.items():
        graph.add_edges_from((name, first) for _, required in operation.after for first in required)
        for condition in operation.needs - plan.start if not operation.rework else ():
            givers = [
                each
                for each in plan.operations.values()
                if not each.rework and condition in each.gives_on_side | each.gives_on_job
            ]
            everywhere = any(condition in each.gives_on_job for each in givers)
            if len({each.step for each in givers}) == 1 and (everywhere or len({each.side for each in givers}) == 1):
                sets = {each.rounds_everywhere if everywhere else each.rounds_here for each in givers}
                waiting[name, condition] = min(sets, key=lambda names: min(map(_pass_of, names)))
                graph.add_edges_from((name, first) for first in waiting[name, condition])
    for name, operation in plan.operations.items():
        waiting |= {(name, f"after:{step}"): required for step, required in operation.after if required}
    knot_of = {name: frozenset(knot) for knot in networkx.strongly_connected_components(graph) for name in knot}
    return {
        (name, wanted)
        for (name, wanted), firsts in waiting.items()
        if firsts & knot_of[name] and (len(knot_of[name]) > 1 or name in firsts)
    }


def _pass_of(name: str) -> int:
    return int(name.partition("@")[0].partition("#")[2] or 0)


def gives_now(operation: Operation, done: set[str]) -> set[str]:
    """What the operation makes true when it is carried out; `done` holds it already."""
    given: set[str] = set()
    if operation.rounds_here <= done:
        given |= operation.gives_on_side
    if operation.rounds_everywhere <= done:
        given |= operation.gives_on_job
    return given


def walk(plan: Ground, order: tuple[str, ...] | list[str]) -> Walked:
    """Step through an order: what fails, and by which rule and cause."""
    providers: list[tuple[str, set[str]]] = []  # for each place, the operation and what it gives there
    done: set[str] = set()
    for name in order:
        done.add(name)
        providers.append((name, gives_now(plan.operations[name], done)))

    state = set(plan.start)
    held = set(plan.start)
    turned_off: dict[str, str] = {}
    done = set()
    needs: list[Failure] = []
    after: list[Pair] = []
    for place, name in enumerate(order):
        operation = plan.operations[name]
        for condition in sorted(operation.needs - state):
            explanations = _explain(condition, plan, providers, place, condition in held, turned_off)
            needs.append(Failure(name, condition, explanations))
        after += [(name, step) for step, required in operation.after if not required <= done]
        given = providers[place][1]
        for condition in operation.spoils:
            if condition in state and condition not in given:
                turned_off[condition] = name
        state = (state - operation.spoils) | given
        held |= state
        done.add(name)
    return Walked(tuple(needs), tuple(after))


def _explain(
    condition: str,
    plan: Ground,
    providers: list[tuple[str, set[str]]],
    place: int,
    held: bool,
    turned_off: dict[str, str],
) -> tuple[tuple[str, str | None], ...]:
    """The rules that apply to one failing need, each with its cause."""
    found: list[tuple[str, str | None]] = []
    if held:
        found.append(("spoiled", turned_off[condition]))
    else:
        later = [name for name, given in providers[place:] if condition in given]
        found += [("given-later", name) for name in later[:1]]
    normal = [name for name, given in providers if condition in given and not plan.operations[name].rework]
    if condition not in plan.start and not normal:
        # Rework does not count here, but an operation put in by a sequence is carried out all the same: then
        # two rules apply by their letter, and either answer is taken.
        base, at, _ = condition.partition("@")
        elsewhere = {f"{base}@{side}" for side in plan.build.sides} if at else set()
        others = [name for name, given in providers if given & elsewhere and not plan.operations[name].rework]
        found.append(("other-side", others[0]) if others else ("never-given", None))
    return tuple(found)


def failing_pairs(plan: Ground, order: tuple[str, ...] | list[str]) -> tuple[set[Pair], set[str]]:
    """What fails in an order: pairs, and the steps whose turns it breaks."""
    state = set(plan.start)
    done: set[str] = set()
    pairs: set[Pair] = set()
    for name in order:
        operation = plan.operations[name]
        pairs |= {(name, condition) for condition in operation.needs - state}
        pairs |= {(name, f"after:{step}") for step, required in operation.after if not required <= done}
        done.add(name)
        state = (state - operation.spoils) | gives_now(operation, done)
    broken = {step for step, turns in plan.turns.items() if broken_turns(turns, order).certain}
    return pairs, broken


def left_out(plan: Ground) -> set[str]:
    """Operations that the sequence of their stage leaves out."""
    return {name for name, op in plan.operations.items() if not op.rework} - set(plan.planned)


def side_missed(plan: Ground) -> set[str]:
    """Steps that name some sides and say no why, and operations left out."""
    unexplained = {
        step.name
        for step in plan.build.steps()
        if isinstance(step.sides, tuple) and not step.why and set(step.sides) != set(plan.build.sides)
    }
    return unexplained | left_out(plan)
