"""What was opened and must be closed again by the end of a spell, an episode or the build."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.machine import machine_of
from planner.plan.model import Step
from planner.plan.pieces import Grounding

LONG_WAIT = 6 * 3600  # seconds after which a spell in the shop is over

END = "(end)"

SIGN_OFF, SIGNED = "sign-off", "signed"  # the kind of work that lists the debts which stand, and its word


def is_sign_off(step: Step) -> bool:
    """Whether a step signs work off: by its kind's name, or since its kind, called otherwise, gives what that does."""
    return step.kind == SIGN_OFF or any(ref.through and ref.name.endswith(f".{SIGNED}") for ref in step.gives)


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


def standing_debts(plan: Plan, done: Sequence[Operation]) -> list[str]:
    """The owed conditions that what was done has opened and not closed again, each once, as they are declared."""
    owed = owed_facts(plan) if done else {}
    opened = opened_facts(plan, owed, done)
    return list(dict.fromkeys(item.condition for fact, item in owed.items() if fact in opened))


def opened_facts(plan: Plan, owed: Mapping[str, Owed], done: Sequence[Operation]) -> set[str]:
    """Of the facts that are owed, those that what was done has opened and not closed again."""
    if not owed or not done:
        return set()
    machine = machine_of(plan)
    state = machine.begin()
    true = {fact for fact in owed if machine.holds(state, fact)}
    opened: set[str] = set()
    for op in done:
        spoils, gives = machine.do(state, op)
        gone = {fact for fact in spoils if fact in true and fact not in gives}
        came = {fact for fact in gives if fact in owed}
        true = (true - gone) | came if gone or came else true
        opened = (opened | gone) - came if gone or came else opened
    return opened


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
    by_end: dict[int, dict[str, None]] = {}  # facts opened in an episode and due at its end, closed since or not
    by_shift: dict[str, None] = {}  # open facts that are due at the end of a spell
    grouping = _Grouping(plan, owed)
    for index, op in enumerate(order):
        spoils, gives = machine.do(state, op)
        if not spoils.isdisjoint(watched):
            for fact in spoils & watched:
                if fact not in open_ and fact not in gives:
                    open_[fact] = index
                    if owed[fact].by in ("episode", "shift"):
                        by_end.setdefault(episodes[index], {})[fact] = None
                    if owed[fact].by == "shift":
                        by_shift[fact] = None
        if not gives.isdisjoint(watched):
            for fact in gives & watched:
                open_.pop(fact, None)
                by_shift.pop(fact, None)
        if op.step.wait >= LONG_WAIT and op.step.where == "shop":
            found += grouping.debts({f: open_[f] for f in by_shift}, op.name, index)
        if last[episodes[index]] == index:
            number = episodes[index]
            due = {}
            for fact in by_end.get(number, ()):
                opener = open_.get(fact)
                if opener is not None and episodes[opener] == number:
                    due[fact] = opener
            found += grouping.debts(due, f"(end {number})", index)
    at_end = {f: i for f, i in open_.items() if i is None or owed[f].by == "build"}
    found += grouping.debts(at_end, END, len(order))
    return [
        debt._replace(
            history=debt.at != END
            and debt.position < ticked
            and not any(open_.get(f, -1) == debt.cause for f in debt.facts)
        )
        for debt in found
    ]


class _Grouping:
    """Makes debts of open facts, one a condition and opener; costs what is open, not what is owed."""

    def __init__(self, plan: Plan, owed: Mapping[str, Owed]) -> None:
        self._owed = owed
        self._build = plan.build
        self._rank: dict[str, int] = {}
        self._grounding: Grounding | None = None

    def debts(self, due: Mapping[str, int | None], at: str, position: int) -> list[Debt]:
        """The debts at an end; of what one operation opened on a piece and those inside it the outermost alone."""
        if not due:
            return []
        if self._grounding is None:
            self._grounding = Grounding(self._build)
            self._rank = {fact: index for index, fact in enumerate(self._owed)}
        opened: dict[tuple[int | None, str, str], set[str]] = {}
        for fact, cause in due.items():
            piece = self._owed[fact].piece
            if piece is not None:
                opened.setdefault((cause, *self._about(fact)), set()).add(piece)
        groups: dict[tuple[str, int | None], list[str]] = {}
        for fact in sorted(due, key=self._rank.__getitem__):
            mine, cause = self._owed[fact], due[fact]
            if cause is not None and mine.piece is not None:
                others = opened[(cause, *self._about(fact))]
                if any(above in others for above in self._grounding.tree.above(mine.piece) if above != mine.piece):
                    continue
            groups.setdefault((mine.condition, cause), []).append(fact)
        return [Debt(at, position, where, cause, tuple(facts), False) for (where, cause), facts in groups.items()]

    def _about(self, fact: str) -> tuple[str, str]:
        """The word of a fact, and its side."""
        mine = self._owed[fact]
        return mine.name.rpartition(".")[2], mine.condition.partition("@")[2]
