"""What a repair does, and why it helps, as data. Words are made of it at the edge (telling.repair)."""

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
    """A rework operation, or one that a sequence left out, put in right before another or right after it."""

    op: str
    by: str
    before: bool


class AddSides(NamedTuple):
    """A step done on more sides: those it has then, in the build's order."""

    step: str
    sides: tuple[str, ...]
    added: tuple[str, ...]


Single = Turns | Pace | MoveStep | MoveOperation | MoveBlock | PutIn | AddSides


class Two(NamedTuple):
    """Two changes at once, where no single one helps."""

    first: Single
    second: Single


Change = Single | Two


class Why(NamedTuple):
    """Why it helps. ``how``: ``given`` (``op`` gives it in time), ``kept`` (``op`` undoes it only afterwards),
    ``complete`` (the step ``op`` is complete in time), ``sides`` (no side is forgotten), ``balance`` (the sides go by
    turns), ``turn`` (nothing is out of its turn), or ``holds`` (nothing has undone it by then)."""

    how: str
    op: str | None = None


def mover(change: Change) -> tuple[str, ...]:
    """What a change is about: two changes of the same are variations of one idea."""
    if isinstance(change, Two):
        return ("two", *mover(change.first), *mover(change.second))
    if isinstance(change, Pace):
        return ("pace", str(change.stage))
    if isinstance(change, (MoveOperation, PutIn)):
        return ("step", step_of(change.op))
    return ("turns" if isinstance(change, Turns) else "step", change.step)


def moved(change: Change, names: Iterable[str]) -> set[str]:
    """Those of the operations that a change moves as such; turns and pace move none, they order them otherwise."""
    if isinstance(change, Two):
        names = list(names)
        return moved(change.first, names) | moved(change.second, names)
    if isinstance(change, MoveOperation):
        return {name for name in names if name == change.op}
    if isinstance(change, (MoveStep, MoveBlock)):
        return {name for name in names if step_of(name) == change.step}
    return set()
