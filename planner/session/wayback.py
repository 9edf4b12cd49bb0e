"""The way back from what was ticked: the first steps of a recovery, when each may begin, and what it costs."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING, NamedTuple

from planner.plan.orders.links import links_of
from planner.session.offorder import off_order
from planner.session.orders import Answer, Asked, search_of

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.session.onebuild import OneBuild


class Leg(NamedTuple):
    """One operation of the way: ``wait`` seconds with nothing to do in this order come before it."""

    op: Operation
    put_in: bool  # rework that the plan does not have there
    wait: float


class Way(NamedTuple):
    """The way back as far as it leaves the plan, and what comes behind it. Seconds."""

    answer: Answer
    legs: tuple[Leg, ...]
    worked: float
    waited: float
    then: Operation | None


def way_search(one: OneBuild, *, seconds: float, stop: Callable[[], bool]) -> Callable[[], Way]:
    """The search for the way back of the episode in which the work is off, to be run beside the screen."""
    finding, now = off_order(one), one.clock()
    at = None if finding is None else one.live.by_name.get(finding.at)
    first = at or one.live.next()
    asked = Asked() if first is None else Asked(episode=one.plan.stages[first.stage][0].number)
    search = search_of(one, asked, rework=True, seconds=seconds, stop=stop)
    return lambda: way_of(one, search(), now)


def way_of(one: OneBuild, answer: Answer, now: float) -> Way:
    """The legs of an answer: all up to the last operation that is rework or overtakes what was written ahead of it."""
    scope, order = answer.scope, answer.found.order or ()
    whole = (*scope.before, *order) if order else ()
    own: dict[str, int] = {}
    for op in scope.inside:
        own[op.name] = own.get(op.name, 0) + 1
    put_in = []
    for op in whole[len(scope.before) :]:
        own[op.name] = own.get(op.name, 0) - 1
        put_in.append(own[op.name] < 0)
    written = {op.name: index for index, op in enumerate(scope.inside)}
    last = 0
    least = len(scope.inside)
    for index in range(len(order) - 1, -1, -1):  # from behind: what comes later and was written earlier
        mine = -1 if put_in[index] else written[order[index].name]
        if put_in[index] or mine > least:
            last = max(last, len(scope.before) + index + 1)
        least = min(least, mine) if mine >= 0 else least
    return _timed(one, answer, whole, [False] * len(scope.before) + put_in, last, now)


def _timed(
    one: OneBuild, answer: Answer, whole: tuple[Operation, ...], put_in: list[bool], last: int, now: float
) -> Way:
    held: dict[int, list[tuple[int, int]]] = {}
    for link in links_of(one.plan, answer.scope.done, whole).links if last else ():
        if link.wait and link.after < last:
            held.setdefault(link.after, []).append((link.before, link.wait))
    at, ends, legs = now, list[float](), list[Leg]()
    for index, op in enumerate(whole[:last]):
        ready = [ends[before] + wait for before, wait in held.get(index, ())]
        ready += [wait.until for wait in one.live.waits(op, now)]
        start = max(at, *ready) if ready else at
        legs.append(Leg(op, put_in[index], start - at))
        at = start + (op.step.time or 0)
        ends.append(at)
    waited = sum(leg.wait for leg in legs) + (whole[last - 1].step.wait if last else 0)
    worked = sum(leg.op.step.time or 0 for leg in legs)
    return Way(answer, tuple(legs), worked, waited, whole[last] if last < len(whole) else None)
