"""How an order is said: what it saves, what was put in, and why there is none."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planner.plan.stories import condition_of
from planner.plan.words import counted, show_duration

if TYPE_CHECKING:
    from planner.plan.expand import Operation, Plan
    from planner.plan.orders.scope import Pair
    from planner.session.orders import Answer


def summary(answer: Answer, *, rework: bool) -> str:
    """The whole answer in a sentence or two."""
    found, scope = answer.found, answer.scope
    if found.order is None:
        if not found.proved:
            return f"No good order of {answer.name} was found in time; there may be one."
        if rework:
            return f"No order of {answer.name} works, even with rework: what fails cannot be recovered by any step."
        return f"No order of {answer.name} works: what its operations need contradicts itself."
    cost = found.cost
    if not scope.inside or cost is None:
        return f"Nothing is left to do in {answer.name}."
    parts = []
    if rework:
        put_in = [op for op in found.order if op.step.rework]
        parts.append(
            f"{counted(cost.rework, 'rework operation')} put in{_price(put_in)}" if cost.rework else "no rework"
        )
    parts.append(
        counted(cost.set_ups, "set-up change")
        + (f" ({found.written.set_ups} as written)" if found.written.set_ups != cost.set_ups else "")
    )
    departs = (
        f"{counted(cost.departures, 'pair')} the other way round than written" if cost.departures else "as written"
    )
    parts.append(departs)
    best = "proved best" if found.proved else f"best found in time; no order has fewer than {found.least_set_ups}"
    if found.proved and not found.departures_proved:
        best = "proved best in rework and set-ups" if rework else "proved best in set-ups"
        best += "; an order nearer to the written one may exist"
    failing = (
        f" As written {counted(found.failing, 'need')} or turn{'s' if found.failing > 1 else ''} would fail."
        if (found.failing)
        else ""
    )
    return f"A good order of {answer.name}: {', '.join(parts)}; {best}.{failing}"


def _price(put_in: Sequence[Operation]) -> str:
    """What rework takes, worked and waited for."""
    worked = sum(op.step.time or 0 for op in put_in)
    waited = sum(op.step.wait for op in put_in)
    parts = [show_duration(worked)] if worked else []
    parts += [f"{show_duration(waited)} of waiting"] if waited else []
    return f" ({' and '.join(parts)})" if parts else ""


def core_lines(plan: Plan, answer: Answer) -> list[str]:
    """Why there is no order, need by need, and what could give way."""
    ops = [*answer.scope.inside, *answer.scope.behind]
    lines = [_contradiction(plan, ops, pair) for pair in answer.core or ()]
    ways = []
    for name, what, is_step in answer.core or ():
        if is_step:
            ways.append(f"let {name} not come after {what}")
            continue
        if not any(condition_of(plan, f) == what for op in plan.reworks.values() for f in (op.gives | op.job_gives)):
            ways.append(f"add a rework step that gives {what}")
        if not name.startswith("("):
            ways.append(f"drop the need of {name}, or part its step in two")
    return [*lines, *([f"what could give way: {'; or '.join(dict.fromkeys(ways))}"] if ways else [])]


def _contradiction(plan: Plan, ops: Sequence[Operation], pair: Pair) -> str:
    name, what, is_step = pair
    if is_step:
        return f"{name} comes after {what}"

    def touching(facts_of: str) -> list[str]:
        found = []
        for op in ops:
            facts = (op.gives | op.job_gives | op.at_once) if facts_of == "gives" else (op.spoils | op.late_spoils)
            if op.name != name and any(condition_of(plan, fact) == what for fact in facts):
                found.append(op.name)
        return found

    givers, spoilers = touching("gives"), touching("spoils")
    owes = "is owed" if name.startswith("(") else "needs"
    said = f"{name} {owes} {what}"
    if not givers:
        said += ", which nothing here gives"
    else:
        said += (
            f", which {'only ' if len(givers) == 1 else ''}{_some(givers)} {'gives' if len(givers) == 1 else 'give'}"
        )
    if spoilers:
        said += f" and {_some(spoilers)} {'spoils' if len(spoilers) == 1 else 'spoil'}"
    return said


def _some(names: Sequence[str]) -> str:
    shown = ", ".join(names[:3])
    return f"{shown} and {len(names) - 3} more" if len(names) > 3 else shown
