"""Where a build stands: its plan, its ticks, the live state and the findings, each worked out once and asked here."""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from planner.files.build.reading import Reading, read_build
from planner.files.disk.journal import mend
from planner.files.log.ticklog import TickLog
from planner.files.yaml.tree import Problem
from planner.plan.cards import Card, cards
from planner.plan.debts import is_sign_off
from planner.plan.expand import Operation, Plan, expand
from planner.plan.fill import (
    Moved,
    Numbers,
    references,
    said_done,
    spoken,
    spoken_then,
    without_number,
)
from planner.plan.findings import check, planned
from planner.plan.live import Live, Wait
from planner.plan.model import NOTICE, Finding
from planner.plan.names import renamed_op
from planner.plan.readings import Read, readings
from planner.plan.ticks import (
    ROLLING,
    STOPPED,
    Event,
    Ticks,
    replay,
)
from planner.session.filming import stand_ins
from planner.session.lognotices import Noticed, copy_notices, log_notices
from planner.session.readings import with_readings
from planner.session.results import OperationState

if TYPE_CHECKING:
    from planner.plan.repairs import Repairs


class UnusableError(Exception):
    """The build cannot be read; ``problems`` says why, in every file."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(f"{len(problems)} problems")
        self.problems = tuple(problems)


def plan_of(reading: Reading) -> Plan:
    """The plan of a build, with the numbers that its steps name; raises UnusableError when it cannot be read."""
    build = reading.build
    if build is None:
        raise UnusableError(reading.problems)
    steps = (step for episode in build.episodes for stage in episode.stages for step in stage.steps)
    if reading.numbers is not None and any(
        step.reads is not None or any("{" in text for text in (step.do, *step.say)) for step in steps
    ):
        from planner.files.build.numbers import numbers_for_steps

        build = build._replace(numbers=numbers_for_steps(reading.numbers, build.sides, build.show.get("lengths")))
    return expand(build)


def walked(plan: Plan, ticks: Ticks, names: Mapping[str, str] = {}) -> tuple[dict[str, dict[str, Read]], Live]:
    """Ticks over a plan whose numbers are as they are planned: what was read, and the live state, on these readings.

    ``names``: old id -> new id of steps that are being renamed.
    """
    entries = [entry._replace(op=renamed_op(entry.op, names)) for entry in ticks.entries] if names else ticks.entries
    found = readings(plan, entries)
    live = Live(with_readings(plan, found))
    known = plan.by_name
    for index, entry in enumerate(entries, 1):
        if entry.op in known:
            live.do(known[entry.op], entry.at, entry.numbers)
        for each in ticks.corrected.get(index, ()):
            whose = renamed_op(each.op, names)
            if whose in live.times:
                live.correct(known[whose], each.wait)
    return found, live


class Standing:
    """A build that is read. Raises UnusableError when its plan cannot be."""

    def __init__(self, folder: str | Path, device: str | None = None, clock: Callable[[], float] = time.time) -> None:
        self.folder = Path(folder)
        self.clock = clock
        self.mended = mend(self.folder)  # what was done about a saving that was cut off
        self._planned: Plan = self._read()  # with its numbers as they are planned
        self.plan: Plan = self._planned  # with those that were measured
        self.readings: dict[str, dict[str, Read]] = {}
        self.log = TickLog(self.folder, device)
        self._seen = -1
        self._ticks: Ticks | None = None
        self._found: list[Finding] | None = None
        self._count: int | None = None
        self._running: list[Wait] | None = None
        self._cards: tuple[int, list[Card]] | None = None
        self._rolled: tuple[Event | None, int, Sequence[Event]] = (None, 0, ())
        self.live: Live
        self.not_filmed: frozenset[str]
        self.filmed_instead: Mapping[str, str]  # what is filmed in place of something that was not, and of what
        self._replay()

    def _read(self) -> Plan:
        return plan_of(read_build(self.folder))

    def adopt(self, plan: Plan) -> None:
        """Take a plan that was read elsewhere; the ticks are walked over it again."""
        self._planned = plan
        self._replay()

    def refresh(self) -> bool:
        """Take in ticks that others wrote; whether there were any."""
        self.log.refresh()
        if self.log.version == self._seen:
            return False
        self._replay()
        return True

    @property
    def ticks(self) -> Ticks:
        """The state of all ticks; worked out when asked for, since ticking in order does not need it."""
        if self._ticks is None:
            self._ticks = replay(self.log.events)
        return self._ticks

    def _replay(self) -> None:
        self._ticks = replay(self.log.events)
        self.readings, self.live = walked(self._planned, self._ticks)
        self.plan = self.live.plan
        self.not_filmed, self.filmed_instead = self._ticks.not_filmed, stand_ins(self._ticks)
        self._seen = self.log.version
        self._found = self._count = self._running = None
        self.look()

    # Reading

    def findings(self, ignore_ticks: bool = False) -> list[Finding]:
        """All findings: live, or of the plan as written."""
        if ignore_ticks:
            return check(self.plan, planned(self.plan))
        self.look()
        return self.live.findings()

    def look(self, when: float | None = None) -> None:
        """Let go what lasts no longer by now, or by that time."""
        if self.live.look_at(self.clock() if when is None else when):
            self._found = None

    def found(self) -> list[Finding]:
        """The live findings, worked out once and kept until a tick or a plan changes them."""
        self.look()
        if self._found is None:
            self._found = self.live.findings()
        return self._found

    def repairs(self, findings: Sequence[Finding], ignore_ticks: bool = False, seconds: float = 2.0) -> Repairs:
        """A proved repair for each finding that a single change can cure, within that time in all."""
        return self.repair_search(findings, ignore_ticks, seconds)()

    def repair_search(
        self, findings: Sequence[Finding], ignore_ticks: bool = False, seconds: float = 2.0
    ) -> Callable[[], Repairs]:
        """The search for repairs from where the work stands now, to be run here or beside the screen."""
        from planner.plan.repairs import Repairs, find_repairs

        if not any(not finding.history and finding.level != NOTICE for finding in findings):
            return lambda: Repairs({}, False)
        plan = self.plan
        done = [] if ignore_ticks else [op for op, _ in self.live.done]
        rest = list(plan.operations) if ignore_ticks else self.live.remaining()

        def search() -> Repairs:
            until = time.monotonic() + seconds
            return find_repairs(plan, done, rest, findings, lambda: time.monotonic() > until)

        return search

    def ticked(self) -> int:
        """How many of the plan's operations are done."""
        if self._count is None:
            self._count = len(self.plan.operations) - len(self.live.remaining())
        return self._count

    def running(self) -> list[Wait]:
        """Every wait that runs now, by when it is over."""
        if self._running is None:
            self._running = self.live.running(self.clock())
        now = self.clock()
        return [wait for wait in self._running if wait.until > now]

    def timers(self) -> list[Wait]:
        """Every wait that runs now, and the time that what comes next has to be stayed with."""
        return sorted([*self.running(), *self._watch(self.clock())])

    def _watch(self, now: float) -> list[Wait]:
        """The time that the next operation takes in full, such as a fire watch: it runs from what began it."""
        following = self.live.next()
        if following is None or following.step.kind is None or not following.step.time:
            return []
        kind = self.plan.build.kinds.get(following.step.kind)
        if kind is None or not kind.full_time:
            return []
        return [Wait(wait.until, following.name, None, True) for wait in self.live.waits(following, now) if wait.full]

    def state_of(self, op: Operation) -> OperationState:
        """Where one operation stands now; costs the same in a build of any size."""
        return self._state(op, not self.live.is_open(op), self.clock())

    def _state(self, op: Operation, done: bool, now: float) -> OperationState:
        self.look(now)
        episode, stage = self.plan.stages[op.stage]
        if done:
            return OperationState(op, episode.number, stage.title, True, False, None, ())
        waits = self.live.waits(op, now)
        return OperationState(
            op,
            episode.number,
            stage.title,
            False,
            self.live.is_ready(op, now),
            max((wait.until for wait in waits), default=None),
            tuple(self.live.missing(op)),
            tuple(self.live.open_after(op)),
            self.live.is_ahead(op, now),
            self.debts_at(op),
        )

    def said(self, op: Operation) -> str:
        """What an operation says is to be done; once it is done, with the numbers that it was done to."""
        return said_done(self.plan.build, op.step, op.side, self.live.moved().get(op.name, ()))

    def spoken(self, op: Operation) -> tuple[str, ...]:
        """What an operation says to viewers; once it is done, with the numbers that it spoke."""
        kept = self.live.kept.get(op.name)
        build = self.plan.build
        return spoken_then(build, op.step, op.side, kept) if kept else spoken(build, op.step, op.side)

    def moved_beside(self, op: Operation) -> list[tuple[str, Moved]]:
        """The numbers of an operation's step that moved under work already done on any side, with that work."""
        names = {each.name for each in references(op.step.do)}
        return [
            (name, each)
            for name, found in self.live.moved().items()
            for each in found
            if self.live.by_name[name].step.id == op.step.id or each.name.partition("@")[0] in names
        ]

    def debts_at(self, op: Operation) -> tuple[str, ...]:
        """The debts that stand, at a sign-off; nothing at other work."""
        return tuple(self.live.debts()) if is_sign_off(op.step) else ()

    def planned_numbers(self) -> Numbers:
        """The numbers that steps name as they were planned, whatever was measured since."""
        return self._planned.build.numbers

    def rolling(self) -> Event | None:
        """The record that the camera was started, where nothing says that it was stopped since."""
        events = self.log.events
        last, seen, looked_at = self._rolled
        if events is not looked_at or seen > len(events):
            last, seen = None, 0
        for event in reversed(events[seen:]):
            if event.did in (ROLLING, STOPPED):
                last = event
                break
        self._rolled = (last, len(events), events)
        return last if last is not None and last.did == ROLLING else None

    def cards(self) -> list[Card]:
        """The cards and whether they may be wiped, worked out once a record."""
        if self._cards is None or self._cards[0] != self.log.version:
            self._cards = (self.log.version, cards(self.log.events))
        return self._cards[1]

    def states(self) -> list[OperationState]:
        """Every operation of the plan, in planned order, with where it stands."""
        now = self.clock()
        open_now = {id(op) for op in self.live.remaining()}  # rework put in twice has two places and one name
        return [self._state(op, id(op) not in open_now, now) for op in self.plan.operations]

    def strays(self) -> list[str]:
        """Ticked operations that the plan no longer has."""
        known = self.plan.by_name
        return list(dict.fromkeys(entry.op for entry in self.ticks.entries if entry.op not in known))

    def notices(self) -> list[Noticed]:
        """What the folder and the logs hold that is not used."""
        return [
            *(Noticed(*each) for each in self.mended),
            *copy_notices(self.folder),
            *log_notices(self.log, self.plan, self.ticks, self.strays()),
            *(Noticed(str(place), says) for place, says in without_number(self.plan)),
        ]
