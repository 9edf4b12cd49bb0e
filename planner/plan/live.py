"""The live state: the ticks as they happened, then what remains as planned."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from itertools import islice
from typing import NamedTuple

from planner.plan import messages
from planner.plan.debts import standing_debts
from planner.plan.expand import Key, Operation, Plan
from planner.plan.fill import Kept, Moved, moved
from planner.plan.findings import LogFact, Order, check, planned
from planner.plan.machine import machine_of
from planner.plan.model import NOTICE, Finding
from planner.plan.names import back_name, gone_name, is_passing
from planner.plan.stories import condition_of
from planner.plan.turns import broken_turns, has_turns
from planner.plan.words import show_duration

Done = tuple[Operation, float]  # and when, in UTC seconds
Correction = tuple[int, Operation, int]  # behind so much that was done, whose wait a thermometer made how long

#: An operation or an end and what is wrong with it, whatever the rule says and whatever the cause.
Standing = tuple[str, str, str | None]

_BEGINNING = float("-inf")


class Wait(NamedTuple):
    """Something not over yet: until when, whose wait it is, and for which condition.

    None: for a next round, for what comes after the step, or (``full``) the whole time that work of its kind takes.
    """

    until: float
    cause: str
    condition: str | None
    full: bool = False


class Live:
    """Where the work stands. ``do`` carries one operation out; to take one back, make a new one.

    Ticking in planned order costs what the operation itself costs, whatever the size of the build.
    """

    def __init__(self, plan: Plan, done: Iterable[Done] = (), corrections: Sequence[Correction] = ()) -> None:
        self.plan = plan
        self.by_name = plan.by_name
        self.done: list[Done] = []
        self.times: dict[str, float] = {}  # operation -> when it was last done
        self._machine = machine_of(plan)
        self._state = self._machine.begin()
        self._since: dict[str, float] = dict.fromkeys(plan.build.start, _BEGINNING)
        self._giver: dict[str, str] = {}
        self._rounds: dict[tuple[str, str | None], Done] = {}
        self._step_orders: dict[str, list[Operation]] = {}
        self._next = 0
        self._first = 0  # no planned work is open before it, but for work that may be done any time
        self._begun: set[int] = set()  # stages with something ticked in them
        self._complete: dict[Key, tuple[float, str]] = {}  # what is asked for -> when its last wait ends, and whose
        self._corrected: dict[str, int] = {}  # operation -> the seconds of its wait by a thermometer, until done again
        self._corrections: list[Correction] = []
        self._watched = _opened_by_others(plan)
        self._opened: dict[str, tuple[float, str]] = {}  # of those facts: when work last undid each, and which
        self.kept: dict[str, Mapping[str, Kept]] = {}  # operation -> the numbers that it was last done to, if any
        self._moved: tuple[int, dict[str, list[Moved]]] | None = None
        self._debts: tuple[int, list[str]] | None = None
        self._put_in = _occurrences(plan.operations)
        self._times_done: dict[str, int] = {}
        self._too_soon: list[LogFact] = []
        self._failing: set[Standing] | None = None
        self._lasting: dict[str, float] = {}  # facts that last only so long -> until when
        self._gone: set[str] = set()  # those of them that are over by the time last looked at
        self._looked = _BEGINNING
        for index, (op, at) in enumerate(done, 1):
            if not is_passing(op.name):
                self.do(op, at)
            for behind, whose, wait in corrections:
                if behind == index:
                    self.correct(whose, wait)

    def do(self, op: Operation, at: float, numbers: Mapping[str, Kept] | None = None) -> None:
        """Carry op out at that time; ``numbers``: what its step showed."""
        self.look_at(at)
        self._too_soon += self._hurried(op, at, done=True)
        self._corrected.pop(op.name, None)
        spoils, gives = self._machine.do(self._state, op)
        ends = at + op.step.wait
        if self._lasting or op.step.lasts is not None:
            self._last(op, at, spoils, gives)
        for name in spoils:
            self._since.pop(name, None)
            if name in self._watched:
                self._opened[name] = (at, op.name)
        for key in op.keys if op.step.wait else ():
            self._complete[key] = max(self._complete.get(key, (ends, op.name)), (ends, op.name))
        for name in gives:
            if self._since.get(name, ends) >= ends:
                self._since[name] = ends
                self._giver[name] = op.name
        self.done.append((op, at))
        if op.name not in self.times and has_turns(op.step):
            self._step_orders.setdefault(op.step.id, []).append(op)
        self.times[op.name] = at
        self.kept.pop(op.name, None)
        if numbers:
            self.kept[op.name] = numbers
        if op.round is not None:
            self._rounds[op.step.id, op.side] = (op, at)
        self._failing = None
        self._times_done[op.name] = self._times_done.get(op.name, 0) + 1
        while self._next < len(self.plan.operations) and self._is_done(self._next):
            self._next += 1
        if not op.step.rework:
            self._begun.add(op.stage)

    def correct(self, op: Operation, wait: int) -> None:
        """Let the wait of an operation that was done last so many seconds from its tick, as a thermometer found.

        From now on: what was done before is judged by what was known then.
        """
        before, ends = self.ends(op), self.times[op.name] + wait
        self._corrected[op.name] = wait
        self._corrections.append((len(self.done), op, wait))
        for name, giver in self._giver.items():
            if giver == op.name and self._since.get(name) == before:
                self._since[name] = ends
        for key in op.keys:
            whose = [each for each in self.times if key in self.by_name[each].keys and self.wait(self.by_name[each])]
            self._complete[key] = max((self.ends(self.by_name[each]), each) for each in whose or [op.name])

    def wait(self, op: Operation) -> int:
        """The seconds of an operation's wait: as a thermometer corrected it, else as the plan has it."""
        return self._corrected.get(op.name, op.step.wait)

    def ends(self, op: Operation) -> float:
        """When the wait of an operation that was done is over, in UTC seconds."""
        return self.times[op.name] + self.wait(op)

    def times_done(self, op: Operation) -> int:
        """How often op was done."""
        return self._times_done.get(op.name, 0)

    def look_at(self, now: float) -> bool:
        """Let go what lasts no longer at that time, and have back what still does; whether anything changed.

        Time runs both ways: work may be recorded after it was done.
        """
        self._looked = now
        changed = [fact for fact, until in self._lasting.items() if (now > until) != (fact in self._gone)]
        for fact in sorted(changed):
            name = back_name(fact) if fact in self._gone else gone_name(fact)
            op = self.by_name[name]
            self._machine.do(self._state, op)
            self._gone ^= {fact}
            self.done.append((op, now))
        if changed:
            self._failing = None
        return bool(changed)

    def _last(self, op: Operation, at: float, spoils: frozenset[str], gives: frozenset[str]) -> None:
        """Keep until when what op gave lasts; what it spoiled or gave anew is over."""
        for name in spoils | gives:
            self._lasting.pop(name, None)
            self._gone.discard(name)
        if op.step.lasts is not None:
            self._lasting.update(dict.fromkeys(gives, at + op.step.lasts))

    def lasts_until(self, op: Operation) -> tuple[float, str] | None:
        """Until when an operation may begin, and the fact that is over then, where one that it needs lasts only so
        long and still does."""
        found = [(until, fact) for fact, until in self._lasting.items() if fact in op.needs and fact not in self._gone]
        return min(found, default=None)

    def _is_done(self, index: int) -> bool:
        """Whether the planned operation at index is done; of rework put in twice, each doing does one."""
        name = self.plan.operations[index].name
        if index in self._put_in:
            return self._times_done.get(name, 0) >= self._put_in[index]
        return name in self.times

    def _hurried(self, op: Operation, at: float, *, done: bool) -> list[LogFact]:
        """What doing op at that time makes too soon: the wait that ends last; by then all others are over."""
        waits = self.waits(op, at)
        if not waits:
            return []
        last = max(waits, key=lambda wait: wait.until)
        mine = [wait for wait in waits if wait.cause == last.cause]
        conditions = [wait.condition for wait in mine if wait.condition is not None]
        short = show_duration(max(1, math.ceil(last.until - at)))
        full = not conditions and all(wait.full for wait in mine)
        says = messages.too_soon(self.plan, op, conditions, last.cause, short, done=done, full=full)
        return [LogFact("too-soon", len(self.done), op.name, None, last.cause, says)]

    def next(self) -> Operation | None:
        """The first operation of the plan that is not done."""
        ops = self.plan.operations
        return ops[self._next] if self._next < len(ops) else None

    def remaining(self) -> list[Operation]:
        """What is left of the plan, in planned order."""
        ops = self.plan.operations
        return [ops[index] for index in range(self._next, len(ops)) if not self._is_done(index)]

    def is_open(self, op: Operation) -> bool:
        """Whether op may be ticked as done: not done yet, or rework that the plan puts in once more."""
        if op.name not in self.times:
            return True
        return op.step.rework and any(each.name == op.name for each in self.remaining())

    def missing(self, op: Operation) -> list[str]:
        """The needs of op that do not hold."""
        return sorted({condition_of(self.plan, fact) for fact in self._machine.missing(self._state, op)})

    @property
    def state(self) -> frozenset[str]:
        """Every fact that is true now."""
        return self._machine.facts(self._state)

    def holds(self, fact: str) -> bool:
        """Whether a fact is true now."""
        return self._machine.holds(self._state, fact)

    def open_after(self, op: Operation) -> list[str]:
        """The steps that op comes after and that are not complete."""
        return self._machine.open_after(self._state, op)

    def out_of_turn(self, op: Operation) -> bool:
        """Whether doing op now would leave the turns of its step."""
        if not has_turns(op.step) or op.name in self.times:
            return False
        order = [*self._step_orders.get(op.step.id, ()), op]
        return any(each.position == len(order) - 1 for each in broken_turns(self.plan, order))

    def waits(self, op: Operation, now: float) -> list[Wait]:
        """What op would have to wait for at that time."""
        found = []
        for name in sorted(op.needs):
            until = self._since.get(name, _BEGINNING)
            if until > now:
                found.append(Wait(until, self._giver[name], condition_of(self.plan, name)))
        last = self._rounds.get((op.step.id, op.side))
        if op.round is not None and last is not None and op.step.wait and (last[0].round or 0) < op.round:
            until = last[1] + self.wait(last[0])
            if until > now and op.name not in self.times:
                found.append(Wait(until, last[0].name, None))
        for key, _ in op.after:
            until, cause = self._complete.get(key, (_BEGINNING, ""))
            if until > now:
                found.append(Wait(until, cause, None))
        if self._opened and op.step.time and self._takes_full_time(op):
            undone = [self._opened[name] for name in sorted(op.gives | op.job_gives) if name in self._opened]
            at, cause = max(undone, default=(_BEGINNING, ""))
            if at + op.step.time > now and op.name != cause:
                found.append(Wait(at + op.step.time, cause, None, True))
        return found

    def _takes_full_time(self, op: Operation) -> bool:
        kind = self.plan.build.kinds.get(op.step.kind or "")
        return kind is not None and kind.full_time

    def moved(self) -> Mapping[str, list[Moved]]:
        """The operations done to a number that is something else now, and those numbers."""
        if self._moved is None or self._moved[0] != len(self.done):
            build = self.plan.build
            looked = ((name, moved(build, self.by_name[name].step, kept)) for name, kept in self.kept.items())
            self._moved = (len(self.done), {name: found for name, found in looked if found})
        return self._moved[1]

    def debts(self) -> list[str]:
        """The conditions that stand open and are owed: opened by what was done, and not closed again."""
        if self._debts is None or self._debts[0] != len(self.done):
            self._debts = (
                len(self.done),
                standing_debts(self.plan, [op for op, _ in self.done if not is_passing(op.name)]),
            )
        return self._debts[1]

    def running(self, now: float) -> list[Wait]:
        """Every wait that runs at that time, by when it is over."""
        found: dict[str, Wait] = {}
        for op, at in self.done:
            until = at + self.wait(op)
            if until > now and self.times.get(op.name) == at:
                found[op.name] = Wait(until, op.name, None)
        return sorted(found.values())

    def ahead_of(self, op: Operation) -> Operation | None:
        """The first open operation of the stages before op's own, where doing op would begin that stage; else None.

        What may be done any time, and rework, is neither ahead nor left open.
        """
        stages, ops = self.plan.stages, self.plan.operations
        if op.step.rework or op.stage in self._begun or stages[op.stage][1].any_time:
            return None
        while self._first < len(ops) and (
            (first := ops[self._first]).name in self.times or first.step.rework or stages[first.stage][1].any_time
        ):
            self._first += 1
        if self._first < len(ops) and ops[self._first].stage < op.stage:
            return ops[self._first]
        return None

    def is_ready(self, op: Operation, now: float) -> bool:
        """Whether op may begin at that time with nothing against it, and its stage has come."""
        return self.ahead_of(op) is None and self.is_free(op, now)

    def is_ahead(self, op: Operation, now: float) -> bool:
        """Whether nothing is against op at that time but that it would begin its stage ahead of open work."""
        return self.ahead_of(op) is not None and self.is_free(op, now)

    def is_free(self, op: Operation, now: float) -> bool:
        """Whether the needs of op hold, what it comes after is complete, its turn has come and no wait runs."""
        self.look_at(now)
        return not (self.missing(op) or self.open_after(op) or self.out_of_turn(op) or self.waits(op, now))

    def order(self) -> Order:
        """What was done, then what remains, with what the ticks themselves show."""
        if not self.done:
            return planned(self.plan)
        ops = (*(op for op, _ in self.done), *self.remaining())
        moved_facts = [
            LogFact("moved-number", None, name, each.name, None, messages.moved_number(name, each))
            for name, found in self.moved().items()
            for each in found
        ]
        return Order(ops, len(self.done), (*self._too_soon, *left_behind(self.plan, self.times), *moved_facts))

    def findings(self) -> list[Finding]:
        """All findings of the live order."""
        return check(self.plan, self.order())

    def would_find(self, op: Operation, now: float) -> list[Finding]:
        """The traps and gaps that ticking op now would create, its own first, then those of later operations; and
        whether it would begin its stage ahead of open work.

        In planned order with nothing against op this looks at op alone.
        """
        self.look_at(now)
        if op is self.next() and self.is_ready(op, now):
            return []
        done = [each for each, _ in self.done]
        rest = self.remaining()
        if self._failing is None:
            now_wrong = check(self.plan, Order((*done, *rest), len(done)))
            self._failing = _standing(finding for finding in now_wrong if not finding.history)
        before = self._failing
        index = next((i for i, each in enumerate(rest) if each.name == op.name), None)
        if index is not None:
            del rest[index]
        facts = tuple(self._hurried(op, now, done=False))
        first = self.ahead_of(op)
        if first is not None:
            says = messages.ahead(op, self.plan.stages[op.stage][1].title, first)
            facts += (LogFact("ahead", len(done), op.name, None, first.name, says),)
        order = Order((*done, op, *rest), len(done), facts)  # op is not history yet: its findings are told as such
        new = [
            finding
            for finding in check(self.plan, order)
            if not finding.history
            and (finding.level != NOTICE or finding.rule == "ahead")
            and (finding.at == op.name or not _standing([finding]) <= before)
        ]
        return sorted(new, key=lambda finding: finding.at != op.name)

    def would_find_undone(self, op: Operation) -> list[Finding]:
        """The traps and gaps that taking back the latest tick of op would create, those of what is done among them."""
        last = max((index for index, (each, _) in enumerate(self.done) if each.name == op.name), default=None)
        if last is None:
            return []
        kept = [
            (behind - (behind > last), whose, wait)
            for behind, whose, wait in self._corrections
            if whose is not op or behind <= last
        ]
        without = Live(self.plan, (*self.done[:last], *self.done[last + 1 :]), kept)
        without.look_at(self._looked)
        if last == len(self.done) - 1 and without.next() is op:
            return []  # it was the next of the plan: the order of all operations stays as it is
        before = _standing(self.findings())
        return [each for each in without.findings() if each.level != NOTICE and not _standing([each]) <= before]

    def would_leave_behind(self, op: Operation) -> list[str]:
        """What ticking op would leave unfinished on another side, in words; not a reason to refuse it."""
        now = {fact.at for fact in left_behind(self.plan, self.times)}
        return [
            str(fact.says) for fact in left_behind(self.plan, {*self.times, op.name}) if fact.at not in {*now, op.name}
        ]

    def safe_instead(self, but: Operation, now: float, look: int = 40) -> Operation | None:
        """An operation that could be ticked now without a new finding: one that leads to what is missing (rework
        too), or else the first of the plan."""
        missing = set(self._machine.missing(self._state, but))
        remaining = self.remaining()
        helpful = [
            op
            for op in (*self.plan.reworks.values(), *remaining)
            if not missing.isdisjoint(op.gives | op.job_gives | op.at_once)
        ]
        ready = (op for op in (*helpful, *remaining) if op.name != but.name and self.is_ready(op, now))
        return next((op for op in islice(ready, look) if not self.would_find(op, now)), None)


