"""A scope compiled for a search: operations as masks of whole numbers, a state as a short tuple.

Where the walk of the machine judges a whole plan, this knows only what can make a difference inside the scope. What it
finds is judged again by the walk before anybody is told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.plan.debts import LONG_WAIT, Owed, episodes_of, owed_facts
from planner.plan.expand import Key, Operation, effective_turns, side_key, side_order, step_key
from planner.plan.machine import machine_of
from planner.plan.model import ALTERNATE, SIDE_FIRST
from planner.plan.orders.scope import Judged, Pair, Scope
from planner.plan.pieces import Tree
from planner.plan.stories import condition_of
from planner.plan.turns import has_turns


class State(NamedTuple):
    """Where the work stands inside the scope."""

    done: int  # a bit an operation, rework among them where somebody asks
    facts: int
    debts: int  # a bit for each owed fact and the episode in which it was opened
    setup: str | None
    episode: int


class Doing(NamedTuple):
    """What an operation asks and does."""

    op: Operation
    bit: int
    rework: bool
    needs: int
    before: int  # operations that must be done first
    blocked: bool  # what it must come after can never be complete
    turns: tuple[tuple[int, int], ...]  # side-first: the operations of each other side, and those of its own
    counts: int
    spoils: int
    late: int
    gives: int
    job: int
    at_once: int
    side: int  # operations that complete its side; -1: never here
    step: int
    setup: str | None
    episode: int
    due: int  # debts that may not be open after it


class Task(NamedTuple):
    """All of it. ``start``: the state the search begins in; ``goal``: facts that what stands behind relies on."""

    scope: Scope
    written: Judged
    ignored: frozenset[Pair]
    items: tuple[Pair, ...]  # every need and step to come after that is kept, the ends among them
    doings: tuple[Doing, ...]  # those of the scope in written order, then rework
    size: int  # of the scope's own
    start: State
    goal: int
    once: int  # facts that never held and are owed at the very end, unless they were opened anew
    owed: int  # facts owed by the end of an episode or a spell
    debt_bits: Mapping[tuple[int, int], int]  # bit of a fact, episode -> bit of the debt
    debts_of: Mapping[int, int]  # bit of a fact -> all its debts
    episodes: Mapping[int, int]  # episode -> its operations inside; -1: it goes on behind
    due: Mapping[int, int]  # episode -> debts that may not be open when it ends


def compile_scope(
    scope: Scope, written: Judged, ignored: frozenset[Pair] = frozenset(), *, rework: bool = False, fixture: bool = True
) -> Task:
    """Compile a scope. ``ignored`` needs are not asked; with ``rework`` it may be put in; without ``fixture``
    set-ups do not count."""
    return _Compiler(scope, written, ignored, rework, fixture).task()


class _Compiler:
    def __init__(self, scope: Scope, written: Judged, ignored: frozenset[Pair], rework: bool, fixture: bool) -> None:
        self.scope, self.written, self.ignored, self.fixture = scope, written, ignored, fixture
        self.plan = scope.plan
        self.ops = [*scope.inside, *(scope.plan.reworks.values() if rework else ())]
        self.size = len(scope.inside)
        self.numbers: dict[str, int] = {}
        self.items: dict[Pair, None] = {}
        self.owed: Mapping[str, Owed] = owed_facts(self.plan)
        self.tree = Tree(self.plan.build.pieces, self.plan.build.sides)
        self.folding = {fact for fact in self.owed if self._folds(fact)}
        past = {op.name for op in (*scope.done, *scope.before)}
        self.by_key: dict[Key, int] = {}
        self.never: set[Key] = set()  # keys that somebody outside would have to complete
        inside = {op.name for op in self.ops}
        for index, op in enumerate(self.ops):
            for key in op.keys:
                self.by_key[key] = self.by_key.get(key, 0) | (0 if op.name in past else 1 << index)
        for op in self.plan.by_name.values():
            if op.name not in past and op.name not in inside:
                self.never.update(op.keys)
        self.debt_bits: dict[tuple[int, int], int] = {}
        self.turned = self._turns()

    def mask(self, facts: frozenset[str]) -> int:
        """Facts as bits."""
        found = 0
        for fact in facts:
            found |= 1 << self.numbers.setdefault(fact, len(self.numbers))
        return found

    def task(self) -> Task:
        plan, scope = self.plan, self.scope
        machine, state = machine_of(plan), machine_of(plan).begin()
        past = (*scope.done, *scope.before)
        known = episodes_of(plan, past)
        openers: dict[str, int] = {}
        last_setup = None
        for index, op in enumerate(past):
            were = {f for f in op.spoils | op.late_spoils if f in self.owed and machine.holds(state, f)}
            _, gives = machine.do(state, op)
            for fact in gives:
                openers.pop(fact, None)
            openers.update({fact: known[index] for fact in were if not machine.holds(state, fact)})
            last_setup = op.step.setup or last_setup
        episodes: dict[int, int] = {}
        for index, op in enumerate(scope.inside):
            number = plan.stages[op.stage][0].number
            episodes[number] = episodes.get(number, 0) | 1 << index
        for number in {*openers.values(), *known[-1:]}:
            episodes.setdefault(number, 0)
        for op in scope.behind:
            episodes[plan.stages[op.stage][0].number] = -1
        timed = [fact for fact, owed in self.owed.items() if owed.by in ("episode", "shift")]
        bits = self.debt_bits
        debts_of: dict[int, int] = {}
        places: dict[tuple[str, int], int] = {}
        for fact in timed:
            mine = self.mask(frozenset([fact]))
            for number in episodes:
                bit = 1 << len(places)
                places[fact, number] = bit
                bits[mine, number] = bit
                debts_of[mine] = debts_of.get(mine, 0) | bit
        # An end that comes behind the scope is judged there, and is something to ignore all the same.
        due = {
            number: self._due(f"(end {number})", [(fact, places[fact, number]) for fact in timed])
            for number in episodes
        }
        shift = [(fact, bit) for (fact, _), bit in places.items() if self.owed[fact].by == "shift"]
        doings = tuple([self._doing(index, op, shift) for index, op in enumerate(self.ops)])
        goal = self._goal()
        opened = 0
        for fact, number in openers.items():
            opened |= places.get((fact, number), 0)
        facts = 0
        for fact, number in self.numbers.items():
            facts |= machine.holds(state, fact) << number
        start = State(0, facts, opened, last_setup if self.fixture else None, known[-1] if known else -1)
        return Task(
            scope,
            self.written,
            self.ignored,
            tuple(self.items),
            doings,
            self.size,
            start,
            goal,
            self._once(start),
            self.mask(frozenset(timed)),
            bits,
            debts_of,
            episodes,
            due,
        )

    def _keeps(self, item: Pair) -> bool:
        """Whether a need is asked for: not one that is ignored, nor one elsewhere that fails as written."""
        if item in self.written.other:
            return False
        self.items[item] = None
        return item not in self.ignored

    def _folds(self, fact: str) -> bool:
        """Whether a debt may go unsaid since one operation opened the same word on a larger piece too; the walk alone
        judges it."""
        mine = self.owed[fact]
        word, side = mine.name.rpartition(".")[2], mine.condition.partition("@")[2]
        larger = {
            other
            for other, owed in self.owed.items()
            if owed.piece is not None
            and owed.condition != mine.condition
            and owed.name.rpartition(".")[2] == word
            and owed.condition.partition("@")[2] == side
            and self.tree.is_inside(mine.piece or "", owed.piece)
        }
        return bool(larger) and any(
            fact in spoils and not larger.isdisjoint(spoils)
            for spoils in (op.spoils | op.late_spoils for op in self.plan.by_name.values())
        )

    def _due(self, at: str, debts: Sequence[tuple[str, int]]) -> int:
        found = 0
        for fact, bit in debts:
            if self._keeps((at, self.owed[fact].condition, False)) and fact not in self.folding:
                found |= bit
        return found

    def _doing(self, index: int, op: Operation, shift: Sequence[tuple[str, int]]) -> Doing:
        needs = frozenset(f for f in op.needs if self._keeps((op.name, condition_of(self.plan, f), False)))
        before, turns = self.turned.get(index, (0, ()))
        blocked = False
        for key, target in op.after:
            if self._keeps((op.name, target, True)):
                before |= self.by_key.get(key, 0)
                blocked = blocked or key in self.never
        alone = op.alone
        side = 0 if alone else -1 if side_key(op) in self.never else self.by_key[side_key(op)]
        step = 0 if alone else -1 if step_key(op) in self.never else self.by_key[step_key(op)]
        long = op.step.wait >= LONG_WAIT and op.step.where == "shop"
        return Doing(
            op,
            1 << index if index < self.size or not alone else 0,
            index >= self.size,
            self.mask(needs),
            before & ~(1 << index),
            blocked or bool(before >> index & 1),
            turns,
            self.mask(op.counts_when),
            self.mask(op.spoils),
            # What somebody behind the scope would have to complete never comes here.
            self.mask(op.late_spoils) if side >= 0 else 0,
            self.mask(op.gives) if side >= 0 else 0,
            self.mask(op.job_gives) if step >= 0 else 0,
            self.mask(op.at_once),
            side,
            step,
            op.step.setup if self.fixture else None,
            self.plan.stages[op.stage][0].number,
            self._due(op.name, shift) if long else 0,
        )

    def _goal(self) -> int:
        touched: set[str] = set()
        wanted: set[str] = set()
        for op in self.scope.behind:
            for fact in op.needs:
                if self._keeps((op.name, condition_of(self.plan, fact), False)) and fact not in touched:
                    wanted.add(fact)
            for _, step in op.after:
                self._keeps((op.name, step, True))
            if op.step.wait >= LONG_WAIT and op.step.where == "shop":
                for owed in self.owed.values():
                    self._keeps((op.name, owed.condition, False))
            touched |= op.spoils | op.late_spoils | op.gives | op.job_gives | op.at_once
        for fact, owed in self.owed.items():
            if (
                self._keeps(("(end)", owed.condition, False))
                and owed.by == "build"
                and fact not in touched | self.folding
            ):
                wanted.add(fact)
        return self.mask(frozenset(wanted))

    def _once(self, start: State) -> int:
        found = 0
        touched = {fact for op in self.scope.behind for fact in op.gives | op.job_gives | op.at_once | op.spoils}
        for fact, owed in self.owed.items():
            if owed.by != "build" and fact not in touched | self.folding:
                mine = self.mask(frozenset([fact]))
                opened = any(start.debts & bit for (each, _), bit in self.debt_bits.items() if each == mine)
                if not mine & start.facts and not opened and self._keeps(("(end)", owed.condition, False)):
                    found |= mine
        return found

    def _turns(self) -> dict[int, tuple[int, tuple[tuple[int, int], ...]]]:
        """For each operation of the scope: what its turns, rounds and passes want done before it."""
        inside = self.scope.inside
        past = (*self.scope.done, *self.scope.before)
        groups: dict[tuple[str, int | None], list[int]] = {}
        found: dict[int, tuple[int, tuple[tuple[int, int], ...]]] = {}
        for index, op in enumerate(inside):
            groups.setdefault((op.step.id, op.lap), []).append(index)
            found[index] = (0, ())
        for index, op in enumerate(inside):
            before = 0
            for other, mate in enumerate(inside):
                if op.round is not None and mate.step.id == op.step.id and mate.side == op.side:
                    before |= (mate.round is not None and mate.round < op.round) << other
                if op.lap is not None and mate.lap is not None and mate.stage == op.stage and mate.lap < op.lap:
                    before |= 1 << other
            found[index] = (before, ())
        for (_, lap), mine in groups.items():
            step = inside[mine[0]].step
            if not has_turns(step):
                continue
            stage = self.plan.stages[inside[mine[0]].stage][1]
            turns = effective_turns(step, stage.pace)
            rounds = {i: 1 if lap is not None else inside[i].round or 1 for i in mine}
            sides: dict[str | None, int] = {}
            for i in mine:
                sides[inside[i].side] = sides.get(inside[i].side, 0) | 1 << i
            begun = list(dict.fromkeys(op.side for op in past if op.step.id == step.id and op.lap == lap))
            rank = {} if isinstance(turns, str) else {side: n for n, side in enumerate(side_order(step, stage))}
            for i in mine:
                before, free = found[i]
                side = inside[i].side
                if turns == SIDE_FIRST:
                    at = begun.index(side) if side in begun else len(begun)
                    for each in begun[:at]:
                        before |= sides.get(each, 0)
                    others = [each for each in sides if each != side and each not in begun]
                    if side not in begun:
                        free = tuple([(sides[each], sides[side]) for each in others])
                    found[i] = (before, free)
                    continue
                for other in mine:
                    theirs = inside[other].side
                    if turns == ALTERNATE:
                        before |= (rounds[other] < rounds[i]) << other
                    elif rounds[other] == rounds[i] and side is not None and theirs is not None:
                        before |= (rank[theirs] < rank[side]) << other
                found[i] = (before, free)
        return found


def can(task: Task, state: State, doing: Doing) -> bool:
    """Whether an operation may be done now: its needs hold, and it is its turn."""
    done = state.done
    if doing.blocked or doing.needs & ~state.facts or doing.before & ~done:
        return False
    for other, mine in doing.turns:
        if other & done and not mine & done and other & ~done:
            return False
    if task.debts_of and not doing.rework and state.episode != doing.episode:
        return not owing(task, state)
    return True


def owing(task: Task, state: State) -> int:
    """Debts that are open and may not be, since the episode worked on last is over."""
    mine = task.episodes.get(state.episode, -1)
    if mine < 0 or mine & ~state.done:
        return 0
    return state.debts & task.due.get(state.episode, 0)


def do(task: Task, state: State, doing: Doing) -> State | None:
    """Do it; None where a debt is open that may not be."""
    facts = state.facts
    counts = not doing.counts & ~facts
    done = state.done | doing.bit
    spoils, gives = doing.spoils, doing.at_once
    if doing.side >= 0 and not doing.side & ~done:
        spoils |= doing.late
        if counts:
            gives |= doing.gives
    if doing.job and counts and doing.step >= 0 and not doing.step & ~done:
        gives |= doing.job
    debts = state.debts
    episode = state.episode if doing.rework and state.episode >= 0 else doing.episode
    if task.owed:
        opened = spoils & facts & ~gives & task.owed
        closed = gives & task.owed if debts else 0
        while closed:
            low = closed & -closed
            debts &= ~task.debts_of[low]
            closed ^= low
        while opened:
            low = opened & -opened
            debts |= task.debt_bits.get((low, episode), 0)
            opened ^= low
        if debts & doing.due:
            return None
    return State(done, facts & ~spoils | gives, debts, doing.setup or state.setup, episode)
