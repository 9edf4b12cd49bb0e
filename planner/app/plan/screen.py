"""The screen of the plan: episodes and stages, steps with a column a side, and the detail of one operation."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Static

from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.ticking import WorkPage
from planner.app.plan.cells import cell_state, current
from planner.app.plan.columns import stage_line
from planner.app.plan.grid import StepGrid
from planner.telling import step as detailtext
from planner.telling.looks import LEVEL_GLYPHS, Line, Piece, line
from planner.telling.rows import EPISODE, GAP, STAGE, STEP, CellState, PlanRow, cell_of, plan_rows

if TYPE_CHECKING:
    from collections.abc import Sequence

    from planner.plan.expand import Operation
    from planner.session.writing.rows import WriteRow


class PlanScreen(WorkPage):
    """The plan of the build that is open."""

    TITLE_WORD = "plan"
    PLACED = True
    FOOT = ("plan.tick", "plan.undo", "plan.write", "everywhere.camera", "everywhere.traps", "everywhere.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("plan")
    DEFAULT_CSS = """
    #outline { width: 30%; min-width: 32; max-width: 40; border-right: solid $panel; display: none; margin-right: 1; }
    #sides { height: 1; text-wrap: nowrap; }
    #detail { height: 9; border-top: solid $panel; padding: 0 1; }
    #detail:focus { border-top: heavy $primary; }
    PlanScreen.-wide #outline { display: block; }
    PlanScreen.-low #detail { height: 7; }
    PlanScreen.-high #detail { height: 15; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.plan_seen: object = None
        self.outline_rows: list[PlanRow] = []
        self.outline_at: dict[int, int] = {}  # stage -> its row in the outline
        self.detail_of: str | None = None
        self.sides_drawn: object = None

    def body(self) -> ComposeResult:
        """Outline, grid and detail."""
        with Horizontal():
            yield LineList(self._outline_line, id="outline")
            with Vertical():
                yield Static(id="sides", markup=False)
                yield StepGrid(self._state, self._row_mark, id="grid")
                yield TextPane(id="detail")

    @property
    def grid(self) -> StepGrid:
        """The grid of steps."""
        return self.query_one(StepGrid)

    # Drawing

    def forget(self) -> None:
        """The rows are those of the build before."""
        self.plan_seen = self.sides_drawn = None
        self.outline_rows, self.outline_at = [], {}
        self.grid.show_plan((), ())
        self.query_one("#outline", LineList).set_rows(())

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one(TextPane).show_lines(lines)

    def draw_build(self) -> None:
        """Take in the plan if it changed, and draw everything again."""
        one = self.one
        if self.plan_seen is not one.plan:
            fresh = self.plan_seen is None
            self.plan_seen = one.plan
            rows = plan_rows(one.plan)
            self.outline_rows = [row for row in rows if row.what not in (STEP, GAP)]
            self.outline_at = {r.stage: i for i, r in enumerate(self.outline_rows) if r.what == STAGE}
            self.grid.show_plan(rows, one.plan.build.sides)
            self.query_one("#outline", LineList).set_rows(range(len(self.outline_rows)))
            if fresh:
                self.grid.focus()
                following = one.live.next() or (one.plan.operations[-1] if one.plan.operations else None)
                if following is not None:
                    self.show_operation(following)
        self.grid.share()
        self.draw_sides()
        self.grid.refresh()
        self.query_one("#outline", LineList).refresh()
        self.draw_detail()

    def draw_sides(self) -> None:
        """The names of the sides over their columns."""
        drawn = (self.grid.columns, self.app.theme, self.plan_seen)
        if self.plan_seen is not None and drawn != self.sides_drawn:
            self.sides_drawn = drawn
            self.fill(self.query_one("#sides", Static), [self.grid.sides_line()], fixed=True)

    def on_step_grid_shared(self) -> None:
        """Other columns fit now; the grid draws itself."""
        if self.stands:
            self.draw_sides()

    def draw_seconds(self) -> None:
        """A wait runs: its time left is shown in cells and in the detail."""
        self.grid.refresh()
        self.draw_detail()

    def draw_tick(self) -> None:
        """After a tick: only what can be seen is drawn again."""
        self.draw_title()
        self.grid.refresh()
        outline = self.query_one("#outline", LineList)
        if self.touched is not None and self.touched in self.outline_at:
            outline.refresh_row(self.outline_at[self.touched])
        else:
            outline.refresh()
        self.draw_detail()

    def draw_detail(self) -> None:
        """What is under the cursor, in full."""
        op = self.operation()
        name = op.name if op is not None else None
        self.query_one(TextPane).show_lines(self.detail_lines(), top=name != self.detail_of)
        self.detail_of = name
        self.draw_links()

    def draw_links(self) -> None:
        """The steps that the cell under the cursor waits for, and those that wait for it, all its rounds counted."""
        linked: dict[str, Piece] = {}
        row, live = self.grid.row, self.one.live
        for op in self._ops(row, self.grid.column) if row is not None else ():
            if live.is_open(op):
                before, after = self.opened.neighbours(op.name)
                for names, tie in ((after, Piece("↓ then", "dim")), (before, Piece("↑ first", "waits"))):
                    linked |= {live.by_name[each].step.id: tie for each in names if each in live.by_name}
                linked.pop(op.step.id, None)
        self.grid.tie(linked)
        if not self.opened.links_known():
            self.shell.find_links()

    def draw_ties(self) -> None:
        """What binds the operation under the cursor is known now."""
        if self.held is not None and self.held is self.shell.opened:
            self.draw_detail()

    def _ops(self, row: PlanRow, column: int) -> Sequence[Operation]:
        """The operations of a cell that the plan still has: a screen may be drawn between an edit and its new rows."""
        known = self.one.live.by_name
        return [op for op in cell_of(row, column) if known.get(op.name) is op]

    def _state(self, row: PlanRow, column: int) -> CellState | None:
        return cell_state(self.opened, self._ops(row, column))

    def _row_mark(self, row: PlanRow) -> Piece | None:
        """A mark for findings about the step as a whole, which has no cell of that name."""
        if row.step is None or (row.cells and row.cells[0] and row.cells[0][0].name == row.step.id):
            return None
        found = self.opened.marks(row.step.id)
        return Piece(f"{LEVEL_GLYPHS[found[0].level]} {found[0].level}", found[0].level) if found else None

    def _outline_line(self, index: int, width: int) -> list[Line]:
        row = self.outline_rows[index]
        if row.what == EPISODE:
            return [line((f" {row.text}", "title"))]
        if row.stage >= len(self.opened.stage_total()):
            return []
        total = self.opened.stage_total()[row.stage]
        done = self.opened.stage_done()[row.stage]
        return [stage_line(row.text, done, total, width)]

    # The operation under the cursor

    def operation(self) -> Operation | None:
        """The operation that keys are about: of a cell with rounds, the next that is open."""
        row = self.grid.row
        return current(self.opened, self._ops(row, self.grid.column)) if row is not None else None

    def ticked_here(self) -> Operation | None:
        """The latest done of the cell under the cursor, which may have several rounds."""
        row, one = self.grid.row, self.one
        if row is None:
            return None
        done = [op for op in self._ops(row, self.grid.column) if op.name in one.live.times]
        return max(done, key=lambda op: one.live.times[op.name], default=None)

    def detail_lines(self) -> list[Line]:
        """The detail of what is under the cursor."""
        row = self.grid.row
        if self.held is None:
            return []
        if row is None or row.step is None:
            return [line("the plan has no step")]
        opened = self.opened
        op = self.operation()
        if op is not None:
            return detailtext.op_lines(opened, op)
        side = opened.one.plan.build.sides[self.grid.column]
        return detailtext.empty_cell_lines(row.text, row.step.id, side, row.step.why, opened.marks(row.step.id), opened)

    def write_row(self) -> WriteRow | None:
        """The step under the cursor, on whatever side."""
        row = self.grid.row
        return self.row_of(row.step.id) if row is not None and row.step is not None else None

    def show_operation(self, op: Operation) -> None:
        """Put the cursor on an operation."""
        grid = self.grid
        if op.step.id in grid.row_of:
            column = grid.sides.index(op.side) if op.side in grid.sides else grid.column
            grid.put(grid.row_of[op.step.id], column, by_hand=False)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what is under the cursor."""
        if event.rows is self.grid:
            if event.by_hand:
                self.hush()
            self.draw_sides()
            self.draw_detail()
            self.follow_outline()
            self.rest()

    def follow_outline(self) -> None:
        """The outline stands on the stage of the cursor, unless it is being used itself."""
        outline, row = self.query_one("#outline", LineList), self.grid.row
        if row is not None and outline.display and not outline.has_focus:
            outline.move_to(self.outline_at[row.stage])

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """From the outline to the steps of a stage; from a step to the camera."""
        if event.rows is self.grid:
            op = self.operation()
            if op is not None:
                self.shell.show_on("camera", op)
            return
        row = self.outline_rows[event.rows.cursor]
        for index in self.grid.stops:
            if self.grid.rows[index].stage >= row.stage:
                self.grid.move_to(index)
                break
        self.grid.focus()

    def action_next_finding(self) -> None:
        """To the next cell with a finding that stands, from the cursor on and round."""
        names = {n for f in self.opened.findings() if not f.history for n in (f.at, *f.also)}
        spots = [
            (index, column)
            for index in self.grid.stops
            for column, ops in enumerate(self.grid.rows[index].cells)
            if any(op.name in names for op in ops) or (self._step_id(index) in names and self._bare(index, column))
        ]
        if not spots:
            self.say("no finding stands", "good")
            return
        row = self.grid.rows[self.grid.cursor]
        here = (self.grid.cursor, 0 if len(row.cells) == 1 else self.grid.column)
        index, column = next((spot for spot in spots if spot > here), spots[0])
        self.grid.put(index, column if len(self.grid.rows[index].cells) > 1 else self.grid.column)

    def _bare(self, index: int, column: int) -> bool:
        """Whether a finding about the step as a whole is looked for here: a side it misses, else the first."""
        cells = self.grid.rows[index].cells
        return not cells[column] if not all(cells) else column == 0

    def _step_id(self, index: int) -> str:
        step = self.grid.rows[index].step
        return step.id if step is not None else ""

    def action_next_open(self) -> None:
        """To what comes next in the plan; from there, where it has to wait, to what can be done meanwhile."""
        following = self.next_to_do()
        if following is None:
            self.say("nothing is left to do", "good")
        else:
            self.hush()
            self.show_operation(following)
            self.draw_tick()
