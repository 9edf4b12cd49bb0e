"""One build joined up: its plan, its ticks, the live state and the findings.

The app, the commands and the papers all come here, so that they cannot disagree.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple

from planner.files.reading import read_build
from planner.files.ticklog import LogNotice, TickLog
from planner.files.yamltree import Problem
from planner.plan.expand import Operation, Plan, expand
from planner.plan.findings import check, planned
from planner.plan.live import Live
from planner.plan.model import NOTICE, Finding
from planner.plan.ticks import (
    ACCEPTED,
    AGAIN,
    DONE,
    LATE,
    NOTE,
    READING,
    UNDONE,
    Event,
    Ticks,
    replay,
)

if TYPE_CHECKING:
    from planner.plan.repairs import Repairs


class UnusableError(Exception):
    """The build cannot be read; ``problems`` says why, in every file."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        super().__init__(f"{len(problems)} problems")
        self.problems = tuple(problems)


class Refusal(NamedTuple):
    """A tick that was not recorded: what it would have led to, and what could be done instead."""

    op: str
    says: str
    findings: tuple[Finding, ...]
    instead: str | None


class Ticked(NamedTuple):
    """A tick that is on the disk."""

    op: str
    did: str
    at: float
    accepted: tuple[str, ...]  # ids of the findings that the person took on
    next: str | None


class OperationState(NamedTuple):
    """Where one operation stands now."""

    op: Operation
    episode: int
    stage: str
    done: bool
    ready: bool
    waiting_until: float | None  # UTC seconds
    missing: tuple[str, ...]  # needs that do not hold


