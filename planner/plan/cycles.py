"""Circles of steps that wait for one another."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.plan.expand import Plan


def circles(plan: Plan) -> list[tuple[str, ...]]:
    """A circle of ``after`` links from every knot of them, as step ids; the first comes after the second.

    Works on operations, so that ``id@own`` links between steps that share no side make no circle. Linear.
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
    found = []
    for knot in knots(waits):
        inside = set(knot)
        path: dict[str, None] = {}
        node = knot[0]
        while node not in path:  # every node of a knot leads on within it, so this comes back to where it was
            path[node] = None
            node = next(each for each in waits[node] if each in inside)
        names = list(path)
        circle = tuple(dict.fromkeys(steps[each] for each in names[names.index(node) :] if each in steps))
        found.append(_from_first(circle, plan))
    return list(dict.fromkeys(found))


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
