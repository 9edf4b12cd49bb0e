"""Orders asked of the build that is open: which part of it, from where the work stands, and how long to look."""

from __future__ import annotations

import re
import time
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, NamedTuple

from planner.plan.model import NOTICE, Finding
from planner.plan.orders.best import Found, find_order
from planner.plan.orders.core import find_core
from planner.plan.orders.links import Links, links_of
from planner.plan.orders.scope import Pair, Scope, judge, scope_of
from planner.plan.stories import condition_of

if TYPE_CHECKING:
    from planner.plan.expand import Operation, Plan
    from planner.session.onebuild import OneBuild

SECONDS = 10.0  # the longest that anybody waits
_DEPARTURES = 4.0  # after so many, fewer departures are looked for no more


class Asked(NamedTuple):
    """A part of the plan: a stage by its id, an episode, or (neither) all of it."""

    stage: str | None = None
    episode: int | None = None


class Answer(NamedTuple):
    """What was found of a part of the plan."""

    name: str  # of the part: stage fit-up, episode 4, build
    scope: Scope
    found: Found
    core: tuple[Pair, ...] | None  # where there is no order
    reasons: tuple[str | None, ...]  # by operation of the order: the finding that rework is put in for


class NoSuchPartError(Exception):
    """The plan has no such stage or episode; ``known`` names those that it has."""

    def __init__(self, says: str, known: Sequence[str]) -> None:
        super().__init__(says)
        self.known = known


def stage_id(title: str) -> str:
    """A stage's name as it is typed: lower case, with hyphens."""
    return re.sub(r"[^a-z0-9]+", "-", title.lower()).strip("-")


def default_part(one: OneBuild) -> Asked:
    """The episode of the next open operation; all of it where nothing is open."""
    following = one.live.next()
    return Asked() if following is None else Asked(episode=one.plan.stages[following.stage][0].number)


def part_of(one: OneBuild, asked: Asked) -> tuple[str, Scope]:
    """What that part is called, and what remains of it. Raises NoSuchPartError."""
    one.look()
    plan, live = one.plan, one.live
    done = [op for op, _ in live.done]
    remaining = live.remaining()
    if asked.stage is not None:
        ids = [stage_id(stage.title) for _, stage in plan.stages]
        mine = [index for index, each in enumerate(ids) if each == stage_id(asked.stage)]
        if not mine:
            raise NoSuchPartError(f"there is no stage {asked.stage}", ids)
        open_ = {op.stage for op in remaining}
        chosen = next((index for index in mine if index in open_), mine[0])
        return f"stage {ids[chosen]}", scope_of(plan, done, remaining, lambda op: op.stage == chosen)
    if asked.episode is not None:
        stages = {index for index, (episode, _) in enumerate(plan.stages) if episode.number == asked.episode}
        if not stages:
            numbers = dict.fromkeys(str(episode.number) for episode, _ in plan.stages)
            raise NoSuchPartError(f"there is no episode {asked.episode}", list(numbers))
        name = f"episode {asked.episode}"
        return name, scope_of(plan, done, remaining, lambda op: op.stage in stages)
    return "build", scope_of(plan, done, remaining, lambda op: True)


def answer(
    one: OneBuild,
    asked: Asked,
    *,
    rework: bool = False,
    seconds: float = SECONDS,
    stop: Callable[[], bool] = lambda: False,
) -> Answer:
    """The best order of a part, or why there is none. ``stop`` is asked often; then the best so far is the answer."""
    return search_of(one, asked, rework=rework, seconds=seconds, stop=stop)()


def search_of(
    one: OneBuild,
    asked: Asked,
    *,
    rework: bool = False,
    seconds: float = SECONDS,
    stop: Callable[[], bool] = lambda: False,
) -> Callable[[], Answer]:
    """The search from where the work stands now, to be run here or beside the screen."""
    name, scope = part_of(one, asked)
    findings = one.found() if rework else ()

    def run() -> Answer:
        began = time.monotonic()

        def over(share: float) -> Callable[[], bool]:
            return lambda: stop() or time.monotonic() - began > share

        found = find_order(scope, over(seconds * 0.7), rework=rework, hurry=over(min(_DEPARTURES, seconds * 0.5)))
        core = None
        if found.order is None and found.proved:
            core = find_core(scope, over(seconds)) if not rework else None
        reasons = tuple(reasons_of(scope.plan, found.order or (), findings)) if rework else ()
        return Answer(name, scope, found, core, reasons)

    return run


def reasons_of(plan: Plan, order: Sequence[Operation], findings: Sequence[Finding]) -> list[str | None]:
    """For each operation of an order that is rework: the live finding that it is put in for, from the end backwards,
    since rework may be there for what rework needs."""
    standing = [each for each in findings if not each.history and each.level != NOTICE and each.condition is not None]
    found: list[str | None] = []
    wanted: list[tuple[frozenset[str], str]] = []  # what later rework needs, and what that is there for
    for op in reversed(order):
        mine: str | None = None
        if op.step.rework:
            given = op.gives | op.job_gives | op.at_once
            conditions = {condition_of(plan, fact) for fact in given}
            mine = next((each.id for each in standing if each.condition in conditions), None)
            if mine is None:
                mine = next((why for needs, why in reversed(wanted) if needs & given), None)
            if mine is not None:
                wanted.append((op.needs, mine))
        found.append(mine)
    return found[::-1]


class Bound(NamedTuple):
    """A good order of all that remains, and what binds it; ``found`` where the written one is none."""

    order: tuple[Operation, ...]
    links: Links
    found: bool
    good: bool  # False: no good order is known, and these are the links of what does hold as written


def bound(one: OneBuild, *, seconds: float = SECONDS, stop: Callable[[], bool] = lambda: False) -> Bound:
    """What binds what remains: as written where that is good, else in the best good order."""
    _, scope = part_of(one, Asked())
    judged = judge(scope, scope.inside)
    if not judged.own and not judged.turns:
        return Bound(scope.inside, links_of(one.plan, scope.done, scope.inside), False, True)
    found = answer(one, Asked(), seconds=seconds, stop=stop).found
    order = scope.inside if found.order is None else found.order
    return Bound(order, links_of(one.plan, scope.done, order), found.order is not None, found.order is not None)
