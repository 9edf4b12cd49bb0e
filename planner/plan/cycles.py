"""Circles of steps that wait for one another."""

from __future__ import annotations

from planner.plan.expand import Key, Operation, Plan

Node = Operation | Key


def circles(plan: Plan) -> list[tuple[str, ...]]:
    """Each circle of ``after`` links that can never be satisfied, as step ids; the first waits for the second.

    Works on operations, so that ``id@own`` links between steps that share no side make no circle. Linear.
    """
    waits: dict[str, list[str]] = {}  # operations and keys by a printable name -> what they wait for
    steps: dict[str, str] = {}
    for op in (*plan.operations, *plan.left_out):
        if op.after:
            waits.setdefault(f"op {op.name}", []).extend(f"key {key}" for key, _ in op.after)
            steps[f"op {op.name}"] = op.step.id
        for key in op.keys:
            waits.setdefault(f"key {key}", []).append(f"op {op.name}")
    stuck = _stuck(waits)
    found: list[tuple[str, ...]] = []
    visited: dict[str, int] = {}
    for number, first in enumerate(waits):
        path: list[str] = []
        node = first
        while node in stuck and node not in visited:
            visited[node] = number
            path.append(node)
            node = next(each for each in waits[node] if each in stuck)
        if path and visited.get(node) == number:
            circle = [steps[each] for each in path[path.index(node) :] if each in steps]
            found.append(tuple(dict.fromkeys(circle)))
    return list(dict.fromkeys(_from_first(circle, plan) for circle in found))


def _stuck(waits: dict[str, list[str]]) -> set[str]:
    """The nodes that wait, directly or not, for themselves or for a node that does."""
    left = {node: sum(1 for each in others if each in waits) for node, others in waits.items()}
    waiting_for: dict[str, list[str]] = {}
    for node, others in waits.items():
        for each in others:
            waiting_for.setdefault(each, []).append(node)
    free = [node for node, count in left.items() if count == 0]
    while free:
        for node in waiting_for.get(free.pop(), ()):
            left[node] -= 1
            if left[node] == 0:
                free.append(node)
    return {node for node, count in left.items() if count > 0}


def _from_first(circle: tuple[str, ...], plan: Plan) -> tuple[str, ...]:
    """The circle turned so that the step that stands first in the plan leads."""
    rank = {step.id: index for index, step in enumerate(s for _, stage in plan.stages for s in stage.steps)}
    at = min(range(len(circle)), key=lambda i: rank[circle[i]])
    return circle[at:] + circle[:at]
