"""The texts of the build that is being written: what an edit comes to, what was done, what is on the disk.

No screen in here. Working out what an edit comes to changes nothing and may run beside the screen; keeping it is
done by whoever holds the screen.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from threading import RLock
from typing import TYPE_CHECKING, NamedTuple, cast

from planner.files.build.reading import read_build
from planner.files.build.texts import TextReader
from planner.files.disk.folders import read_texts
from planner.files.disk.saving import ChangedOutsideError, NotSavedError, changes_of, save
from planner.files.disk.watching import Signature, plan_signature
from planner.files.editing import history as editing_history
from planner.files.editing import remembering
from planner.files.editing.history import ChangedSinceError, History
from planner.files.editing.spots import Edit, Texts, applied
from planner.files.log.ticklog import NotWrittenError
from planner.files.machine.histories import keep_history, kept_history
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value
from planner.files.yaml.tree import Problem
from planner.plan.fates import ticks_after
from planner.plan.findings import graver_first
from planner.plan.model import Finding
from planner.plan.names import step_of
from planner.plan.ticks import RENAMED, Ticks
from planner.session.standing import plan_of, walked
from planner.session.story import told

if TYPE_CHECKING:
    from planner.plan.expand import Plan
    from planner.plan.fill import Numbers
    from planner.session.opened import Opened

#: Makes an edit out of the texts as they are by then.
Make = Callable[[Texts], Edit]

LEVELS = ("trap", "gap", "notice")


class Task(NamedTuple):
    """What is to be done: in words, how, and what goes with it."""

    says: str
    make: Make
    join: str | None = None  # edits with the same mark are undone together
    renamed: Mapping[str, str] = {}  # steps whose ticks follow them to another id
    step: int = 0  # -1 undoes, 1 redoes
    value: Value = None  # what was written, where it is one value
    takes_out: bool = False  # something is gone by it, at one key
    fresh: bool = False  # made of the files as they are at this moment, whether they were seen to change or not


class Now(NamedTuple):
    """Where the work stands when an edit is worked out: the plan, its ticks, what is wrong, and the time."""

    plan: Plan
    ticks: Ticks
    findings: tuple[Finding, ...]
    at: float


class Outcome(NamedTuple):
    """What an edit comes to. ``refused`` or ``problems`` say why it cannot be kept."""

    task: Task
    texts: Texts  # as they were
    edit: Edit = Edit({})
    refused: str = ""
    problems: tuple[Problem, ...] = ()
    plan: Plan | None = None
    findings: tuple[Finding, ...] = ()
    before: tuple[Finding, ...] = ()
    ticks: tuple[tuple[str, str], ...] = ()  # ticked operations and what becomes of them
    history: History | None = None
    known: frozenset[str] = frozenset()  # the ids of the steps that there were

    @property
    def good(self) -> bool:
        """Whether it can be kept."""
        return self.plan is not None

    @property
    def new(self) -> list[Finding]:
        """Findings that were not there before."""
        known = {finding.id for finding in self.before}
        return [each for each in self.findings if each.id not in known and not each.history]

    @property
    def gone(self) -> list[Finding]:
        """Findings that are there no more."""
        left = {finding.id for finding in self.findings}
        return [each for each in self.before if each.id not in left and not each.history]


def counts_of(findings: Iterable[Finding]) -> dict[str, int]:
    """How many findings stand, by level."""
    counts = dict.fromkeys(LEVELS, 0)
    for finding in findings:
        if not finding.history:
            counts[finding.level] += 1
    return counts


class Desk:
    """The build that is open, as something to write on."""

    def __init__(self, opened: Opened) -> None:
        self.folder = opened.folder
        self.reader = TextReader(opened.folder)
        self.disk: dict[str, str] = {}  # as read or saved last
        self.texts: dict[str, str] = {}  # with what could not be saved
        self.history = History()
        self.unsaved = ""  # why the latest edits are not on the disk; empty: they are
        self.plan: object = None  # whose texts these are
        self._lock = RLock()  # texts, what is on the disk and the plan change together
        self._values: dict[str, tuple[str, Value]] = {}
        self._packed: remembering.Packed = {}
        self._recalled = False

    # Reading

    def look(self, plan: object) -> str:
        """Read the files again where the plan that is open is not the one these texts say; why they cannot be."""
        with self._lock:
            return "" if self.plan is plan and self.texts else self._look(plan)

    def _look(self, plan: object) -> str:
        try:
            found = read_texts(self.folder)
        except (OSError, UnicodeDecodeError) as error:
            return f"the files cannot be read: {error}"
        mine = {path: self.texts.get(path) for path in {*self.texts, *self.disk} if self._differs(path)}
        old = self.disk
        self.disk = found
        for path in mine:  # not on the disk yet: what was read before stays, so that saving sees the change
            if path in old:
                self.disk[path] = old[path]
            else:
                self.disk.pop(path, None)
        self.texts = applied(self.disk, mine)
        self.plan = plan
        if not self._recalled:
            self._recalled = True
            self.history = remembering.unpack(kept_history(self.folder), self.texts, self._path)
        return ""

    def _differs(self, path: str) -> bool:
        return self.disk.get(path) != self.texts.get(path)

    def held(self, path: str) -> str | None:
        """The text of a file that the disk has refused; None: it is on the disk."""
        return self.texts.get(path) if self.unsaved and self._differs(path) else None

    def values(self, path: str) -> Value:
        """What a file says; parsed once."""
        text = self.texts.get(path, "")
        known = self._values.get(path)
        if known is None or known[0] != text:
            known = self._values[path] = (text, editing_text.get(text))
        return known[1]

    def numbers(self, plan: Plan) -> Numbers:
        """The numbers that steps may name, with their present values; of a plan whose steps name none as yet."""
        reading = self.reader.read(self.texts) if self.texts else read_build(self.folder)
        if reading.build is None or reading.numbers is None:
            return {}
        from planner.files.build.numbers import work_out
        from planner.numbers.together import for_steps

        found = work_out(reading.numbers, reading.build.sides, reading.build.show.get("lengths"))
        return for_steps(tuple(found.file.sections), found.outcomes, found.show)

    # Working out

    def work_out(self, task: Task, now: Now) -> Outcome:
        """What an edit would come to; nothing is changed. May run beside the screen."""
        with self._lock:
            why = self._look(now.plan) if task.fresh else self.look(now.plan)
        if why:
            return Outcome(task, self.texts, refused=why)
        texts = self.texts
        before = now.findings
        history = self.history
        try:
            if task.step:
                history, edit = (editing_history.undo if task.step < 0 else editing_history.redo)(history, texts)
            else:
                edit = task.make(texts)
                history = editing_history.record(history, task.says, texts, edit, task.join, task.renamed)
        except EditError as error:
            return Outcome(task, texts, refused=str(error), before=before)
        except ChangedSinceError as error:
            which = ", ".join(self.short(path) for path in error.paths)
            return Outcome(task, texts, refused=f"{which} changed outside since then; that edit stays", before=before)
        if not edit.changes:
            return Outcome(task, texts, edit, "", (), now.plan, before, before, (), history)
        reading = self.reader.read(applied(texts, edit.changes))
        if reading.build is None:
            return Outcome(task, texts, edit, "", reading.problems, before=before)
        plan = plan_of(reading)
        names = self.renamed_by(task)
        entries = now.ticks.entries
        _, live = walked(plan, now.ticks, names)
        live.look_at(now.at)
        found = graver_first([*live.findings(), *told(live, now.ticks, now.at)])
        fates = ticks_after(now.plan, plan, [entry.op for entry in entries], names) if entries else []
        steps = frozenset(step.id for _, stage in now.plan.stages for step in stage.steps)
        return Outcome(task, texts, edit, "", (), plan, tuple(found), before, tuple(fates), history, steps)

    def renamed_by(self, task: Task) -> Mapping[str, str]:
        """The steps that go by another id after a task, old -> new."""
        if not task.step:
            return task.renamed
        entries = self.history.past if task.step < 0 else self.history.future
        names = entries[-1].renamed if entries else {}
        return names if task.step > 0 else {new: old for old, new in names.items()}

    def _name(self, path: str) -> str:
        """A path as it is kept from one run to the next, alike on every system."""
        return self.short(path).replace("\\", "/")

    def _path(self, name: str) -> str:
        return str(self.folder.joinpath(*name.split("/")))

    def short(self, path: str) -> str:
        """A path from the build's folder on."""
        return path.removeprefix(str(self.folder)).lstrip("/\\")

    # Keeping

    def keep(self, outcome: Outcome, opened: Opened) -> None:
        """Put an edit on the disk and into the build that is open.

        Raises ChangedOutsideError with nothing changed. Where the disk refuses, the edit is kept here, and
        ``unsaved`` says why.
        """
        assert outcome.plan is not None  # noqa: S101
        texts = applied(outcome.texts, outcome.edit.changes)
        names = self.renamed_by(outcome.task)
        events = opened.one.log.events
        ticked = {step_of(event.op) for event in events if event.op}
        ticked |= {str(event.raw.get("to")) for event in events if event.did == RENAMED}
        follow = {old: new for old, new in names.items() if old in ticked}
        change = self._against_disk(texts)
        try:
            if follow:
                back = {path: self.disk.get(path) for path in change}
                opened.one.rename_steps(
                    follow,
                    lambda: save(changes_of(self.disk, change)),
                    lambda: save(changes_of(texts, back)),
                )
            else:
                save(changes_of(self.disk, change))
        except (NotSavedError, NotWrittenError) as error:
            if follow:  # the log would not know of it: nothing is kept
                raise
            self._take(outcome, opened, texts, str(error))
        else:
            opened.seen = self._seen(opened.seen, change)
            self._take(outcome, opened, texts, "")

    def _take(self, outcome: Outcome, opened: Opened, texts: dict[str, str], unsaved: str) -> None:
        """Take an edit over, on the disk or (``unsaved``) in memory only."""
        assert outcome.plan is not None  # noqa: S101
        with self._lock:
            if not unsaved:
                self.disk = dict(texts)
            self.unsaved = unsaved
            self.texts = texts
            if outcome.history is not None:
                self.history = outcome.history
                self._remember()
            opened.adopt(outcome.plan)
            self.plan = opened.one.plan

    def _remember(self) -> None:
        """What can be undone is kept for the next run, as far as it is on the disk; losing it is no reason to stop."""
        if not self.unsaved:
            self._packed, data = remembering.pack(self.history, self._name, self._packed)
            keep_history(self.folder, data)

    def _against_disk(self, texts: Texts) -> dict[str, str | None]:
        return {
            path: texts.get(path) for path in sorted({*texts, *self.disk}) if texts.get(path) != self.disk.get(path)
        }

    def save_again(self, opened: Opened) -> bool:
        """Try once more to save what could not be; whether all is on the disk now. Raises ChangedOutsideError."""
        change = self._against_disk(self.texts)
        try:
            save(changes_of(self.disk, change))
        except NotSavedError as error:
            self.unsaved = str(error)
            return False
        self.unsaved = ""
        self.disk = dict(self.texts)
        opened.seen = self._seen(opened.seen, change)
        return True

    def take_theirs(self, path: str, theirs: bytes | None) -> None:
        """Take one file as it is on the disk now, and what was not saved of it away."""
        with self._lock:
            self.disk, self.texts = _with(self.disk, path, theirs), _with(self.texts, path, theirs)

    def write_over(self, path: str, theirs: bytes | None) -> None:
        """Know what is there now, so that the next saving puts ours in its place."""
        with self._lock:
            self.disk = _with(self.disk, path, theirs)

    def _seen(self, seen: Signature, change: Iterable[str]) -> Signature:
        """How the files look now, as far as we have written them; other changes stay to be seen."""
        own = {path.rpartition("/")[2].rpartition("\\")[2] for path in change}
        now = {entry[0]: entry for entry in plan_signature(self.folder)}
        old = {entry[0]: entry for entry in seen}
        merged = {name: entry for name, entry in old.items() if name not in own}
        merged |= {name: entry for name, entry in now.items() if name in own}
        order = ["build.yaml", "numbers.yaml"]
        return tuple(merged[name] for name in sorted(merged, key=lambda n: (n not in order, n)))


def _with(texts: Texts, path: str, raw: bytes | None) -> dict[str, str]:
    return applied(texts, {path: None if raw is None else raw.decode("utf-8", "replace")})


def no_edit(texts: Texts) -> Edit:
    """Undoing and redoing have no edit of their own."""
    return Edit({})


def now_of(opened: Opened) -> Now:
    """Where the build that is open stands, for working out an edit beside the screen."""
    return Now(opened.one.plan, opened.one.ticks, tuple(opened.findings()), opened.clock())


def desk_of(opened: Opened) -> Desk:
    """The desk of the build that is open."""
    if opened.desk is None:
        opened.desk = Desk(opened)
    return cast("Desk", opened.desk)


__all__ = ["ChangedOutsideError", "Desk", "Now", "Outcome", "Task", "counts_of", "desk_of", "no_edit", "now_of"]
