"""What a repair does, as data."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from planner.plan.names import step_of


class Turns(NamedTuple):
    """Other turns for a step."""

    step: str
    turns: str | tuple[str, ...]


class Pace(NamedTuple):
    """Another pace for a stage, by its index in the plan."""

    stage: int
    pace: str


class MoveStep(NamedTuple):
    """A step put before the step at place ``spot`` of a stage (by index), counted without the step itself."""

    step: str
    stage: int
    spot: int


class MoveOperation(NamedTuple):
    """One operation done right before another, or right after it."""

    op: str
    by: str
    before: bool


class MoveBlock(NamedTuple):
    """All operations of a step done in one go, right before an operation or after it; ``by`` None: first of all."""

    step: str
    by: str | None
    before: bool


class PutIn(NamedTuple):
    """A rework operation put in before another."""

    op: str
    before: str


Change = Turns | Pace | MoveStep | MoveOperation | MoveBlock | PutIn


def moved(change: Change, names: Iterable[str]) -> set[str]:
    """Those of the operations that a change moves as such; turns and pace move none, they order them otherwise."""
    if isinstance(change, MoveOperation):
        return {name for name in names if name == change.op}
    if isinstance(change, (MoveStep, MoveBlock)):
        return {name for name in names if step_of(name) == change.step}
    return set()
