"""Two changes at once, where no single one helps: what gives the missing fact and what that needs itself, both
ahead of what fails; or rework and the rework that this needs; or rework for two that fail one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from planner.plan.changes import MoveBlock, PutIn, Two
from planner.plan.expand import Operation
from planner.plan.ideas import Case, Idea, Search, given_by

_MOST = 6  # givers tried for one place


def two_at_once(search: Search, case: Case, cures: Callable[[Idea], bool]) -> Idea | None:
    """Two changes that cure the whole finding together."""
    if not case.failing or not case.facts:
        return None
    for idea in (*_reworks(search, case), *_chains(search, case)):
        search.tick()
        if cures(idea):
            return idea
    return None


def _lacking(search: Search, tail: list[str], start: int, name: str) -> frozenset[str]:
    """The facts that an operation lacks in another order."""
    machine, ops = search.trial.machine, search.ops
    state = search.trial.before(start)
    for each in tail:
        if each == name:
            return frozenset(machine.missing(state, ops[each]))
        machine.do(state, ops[each])
    return frozenset()


def _reworks(search: Search, case: Case) -> Iterator[Idea]:
    reworks = search.plan.reworks
    first = case.failing[0]
    at = search.rest[first]
    giving = [op for op in reworks.values() if not case.facts.isdisjoint(given_by(op))][:_MOST]
    for op in giving:
        search.tick()
        lacking = _lacking(search, [op.name], first, op.name)
        for other in reworks.values():
            if other.name != op.name and not lacking.isdisjoint(given_by(other)):
                change = Two(PutIn(other.name, at, True), PutIn(op.name, at, True))
                yield Idea("two", change, [other.name, op.name, *search.rest[first:]], first)
        for spot in case.failing[1:]:
            second = search.rest[spot]
            tail = [op.name, *search.rest[first:spot], op.name, *search.rest[spot:]]
            yield Idea("two", Two(PutIn(op.name, at, True), PutIn(op.name, second, True)), tail, first)
    for op in giving:  # one fact each
        for other in giving:
            if other.name != op.name:
                change = Two(PutIn(op.name, at, True), PutIn(other.name, at, True))
                yield Idea("two", change, [op.name, other.name, *search.rest[first:]], first)


def _chains(search: Search, case: Case) -> Iterator[Idea]:
    first = case.failing[0]
    at = search.rest[first]
    due = [name for name in case.givers if search.trial.first[name] > first]
    for step in list(dict.fromkeys(search.ops[name].step.id for name in due))[:_MOST]:
        search.tick()
        block = [name for name in search.rest if search.ops[name].step.id == step]
        if search.ops[block[0]].step.rework or search.trial.first[block[0]] < first:
            continue
        left = [name for name in search.rest[first:] if name not in set(block)]
        lacking = _lacking(search, [*block, *left], first, block[0])
        for other in _giving(search, lacking, first)[:_MOST]:
            if other == step:
                continue
            ahead = [name for name in left if search.ops[name].step.id == other]
            tail = [*ahead, *block, *[name for name in left if name not in set(ahead)]]
            yield Idea("two", Two(MoveBlock(other, at, True), MoveBlock(step, at, True)), tail, first)


def _giving(search: Search, facts: frozenset[str], first: int) -> list[str]:
    """The steps, no rework, that give any of the facts and are wholly done behind a place."""

    def gives(op: Operation) -> bool:
        return not op.step.rework and not facts.isdisjoint(given_by(op))

    early = {search.ops[name].step.id for name in search.rest[:first]}
    steps = dict.fromkeys(search.ops[name].step.id for name in search.rest[first:] if gives(search.ops[name]))
    return [step for step in steps if step not in early] if facts else []
