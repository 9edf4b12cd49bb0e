"""Repairs of what no failing need shows: a missing side added, an operation put back, work shared out between sides,
turns kept again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from planner.plan.balance import lopsided
from planner.plan.changes import AddSides, Change, MoveOperation, Pace, PutIn, Turns, Why
from planner.plan.expand import Operation, Plan, expand
from planner.plan.ideas import Search
from planner.plan.live import Live
from planner.plan.model import ALTERNATE, SIDE_FIRST, STEP_FIRST, Build, Finding, Stage, Step
from planner.plan.names import step_of
from planner.plan.pieces import Tree
from planner.plan.trial import Fails, Trial

Made = tuple[str, Change, tuple[str, ...], Why]


def with_step(build: Build, step: Step) -> Build:
    """The build with a step of this id changed."""

    def changed(stage: Stage) -> Stage:
        if all(each.id != step.id for each in stage.steps):
            return stage
        return stage._replace(steps=tuple([step if each.id == step.id else each for each in stage.steps]))

    episodes = tuple([each._replace(stages=tuple(map(changed, each.stages))) for each in build.episodes])
    return build._replace(episodes=episodes)


def with_pace(plan: Plan, index: int, pace: str) -> Build:
    """The build with another pace for the stage at an index of the plan."""
    wanted = plan.stages[index][1]
    episodes = tuple(
        [
            each._replace(stages=tuple([s._replace(pace=pace) if s is wanted else s for s in each.stages]))
            for each in plan.build.episodes
        ]
    )
    return plan.build._replace(episodes=episodes)


def _step(plan: Plan, step_id: str) -> Step | None:
    return next((step for _, stage in plan.stages for step in stage.steps if step.id == step_id), None)


def _fails_more(old: Fails, new: Fails) -> bool:
    return any(not pairs <= old.get(name, frozenset()) for name, pairs in new.items())


def added_sides(search: Search, done: Sequence[Operation], finding: Finding) -> Iterator[Made]:
    """The missing side of a step, unless it is said why it is missing; or what a sequence leaves out, put back."""
    plan = search.plan
    left_out = next((op for op in plan.left_out if op.name == finding.at), None)
    if finding.rule == "side-missed" and left_out is not None:
        yield from _put_back(search, done, left_out)
        return
    step = _step(plan, step_of(finding.at if finding.rule == "side-missed" else finding.cause or ""))
    if step is None or step.once or step.why is not None or plan.stages[search.homes[step.id]][1].sequence is not None:
        return
    exists = plan.build.sides if step.piece is None else Tree(plan.build.pieces, plan.build.sides).sides(step.piece)
    sides = tuple([side for side in plan.build.sides if side in exists or side in step.sides])
    added = tuple([side for side in sides if side not in step.sides])
    if not added:
        return
    turns = (*step.turns, *added) if isinstance(step.turns, tuple) else step.turns
    search.tick()
    fresh = expand(with_step(plan.build, step._replace(sides=sides, named=False, turns=turns)))
    names = fresh.by_name
    live = Live(fresh, [(names[op.name], 0.0) for op in done])
    rest = live.remaining()
    trial = Trial(fresh, [names[op.name] for op in done], rest)
    own = {(name, finding.condition) for name in (finding.at, *finding.also)} if finding.condition else set()
    if _fails_more(search.trial.fails, trial.fails) or any(c in trial.fails.get(name, ()) for name, c in own):
        return
    order = (*(op.name for op in done), *(op.name for op in rest))
    yield "sides", AddSides(step.id, sides, added), order, Why("sides")


def _put_back(search: Search, done: Sequence[Operation], op: Operation) -> Iterator[Made]:
    """At the nearest place to that which the stage would have given it."""
    plan = search.plan
    stage = plan.stages[op.stage][1]._replace(sequence=None)
    planned = search.planned(stage)
    here = planned.index(op.name)
    begin = search.begins[op.stage]
    own = search.stages[op.stage]
    ahead = set(planned[:here])
    wanted = max((index + 1 for index, name in enumerate(own) if name in ahead), default=0)
    for spot in sorted(range(len(own) + 1), key=lambda at: abs(at - wanted)):
        search.tick()
        at = begin + spot
        tail = [op.name, *search.rest[at:]]
        if own and search.trial.left(tail, {}, {}, at) is not None:
            by, before = (own[spot], True) if spot < len(own) else (own[-1], False)
            order = (*(each.name for each in done), *search.rest[:at], *tail)
            yield "sides", PutIn(op.name, by, before), order, Why("sides")


def balanced(search: Search, finding: Finding) -> Iterator[Made]:
    """Turns that share the work out between the sides; nothing where the rounds are too few."""
    plan = search.plan
    step = _step(plan, step_of(finding.at))
    if step is None or finding.at == step.id:
        return
    home = search.homes[step.id]
    stage = plan.stages[home][1]
    if stage.sequence is not None:
        return
    other: list[tuple[Change, Build]] = []
    if step.rounds > 1:
        other.append((Turns(step.id, ALTERNATE), with_step(plan.build, step._replace(turns=ALTERNATE))))
    if stage.pace == SIDE_FIRST:
        other.append((Pace(home, STEP_FIRST), with_pace(plan, home, STEP_FIRST)))
    for change, build in other:
        search.tick()
        fresh = expand(build)
        names = fresh.by_name
        done = [names[op.name] for op in search.trial.done]
        rest = Live(fresh, [(op, 0.0) for op in done]).remaining()
        if any(at == finding.at for at, _, _ in lopsided(fresh)):
            continue
        if not _fails_more(search.trial.fails, Trial(fresh, done, rest).fails):
            order = (*(op.name for op in done), *(op.name for op in rest))
            yield "turns" if isinstance(change, Turns) else "pace", change, order, Why("balance")


def in_turn(search: Search, finding: Finding) -> Iterator[Made]:
    """An operation of the step moved within its stage so that its turns are kept; else turns that the order keeps."""
    plan, trial, rest = search.plan, search.trial, search.rest
    out = {finding.at, *finding.also}
    done = tuple([op.name for op in trial.done])
    for mover in (finding.cause or "", finding.at, *finding.also):
        here = trial.first.get(mover)
        if here is None:
            continue
        stage = plan.by_name[mover].stage
        inside = range(search.begins[stage], search.begins[stage] + len(search.stages[stage]))
        without = rest[:here] + rest[here + 1 :]
        for spot in sorted(inside, key=lambda spot: abs(spot - here)) if here in inside else ():
            search.tick()
            if spot == here:
                continue
            start = min(spot, here)
            tail = [*without[start:spot], mover, *without[spot:]]
            if trial.left(tail, {}, {}, start) is not None and out.isdisjoint(trial.breaks(start, tail)):
                by, before = (without[spot], True) if spot < here else (without[spot - 1], False)
                yield "move", MoveOperation(mover, by, before), (*done, *rest[:start], *tail), Why("turn")
    step = _step(plan, step_of(finding.at))
    for turns in (ALTERNATE, SIDE_FIRST) if step is not None and step.rounds > 1 else ():
        search.tick()
        assert step is not None  # noqa: S101
        stage_of = plan.stages[search.homes[step.id]][1]
        changed = {step.id: (step._replace(turns=turns), stage_of.pace)}
        if stage_of.sequence is not None and not trial.breaks(0, rest, changed) & out:
            yield "turns", Turns(step.id, turns), (*done, *rest), Why("turn")
