"""The screen for writing the plan: episodes, stages and steps as one list, all of which can be changed."""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from planner.app.draw.drawing import cut
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.ticking import WorkPage
from planner.app.keep.keeping import not_saved
from planner.files.plankeys import EPISODE, STAGE, STEP
from planner.plan.expand import Operation
from planner.plan.model import Finding
from planner.plan.words import counted
from planner.session.writing.desk import desk_of
from planner.session.writing.fields import shown
from planner.session.writing.rows import WriteRow, by_step, write_rows
from planner.telling.looks import LEVEL_GLYPHS, Line, Piece, line
from planner.telling.step import finding_lines


class WriteScreen(WorkPage):
    """Everything that can be written."""

    TITLE_WORD = "write"
    PLACED = True
    FOOT = ("write.edit", "write.add-step", "write.repair", "write.undo-edit", "everywhere.plan", "everywhere.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("write")
    DEFAULT_CSS = """
    WriteScreen #both { layout: vertical; height: 1fr; }
    WriteScreen #rows { height: 3fr; }
    WriteScreen #detail { height: 9; border-top: solid $panel; padding: 0 1; }
    WriteScreen #detail:focus { border-top: heavy $primary; }
    WriteScreen.-low #detail { height: 6; }
    WriteScreen.-wide #both { layout: horizontal; }
    WriteScreen.-wide #rows { width: 3fr; height: 1fr; }
    WriteScreen.-wide #detail { width: 2fr; height: 1fr; border-top: none; border-left: solid $panel; }
    WriteScreen.-wide #detail:focus { border-left: heavy $primary; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[WriteRow] = []
        self.at: dict[Hashable, int] = {}
        self.plan_seen: object = None
        self.marked: object = None
        self.marks: Mapping[str, list[Finding]] = {}
        self.shown: Hashable = None
        self.picked: set[str] = set()  # the ids of the steps that are marked

    def body(self) -> ComposeResult:
        """The list, and what is under the cursor."""
        with Container(id="both"):
            yield LineList(self._row_line, id="rows")
            yield TextPane(id="detail")

    @property
    def row_list(self) -> LineList:
        """The list of rows."""
        return self.query_one("#rows", LineList)

    # Drawing

    def forget(self) -> None:
        """The rows are those of the build before."""
        self.rows, self.at, self.plan_seen, self.picked = [], {}, None, set()
        self.row_list.set_rows(())

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one(TextPane).show_lines(lines)

    def draw_build(self) -> None:
        """Take in the plan if it changed, and draw everything."""
        one = self.one
        if self.plan_seen is not one.plan:
            fresh = self.plan_seen is None
            self.plan_seen = one.plan
            self.rows = write_rows(one.plan.build)
            self.at = {row.name: index for index, row in enumerate(self.rows)}
            self.picked = {each for each in self.picked if each in self.at}
            self.row_list.set_rows([row.name for row in self.rows])
            if fresh:
                self.row_list.focus()
        self.row_list.refresh()
        self.draw_detail()
        if desk_of(self.opened).unsaved:
            self.say(not_saved(desk_of(self.opened)), "wrong")

    def draw_repairs(self) -> None:
        """Repairs were found."""
        self.draw_detail()

    def _marks(self) -> Mapping[str, list[Finding]]:
        found = self.opened.findings()
        if found is not self.marked:
            self.marked, self.marks = found, by_step(found)
        return self.marks

    def _row_line(self, index: int, width: int) -> list[Line]:
        if index >= len(self.rows):
            return []
        row = self.rows[index]
        facts = row.facts
        room = width - (cell_len(facts) + 2 if facts and width >= 70 and row.what != STEP else 0)
        if row.what == EPISODE:
            lines = line((cut(f" {row.number}  {row.text}", room), "title"))
        elif row.what == STAGE:
            lines = line((cut(f"   {row.text}", room), "head"))
        else:
            return [self._step_line(row, width)]
        return [(*lines, *line((f"  {facts}", "dim")))] if room < width else [lines]

    def _step_line(self, row: WriteRow, width: int) -> Line:
        assert row.step is not None  # noqa: S101
        found = self._marks().get(row.step.id, [])
        graver = min(found, key=lambda each: list(LEVEL_GLYPHS).index(each.level), default=None)
        mark = f"{LEVEL_GLYPHS[graver.level]} {graver.level} " if graver is not None else ""
        facts = row.facts if width >= 70 else ""
        side = min(30, width // 3) if width >= 70 else 0
        picked = row.step.id in self.picked
        margin = ("   ■ " if picked else "     ", "key")
        parts: list[Piece | tuple[str, str] | str] = [margin, (mark, graver.level if graver else "")]
        room = width - 5 - len(mark) - side
        name = cut(row.step.id, min(cell_len(row.step.id), room))
        parts.append((name, "strong"))
        room -= cell_len(name)
        parts.append((cut(f"  {row.text}", room) if room > 6 else " " * max(room, 0), ""))
        if side:
            parts.append((cut(f"  {facts}", side), "dim"))
        return line(*parts)

    def draw_detail(self) -> None:
        """What is under the cursor."""
        row = self.write_row()
        name = row.name if row is not None else None
        self.query_one(TextPane).show_lines(self.detail_lines(), top=name != self.shown)
        self.shown = name

    def detail_lines(self) -> list[Line]:
        """What the marks are for, then the findings of what is under the cursor, and what is written of it."""
        if self.held is None:
            return []
        return [*self._marks_lines(), *self._row_detail()]

    def _marks_lines(self) -> list[Line]:
        if not self.picked:
            return []
        says = "m moves them, d duplicates, - deletes, A gives a kind, a piece or sides; Esc marks none"
        return [line((f"■ {counted(len(self.picked), 'step')} marked  ", "key"), (says, "")), ()]

    def _row_detail(self) -> list[Line]:
        row, opened = self.write_row(), self.opened
        if row is None:
            return [line("there is nothing yet")]
        if row.step is None:
            head = f"episode {row.number}" if row.what == EPISODE else "stage"
            return [
                line((head, "title"), "  ", (row.text, "strong")),
                line((row.facts, "dim")),
                line(("e edits it, n adds a step, s a stage, v an episode, d duplicates, - deletes", "dim")),
            ]
        lines = [line((row.step.id, "title"), "  ", (row.facts, "dim")), line((row.text, "strong"))]
        for finding in self._marks().get(row.step.id, []):
            lines += [(), *finding_lines(opened, finding)]
        step = row.step
        for word, refs in (("needs", step.needs), ("gives", step.gives), ("spoils", step.spoils)):
            if refs:
                lines.append(line((f"{word:<7}", "head"), ", ".join(str(ref) for ref in refs)))
        if step.after:
            names = [f"{each.step}@own" if each.own else each.step for each in step.after]
            lines.append(line(("after  ", "head"), ", ".join(names)))
        for text in step.note:
            lines.append(line(("note   ", "head"), shown(text)))
        return lines

    # Marks

    def marked_rows(self) -> list[WriteRow]:
        """The steps that are marked, in the order of the plan."""
        return [row for row in self.rows if row.step is not None and row.step.id in self.picked]

    def mark_steps(self, ids: Sequence[str]) -> None:
        """Mark these steps and no others."""
        self.picked = {each for each in ids if each in self.at}
        self.row_list.refresh()
        self.draw_detail()

    def action_mark(self) -> None:
        """Mark the step under the cursor, or not, and go on to the next; of a stage or an episode all its steps."""
        row = self.write_row()
        if row is None:
            return
        ids = [each.step.id for each in self._steps_of(row) if each.step is not None]
        self.mark_steps([*(self.picked - set(ids) if self.picked.issuperset(ids) else {*self.picked, *ids})])
        if row.step is not None:
            self.row_list.action_down()

    def _steps_of(self, row: WriteRow) -> list[WriteRow]:
        if row.step is not None:
            return [row]
        return [
            each
            for each in self.rows
            if each.step is not None and each.spot.path == row.spot.path and row.spot.stage in (None, each.spot.stage)
        ]

    def action_mark_none(self) -> None:
        """Mark none."""
        self.mark_steps(())

    # The cursor

    def write_row(self) -> WriteRow | None:
        """The row under the cursor."""
        at = self.row_list.cursor
        return self.rows[at] if at < len(self.rows) else None

    def operation(self) -> Operation | None:
        """The first operation of the step under the cursor."""
        row = self.write_row()
        if row is None or row.step is None:
            return None
        return next((op for op in self.one.live.by_name.values() if op.step.id == row.step.id), None)

    def writes_at(self) -> tuple[int, str | None] | None:
        """The stage of the cursor, by its number among all, and the step."""
        row, one = self.write_row(), self.one
        if row is None:
            return None
        at = 0
        for episode in one.plan.build.episodes:
            if episode.place.path == row.spot.path:
                stage = row.spot.stage or 0
                if stage >= len(episode.stages):
                    return None
                return at + stage, row.step.id if row.step is not None else None
            at += len(episode.stages)
        return None

    def findings_here(self) -> list[Finding]:
        """The findings of the step under the cursor."""
        row = self.write_row()
        return list(self._marks().get(row.step.id, [])) if row is not None and row.step is not None else []

    def go_to_row(self, name: Hashable) -> None:
        """Put the cursor on a row."""
        if name in self.at:
            self.row_list.move_to(self.at[name], by_hand=False)

    def show_operation(self, op: Operation) -> None:
        """Put the cursor on the step of an operation."""
        self.go_to_row(op.step.id)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what is under the cursor."""
        if event.by_hand:
            self.hush()
        self.draw_detail()
        if self.findings_here():
            self.rest()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Edit it."""
        self.action_write("edit")

    def action_next_finding(self) -> None:
        """To the next step with a finding that stands, from the cursor on and round."""
        names = self._marks()
        spots = [index for index, row in enumerate(self.rows) if row.step is not None and row.step.id in names]
        if not spots:
            self.say("no finding stands", "good")
            return
        self.row_list.move_to(next((index for index in spots if index > self.row_list.cursor), spots[0]))
