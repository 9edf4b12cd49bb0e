"""One build joined up: where it stands, and everything that is recorded about it.

The app, the commands and the papers all come here, so that they cannot disagree.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from typing import Any

from planner.files.log.ticklog import LogNotice, NotWrittenError
from planner.plan.expand import Operation
from planner.plan.fill import Kept, shown_numbers
from planner.plan.live import Wait
from planner.plan.model import Finding
from planner.plan.readings import take
from planner.plan.ticks import (
    ACCEPTED,
    AGAIN,
    DONE,
    LATE,
    NOTE,
    READING,
    RENAMED,
    UNDONE,
    Event,
    numbers_record,
)
from planner.session.readings import with_readings
from planner.session.refusing import Remarks, at_once, does, held, is_cooling, recovers, refused, unreadable
from planner.session.results import OperationState, Refusal, Ticked
from planner.session.standing import Standing, UnusableError, plan_of


class OneBuild(Standing):
    """A build that is open, to be read and to be ticked. Raises UnusableError when its plan cannot be read."""

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

        A hold point wants its reading among the remarks. One that is not shown to lie within the limits is recorded
        with its verdict and the operation is not done, ``anyway`` or not.
        """
        op = self.live.by_name[name]
        with self.log.writing():
            if self.log.version != self._seen:
                self._replay()
                op = self.live.by_name[name]
            now = self.clock()
            when = now if at is None else at
            if did == DONE and remarks and not self.live.is_open(op):
                if any(each["did"] == READING for each in remarks):  # of a hold point it is judged, done or not
                    kept = self._held(op, did, remarks, when, now)
                    if isinstance(kept, Refusal):
                        return kept
                    remarks = kept
                wrong = unreadable(op, remarks)
                if wrong is not None:
                    return wrong
                cools = is_cooling(op) and any(each["did"] == READING for each in remarks)
                if cools:
                    from planner.session.cooled import corrected

                    told = self.ticks.remarks.get(op.name, ())
                    warm = corrected(self.folder, self.live, op, told, remarks, when, now)
                    if isinstance(warm, Refusal):
                        return warm
                    remarks = warm
                self.log.append([{**remark, "op": op.name} for remark in remarks], when, now)
                if op.step.reads is None and not cools:
                    self._ticks, self._seen = None, self.log.version
                else:
                    self._replay()
                until = self.live.ends(op) if cools else None
                return Ticked(op.name, str(remarks[0]["did"]), when, (), self._next_name(), until)
            refusal = at_once(self.live, op, did) or unreadable(op, remarks)
            if refusal is not None:
                return refusal
            self.look(when)
            found: list[Finding] = []
            if does(self.live, op, did):
                found = self.live.would_find(op, when)
            elif did == UNDONE:
                found = self.live.would_find_undone(op)
            if found and not anyway:
                return refused(self.live, op, did, found, when)
            kept = self._held(op, did, remarks, when, now)
            if isinstance(kept, Refusal):
                return kept
            remarks = kept
            stored = AGAIN if did == DONE and op.name in self.live.times else did
            records: list[Mapping[str, Any]] = [{**remark, "op": op.name} for remark in remarks]
            if found:
                records.append({"did": ACCEPTED, "op": op.name, "findings": [finding.id for finding in found]})
            numbers = shown_numbers(self.plan.build, op.step, op.side) if stored in (DONE, AGAIN, LATE) else {}
            records.append({"did": stored, "op": op.name, **numbers_record(numbers)})
            events = self.log.append(records, when, now)
            self._take(op, stored, events, numbers)
        return Ticked(op.name, stored, when, tuple(finding.id for finding in found), self._next_name())

    def _held(self, op: Operation, did: str, remarks: Remarks, when: float, now: float) -> Refusal | Remarks:
        """The remarks with the verdict on their reading, or why the operation is not done; a failed one is kept."""
        found = held(self.live, op, did, remarks)
        if found.refusal is None:
            return found.remarks
        if not found.recorded:
            return found.refusal
        self.log.append([{**each, "op": op.name} for each in found.remarks], when, now)
        self._replay()
        return found.refusal._replace(instead=recovers(self.live, op, when))

    def would_refuse(self, name: str, did: str = DONE) -> Refusal | None:
        """What ``tick`` would answer now, with nothing recorded; None: it would record it."""
        op = self.live.by_name[name]
        refusal = at_once(self.live, op, did)
        if refusal is not None:
            return refusal
        if does(self.live, op, did):
            now = self.clock()
            found = self.live.would_find(op, now)
            if found:
                return refused(self.live, op, did, found, now)
        return None

    def remark(self, name: str | None, records: Sequence[Mapping[str, Any]], at: float | None = None) -> None:
        """Record notes, readings, slates or the camera's running about an operation, and tick nothing.

        Raises NotWrittenError; then nothing was recorded.
        """
        with self.log.writing():
            now = self.clock()
            about = {} if name is None else {"op": name}
            self.log.append([{**record, **about} for record in records], now if at is None else at, now)
            self._replay()

    def rename_steps(self, renamed: Mapping[str, str], save: Callable[[], None], put_back: Callable[[], None]) -> None:
        """Save a plan in which steps go by other ids (old -> new), and let their ticks follow: both or neither.

        ``put_back`` saves the plan as it was, where the log cannot be written. Raises NotWrittenError, and what
        ``save`` raises. The plan that is open here stays; ``adopt`` the new one next.
        """
        with self.log.writing():
            save()
            now = self.clock()
            records = [{"did": RENAMED, "op": old, "to": new} for old, new in renamed.items()]
            try:
                self.log.append(records, now, now)
            except NotWrittenError:
                put_back()
                raise

    def _next_name(self) -> str | None:
        following = self.live.next()
        return following.name if following is not None else None

    def _take(self, op: Operation, did: str, events: Sequence[Event], numbers: Mapping[str, Kept]) -> None:
        """Move the live state on by our own events, without walking everything again where that is enough."""
        if did in (DONE, AGAIN):  # what stands before the last record are remarks: they move nothing
            self._keep_what_stands(op, did, events[-1].at)
            self.live.do(op, events[-1].at, numbers)
            self._ticks = None
            self._seen = self.log.version
            typed = [str(each.raw["value"]) for each in events if each.did == READING]
            if take(self.readings, self._planned, op, typed[-1] if typed else None):
                self.plan = self.live.plan = with_readings(self._planned, self.readings)
                self._found = None
        else:
            self._replay()

    def _keep_what_stands(self, op: Operation, did: str, at: float) -> None:
        """Before op is done: keep of what is known all that the tick leaves as it is.

        Ticking the next operation of the plan leaves the order of all operations as it was; with nothing against
        op none of its findings can turn into history, but for a notice about its numbers; and where no side was left
        behind none can be by this.
        """
        live = self.live
        planned = did == DONE and op is live.next() and not op.step.rework
        quiet = self._found is not None and not any(
            each.rule == "left-behind" or (each.rule == "other-number" and each.at == op.step.id)
            for each in self._found
        )
        if op.name in live.moved():
            quiet = False
        if not (planned and quiet and live.is_ready(op, at)):
            self._found = None
        self._count = self._count + 1 if planned and self._count is not None else None
        if self._running is not None:
            self._running = [wait for wait in self._running if wait.cause != op.name]
            if op.step.wait:
                self._running = sorted([*self._running, Wait(at + op.step.wait, op.name, None)])


__all__ = [
    "NOTE",
    "READING",
    "LogNotice",
    "OneBuild",
    "OperationState",
    "Refusal",
    "Ticked",
    "UnusableError",
    "plan_of",
]
