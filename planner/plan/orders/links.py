"""What binds two operations: the partial order behind a good order.

``links_of(plan, done, order)`` is what other modules take: for the operations of ``order``, by their index in it,
which must come before which, why, and how long after the end of the one the other may begin. Every order that keeps
the links is as good as the one they were made of: each need is met by the same giver, and nothing that spoils comes
between. What already fails in ``order`` binds nothing. What was ticked is not in it: waits that run since a tick are
the live state's to tell.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import pairwise
from typing import NamedTuple

from planner.plan.debts import LONG_WAIT, Owed, episodes_of, owed_facts
from planner.plan.expand import Key, Operation, Plan, effective_turns, side_order, step_key
from planner.plan.machine import Machine, machine_of
from planner.plan.model import ALTERNATE, SIDE_FIRST
from planner.plan.stories import condition_of
from planner.plan.turns import has_turns

#: What a link is: the one gives what the other relies on; the one spoils what the other needs or gives; and the rest.
GIVES, SPOILS, AFTER, TURN, ROUND = "gives", "spoils", "after", "turn", "round"


class Link(NamedTuple):
    """Two operations, as indexes of the order, that may not change places."""

    before: int
    after: int
    because: str  # a grounded condition (gives, spoils), a step's id (after), else the kind itself
    kind: str
    wait: int  # seconds that must pass after the end of the first; 0 where nothing is waited for


class Ended(NamedTuple):
    """A give that an end relies on: it stands there when the end comes."""

    before: int
    end: str  # (end), (end 5)
    because: str


class Links(NamedTuple):
    """All that binds an order. ``links`` alone is enough to keep it good; ``ends`` tells what for."""

    links: tuple[Link, ...]
    ends: tuple[Ended, ...]


def links_of(plan: Plan, done: Sequence[Operation], order: Sequence[Operation]) -> Links:
    """What binds the operations of a good order of all that remains after ``done``.

    ``before < after`` in every link, so that the order itself keeps them. Grows with takers times spoilers of each
    fact, which is little in a plan that people write.
    """
    return _Finder(plan, done, order).found()


def neighbours(
    plan: Plan, done: Sequence[Operation], order: Sequence[Operation]
) -> dict[str, tuple[list[str], list[str]]]:
    """For each operation what it waits for and what waits for it, without what another of them stands for already."""
    after: list[set[int]] = [set() for _ in order]
    before: list[set[int]] = [set() for _ in order]
    for link in links_of(plan, done, order).links:
        after[link.before].add(link.after)
        before[link.after].add(link.before)
    found = {}
    for index, op in enumerate(order):
        direct = [each for each in sorted(before[index]) if not after[each] & before[index]]
        later = [each for each in sorted(after[index]) if not before[each] & after[index]]
        found[op.name] = ([order[each].name for each in direct], [order[each].name for each in later])
    return found


class _Finder:
    """One order being looked through."""

    def __init__(self, plan: Plan, done: Sequence[Operation], order: Sequence[Operation]) -> None:
        self.plan = plan
        self.done = done
        self.order = order
        self.machine: Machine = machine_of(plan)
        self.links: dict[tuple[int, int, str, str], int] = {}
        self.ends: dict[Ended, None] = {}
        self.givers: dict[str, list[int]] = {}  # fact -> who really gives it, as indexes of the order
        self.spoilers: dict[str, list[int]] = {}  # fact -> who may spoil it
        self.by_key: dict[Key, list[int]] = {}
        self.spells: dict[str, list[tuple[int, bool]]] = {}  # fact -> from which index on it is true or false
        self.counted: dict[int, frozenset[str]] = {}  # operations whose gives came though they hang on something
        self.opened: dict[str, int] = {}
        self.lent: set[int] = set()  # those among them that somebody relies on
        self._look()

    def _look(self) -> None:
        """Walk the order once: who gives, who may spoil, and when each fact was true."""
        machine, state = self.machine, self.machine.begin()
        for op in self.done:
            machine.do(state, op)
        self.held = machine.facts(state)
        for index, op in enumerate(self.order):
            for key in op.keys:
                self.by_key.setdefault(key, []).append(index)
            if op.counts_when and all(machine.holds(state, fact) for fact in op.counts_when):
                self.counted[index] = op.counts_when
            spoils, gives = machine.do(state, op)
            for fact in spoils:
                if not self._surely_gives(op, fact):
                    self.spoilers.setdefault(fact, []).append(index)
                if fact not in gives:
                    self.spells.setdefault(fact, []).append((index, False))
            for fact in gives:
                self.givers.setdefault(fact, []).append(index)
                self.spells.setdefault(fact, []).append((index, True))

    @staticmethod
    def _surely_gives(op: Operation, fact: str) -> bool:
        """Whether an operation that spoils a fact gives it in the same go, in any order."""
        return fact in op.at_once or (fact in op.gives and op.alone and not op.counts_when)

    def found(self) -> Links:
        """Every link."""
        self._afters()
        self._rounds()
        self._turns()
        for index, op in enumerate(self.order):
            for fact in op.needs:
                self._take(fact, index, index)
        if any(c.word is not None and c.word.owed for c in self.plan.build.conditions.values()) or self.plan.build.end:
            self._debts(owed_facts(self.plan))
        asked: set[int] = set()
        while self.lent - asked:  # gives that count only where something holds, and somebody relies on them
            for index in sorted(self.lent - asked):
                asked.add(index)
                for fact in self.counted[index]:
                    self._take(fact, index, index)
        made = sorted((a, b, why, kind, wait) for (a, b, why, kind), wait in self.links.items())
        return Links(tuple([Link(*each) for each in made]), tuple(self.ends))

    def _link(self, before: int, after: int, because: str, kind: str, wait: int = 0) -> None:
        if before < after:
            key = (before, after, because, kind)
            self.links[key] = max(wait, self.links.get(key, 0))

    # Facts

    def _last(self, fact: str, before: int) -> tuple[bool, int | None]:
        """Whether a fact is true before an index, and since which operation of the order; None: since earlier."""
        holds, since = fact in self.held, None
        for index, becomes in self.spells.get(fact, ()):
            if index >= before:
                break
            if becomes and holds and index not in self.spoilers.get(fact, ()):
                continue  # it was true: who gives it once more is not who it is relied on from
            holds, since = becomes, index
        return holds, since

    def _take(self, fact: str, index: int, before: int) -> None:
        """Bind a taker to its giver and keep spoilers away; ``before``: from where to look back."""
        holds, giver = self._last(fact, before)
        if not holds:
            return
        condition = condition_of(self.plan, fact)
        if giver is not None:
            self._rely(fact, giver)
            self._link(giver, index, condition, GIVES, self.order[giver].step.wait)
        for each in self.spoilers.get(fact, ()):
            if each in (giver, index):
                continue
            if giver is not None and each < giver:
                self._link(each, giver, condition, SPOILS)
            elif each > index:
                self._link(index, each, condition, SPOILS)

    def _rely(self, fact: str, giver: int) -> None:
        """What must be so for a give to come: what it waits for done, and what it counts on true."""
        op = self.order[giver]
        if fact in op.at_once:
            return
        if fact in op.job_gives and not op.alone:
            for each in self.by_key.get(step_key(op), ()):
                self._link(each, giver, condition_of(self.plan, fact), GIVES)
        if giver in self.counted:
            self.lent.add(giver)

    # Steps

    def _afters(self) -> None:
        for index, op in enumerate(self.order):
            for key, step in op.after:
                for each in self.by_key.get(key, ()):
                    self._link(each, index, step, AFTER, self.order[each].step.wait)

    def _rounds(self) -> None:
        """A step's rounds on a side one after the other, a stage's passes too; so too rework put in again."""
        last: dict[tuple[str, str | None], int] = {}
        passes: dict[tuple[int, int], list[int]] = {}
        for index, op in enumerate(self.order):
            if op.round is not None or op.step.rework:
                key = (op.step.id, op.side)
                if key in last:
                    self._link(last[key], index, ROUND, ROUND, op.step.wait if op.round is not None else 0)
                last[key] = index
            if op.lap is not None:
                passes.setdefault((op.stage, op.lap), []).append(index)
        for (stage, lap), mine in passes.items():
            for before in mine:
                for after in passes.get((stage, lap + 1), ()):
                    self._link(before, after, ROUND, ROUND)

    def _turns(self) -> None:
        steps: dict[tuple[str, int | None], list[int]] = {}
        for index, op in enumerate(self.order):
            if has_turns(op.step):
                steps.setdefault((op.step.id, op.lap), []).append(index)
        for mine in steps.values():
            first = self.order[mine[0]]
            stage = self.plan.stages[first.stage][1]
            turns = effective_turns(first.step, stage.pace)
            rounds = {i: 1 if first.lap is not None else self.order[i].round or 1 for i in mine}
            if turns == SIDE_FIRST:
                sides: dict[str | None, list[int]] = {}
                for i in mine:
                    sides.setdefault(self.order[i].side, []).append(i)
                groups = list(sides.values())
                for earlier, later in pairwise(groups):
                    self._link(earlier[-1], later[0], TURN, TURN)
                continue
            if turns == ALTERNATE:
                for i in mine:
                    for other in mine:
                        if rounds[other] == rounds[i] - 1:
                            self._link(other, i, TURN, TURN)
                continue
            rank = {side: place for place, side in enumerate(side_order(first.step, stage))}
            for i in mine:
                for other in mine:
                    side, mate = self.order[i].side, self.order[other].side
                    if rounds[other] == rounds[i] and side and mate and rank[mate] < rank[side]:
                        self._link(other, i, TURN, TURN)

    # Debts

    def _debts(self, owed: Mapping[str, Owed]) -> None:
        every = episodes_of(self.plan, (*self.done, *self.order))
        known = every[len(self.done) :]
        self.opened = self._opened(owed, every)
        last = {number: index for index, number in enumerate(known)}
        for fact, what in owed.items():
            touched = fact in self.spoilers or fact in self.givers
            if not touched:
                continue
            if what.by in ("episode", "shift"):
                for number, index in last.items():
                    self._end_of_episode(fact, what.condition, number, index, known)
            if what.by == "shift":
                for index, op in enumerate(self.order):
                    if op.step.wait >= LONG_WAIT and op.step.where == "shop":
                        self._end_of_spell(fact, index)
            self._end(fact, what)

    def _opened(self, owed: Mapping[str, Owed], episodes: Sequence[int]) -> dict[str, int]:
        """Owed facts that what was ticked left open, and the episode in which that was done."""
        state = self.machine.begin()
        found: dict[str, int] = {}
        for index, op in enumerate(self.done):
            were = {fact for fact in op.spoils | op.late_spoils if fact in owed and self.machine.holds(state, fact)}
            _, gives = self.machine.do(state, op)
            for fact in gives:
                found.pop(fact, None)
            found.update({fact: episodes[index] for fact in were if not self.machine.holds(state, fact)})
        return found

    def _end_of_episode(self, fact: str, condition: str, number: int, last: int, known: Sequence[int]) -> None:
        mine = [i for i in self.spoilers.get(fact, ()) if known[i] == number]
        holds, giver = self._last(fact, last + 1)
        if holds and giver is not None:
            if not mine and self.opened.get(fact) != number:
                return
            self._rely(fact, giver)
            for each in mine:
                self._link(each, giver, condition, SPOILS)
            self._link(giver, last, condition, GIVES)
            self.ends[Ended(giver, f"(end {number})", condition)] = None
        elif not holds and mine:
            # Another episode's to close: who opened it stays who opened it.
            self._chain(fact, condition)
            # And where it was closed before another episode opened it anew, that comes before this one ends.
            closing = next((each for each in self.givers.get(fact, ()) if max(mine) < each < last), None)
            if closing is not None:
                self._rely(fact, closing)
                self._link(closing, last, condition, GIVES)

    def _end_of_spell(self, fact: str, index: int) -> None:
        holds, giver = self._last(fact, index + 1)
        if not holds:
            for each in self.givers.get(fact, ()):
                self._link(index, each, condition_of(self.plan, fact), SPOILS)
        elif giver != index:
            self._take(fact, index, index + 1)
        else:
            self._rely(fact, giver)

    def _end(self, fact: str, what: Owed) -> None:
        holds, giver = self._last(fact, len(self.order))
        if what.by == "build" and holds and giver is not None:
            self._rely(fact, giver)
            for each in self.spoilers.get(fact, ()):
                self._link(each, giver, what.condition, SPOILS)
            self.ends[Ended(giver, "(end)", what.condition)] = None
        elif what.by == "build" and not holds:
            # Owed as it stands. Who opened it stays so: what one operation opens on a piece and within it is one debt.
            self._chain(fact, what.condition)
        elif what.by != "build" and fact not in self.held and fact in self.givers:
            self._rely(fact, self.givers[fact][0])

    def _chain(self, fact: str, condition: str) -> None:
        """Keep all that touches a fact in its order."""
        touching = sorted({*self.spoilers.get(fact, ()), *self.givers.get(fact, ())})
        for before, after in pairwise(touching):
            self._link(before, after, condition, SPOILS)
