"""The live state: the ticks as they happened, then what remains as planned."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from planner.plan.expand import Operation, Plan
from planner.plan.findings import LogFact, Order, check
from planner.plan.model import NOTICE, Finding
from planner.plan.turns import broken_turns, has_turns
from planner.plan.walk import Progress
from planner.plan.words import show_duration

Done = tuple[Operation, float]  # and when, in UTC seconds

_BEGINNING = float("-inf")


class Wait(NamedTuple):
    """Something not over yet: until when, whose wait it is, and for which condition (None: a next round)."""

    until: float
    cause: str
    condition: str | None


class Live:
    """Where the work stands. ``do`` carries one operation out; to take one back, make a new one.

    Ticking in planned order costs what the operation itself costs, whatever the size of the build.
    """

    def __init__(self, plan: Plan, done: Iterable[Done] = ()) -> None:
        self.plan = plan
        self.by_name = plan.by_name
        self.done: list[Done] = []
        self.times: dict[str, float] = {}  # operation -> when it was last done
        self.state: set[str] = set(plan.build.start)
        self.progress = Progress(plan.totals)
        self._since: dict[str, float] = dict.fromkeys(plan.build.start, _BEGINNING)
        self._giver: dict[str, str] = {}
        self._rounds: dict[tuple[str, str | None], Done] = {}
        self._step_orders: dict[str, list[Operation]] = {}
        self._next = 0
        self._put_in = _occurrences(plan.operations)
        self._times_done: dict[str, int] = {}
        self._too_soon: list[LogFact] = []
        for op, at in done:
            self.do(op, at)

    def do(self, op: Operation, at: float) -> None:
        """Carry op out at that time."""
        for wait in self.waits(op, at):
            self._too_soon.append(
                LogFact("too-soon", len(self.done), op.name, wait.condition, wait.cause, _too_soon_says(op, wait, at))
            )
        gives = self.progress.carry_out(op)
        ends = at + op.step.wait
        for name in op.spoils:
            self._since.pop(name, None)
        for name in gives:
            if self._since.get(name, ends) >= ends:
                self._since[name] = ends
                self._giver[name] = op.name
        self.state -= op.spoils
        self.state |= gives
        self.done.append((op, at))
        if op.name not in self.times and has_turns(op.step):
            self._step_orders.setdefault(op.step.id, []).append(op)
        self.times[op.name] = at
        if op.round is not None:
            self._rounds[op.step.id, op.side] = (op, at)
        self._times_done[op.name] = self._times_done.get(op.name, 0) + 1
        while self._next < len(self.plan.operations) and self._is_done(self._next):
            self._next += 1

    def _is_done(self, index: int) -> bool:
        """Whether the planned operation at index is done; of rework put in twice, each doing does one."""
        name = self.plan.operations[index].name
        if index in self._put_in:
            return self._times_done.get(name, 0) >= self._put_in[index]
        return name in self.times

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
        return sorted(op.needs - self.state)

    def open_after(self, op: Operation) -> list[str]:
        """The steps that op comes after and that are not complete."""
        return self.progress.open_after(op)

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
                found.append(Wait(until, self._giver[name], name))
        last = self._rounds.get((op.step.id, op.side))
        if op.round is not None and last is not None and op.step.wait and last[0].round != op.round:
            until = last[1] + op.step.wait
            if until > now and op.name not in self.times:
                found.append(Wait(until, last[0].name, None))
        return found

    def running(self, now: float) -> list[Wait]:
        """Every wait that runs at that time, by when it is over."""
        found: dict[str, Wait] = {}
        for op, at in self.done:
            until = at + op.step.wait
            if until > now and self.times.get(op.name) == at:
                found[op.name] = Wait(until, op.name, None)
        return sorted(found.values())

    def is_ready(self, op: Operation, now: float) -> bool:
        """Whether op may begin at that time with nothing against it."""
        return not (op.needs - self.state or self.open_after(op) or self.out_of_turn(op) or self.waits(op, now))

    def order(self) -> Order:
        """What was done, then what remains, with what the ticks themselves show."""
        ops = (*(op for op, _ in self.done), *self.remaining())
        return Order(ops, len(self.done), (*self._too_soon, *left_behind(self.plan, self.times)))

    def findings(self) -> list[Finding]:
        """All findings of the live order."""
        return check(self.plan, self.order())

    def after_tick(self, op: Operation, at: float) -> Live:
        """The live state as it would be with op done now; this one stays as it is."""
        return Live(self.plan, [*self.done, (op, at)])

    def would_find(self, op: Operation, now: float) -> list[Finding]:
        """The traps and gaps that ticking op now would create, its own and those of later operations.

        In planned order with nothing against op this looks at op alone.
        """
        if op is self.next() and self.is_ready(op, now):
            return []
        before = {
            (finding.rule, name, finding.condition)
            for finding in self.findings()
            if finding.level != NOTICE
            for name in (finding.at, *finding.also)
        }
        new = []
        for finding in self.after_tick(op, now).findings():
            if finding.level == NOTICE:
                continue
            names = (finding.at, *finding.also)
            if finding.history:
                if op.name in names and self._is_new(finding, op):
                    new.append(finding)
            elif any((finding.rule, name, finding.condition) not in before for name in names):
                new.append(finding)
        return new

    def _is_new(self, finding: Finding, op: Operation) -> bool:
        """Whether a finding about operations done is about this doing of op, not an earlier one."""
        if finding.rule == "after-broken":
            return finding.cause in self.open_after(op)
        if finding.rule in ("too-soon", "turn-broken") or finding.condition is None:
            return True
        return finding.condition in op.needs - self.state

    def safe_instead(self, but: Operation, now: float, look: int = 40) -> Operation | None:
        """An operation that could be ticked now without a new finding: one that leads to what is missing, or
        else the first of the plan."""
        tried = 0
        missing = but.needs - self.state
        remaining = self.remaining()
        helpful = [op for op in remaining if not missing.isdisjoint(op.gives | op.job_gives)]
        for op in (*helpful, *remaining):
            if op.name == but.name or not self.is_ready(op, now):
                continue
            if not self.would_find(op, now):
                return op
            tried += 1
            if tried >= look:
                return None
        return None


def _occurrences(ops: Sequence[Operation]) -> dict[int, int]:
    """For each rework operation put into the plan: the how-manieth of its name it is."""
    counts: dict[str, int] = {}
    found = {}
    for index, op in enumerate(ops):
        if op.step.rework:
            found[index] = counts[op.name] = counts.get(op.name, 0) + 1
    return found


def _too_soon_says(op: Operation, wait: Wait, at: float) -> str:
    short = show_duration(max(1, round(wait.until - at)))
    what = "its next round" if wait.condition is None else wait.condition
    return (
        f"{op.name} is {short} too soon: the wait of {wait.cause} for {what} is not over."
        f" Check what had to settle or cool, and do {op.name} again if it had not."
    )


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
            says = (
                f"{plan.stages[stage][1].title}: the {side} side is not finished ({op.name} is open), and the"
                f" {ahead[0]} side has begun a later stage. Finish {op.name} before it is forgotten."
            )
            facts.append(LogFact("left-behind", None, op.name, None, None, says))
    return facts


def order_names(ops: Sequence[Operation]) -> list[str]:
    """The names of operations in order."""
    return [op.name for op in ops]
