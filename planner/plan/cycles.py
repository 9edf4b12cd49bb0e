"""Circles of steps that wait for one another: by ``after`` links, and by needs that only one step can give."""

from __future__ import annotations

from collections.abc import Mapping, Sequence, Set
from typing import NamedTuple

from planner.plan.expand import Operation, Plan

Link = tuple[str, str]  # an operation, and the fact it waits for or the step that it comes after


class Circle(NamedTuple):
    """Steps of which each waits for the next, the last for the first; whether a need is among what they wait for."""

    steps: tuple[str, ...]
    by_need: bool


class Circles(NamedTuple):
    """The circles of a plan, one from every knot of them, and all links within the knots."""

    found: list[Circle]
    links: frozenset[Link]


def circles(plan: Plan, failing: Set[Link] | None = None) -> Circles:
    """A circle from every knot of links; the first step waits for the second. Linear.

    Works on operations, so that ``id@own`` links between steps that share no side make no circle. An operation waits
    for all that complete the steps it comes after, and for all that complete a fact which does not hold at the start
    and which only one step gives, on one side or once for all; rework apart. ``failing``: the links that fail as the
    plan is walked; where none of a knot's needs does, something put in has undone the knot.
    """
    waits: dict[str, list[str]] = {}  # operations, and what they help to complete -> what these wait for
    steps: dict[str, str] = {}
    for op in (*plan.operations, *plan.left_out):
        name = f"op {op.name}"
        if op.after:
            waits.setdefault(name, []).extend(f"key {key}" for key, _ in op.after)
            steps[name] = op.step.id
        for key in op.keys:
            waits.setdefault(f"key {key}", []).append(name)
    needed = _needed(plan) if failing is None or any(failing) else {}
    for fact, givers in needed.items():
        waits[f"fact {fact}"] = [f"op {giver}" for giver in givers]
    for op in (*plan.operations, *plan.left_out) if needed else ():
        facts = [fact for fact in op.needs if fact in needed] if not op.step.rework else []
        if facts:
            waits.setdefault(f"op {op.name}", []).extend(f"fact {fact}" for fact in facts)
            steps[f"op {op.name}"] = op.step.id
    found: list[Circle] = []
    links: set[Link] = set()
    for knot in knots(waits):
        inside = set(knot)
        own = _links(plan, inside)
        if failing is not None and failing.isdisjoint(own) and any(node.startswith("fact ") for node in knot):
            continue
        links |= own
        path: dict[str, None] = {}
        node = knot[0]
        while node not in path:  # every node of a knot leads on within it, so this comes back to where it was
            path[node] = None
            node = next(each for each in waits[node] if each in inside)
        names = list(path)[list(path).index(node) :]
        circle = tuple(dict.fromkeys(steps[each] for each in names if each in steps))
        found.append(Circle(_from_first(circle, plan), any(each.startswith("fact ") for each in names)))
    return Circles(list(dict.fromkeys(found)), frozenset(links))


def _links(plan: Plan, inside: Set[str]) -> set[Link]:
    """The links of the operations of a knot that lead on within it."""
    links: set[Link] = set()
    for node in inside:
        if node.startswith("op "):
            op = plan.by_name[node[3:]]
            links.update([(op.name, fact) for fact in op.needs if f"fact {fact}" in inside])
            links.update([(op.name, step) for key, step in op.after if f"key {key}" in inside])
    return links


def _needed(plan: Plan) -> dict[str, list[str]]:
    """The facts that do not hold at the start and only one step gives, and all operations that complete them.

    Where it gives one on several sides, each of them does, so nothing has to wait for all.
    """
    start = plan.build.start
    members: dict[tuple[str, str | None, bool], list[Operation]] = {}
    givers: dict[str, set[tuple[str, str | None, bool]]] = {}
    for op in plan.by_name.values():
        if op.step.rework or op.lap not in (None, 1):  # the first pass gives it
            continue
        mine, all_of_it = (op.step.id, op.side, False), (op.step.id, None, True)
        members.setdefault(mine, []).append(op)
        members.setdefault(all_of_it, []).append(op)
        for fact in op.gives:
            if fact not in start:
                givers.setdefault(fact, set()).add(mine)
        for fact in op.job_gives:
            if fact not in start:
                givers.setdefault(fact, set()).add(all_of_it)
        for fact in op.at_once:
            givers.setdefault(fact, set()).update((mine, ("", None, False)))  # whatever else is open
    return {
        fact: [op.name for op in members[next(iter(groups))]] for fact, groups in givers.items() if len(groups) == 1
    }


def knots(graph: Mapping[str, Sequence[str]]) -> list[list[str]]:
    """The strongly connected parts of a graph that hold a circle (Tarjan 1972), without recursion."""
    order: dict[str, int] = {}
    low: dict[str, int] = {}
    stack: list[str] = []
    on_stack: set[str] = set()
    found = []
    for root in graph:
        if root in order:
            continue
        work = [(root, iter(graph[root]))]
        order[root] = low[root] = len(order)
        stack.append(root)
        on_stack.add(root)
        while work:
            node, targets = work[-1]
            for target in targets:
                if target not in graph:
                    continue
                if target not in order:
                    order[target] = low[target] = len(order)
                    stack.append(target)
                    on_stack.add(target)
                    work.append((target, iter(graph[target])))
                    break
                if target in on_stack:
                    low[node] = min(low[node], order[target])
            else:
                work.pop()
                if work:
                    low[work[-1][0]] = min(low[work[-1][0]], low[node])
                if low[node] == order[node]:
                    part: list[str] = []
                    while not part or part[-1] != node:
                        part.append(stack.pop())
                        on_stack.discard(part[-1])
                    if len(part) > 1 or node in graph[node]:
                        found.append(part[::-1])
    return found


def _from_first(circle: tuple[str, ...], plan: Plan) -> tuple[str, ...]:
    """The circle turned so that the step that stands first in the plan leads."""
    rank = {step.id: index for index, step in enumerate(s for _, stage in plan.stages for s in stage.steps)}
    at = min(range(len(circle)), key=lambda i: rank[circle[i]])
    return circle[at:] + circle[:at]
