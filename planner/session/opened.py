"""The build that is open: the joined build, what its files looked like, findings by operation, repairs found.

No screen in here; the screens read it and the shell keeps it up to date. A build that cannot be read is ``Files``:
nothing can ask it for a plan.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple, Protocol
from zlib import crc32

from planner.files.disk.watching import Signature, plan_signature
from planner.plan.fates import checked_steps
from planner.plan.findings import ONCE_A_BUILD, graver_first
from planner.plan.series import tells
from planner.session.onebuild import OneBuild, UnusableError, plan_of

if TYPE_CHECKING:
    from planner.files.yaml.tree import Problem
    from planner.plan.expand import Operation, Plan
    from planner.plan.live import Live
    from planner.plan.model import Finding
    from planner.plan.repairs import Repairs
    from planner.session.lognotices import Noticed


_KEPT = 180  # characters of ids that are kept


class Writing(Protocol):
    """The build as something to write on, once somebody did."""

    unsaved: str  # why the latest edits are not on the disk; empty: they are

    def short(self, path: str) -> str:
        """A path from the build's folder on."""

    def held(self, path: str) -> str | None:
        """The text of a file that the disk has refused; None: it is on the disk."""

    def save_again(self, opened: Opened) -> bool:
        """Try once more to save what could not be. Raises ChangedOutsideError."""


class Files:
    """The files of a build that is looked at, whether they can be read or not."""

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self.problems: tuple[Problem, ...] = ()  # why the plan files cannot be read now
        self.notices: list[Noticed] = []  # what the logs hold that is not used
        self.seen: Signature = plan_signature(folder)

    def troubles(self) -> list[tuple[str, str]]:
        """Everything in the files that cannot be used: the place, from the build's folder on, and what it is."""
        found = []
        for problem in self.problems:
            near = f"; did you mean {problem.near}?" if problem.near and "did you mean" not in problem.message else ""
            found.append((f"{self.short(problem.path)}:{problem.line}:{problem.column}", problem.message + near))
        for notice in self.notices:
            found.append((self.short(notice.where), notice.says))
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

    def forget(self, name: str) -> None:
        """A file beside the episodes was put away from here: that it is gone is no change from outside."""
        self.seen = tuple([entry for entry in self.seen if entry[0] != name])

    def read_plan(self) -> tuple[Plan | None, tuple[Problem, ...]]:
        """Read the plan files again, beside the screen; nothing is taken in yet."""
        from planner.files.build.reading import read_build

        try:
            return plan_of(read_build(self.folder)), ()
        except UnusableError as error:
            return None, error.problems


class _OfPlan(NamedTuple):
    """What follows from the plan alone."""

    plan: Plan
    places: Mapping[str, int]
    stage_total: Sequence[int]
    left_out: frozenset[str]
    checked: tuple[int, int]
    tells: bool  # whether it says anything to viewers that could be wrong


class _OfFindings(NamedTuple):
    """What follows from the findings alone, and the repairs once they were looked for."""

    findings: list[Finding]
    marks: Mapping[str, list[Finding]]
    repairs: Repairs | None = None


Neighbours = tuple[list[str], list[str]]  # operations that one waits for, and those that wait for it


class _OfLinks(NamedTuple):
    """What binds the operations that remained of a plan when so many were done."""

    plan: Plan
    live: Live
    done: int
    of: Mapping[str, Neighbours]


