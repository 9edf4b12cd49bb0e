"""The screen of problems: a build that cannot be read opens here, with every problem of every file.

What is in the way without being wrong stands here too: lines of the logs that cannot be used, copies of plan files.
"""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.page import Page
from planner.app.keep.compare import compare
from planner.files.build.copies import Copy, copies_in
from planner.plan.words import counted
from planner.telling.looks import Line, line


class ProblemsScreen(Page):
    """Every problem with its place."""

    TITLE_WORD = "problems"
    FOOT = ("everywhere.builds", "everywhere.copy", "everywhere.quit", "everywhere.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("problems")
    DEFAULT_CSS = """
    #head { padding: 1 1; height: auto; }
    #full { height: auto; min-height: 3; max-height: 8; border-top: solid $panel; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.troubles: list[tuple[str, str]] = []
        self.copies: dict[str, Copy] = {}  # by the place that is shown

    def body(self) -> ComposeResult:
        """What to do, the list, and the problem under the cursor in full."""
        yield Static(id="head", markup=False)
        yield LineList(self._lines, row_height=2, id="problems")
        yield Static(id="full", markup=False)

    def title_line(self) -> Line:
        """Which build it is about."""
        folder = self.shell.files.folder if self.shell.files is not None else ""
        return line(("problems", "title"), "   ", (str(folder), "strong"))

    def draw_body(self) -> None:
        """List the problems."""
        files = self.shell.files
        self.troubles = files.troubles() if files is not None else []
        found = copies_in(files.folder) if files is not None and files.notices else []
        self.copies = {f"{files.short(str(copy.path))}:1": copy for copy in found} if files is not None else {}
        head = [line(("✓ everything can be read", "done"))]
        if files is not None and files.problems:
            head = [
                line(
                    (f"✗ {counted(len(files.problems), 'problem')} to put right", "trap"),
                    "   Mend the files in any editor; this screen sees it and goes on.",
                )
            ]
            if self.shell.opened is not None:
                head.append(line(("The other screens show the last plan that could be read.", "dim")))
        elif self.troubles:
            head = [
                line(
                    (f"• {counted(len(self.troubles), 'thing')} in the files cannot be used", "notice"),
                    "   Nothing is lost: all stays where it is.",
                )
            ]
            if self.copies:
                head.append(
                    line(("Enter on a copy shows what it says otherwise, to be taken over part by part.", "dim"))
                )
        self.fill(self.query_one("#head", Static), head)
        rows = self.query_one(LineList)
        rows.set_rows(range(len(self.troubles)))
        rows.focus()
        self._draw_full()

    def _lines(self, index: int, width: int) -> list[Line]:
        place, says = self.troubles[index]
        return [line((f" {place}", "head")), line(f"   {says}")]

    def detail_lines(self) -> list[Line]:
        """All of them, to be copied."""
        return [line(f"{place}: {says}") for place, says in self.troubles]

    def _draw_full(self) -> None:
        at = self.query_one(LineList).cursor
        lines: list[Line] = []
        if at < len(self.troubles):
            place, says = self.troubles[at]
            lines = [line((place, "head")), line(says)]
        self.fill(self.query_one("#full", Static), lines)

    def on_line_list_chosen(self) -> None:
        """Go through a copy, part by part."""
        at = self.query_one(LineList).cursor
        copy = self.copies.get(self.troubles[at][0]) if at < len(self.troubles) else None
        if copy is None:
            return
        if self.shell.opened is None or (self.shell.files is not None and self.shell.files.problems):
            self.say("correct the plan first; a copy can be compared with a plan that can be read", "wrong")
            return
        compare(self.shell, copy, self._compared)

    def _compared(self, text: str, how: str) -> None:
        """What came of a copy."""
        opened = self.shell.opened
        if opened is not None:
            opened.notices = opened.one.notices()
        if self.stands:
            self.draw_all()
            self.say(text, how)

    def on_line_list_moved(self) -> None:
        """Show the problem under the cursor in full."""
        self._draw_full()