class OneBuild:
    """A build that is open. Raises UnusableError when its plan cannot be read."""

    def __init__(
        self, folder: str | Path, device: str | None = None, clock: Callable[[], float] = time.time
    ) -> None:
        self.folder = Path(folder)
        self.clock = clock
        self.plan: Plan = self._read()
        self.log = TickLog(self.folder, device)
        self._seen = -1
        self._ticks: Ticks | None = None
        self.live: Live
        self._replay()

    def _read(self) -> Plan:
        reading = read_build(self.folder)
        if reading.build is None:
            raise UnusableError(reading.problems)
        return expand(reading.build)

    def reload_plan(self) -> None:
        """Read the plan files again; on UnusableError the old plan stays."""
        self.plan = self._read()
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
        known = self.plan.by_name()
        self.live = Live(
            self.plan, ((known[entry.op], entry.at) for entry in self.ticks.entries if entry.op in known)
        )
        self._seen = self.log.version

    # Reading

    def findings(self, ignore_ticks: bool = False) -> list[Finding]:
        """All findings: live, or of the plan as written."""
        return check(self.plan, planned(self.plan)) if ignore_ticks else self.live.findings()

    def repairs(self, findings: Sequence[Finding], ignore_ticks: bool = False, seconds: float = 2.0) -> Repairs:
        """A proved repair for each finding that a single change can cure, within that time in all."""
        from planner.plan.repairs import Repairs, find_repairs

        if not any(not finding.history and finding.level != NOTICE for finding in findings):
            return Repairs({}, False)
        until = time.monotonic() + seconds
        done = [] if ignore_ticks else [op for op, _ in self.live.done]
        rest = self.plan.operations if ignore_ticks else self.live.remaining()
        return find_repairs(self.plan, done, rest, findings, lambda: time.monotonic() > until)

    def ticked(self) -> int:
        """How many of the plan's operations are done."""
        return len(self.plan.operations) - len(self.live.remaining())

    def states(self) -> list[OperationState]:
        """Every operation of the plan, in planned order, with where it stands."""
        now = self.clock()
        live = self.live
        open_now = {id(op) for op in live.remaining()}
        found = []
        for op in self.plan.operations:
            episode, stage = self.plan.stages[op.stage]
            done = id(op) not in open_now
            missing = () if done else tuple(live.missing(op))
            waits = [] if done else live.waits(op, now)
            found.append(
                OperationState(
                    op, episode.number, stage.title, done, not done and live.is_ready(op, now),
                    max((wait.until for wait in waits), default=None), missing,
                )
            )
        return found

    def strays(self) -> list[str]:
        """Ticked operations that the plan no longer has."""
        known = self.plan.by_name()
        return list(dict.fromkeys(entry.op for entry in self.ticks.entries if entry.op not in known))

    def notices(self) -> list[str]:
        """What the logs hold that is not used, in one line each."""
        found = [str(notice) for notice in self.log.notices]
        for op in self.strays():
            found.append(f"{self.log.folder}: {op} is ticked, but {self._stray_reason(op)}; the tick is kept")
        for event in self.ticks.doubles:
            found.append(f"{self.log.folder}: {event.op} was ticked a second time by {event.by}; once counts")
        return found

    def _stray_reason(self, name: str) -> str:
        step = name.partition("@")[0].partition("#")[0]
        now = [op.name for op in self.plan.operations if op.step.id == step]
        if not now:
            return f"the plan has no step {step} any more"
        shown = ", ".join(now[:3]) + (" …" if len(now) > 3 else "")
        return f"the step {step} now has other rounds or sides ({shown})"

    # Ticking

    def tick(
        self,
        name: str,
        did: str = DONE,
        *,
        at: float | None = None,
        remarks: Sequence[Mapping[str, Any]] = (),
        anyway: bool = False,
    ) -> Ticked | Refusal:
        """Record that an operation was done, undone or done again, with readings and notes about it.

        Remarks on an operation that is done already are recorded alone.

        A tick that would create a trap or a gap is refused unless ``anyway``; then what was accepted is logged
        before it. Raises KeyError for an operation the plan does not have, NotWrittenError when the disk
        refused; then nothing was recorded.
        """
        op = self.live.by_name[name]
        with self.log.writing():
            if self.log.version != self._seen:
                self._replay()
                op = self.live.by_name[name]
            now = self.clock()
            when = now if at is None else at
            if did == DONE and remarks and not self.live.is_open(op):
                self.log.append([{**remark, "op": op.name} for remark in remarks], when, now)
                self._replay()
                return Ticked(op.name, str(remarks[0]["did"]), when, (), self._next_name())
            refusal = self._refuse(op, did)
            if refusal is not None:
                return refusal
            found: list[Finding] = []
            if did in (DONE, AGAIN) or (did == LATE and op.name not in self.live.times):
                found = self.live.would_find(op, when)
                if found and not anyway:
                    instead = self.live.safe_instead(op, when)
                    says = f"{op.name} now would be wrong in {_count(len(found), 'way')}"
                    return Refusal(op.name, says, tuple(found), instead.name if instead else None)
            stored = AGAIN if did == DONE and op.name in self.live.times else did
            records: list[Mapping[str, Any]] = [{**remark, "op": op.name} for remark in remarks]
            if found:
                records.append({"did": ACCEPTED, "op": op.name, "findings": [finding.id for finding in found]})
            records.append({"did": stored, "op": op.name})
            events = self.log.append(records, when, now)
            self._take(op, stored, events)
        return Ticked(op.name, stored, when, tuple(finding.id for finding in found), self._next_name())

    def _next_name(self) -> str | None:
        following = self.live.next()
        return following.name if following is not None else None

    def _take(self, op: Operation, did: str, events: Sequence[Event]) -> None:
        """Move the live state on by our own events, without walking everything again where that is enough."""
        if did in (DONE, AGAIN) and len(events) == 1:
            self.live.do(op, events[0].at)
            self._ticks = None
            self._seen = self.log.version
        else:
            self._replay()

    def _refuse(self, op: Operation, did: str) -> Refusal | None:
        done = op.name in self.live.times
        if did == DONE and not self.live.is_open(op):
            return Refusal(op.name, f"{op.name} is done already; use --again to do it once more", (), None)
        if did == UNDONE and not done:
            return Refusal(op.name, f"{op.name} is not done, so there is nothing to take back", (), None)
        if did == AGAIN and not done:
            return Refusal(op.name, f"{op.name} is not done yet; tick it without --again", (), None)
        return None


def _count(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"


__all__ = ["NOTE", "READING", "LogNotice", "OneBuild", "Refusal", "Ticked", "UnusableError"]
