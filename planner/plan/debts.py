"""What was opened and must be closed again by the end of a spell, an episode or the build."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.machine import machine_of
from planner.plan.pieces import Grounding

LONG_WAIT = 6 * 3600  # seconds after which a spell in the shop is over

END = "(end)"


class Debt(NamedTuple):
    """Facts of one condition that are still open when they are due."""

    at: str  # (end), (end 5), or the operation whose wait ends the spell
    position: int  # in the order; its length for an end
    condition: str
    cause: int | None  # who opened them
    facts: tuple[str, ...]
    history: bool


class Owed(NamedTuple):
    """A fact that must hold again by a time, and what it is about."""

    condition: str
    by: str
    name: str
    piece: str | None


def owed_facts(plan: Plan) -> dict[str, Owed]:
    """Every fact of the plan that is owed at some time."""
    build = plan.build
    if not build.end and not any(c.word is not None and c.word.owed for c in build.conditions.values()):
        return {}
    grounding = Grounding(build)
    found: dict[str, Owed] = {}
    for name, item in build.conditions.items():
        owed = None if item.word is None else item.word.owed
        sides: tuple[str | None, ...] = (item.sides or build.sides) if item.on_side else (None,)
        for side in sides:
            condition = name if side is None else f"{name}@{side}"
            by = "build" if condition in build.end else owed
            for fact in grounding.facts(name, side) if by is not None else ():
                part = grounding.parts.get(fact)
                found[fact] = Owed(condition, by or "", name, item.piece if part is None else part.piece)
    return found


def episodes_of(plan: Plan, order: Sequence[Operation]) -> list[int]:
    """The episode in which each operation stands; rework and doings again stand with the planned one before them."""
    found: list[int] = []
    seen: set[str] = set()
    for op in order:
        stays = (op.step.rework or op.name in seen) and found
        found.append(found[-1] if stays else plan.stages[op.stage][0].number)
        seen.add(op.name)
    return found


def open_debts(
    plan: Plan, order: Sequence[Operation], ticked: int, owed: Mapping[str, Owed] | None = None
) -> list[Debt]:
    """Every debt that is open when it is due, in the order walked; ``owed``: owed_facts, where it is known."""
    if owed is None:
        owed = owed_facts(plan)
    if not owed:
        return []
    machine = machine_of(plan)
    state = machine.begin()
    open_: dict[str, int | None] = {fact: None for fact in owed if not machine.holds(state, fact)}
    episodes = episodes_of(plan, order)
    last = {number: index for index, number in enumerate(episodes)}
    found: list[Debt] = []
    watched = frozenset(owed)
    for index, op in enumerate(order):
        spoils, gives = machine.do(state, op)
        if not spoils.isdisjoint(watched):
            for fact in spoils & watched:
                if fact not in open_ and fact not in gives:
                    open_[fact] = index
        if not gives.isdisjoint(watched):
            for fact in gives & watched:
                open_.pop(fact, None)
        if op.step.wait >= LONG_WAIT and op.step.where == "shop":
            due = {f: i for f, i in open_.items() if i is not None and owed[f].by == "shift"}
            found += _debts(plan, owed, due, op.name, index)
        if last[episodes[index]] == index:
            number = episodes[index]
            due = {
                f: i
                for f, i in open_.items()
                if i is not None and owed[f].by in ("episode", "shift") and episodes[i] == number
            }
            found += _debts(plan, owed, due, f"(end {number})", index)
    at_end = {f: i for f, i in open_.items() if i is None or owed[f].by == "build"}
    found += _debts(plan, owed, at_end, END, len(order))
    return [
        debt._replace(
            history=debt.at != END
            and debt.position < ticked
            and not any(open_.get(f, -1) == debt.cause for f in debt.facts)
        )
        for debt in found
    ]


def _debts(plan: Plan, owed: Mapping[str, Owed], due: Mapping[str, int | None], at: str, position: int) -> list[Debt]:
    if not due:
        return []
    grounding = Grounding(plan.build)
    groups: dict[tuple[str, int | None], list[str]] = {}
    for fact in owed:
        if fact in due and not _under_another(grounding, owed, due, fact):
            groups.setdefault((owed[fact].condition, due[fact]), []).append(fact)
    return [Debt(at, position, condition, cause, tuple(facts), False) for (condition, cause), facts in groups.items()]


def _under_another(grounding: Grounding, owed: Mapping[str, Owed], due: Mapping[str, int | None], fact: str) -> bool:
    """Whether the same operation opened the same word on a piece that this one's piece is inside."""
    mine = owed[fact]
    word = mine.name.rpartition(".")[2]
    side = mine.condition.partition("@")[2]
    if due[fact] is None or mine.piece is None:
        return False
    return any(
        owed[other].piece is not None
        and owed[other].name.rpartition(".")[2] == word
        and owed[other].condition.partition("@")[2] == side
        and grounding.tree.is_inside(mine.piece, owed[other].piece or "")
        for other, cause in due.items()
        if cause == due[fact] and other != fact
    )
