"""What all editors of one value share: what it would come to is worked out while one types, and typing never waits."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, ClassVar, NamedTuple, cast

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.content import Content
from textual.style import Style
from textual.timer import Timer
from textual.widgets import Static

from planner.app.draw.drawing import content, fold, look_of
from planner.app.draw.linelist import bindings_of
from planner.app.frame.stands import StandingModal
from planner.app.keep.keeping import keep, unreadable
from planner.files.editing.spots import Edit, Texts
from planner.files.plankeys import Field
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value
from planner.session.writing.desk import Outcome, Task, desk_of, now_of
from planner.session.writing.fields import shown
from planner.session.writing.targets import Target, is_same, value_of
from planner.telling.edit import outcome_lines
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.app.frame.host import Host
    from planner.plan.expand import Plan

PAUSE = 0.25  # seconds after the last key until it is worked out what was typed
MOST_LINES = 6  # lines of what it comes to


class Editing(NamedTuple):
    """What an editor edits: the field, what it holds now, and the task that a new value is."""

    target: Target
    field: Field
    old: Value
    task: Callable[[Value], Task]
    values: Value = None  # all of what holds the field
    watched: bool = False  # whether the field is looked at again before it is written


class Editor(StandingModal[Outcome], inherit_bindings=False):
    """Over the lower part of what is edited. Gives the outcome that was kept, or nothing."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("editor")
    KEYS_SAID: ClassVar[tuple[tuple[str, str, str], ...]] = (("Enter", "keep it", "keep"), ("Esc", "cancel", "leave"))
    DEFAULT_CSS = """
    Editor { align: center bottom; }
    Editor #box { width: 100%; max-width: 120; height: auto; max-height: 90%; padding: 0 1;
                  background: $surface; border: solid $primary; }
    Editor #head, Editor #strip, Editor #foot { height: auto; }
    Editor #strip { max-height: 7; }
    Editor #foot { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    Editor Input, Editor Input:focus { border: none; height: 1; padding: 0; background: $panel; }
    Editor LineList { height: auto; max-height: 7; }
    Editor.-low LineList { max-height: 4; }
    Editor.-high LineList { max-height: 12; }
    """
    VERTICAL_BREAKPOINTS = [(0, "-low"), (22, "-tall"), (32, "-high")]  # noqa: RUF012  # as Textual has it

    def __init__(self, editing: Editing) -> None:
        super().__init__()
        self.editing = editing
        self.field = editing.field
        self.wanted: Value = editing.old  # what is being tried
        self.waiting: Timer | None = None
        self.trying = False
        self.again = False
        self.keeping = False
        self.seen: Value = editing.old  # what the person knows to stand in the field
        self.met: Value = editing.old  # what was found there
        self.outcome: Outcome | None = None

    @property
    def shell(self) -> Host:
        """The app, as far as screens know it."""
        return cast("Host", self.app)

    @property
    def plan(self) -> Plan:
        """The plan as it is."""
        return self.shell.whole().one.plan

    def compose(self) -> ComposeResult:
        """What it is, the editor itself, what it comes to, the keys."""
        with Vertical(id="box"):
            yield Static(content(self.head_lines(), self.app.theme), id="head", markup=False)
            yield from self.body()
            yield Static(id="strip", markup=False)
            yield Static(id="foot", markup=False)

    def head_lines(self) -> list[Line]:
        """The field and what it is for."""
        return [line((self.field.key, "title"), "  ", (self.field.says, "dim"))]

    def body(self) -> ComposeResult:
        """The editor itself."""
        yield from ()

    def on_mount(self) -> None:
        """Say which keys there are."""
        made = Content("")
        for key, says, action in self.KEYS_SAID:
            said = Content.assemble((key, look_of(self.app.theme, "key")), f" {says}")
            if action:
                said = said.stylize(Style.from_meta({"@click": f"screen.{action}"}))
            made += said + Content("   ")
        self.query_one("#foot", Static).update(made)
        self.begin()
        self.draw_strip([])

    def begin(self) -> None:
        """What an editor does first; not in on_mount, since Textual calls that of every class."""

    def advice(self) -> list[Line]:
        """What there is to know about the value as it is being written."""
        return []

    def draw_strip(self, lines: Sequence[Line]) -> None:
        """Show what it comes to."""
        if not self.stands:
            return
        both = fold([*self.advice(), *lines], max(20, min(self.app.size.width, 120) - 4))[:MOST_LINES]
        self.query_one("#strip", Static).update(content(both, self.app.theme))

    # Trying

    def task_for(self, value: Value, *, tried: bool = False) -> Task:
        """The task, which first looks whether the field is still as the person knows it.

        ``tried``: it is only tried, maybe in another thread while the same is being kept; what it meets is not noted.
        """
        task = self.editing.task(value)
        if not self.editing.watched:
            return task

        def make(texts: Texts) -> Edit:
            target = self.editing.target
            holder = editing_text.get(texts.get(target.path, ""), target.inside)
            if not is_same(target, holder):
                raise EditError("it stands elsewhere in the file now; leave with Esc and open it again")
            met = value_of(target, self.field, holder)
            if not tried:
                self.met = met
            if met != self.seen:
                now = shown(met) or "nothing"
                raise EditError(
                    f"{self.field.key} was changed outside meanwhile: it says {now} now. Enter once more puts yours"
                    " in its place, Esc leaves theirs"
                )
            return task.make(texts)

        return task._replace(make=make)

    def try_value(self, value: Value) -> None:
        """Work out what a value would come to, once no key has come for a moment."""
        self.wanted = value
        if self.waiting is not None:
            self.waiting.stop()
        self.waiting = self.set_timer(PAUSE, self._try)

    def _try(self) -> None:
        if self.keeping or not self.stands:
            return
        if self.trying:
            self.again = True
            return
        if self.wanted == self.editing.old and self.editing.watched:
            self.outcome = None
            self.draw_strip([])
            return
        self.trying, self.again = True, False
        opened = self.shell.whole()
        desk, task, now = desk_of(opened), self.task_for(self.wanted, tried=True), now_of(opened)

        async def work() -> None:
            outcome = await to_thread(desk.work_out, task, now)
            self.trying = False
            if self.stands and not self.keeping:
                self.outcome = outcome
                self.draw_strip(outcome_lines(outcome))
                if self.again:
                    self._try()

        self.shell.run_worker(work(), group="trying")

    # Keeping

    def keep_value(self, value: Value) -> None:
        """Keep a value, unless the reader refuses it; then it stays here with the reason."""
        if self.keeping:
            return
        if self.editing.watched and value == self.editing.old:
            self.dismiss(None)
            return
        why = unreadable(self.shell.whole())
        if why:
            self.draw_strip([line((f"✗ {why}", "trap"))])
            return
        self.keeping = True
        self.draw_strip([line(("… looking it over", "dim"))])
        self.call_after_refresh(lambda: keep(self.shell, self.task_for(value), self._done))

    def _done(self, outcome: Outcome | None) -> None:
        self.keeping = False
        self.seen = self.met
        if not self.stands:
            return
        if outcome is not None and outcome.good:
            self.dismiss(outcome)
        elif outcome is None:
            self.draw_strip([line(("left as it was", "dim"))])
        else:
            self.draw_strip(outcome_lines(outcome))

    def action_leave(self) -> None:
        """Change nothing; what is being saved already is waited for, a moment, and then said."""
        if self.keeping:
            self.draw_strip([line(("… it is being saved already; U undoes it", "dim"))])
        else:
            self.dismiss(None)