def _standing(findings: Iterable[Finding]) -> set[Standing]:
    """What is wrong where: a condition that merely fails for another reason is the same."""
    found: set[Standing] = set()
    for finding in findings:
        what: tuple[str, str | None] = ("", finding.condition)
        if finding.condition is None:
            what = (finding.rule, finding.cause if finding.rule in ("after-broken", "too-soon") else None)
        found.update([(name, *what) for name in (finding.at, *finding.also)])
    return found


def _opened_by_others(plan: Plan) -> frozenset[str]:
    """The facts given by work that takes its full time after what undid them."""
    full = {kind.name for kind in plan.build.kinds.values() if kind.full_time}
    if not full:
        return frozenset()
    ops = [op for op in plan.by_name.values() if op.step.kind in full]
    return frozenset(fact for op in ops for fact in op.gives | op.job_gives)


def _occurrences(ops: Sequence[Operation]) -> dict[int, int]:
    """For each rework operation put into the plan: the how-manieth of its name it is."""
    counts: dict[str, int] = {}
    found = {}
    for index, op in enumerate(ops):
        if op.step.rework:
            found[index] = counts[op.name] = counts.get(op.name, 0) + 1
    return found


def left_behind(plan: Plan, done: Iterable[str]) -> list[LogFact]:
    """Stages that one side has not finished while another side has begun a later one."""
    done = set(done)
    if not done:
        return []
    begun: dict[str, int] = {}
    open_: dict[tuple[int, str], Operation] = {}
    for op in plan.operations:
        if op.side is None or op.step.rework:
            continue
        if op.name in done:
            begun[op.side] = max(begun.get(op.side, -1), op.stage)
        else:
            open_.setdefault((op.stage, op.side), op)
    facts = []
    for (stage, side), op in open_.items():
        ahead = [other for other, reached in begun.items() if other != side and reached > stage]
        if ahead:
            says = messages.left_behind(plan.stages[stage][1].title, op, ahead[0])
            facts.append(LogFact("left-behind", None, op.name, None, None, says))
    return facts
