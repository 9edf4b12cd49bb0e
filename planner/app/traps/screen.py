"""The screen of traps: every finding, with its cause, its repair and the order that the repair leads to."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.buildpage import WorkPage
from planner.plan.expand import Operation
from planner.plan.model import Finding
from planner.telling.looks import LEVEL_GLYPHS, Line, few_checked, level_words, line
from planner.telling.repair import trap_lines


class TrapsScreen(WorkPage):
    """All findings."""

    TITLE_WORD = "traps"
    FOOT = (
        "list.choose",
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
        self.shown: str | None = None

    def body(self) -> ComposeResult:
        """The findings, and one of them in full."""
        with Container(id="both"):
            yield LineList(self._finding_lines, id="findings")
            yield TextPane(id="detail")

    def forget(self) -> None:
        """The findings are those of the build before."""
        self.found = []
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
            rows.set_rows([finding.id for finding in self.found])
        rows.refresh()
        self.draw_detail()
        self.shell.find_repairs()

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
        finding = self.found[index]
        glyph = LEVEL_GLYPHS[finding.level]
        word = f"{glyph} was {finding.level}" if finding.history else f"{glyph} {finding.level}"
        one_way = ("one-way  ", "trap") if finding.one_way and not finding.history else ""
        also = f" and {len(finding.also)} more" if finding.also else ""
        rule = (f"  {finding.rule}  {finding.condition or ''}", "dim")
        return [line((f" {word:<12}", finding.level), one_way, (finding.at, "strong"), also, rule)]

    def finding(self) -> Finding | None:
        """The finding under the cursor."""
        at = self.query_one(LineList).cursor
        return self.found[at] if at < len(self.found) else None

    def findings_here(self) -> list[Finding]:
        """The finding under the cursor."""
        finding = self.finding()
        return [finding] if finding is not None else []

    def operation(self) -> Operation | None:
        """The operation that the finding is at."""
        finding = self.finding()
        return self.one.live.by_name.get(finding.at) if finding is not None else None

    def detail_lines(self) -> list[Line]:
        """The finding in full."""
        if self.held is None:
            return []
        finding = self.finding()
        if finding is None:
            checked, steps = self.opened.checked()
            says = "Nothing is wrong with the order of this build."
            if checked < steps:
                says = f"Nothing was found, but {few_checked(checked, steps)}"
            return [level_words({}, (checked, steps)), line(says)]
        return trap_lines(self.opened, finding)

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
            op = next((each for each in one.plan.operations if each.step.id == finding.at), None)
        if op is None:
            self.say(f"{finding.at} is not a step; its place is {finding.place}")
        else:
            self.shell.show_on("plan", op)
