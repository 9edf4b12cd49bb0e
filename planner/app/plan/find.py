"""Finding a step in all episodes, and going to it; or straight to a step by its id."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input

from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.over import Over, quiet_input
from planner.app.plan.findtext import Entry, Hit, entries_of, find, find_id, hit_lines
from planner.plan.expand import Operation, Plan
from planner.plan.words import counted
from planner.telling.looks import HERE, Line, line

_HINTS = {
    False: "words from an id, from what is done, from a note, a condition or a kind",
    True: "the id of a step, or its beginning",
}


class FindScreen(Over):
    """A line to type into, and the steps that match."""

    TITLE_WORD = "find"
    FOOT = ("find.open", "find.leave", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("find")
    DEFAULT_CSS = """
    FindScreen Input { margin: 1 1 1 1; }
    FindScreen.-low Input { margin: 0 1; }
    """

    def __init__(self, plan: Plan, go: Callable[[Operation], None], *, by_id: bool = False) -> None:
        super().__init__()
        self.plan = plan
        self.go = go
        self.by_id = by_id
        self.entries = entries_of(plan)
        self.hits: Sequence[Hit] = ()
        self.words: Sequence[str] = ()
        self.typed = ""
        self.found: Sequence[Entry] = self.entries  # what was found, in the order of the plan

    def body(self) -> ComposeResult:
        """What is wanted, and what was found."""
        yield quiet_input(_HINTS[self.by_id], longest=200)
        yield LineList(self._lines, row_height=2, id="hits")

    def on_mount(self) -> None:
        """All steps, until something is typed."""
        self.look("")
        self.query_one(Input).focus()

    def title_line(self) -> Line:
        """How many were found."""
        what = "go to a step by its id" if self.by_id else "find in all episodes"
        return line((what, "title"), "   ", (f"{counted(len(self.hits), 'step')} of {len(self.entries)}", "dim"))

    def look(self, wanted: str) -> None:
        """Look for what is typed."""
        # What one letter more finds is among what was found; without it, all are looked through again.
        grown = bool(self.typed) and wanted.startswith(self.typed)
        pool = self.found if grown else self.entries
        self.typed, self.words = wanted, wanted.lower().split()
        self.hits = (find_id if self.by_id else find)(pool, wanted)
        kept = {hit.entry.step.id for hit in self.hits}
        self.found = [entry for entry in pool if entry.step.id in kept]
        self.rows.cursor = 0
        self.rows.set_rows([hit.entry.step.id for hit in self.hits])
        self.rows.cursor = 0
        self.rows.scroll_to(y=0, animate=False)
        self.draw_title()
        if wanted.strip() and not self.hits:
            self.say("no step has all of this; fewer letters find more")
        else:
            self.hush()

    def _lines(self, index: int, width: int) -> list[Line]:
        head, tail = hit_lines(self.hits[index], self.words)
        return [line((HERE if index == self.rows.cursor else " ", "key"), *head), tail]

    def on_input_changed(self, event: Input.Changed) -> None:
        """Look again with every letter."""
        event.stop()
        self.look(event.value)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go there."""
        event.stop()
        self.action_open()

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Another row."""
        event.stop()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go there."""
        event.stop()
        self.action_open()

    def action_open(self) -> None:
        """Go to the step under the cursor."""
        if not self.hits:
            self.say("there is nothing to go to")
            return
        step = self.hits[self.rows.cursor].entry.step.id
        op = next((each for each in self.plan.by_name.values() if each.step.id == step), None)
        self.dismiss(None)
        if op is not None:
            self.go(op)
