"""What the screens of an open build share: the build that is drawn, their title, and writing on it."""

from __future__ import annotations

from collections.abc import Hashable, Sequence
from typing import TYPE_CHECKING

from rich.cells import cell_len
from textual.events import Paste
from textual.timer import Timer

from planner.app.draw.drawing import cut
from planner.app.frame.page import Page
from planner.plan.model import NOTICE
from planner.telling.looks import Line, level_words, line, progress_words

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.plan.model import Finding
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened
    from planner.session.writing.rows import WriteRow

#: What can be done on a page of a build before there is one.
_WITHOUT_BUILD = frozenset({"go", "find", "help", "quit", "silence", "copy_detail"})


class BuildPage(Page):
    """A screen of the build that is open."""

    resting: Timer | None = None
    touched: int | None = None  # the stage that the latest tick was in; None: it may be any
    drawn: object = None  # the operations of the plan that was drawn last
    held: Opened | None = None  # the build that is drawn, whole; None: none is, and nothing of the last is left

    @property
    def opened(self) -> Opened:
        """The build that is drawn. Nobody asks before there is one: without it there are no rows and no actions."""
        assert self.held is not None  # noqa: S101  # the door is check_action, draw_all and the empty lists
        return self.held

    @property
    def one(self) -> OneBuild:
        """The same, joined."""
        return self.opened.one

    def check_action(self, action: str, parameters: tuple[object, ...]) -> bool | None:
        """Actions on the build are done only where the build that is open is the one that is drawn."""
        if action not in _WITHOUT_BUILD and (self.held is None or self.held is not self.shell.opened):
            return False
        return super().check_action(action, parameters)

    def title_line(self) -> Line:
        """The screen, the build, how far it is and what stands against it."""
        if self.held is None:
            return line((self.TITLE_WORD, "title"))
        one = self.one
        rest = (
            progress_words(one.ticked(), len(one.plan.operations)),
            *line("   "),
            *level_words(self.opened.counts(), self.opened.checked()),
        )  # fmt: skip
        room = self.size.width - 2 - len(self.TITLE_WORD) - 6 - sum(cell_len(piece.text) for piece in rest)
        name = one.plan.build.name
        shown = cut(name, min(cell_len(name), room)) if room > 4 else ""
        return (*line((self.TITLE_WORD, "title"), "   ", (shown, "strong"), "   " if shown else ""), *rest)

    def operation(self) -> Operation | None:
        """The operation that keys are about."""
        return None

    def here(self) -> Operation | None:
        """Where in the build it stands; on the step that one came from, the operation that one came from."""
        came = self.shell.place
        op = self.operation() if self.held is not None and self.held is self.shell.opened else None
        if op is not None and came is not None and self.TITLE_WORD == "write" and came.step.id == op.step.id:
            return came
        return op

    def show_operation(self, op: Operation) -> None:
        """Go to an operation."""

    def draw_all(self) -> None:
        """Draw everything again, and go where another screen has sent the person."""
        if not self.stands:
            return
        if self.held is not self.shell.opened:
            self.held = self.shell.opened
            self.forget()
        self.drawn = self.one.live.by_name if self.held is not None else None
        super().draw_all()
        if self.wanted is not None and self.held is not None:
            wanted, self.wanted = self.one.live.by_name.get(self.wanted.name), None
            if wanted is not None:
                self.show_operation(wanted)
                self.draw_tick()

    @property
    def stale(self) -> bool:
        """Whether an edit was kept since: operations that are drawn may be gone."""
        return self.held is not None and self.drawn is not self.one.live.by_name

    def forget(self) -> None:
        """Another build is drawn from now on: keep nothing of the last one."""

    def draw_body(self) -> None:
        """Draw the build, or that there is none yet."""
        if self.held is None:
            self.draw_nothing([line(("… reading", "dim"))])
        else:
            self.draw_build()

    def draw_build(self) -> None:
        """Draw the body from the build that is held."""

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw: say so."""

    def draw_tick(self) -> None:
        """Draw what a tick may have changed."""
        self.draw_all()

    def draw_seconds(self) -> None:
        """A second has gone by while a wait runs."""

    def rest(self) -> None:
        """The cursor moved: when it rests on a finding, a repair is looked for."""
        if self.resting is not None:
            self.resting.stop()
        self.resting = self.set_timer(0.35, self._rested)

    def _rested(self) -> None:
        op = self.operation() if self.held is not None else None
        if op is not None:
            marks = [*self.opened.marks(op.name), *self.opened.marks(op.step.id)]
            if any(not each.history and each.level != NOTICE for each in marks):
                self.shell.find_repairs()

    # Writing that asks for a page of its own

    def writes_at(self) -> tuple[int, str | None] | None:
        """Where the cursor is: the stage by its number in the plan, and the step."""
        op = self.operation()
        return None if op is None else (op.stage, op.step.id)

    def action_rename(self) -> None:
        """Call a step or a condition otherwise everywhere."""
        self.shell.write(self, "rename")

    def action_renumber(self) -> None:
        """Give an episode another number."""
        self.shell.write(self, "renumber")

    def action_paste(self, text: str = "") -> None:
        """Turn a list in plain text into steps."""
        self.shell.write(self, "type_steps", 0, text)

    def on_paste(self, event: Paste) -> None:
        """A list pasted over the plan becomes steps."""
        if self.TITLE_WORD in ("plan", "write") and self.held is not None and event.text.strip():
            self.action_paste(event.text)

    def action_copy_stage(self) -> None:
        """Copy this stage to another build."""
        self.shell.write(self, "copy_stage")

    # Writing

    def action_write(self, what: str, by: int = 0) -> None:
        """Write the plan: edit, add, move, delete, repair, undo."""
        self.shell.write(self, what, by)  # only those who write pay for what that imports

    def action_write_all(self) -> None:
        """The list of everything that can be written, on the step that is shown here."""
        row = self.write_row()
        step = row.step.id if row is not None and row.step is not None else ""
        op = next((each for each in self.one.live.by_name.values() if each.step.id == step), None)
        if op is None:
            self.shell.go("write")
        else:
            self.shell.show_on("write", op)

    def write_row(self) -> WriteRow | None:
        """What is written on: the step of the operation that is shown."""
        op = self.operation()
        return self.row_of(op.step.id) if op is not None else None

    def marked_rows(self) -> list[WriteRow]:
        """The steps that are marked; only the list of everything that can be written has marks."""
        return []

    def mark_steps(self, ids: Sequence[str]) -> None:
        """Mark these steps and no others."""

    def row_of(self, step_id: str) -> WriteRow | None:
        """A step as what is written on."""
        from planner.session.writing.rows import row_of_step

        return row_of_step(self.one.plan.build, step_id)

    def findings_here(self) -> list[Finding]:
        """The findings about the step that is shown."""
        op, opened = self.operation(), self.opened
        return [*opened.marks(op.name), *opened.marks(op.step.id)] if op is not None else []

    def go_to_row(self, name: Hashable) -> None:
        """Go to a step that was written, by its id."""
        found = next((op for op in self.one.live.by_name.values() if op.step.id == name), None)
        if found is not None:
            self.show_operation(found)
            self.draw_tick()

    def side_at_cursor(self) -> str:
        """The side of the operation that is shown."""
        op = self.here()
        return op.side or "" if op is not None else ""
