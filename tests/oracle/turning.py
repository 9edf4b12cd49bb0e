"""Turns of a step, and whether an order of operations keeps to them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from itertools import permutations

from tests.oracle.planned import side_order
from tests.oracle.shapes import Build, Stage, Step, covered, operation_name

Spot = tuple[int, str | None]  # round and side


@dataclass(frozen=True, slots=True)
class Turns:
    """How a step goes round: its kind of turns and its operations by round and side."""

    kind: str  # alternate, side-first, list; either: alternate or side-first, which is open
    order: tuple[str | None, ...]  # the sides in the order planned
    groups: tuple[dict[Spot, str], ...]  # the operation at each spot; one group a pass


@dataclass(frozen=True, slots=True)
class Breaks:
    """Operations that break the turns, each with the operations that should have come first.

    `certain` by the letter; `possible` also where the letter is silent but an operation runs ahead.
    """

    certain: dict[str, set[str]]
    possible: dict[str, set[str]]

    def first(self) -> set[str]:
        """The first certain break, if there is one."""
        return set(list(self.certain)[:1])


def turns_of(build: Build) -> dict[str, Turns]:
    """The turns of every step with rounds or stated turns."""
    found = {}
    for stage in build.stages():
        for step in stage.steps:
            if not step.rework and (step.rounds > 1 or step.turns is not None):
                found[step.name] = make_turns(step, stage, build.sides)
    return found


def make_turns(step: Step, stage: Stage, sides: tuple[str, ...]) -> Turns:
    """The turns of one step.

    In a side-first stage rounds without stated turns stay with their side; whether an order given outright is
    then held to that, or to `alternate`, the default, is open.
    """
    if isinstance(step.turns, tuple):
        kind = "list"
    elif step.turns is not None:
        kind = step.turns
    else:
        kind = "either" if stage.pace == "side-first" and step.sides != "once" else "alternate"
    here = covered(step, sides)
    groups = []
    for turn in range(1, stage.rounds + 1):
        group: dict[Spot, str] = {}
        for number in range(1, step.rounds + 1):
            label = turn if stage.rounds > 1 else number if step.rounds > 1 else None
            group |= {(number, side): operation_name(step.name, side, label) for side in here}
        groups.append(group)
    return Turns(kind, tuple(side_order(step, stage, sides)), tuple(groups))


def broken_turns(turns: Turns, order: Iterable[str]) -> Breaks:
    """Where an order breaks the turns of one step."""
    listed = list(order)
    if turns.kind != "either":
        return _breaks(turns, listed)
    one, other = _readings(turns, listed)
    # Certain is only that one of the two first breaks is one.
    both = {name: set[str]() for name in one.first() | other.first()} if one.certain and other.certain else {}
    possible = dict(one.possible)
    for name, first in other.possible.items():
        possible[name] = possible.get(name, set()) | first
    return Breaks(both, possible)


def kept(turns: Turns, order: Iterable[str]) -> bool:
    """Whether an order keeps the turns even when everything possible counts as a break."""
    listed = list(order)
    if turns.kind != "either":
        return not _breaks(turns, listed).possible
    return any(not reading.possible for reading in _readings(turns, listed))


def _readings(turns: Turns, order: list[str]) -> tuple[Breaks, Breaks]:
    return _breaks(replace(turns, kind="side-first"), order), _breaks(replace(turns, kind="alternate"), order)


def _breaks(turns: Turns, listed: list[str]) -> Breaks:
    certain: dict[str, set[str]] = {}
    possible: dict[str, set[str]] = {}
    for group in turns.groups:
        of_name = {name: spot for spot, name in group.items()}
        own = [of_name[name] for name in listed if name in of_name]
        for place, spot in enumerate(own):
            done = set(own[:place])
            late = set(own[place + 1 :])
            missing = {other for other in group if other not in done and other != spot}
            sure = {other for other in missing if _must_precede(turns, other, spot, own, group)}
            if sure & late:  # one left out altogether is missed; whether it breaks the turns too is open
                certain[group[spot]] = {group[other] for other in missing}
            if sure or any(_planned_before(turns, other, spot) for other in missing):
                possible[group[spot]] = {group[other] for other in missing}
    return Breaks(certain, possible)


def _must_precede(turns: Turns, other: Spot, spot: Spot, own: list[Spot], group: dict[Spot, str]) -> bool:
    """Whether `other`, not done yet, ought by the letter to have come before `spot`."""
    if turns.kind == "alternate":
        return other[0] < spot[0]
    if turns.kind == "list":
        return other[0] == spot[0] and turns.order.index(other[1]) < turns.order.index(spot[1])
    begun: list[str | None] = []
    for _, side in own[: own.index(spot)]:
        if side not in begun:
            begun.append(side)
    earlier = begun[: begun.index(spot[1])] if spot[1] in begun else begun
    return other[1] in earlier


def _planned_before(turns: Turns, other: Spot, spot: Spot) -> bool:
    """Whether the step, left to itself, does `other` first."""
    first, second = ((at[0], turns.order.index(at[1])) for at in (other, spot))
    if turns.kind == "side-first":
        return first[::-1] < second[::-1]
    if turns.kind == "alternate":
        return first[0] < second[0]  # within a round alternate leaves the sides free
    return first < second


def consistent(step: Step, stage: Stage, sides: tuple[str, ...], order: Iterable[str]) -> bool:
    """Whether an order of a step's operations follows alternate, side-first or some list."""
    listed = list(order)
    here = [side for side in covered(step, sides) if side is not None]
    options: list[str | tuple[str, ...]] = ["alternate", "side-first"]
    options += list(permutations(here)) if here else []
    tried = [make_turns(replace(step, turns=option), stage, sides) for option in options]
    return any(not broken_turns(turns, listed).certain for turns in tried)
