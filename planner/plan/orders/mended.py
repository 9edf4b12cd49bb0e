"""A good order near the written one: one repair after the other, as `check` proposes them, until nothing fails."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from planner.plan.expand import Operation
from planner.plan.findings import Order, check
from planner.plan.model import NOTICE, Finding
from planner.plan.orders.scope import Scope
from planner.plan.repairs import find_repairs

_MOST = 12  # repairs in a row


def _any(finding: Finding) -> bool:
    return finding.level != NOTICE


def mended(
    scope: Scope,
    stop: Callable[[], bool],
    *,
    rework: bool,
    matters: Callable[[Finding], bool] = _any,
    most: int = _MOST,
) -> Iterator[tuple[Operation, ...]]:
    """The orders of a scope that repairs lead to, each with less wrong than the one before; not all of them good.

    ``matters``: what is to be mended; ``most``: repairs in a row.
    """
    inside: Sequence[Operation] = scope.inside
    for _ in range(most):
        better = _better(scope, inside, stop, matters, rework=rework)
        if better is None:
            return
        inside = better
        yield better


def _better(
    scope: Scope,
    inside: Sequence[Operation],
    stop: Callable[[], bool],
    matters: Callable[[Finding], bool],
    *,
    rework: bool,
) -> tuple[Operation, ...] | None:
    plan, known = scope.plan, scope.plan.by_name
    whole = scope.whole(inside)
    done, rest = whole[: scope.ahead], whole[scope.ahead :]
    findings = [
        finding for finding in check(plan, Order(whole, len(scope.done))) if not finding.history and matters(finding)
    ]
    if not findings or stop():
        return None
    found = find_repairs(plan, done, rest, findings, stop)
    behind = [op.name for op in scope.behind]
    for finding in findings:
        every = (found.by_finding.get(finding.id), *found.further.get(finding.id, ()))
        for repair in every:
            if repair is None or repair.partial:
                continue
            names = list(repair.order[scope.ahead :])
            size = len(names) - len(behind)
            put_in = size - len(inside)
            if names[size:] == behind and put_in >= 0 and (rework or not put_in):
                order = tuple([known[name] for name in names[:size]])
                if rework or not any(op.step.rework and op not in inside for op in order):
                    return order
    return None
