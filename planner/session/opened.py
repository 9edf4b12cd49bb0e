"""The build that is open: the joined build, what its files looked like, findings by operation, repairs found.

No screen in here; the screens read it and the shell keeps it up to date.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Protocol

from planner.files.disk.watching import Signature, plan_signature
from planner.session.onebuild import OneBuild, UnusableError, plan_of

if TYPE_CHECKING:
    from planner.files.yaml.tree import Problem
    from planner.plan.expand import Operation, Plan
    from planner.plan.model import Finding
    from planner.plan.repairs import Repairs


class Writing(Protocol):
    """The build as something to write on, once somebody did."""

    unsaved: str  # why the latest edits are not on the disk; empty: they are

    def short(self, path: str) -> str:
        """A path from the build's folder on."""

    def save_again(self, opened: Opened) -> bool:
        """Try once more to save what could not be. Raises ChangedOutsideError."""


class Opened:
    """A build that is open in the app; ``one`` is None while it has never been readable."""

    def __init__(self, folder: Path, clock: Callable[[], float]) -> None:
        self.folder = folder
        self.clock = clock
        self.one: OneBuild | None = None
        self.problems: tuple[Problem, ...] = ()
        self.notices: list[str] = []  # what the logs hold that is not used
        self.device_problem = ""
        self.desk: Writing | None = None
        self.seen: Signature = plan_signature(folder)
        self.repairs: Repairs | None = None
        self._marks: dict[str, list[Finding]] = {}
        self._marked: object = None
        self._repaired: object = None
        self._stage_done: list[int] = []
        self._counted: object = None
        self._totalled: tuple[object, list[int]] = (None, [])
        self._placed: tuple[object, dict[str, int]] = (None, {})
        self._left_out: tuple[object, frozenset[str]] = (None, frozenset())

    def read(self) -> None:
        """Read everything for the first time; problems are kept, not raised. May run beside the screen."""
        from planner.files.machine.device import DeviceError, device_name

        device = None
        try:
            device = device_name()
        except DeviceError as error:
            self.device_problem = str(error)
        try:
            self.one = OneBuild(self.folder, device, self.clock)
            self.notices = self.one.notices()
        except UnusableError as error:
            self.problems = error.problems

    def adopt(self, plan: Plan) -> None:
        """Take in a plan that was read beside the screen."""
        assert self.one is not None  # noqa: S101  # a plan is adopted by a build that is open
        self.one.adopt(plan)
        self.notices = self.one.notices()

    def refresh(self) -> bool:
        """Take in what others wrote into the logs; whether there was anything."""
        if self.one is None or not self.folder.is_dir():
            return False  # a folder that is gone took nothing back: the last that was read still stands
        if not self.one.refresh():
            return False
        self.notices = self.one.notices()
        return True

    def troubles(self) -> list[tuple[str, str]]:
        """Everything in the files that cannot be used: the place, from the build's folder on, and what it is."""
        found = []
        for problem in self.problems:
            near = f"; nearest: {problem.near}" if problem.near else ""
            found.append((f"{self.short(problem.path)}:{problem.line}:{problem.column}", problem.message + near))
        for notice in self.notices:
            path, _, says = notice.partition(": ")
            found.append((self.short(path), says))
        return found

    def short(self, path: str) -> str:
        """A path from the build's folder on."""
        return path.removeprefix(str(self.folder)).lstrip("/\\") or path

    def changed_outside(self) -> bool:
        """Whether the plan files look different from when they were last looked at."""
        now = plan_signature(self.folder)
        if now == self.seen:
            return False
        self.seen = now
        return True

    def read_plan(self) -> tuple[Plan | None, tuple[Problem, ...]]:
        """Read the plan files again, beside the screen; nothing is taken in yet."""
        from planner.files.build.reading import read_build

        try:
            return plan_of(read_build(self.folder)), ()
        except UnusableError as error:
            return None, error.problems

    def is_left_out(self, op: Operation) -> bool:
        """Whether a sequence leaves op out."""
        if self.one is None:
            return False
        if self._left_out[0] is not self.one.plan:
            self._left_out = (self.one.plan, frozenset(each.name for each in self.one.plan.left_out))
        return op.name in self._left_out[1]

    def local(self, seconds: float) -> str:
        """A moment as the build's own clock shows it."""
        from planner.files.times.zones import show_clock

        zone = self.one.plan.build.shop.timezone if self.one is not None else None
        return show_clock(seconds, zone, self.clock())

    # Findings

    def findings(self) -> list[Finding]:
        """The live findings."""
        return self.one.found() if self.one is not None else []

    def marks(self, name: str) -> list[Finding]:
        """The findings about an operation, a step or a condition."""
        found = self.findings()
        if found is not self._marked:
            self._marks = {}
            for finding in found:
                for each in (finding.at, *finding.also):
                    self._marks.setdefault(each, []).append(finding)
            self._marked = found
        return self._marks.get(name, [])

    def counts(self) -> dict[str, int]:
        """How many findings stand, by level."""
        counts = {"trap": 0, "gap": 0, "notice": 0}
        for finding in self.findings():
            if not finding.history:
                counts[finding.level] += 1
        return counts

    def known_repairs(self) -> Repairs | None:
        """The repairs of the findings as they are now; None: nobody has looked for them yet."""
        return self.repairs if self._repaired is self.findings() else None

    def repair_search(self) -> Callable[[], Repairs] | None:
        """The search for repairs, to be run beside the screen; its answer goes to ``take_repairs``."""
        return None if self.one is None else self.one.repair_search(self.findings())

    def take_repairs(self, found: object, repairs: Repairs) -> None:
        """Keep repairs, unless the findings have changed meanwhile."""
        if found is self.findings():
            self._repaired, self.repairs = found, repairs

    # Progress

    def places(self) -> dict[str, int]:
        """Where each operation stands in the plan; rework put in more than once where it stands first."""
        one = self.one
        assert one is not None  # noqa: S101  # nobody asks before there is a plan
        if self._placed[0] is not one.plan:
            found: dict[str, int] = {}
            for index, op in enumerate(one.plan.operations):
                found.setdefault(op.name, index)
            self._placed = (one.plan, found)
        return self._placed[1]

    def stage_total(self) -> list[int]:
        """How many operations each stage has."""
        one = self.one
        assert one is not None  # noqa: S101  # nobody asks before there is a plan
        if self._totalled[0] is not one.plan:
            totals = [0] * len(one.plan.stages)
            for op in one.plan.operations:
                totals[op.stage] += 1
            self._totalled = (one.plan, totals)
        return self._totalled[1]

    def stage_done(self) -> list[int]:
        """How many operations of each stage are done."""
        one = self.one
        assert one is not None  # noqa: S101  # nobody asks before there is a plan
        if self._counted is not one.live:
            self._stage_done = [0] * len(one.plan.stages)
            for op in one.plan.operations:
                if not one.live.is_open(op):
                    self._stage_done[op.stage] += 1
            self._counted = one.live
        return self._stage_done

    def count_tick(self, op: Operation, was_open: bool) -> None:
        """Move the stage's count on after a tick, where the live state moved on and was not made anew."""
        if self.one is not None and self._counted is self.one.live and was_open and not op.step.rework:
            self._stage_done[op.stage] += 1
        elif op.step.rework:
            self._counted = None
