"""The screen of traps: every finding, with its cause, its repair and the order that the repair leads to."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.events import Resize

from planner.app.draw.drawing import cut, fold, shortened
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.page import TALL
from planner.app.frame.ticking import WorkPage
from planner.plan.expand import Operation
from planner.plan.model import Finding
from planner.telling.finding import Row, names_of, place_says, rows_of, sentence
from planner.telling.looks import LEVEL_GLYPHS, Line, Piece, few_checked, level_words, line
from planner.telling.repair import trap_lines


class TrapsScreen(WorkPage):
    """All findings."""

    TITLE_WORD = "traps"
    FOOT = (
        "list.choose",
        "traps.repair",
        "everywhere.plan",
        "everywhere.camera",
        "everywhere.copy",
        "everywhere.quit",
        "everywhere.help",
    )
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("traps")
    DEFAULT_CSS = """
    #both { layout: vertical; height: 1fr; }
    #findings { height: 2fr; }
    #detail { height: 3fr; border-top: solid $panel; padding: 0 1; }
    #detail:focus { border-top: heavy $primary; }
    TrapsScreen.-wide #both { layout: horizontal; }
    TrapsScreen.-wide #findings { width: 2fr; height: 1fr; }
    TrapsScreen.-wide #detail { width: 3fr; height: 1fr; border-top: none; border-left: solid $panel; }
    TrapsScreen.-wide #detail:focus { border-left: heavy $primary; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.found: list[Finding] = []
        self.lines: list[Row] = []  # the findings as rows: those alike but for their side are one
        self.shown: str | None = None

    def body(self) -> ComposeResult:
        """The findings, and one of them in full."""
        with Container(id="both"):
            yield LineList(self._finding_lines, row_height=3, id="findings")
            yield TextPane(id="detail")

    def forget(self) -> None:
        """The findings are those of the build before."""
        self.found, self.lines = [], []
        self.query_one(LineList).set_rows(())

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one(TextPane).show_lines(lines)

    def draw_build(self) -> None:
        """List the findings as they are now."""
        opened = self.opened
        rows = self.query_one(LineList)
        if self.found is not opened.findings():
            self.found = opened.findings()
            self.lines = rows_of(self.found)
            rows.set_rows([row.first.id for row in self.lines])
        self.fit_rows()
        rows.refresh()
        self.draw_detail()

    def arrived(self) -> None:
        """To look at findings is to ask for their repairs."""
        self.rest()

    def rest(self) -> None:
        """The search for repairs begins once this picture is drawn."""
        self.call_after_refresh(self._looked)

    def _looked(self) -> None:
        if self.held is not None and self.held is self.shell.opened:
            self.shell.find_repairs()
            if self.opened.see():
                self.draw_title()

    def fit_rows(self) -> None:
        """Rows of three lines: the sentence and its names; of two where there is little room."""
        rows = self.query_one(LineList)
        height = 2 if self.size.height < TALL else 3
        if rows.row_height != height:
            rows.row_height = height
            rows.set_rows(rows.names)
            rows.show_cursor()

    def on_resize(self, event: Resize) -> None:
        """Another height."""
        super().on_resize(event)
        if self.stands:
            self.fit_rows()

    def draw_repairs(self) -> None:
        """Repairs were found."""
        self.draw_detail()

    def draw_detail(self) -> None:
        """The finding under the cursor, in full."""
        finding = self.finding()
        name = finding.id if finding is not None else None
        self.query_one(TextPane).show_lines(self.detail_lines(), top=name != self.shown)
        self.shown = name

    def _finding_lines(self, index: int, width: int) -> list[Line]:
        row = self.lines[index]
        finding = row.first
        head = f"{LEVEL_GLYPHS[finding.level]} {'was ' if finding.history else ''}{finding.level}"
        says = line(("  ", "head"), (f"{head}  ", finding.level), (sentence(self.one.plan, row), "strong"))
        room = self.query_one(LineList).row_height - 1
        folded = fold([says], width - 1)
        shown = folded[:room]
        if len(folded) > room:
            rest = folded[room][1:] if folded[room][0].text.isspace() else folded[room]  # without its margin
            shown[-1] = shortened((*shown[-1], Piece(" "), *rest), width - 1)
        names = line(("  ", "dim"), (cut(names_of(row), width - 3), "dim"))
        return [*shown, *([names] if len(shown) <= room else [])]

    def row(self) -> Row | None:
        """The row under the cursor."""
        at = self.query_one(LineList).cursor
        return self.lines[at] if at < len(self.lines) else None

    def finding(self) -> Finding | None:
        """The finding under the cursor; of several in a row the first."""
        row = self.row()
        return row.first if row is not None else None

    def findings_here(self) -> list[Finding]:
        """The finding under the cursor."""
        row = self.row()
        return list(row.findings) if row is not None else []

    def operation(self) -> Operation | None:
        """The operation that the finding is at."""
        finding = self.finding()
        return self.one.live.by_name.get(finding.at) if finding is not None else None

    def detail_lines(self) -> list[Line]:
        """The finding in full."""
        if self.held is None:
            return []
        row = self.row()
        if row is None:
            checked, steps = self.opened.checked()
            says = "Nothing is wrong with the order of this build."
            if checked < steps:
                says = f"Nothing was found, but {few_checked(checked, steps)}"
            return [level_words({}, (checked, steps)), line(says)]
        return trap_lines(self.opened, row)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show the finding under the cursor."""
        self.hush()
        self.draw_detail()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go to the cell of the plan that it is about."""
        finding, one = self.finding(), self.one
        if finding is None:
            return
        op = one.live.by_name.get(finding.at)
        if op is None:
            op = next((each for each in one.plan.operations if each.step.id == finding.at), self._first_there())
        if op is None:
            self.say(f"{finding.at} is not a step; it is in {place_says(one.plan, finding)}")
        else:
            self.shell.show_on("plan", op)

    def _first_there(self) -> Operation | None:
        """The first operation of the episode whose words to viewers the finding is about."""
        row, plan = self.row(), self.one.plan
        if row is None or not row.first.at.startswith("(episode "):
            return None
        number = row.first.at.removeprefix("(episode ").rstrip(")")
        ops = (op for op in plan.operations if str(plan.stages[op.stage][0].number) == number)
        return next(ops, None)