class Opened(Files):
    """A build that is open in the app, whole."""

    def __init__(self, folder: Path, one: OneBuild) -> None:
        super().__init__(folder)
        self.one = one
        self.clock = one.clock
        self.notices = one.notices()
        self.device_problem = ""
        self.desk: Writing | None = None
        self._seen_once: str | None = None  # the ids of what was told once; None: not looked up yet
        self._plan: _OfPlan | None = None
        self._found: _OfFindings | None = None
        self._told: tuple[object, list[Finding]] | None = (
            None  # those of what viewers are told, and what they follow from
        )
        self._both: tuple[list[Finding], list[Finding], list[Finding]] | None = None  # the order's, these, and all
        self._bound: _OfLinks | None = None
        self._done: tuple[Live, list[int]] | None = None  # of each stage; moves on with the live state

    def adopt(self, plan: Plan) -> None:
        """Take in a plan that was read beside the screen."""
        self.one.adopt(plan)
        self.notices = self.one.notices()
        self.prepare()

    def prepare(self) -> None:
        """Work out what drawings look at, so that none does: the findings, for which every number in a step is."""
        self.findings()

    def refresh(self) -> bool:
        """Take in what others wrote into the logs; whether there was anything."""
        if not self.folder.is_dir():
            return False  # a folder that is gone took nothing back: the last that was read still stands
        if not self.one.refresh():
            return False
        self.notices = self.one.notices()
        self.prepare()
        return True

    def is_left_out(self, op: Operation) -> bool:
        """Whether a sequence leaves op out."""
        return op.name in self._of_plan().left_out

    def local(self, seconds: float) -> str:
        """A moment as the build's own clock shows it."""
        from planner.files.times.zones import show_clock

        return show_clock(seconds, self.one.plan.build.shop.timezone, self.clock())

    # Findings

    def findings(self) -> list[Finding]:
        """The live findings, and those of what viewers are told: what ``check`` counts."""
        one, found = self.one, self.one.found()
        if not self._of_plan().tells:
            return found
        key = (one.live, len(one.live.done), int(self.clock() // 60))  # a day may pass meanwhile
        if self._told is None or self._told[0] != key:
            from planner.session.story import told

            more = told(one.live, one.ticks, self.clock())
            self._told = (key, self._told[1] if self._told is not None and self._told[1] == more else more)
        more = self._told[1]
        if not more:
            return found
        if self._both is None or self._both[0] is not found or self._both[1] is not more:
            self._both = (found, more, graver_first([*found, *more]))
        return self._both[2]

    def _of_findings(self) -> _OfFindings:
        found = self.findings()
        if self._found is None or self._found.findings is not found:
            marks: dict[str, list[Finding]] = {}
            for finding in found:
                for each in (finding.at, *finding.also):
                    marks.setdefault(each, []).append(finding)
            self._found = _OfFindings(found, marks)
        return self._found

    def marks(self, name: str) -> list[Finding]:
        """The findings about an operation, a step or a condition."""
        return self._of_findings().marks.get(name, [])

    def counts(self) -> dict[str, int]:
        """How many findings stand, by level; what is told once a build counts as one, until it was seen."""
        counts = {"trap": 0, "gap": 0, "notice": 0}
        once: list[str] = []
        for finding in self.findings():
            if not finding.history:
                counts[finding.level] += 1
                if finding.rule in ONCE_A_BUILD:
                    once.append(finding.id)
        if once:
            counts["notice"] -= len(once) - (not self._was_seen(once))
        return counts

    def _was_seen(self, ids: Sequence[str]) -> bool:
        if self._seen_once is None:
            from planner.files.machine.kept import kept

            self._seen_once = kept(self._seen_name())
        return self._seen_once == " ".join(sorted(ids))[:_KEPT]

    def _seen_name(self) -> str:
        return f"seen-{crc32(str(self.folder.resolve()).encode()):08x}"

    def see(self) -> bool:
        """The list of findings was looked at: what is told once a build is known from now on, on this machine. Whether
        it was not before."""
        ids = [each.id for each in self.findings() if not each.history and each.rule in ONCE_A_BUILD]
        if not ids or self._was_seen(ids):
            return False
        from planner.files.machine.kept import keep

        self._seen_once = " ".join(sorted(ids))[:_KEPT]
        keep(self._seen_name(), self._seen_once)  # where it cannot be kept it is told again: no harm
        return True

    def known_repairs(self) -> Repairs | None:
        """The repairs of the findings as they are now; None: nobody has looked for them yet."""
        return self._of_findings().repairs

    def repair_search(self) -> Callable[[], Repairs]:
        """The search for repairs, to be run beside the screen; its answer goes to ``take_repairs``."""
        return self.one.repair_search(self.one.found())  # no order of the work cures what viewers are told

    def take_repairs(self, found: object, repairs: Repairs) -> None:
        """Keep repairs, unless the findings have changed meanwhile."""
        now = self._of_findings()
        if found is now.findings:
            self._found = now._replace(repairs=repairs)

    # Progress

    def _of_plan(self) -> _OfPlan:
        plan = self.one.plan
        if self._plan is None or self._plan.plan is not plan:
            places: dict[str, int] = {}
            totals = [0] * len(plan.stages)
            for index, op in enumerate(plan.operations):
                places.setdefault(op.name, index)
                totals[op.stage] += 1
            left_out = frozenset(each.name for each in plan.left_out)
            self._plan = _OfPlan(plan, places, totals, left_out, checked_steps(plan), tells(plan.build))
        return self._plan

    def places(self) -> Mapping[str, int]:
        """Where each operation stands in the plan; rework put in more than once where it stands first."""
        return self._of_plan().places

    def checked(self) -> tuple[int, int]:
        """How many steps are checked at all, and of how many."""
        return self._of_plan().checked

    def neighbours(self, name: str) -> Neighbours:
        """What an open operation directly waits for, and what waits for it, by the links of what remains as written.

        As they were last worked out for this plan (``link_search``), without what was ticked since: looking costs
        nothing, however large the plan.
        """
        if self._bound is None or not self.has_links():
            return [], []
        live = self.one.live
        before, after = self._bound.of.get(name, ([], []))
        known, is_open = live.by_name, live.is_open
        return [each for each in before if is_open(known[each])], [each for each in after if is_open(known[each])]

    def has_links(self) -> bool:
        """Whether links were worked out for this plan, be it before the latest ticks."""
        return self._bound is not None and self._bound.plan is self.one.plan

    def links_known(self) -> bool:
        """Whether the links are those of what remains now."""
        bound, live = self._bound, self.one.live
        return bound is not None and bound.live is live and bound.done == len(live.done)

    def link_search(self) -> Callable[[], None]:
        """Work out the links of what remains, to be run beside the screen."""
        live, plan = self.one.live, self.one.plan
        done, remaining = [op for op, _ in live.done], live.remaining()

        def search() -> None:
            from planner.plan.orders.links import neighbours

            self._bound = _OfLinks(plan, live, len(done), neighbours(plan, done, remaining))

        return search

    def stage_total(self) -> Sequence[int]:
        """How many operations each stage has."""
        return self._of_plan().stage_total

    def stage_done(self) -> Sequence[int]:
        """How many operations of each stage are done."""
        live = self.one.live
        if self._done is None or self._done[0] is not live:
            done = [0] * len(self.one.plan.stages)
            for op in self.one.plan.operations:
                if not live.is_open(op):
                    done[op.stage] += 1
            self._done = (live, done)
        return self._done[1]

    def count_tick(self, op: Operation, was_open: bool) -> None:
        """Move the stage's count on after a tick, where the live state moved on and was not made anew."""
        if op.step.rework:
            self._done = None
        elif self._done is not None and self._done[0] is self.one.live and was_open:
            self._done[1][op.stage] += 1


def open_build(folder: Path, clock: Callable[[], float]) -> Files:
    """Read a build: Opened, or Files with the problems that keep it from being one. May run beside the screen."""
    from planner.files.machine.device import DeviceError, device_name

    device, why = None, ""
    try:
        device = device_name()
    except DeviceError as error:
        why = str(error)
    files = Files(folder)
    try:
        opened = Opened(folder, OneBuild(folder, device, clock))
    except UnusableError as error:
        files.problems = error.problems
        return files
    opened.seen = files.seen  # as it was before reading: what changes while it is read is seen
    opened.device_problem = why
    opened.prepare()
    return opened
