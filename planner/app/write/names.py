"""Calling a step or a condition otherwise everywhere, ticks included; giving an episode another number."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Input, Static

from planner.app.draw.drawing import cut
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.over import quiet_input
from planner.app.write.namestext import (
    STEP,
    Name,
    matching,
    names_of,
    near_name,
    numbers_after,
    rename_lines,
    rename_task,
    renumber_lines,
    renumber_task,
    uses_of,
    wrong_name,
    wrong_number,
)
from planner.app.write.over import WriteOver
from planner.plan.words import counted
from planner.telling.looks import HERE, Line, line

if TYPE_CHECKING:
    from planner.app.frame.host import Shown

_CSS = """
    OVER .ask { height: auto; padding: 1 2 0 2; }
    OVER TextPane { height: 1fr; padding: 0 1; margin: 0 1; border-top: solid $panel; }
    OVER.-low .ask { padding: 0 2; }
"""


class RenameScreen(WriteOver):
    """First which name, then the new one with all that it changes."""

    TITLE_WORD = "rename"
    FOOT = ("rename.go-on", "rename.back", "over.leave", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("rename")
    DEFAULT_CSS = _CSS.replace("OVER", "RenameScreen")

    def __init__(self, first: str | None = None) -> None:
        super().__init__()
        self.first = first  # the step that the cursor was on
        self.names: Sequence[Name] = ()
        self.steps: set[str] = set()
        self.ops: Sequence[str] = ()  # what is ticked
        self.shown: Sequence[Name] = ()
        self.old: Name | None = None
        self.uses: Sequence[str] = ()  # where the old name is written

    def body(self) -> ComposeResult:
        """What is asked, a line to type into, names to choose from or what the new one changes."""
        yield Static(classes="ask", markup=False)
        yield quiet_input(longest=120)
        yield LineList(self._name_lines, id="names")
        yield TextPane(id="says")

    def on_mount(self) -> None:
        """Begin with the step under the cursor."""
        self.names = names_of(self.plan)
        self.steps = {name.name for name in self.names if name.what == STEP}
        self.ops = self.ticked()
        here = next((name for name in self.names if name.what == STEP and name.name == self.first), None)
        self.look_up("")
        if here is not None:
            self.rows.move_to(self.shown.index(here))
        self.phase(None)

    def title_line(self) -> Line:
        """What it does."""
        what = "rename" if self.old is None else f"rename the {self.old.what} {self.old.name}"
        return line((what, "title"), "   everywhere, ticks included")

    def phase(self, old: Name | None) -> None:
        """Ask for the name that changes, or for the new one."""
        self.old = old
        self.uses = uses_of(self.plan, old) if old is not None else []
        field, rows, says = self.query_one(Input), self.rows, self.query_one(TextPane)
        rows.display, says.display = old is None, old is not None
        with field.prevent(Input.Changed):
            field.value = old.name if old is not None else ""
        field.cursor_position = len(field.value)
        field.placeholder = "letters of its name" if old is None else "the new name"
        field.focus()
        self.hush()
        self.draw_all()
        self.call_after_refresh(rows.show_cursor)

    def draw_body(self) -> None:
        """The question, and what the new name changes."""
        ask = "Which step or condition?" if self.old is None else "What shall it be called?"
        self.fill(self.query_one(".ask", Static), [line((ask, "large"))])
        if self.old is not None:
            new = self.query_one(Input).value.strip()
            self.query_one(TextPane).show_lines(rename_lines(self.old, new, self.uses, self.ops))
        self.rows.refresh()

    def look_up(self, typed: str) -> None:
        """List the names that match."""
        self.shown = matching(self.names, typed)
        self.rows.set_rows(self.shown)
        self.draw_title()
        if not self.shown:
            self.say("no name has all of this")

    def _name_lines(self, index: int, width: int) -> list[Line]:
        name = self.shown[index]
        here = HERE if index == self.rows.cursor else " "
        head = line((f" {here} ", "key"), (f"{name.what:<10}", "dim"), (name.name, "strong"), "  ")
        used = sum(len(piece.text) for piece in head)
        return [(*head, *line((cut(name.says, max(0, width - used)), "dim")))]

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """The mark moves along."""
        event.stop()
        event.rows.refresh()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Look up the name, or look at the new one."""
        event.stop()
        self.hush()
        if self.old is None:
            self.look_up(event.value)
            return
        why = self.wrong(event.value.strip())
        if why:
            self.say(why)
        self.draw_body()

    def wrong(self, new: str) -> str:
        """Why it cannot be called so."""
        assert self.old is not None  # noqa: S101  # the old name is asked for first
        return wrong_name(self.old, new, self.steps, self.plan.build.conditions)

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go on."""
        event.stop()
        self.action_go_on()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Take the name under the cursor."""
        event.stop()
        self.action_go_on()

    def action_go_on(self) -> None:
        """Take the name under the cursor; or rename it."""
        if self.old is None:
            if self.shown:
                self.phase(self.shown[self.rows.cursor])
            else:  # looked for only now: among thousands of names that takes longer than a key may
                self.say(f"no name has all of this{near_name(self.names, self.query_one(Input).value)}", "wrong")
            return
        new = self.query_one(Input).value.strip()
        why = self.wrong(new)
        if why:
            self.say(why, "wrong")
            return
        self.write(rename_task(self.old, new))

    def action_back(self) -> None:
        """Back to the names; from there, leave."""
        if self.old is None:
            self.action_leave()
        else:
            self.look_up("")
            self.phase(None)

    def after(self, below: Shown) -> None:
        """Stand on the step under its new name."""
        new = self.query_one(Input).value.strip()
        op = next((each for each in self.plan.by_name.values() if each.step.id == new), None)
        if op is not None and below.TITLE_WORD == "plan":
            self.shell.show_on("plan", op)


class RenumberScreen(WriteOver):
    """The episodes, and a new number for the one under the cursor."""

    TITLE_WORD = "renumber"
    FOOT = ("renumber.go-on", "renumber.leave", "over.down", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("renumber")
    DEFAULT_CSS = _CSS.replace("OVER", "RenumberScreen")

    def __init__(self, first: int | None = None) -> None:
        super().__init__()
        self.first = first  # the episode that the cursor was in

    def body(self) -> ComposeResult:
        """The episodes, the new number, what it changes."""
        yield Static(classes="ask", markup=False)
        yield quiet_input("the new number", longest=4)
        yield LineList(self._episode_lines, id="episodes")
        yield TextPane(id="says")

    def on_mount(self) -> None:
        """Begin with the episode that the cursor is in."""
        numbers = [episode.number for episode in self.plan.build.episodes]
        self.rows.set_rows(numbers)
        if self.first in numbers:
            self.rows.cursor = numbers.index(self.first)
        self.query_one(Input).focus()
        self.draw_all()

    def title_line(self) -> Line:
        """What it does."""
        count = len(self.plan.build.episodes)
        return line(("renumber", "title"), f"   {counted(count, 'episode')}; every reference follows")

    @property
    def old(self) -> int:
        """The number of the episode under the cursor."""
        return self.plan.build.episodes[self.rows.cursor].number

    def numbers(self) -> dict[int, int]:
        """What is typed, as old and new numbers."""
        typed = self.query_one(Input).value.strip()
        if wrong_number(typed, self.old):
            return {}
        return numbers_after([episode.number for episode in self.plan.build.episodes], self.old, int(typed))

    def draw_body(self) -> None:
        """The question, and what the number changes."""
        episode = self.plan.build.episodes[self.rows.cursor]
        ask = [line((f"Which number instead of {episode.number}?", "large"), f"   {episode.title}")]
        self.fill(self.query_one(".ask", Static), ask)
        changes = renumber_lines(self.plan, self.numbers())
        hint = line(("A number that is taken moves the episode there, and those between move up.", "dim"))
        self.query_one(TextPane).show_lines(changes or [hint])
        self.rows.refresh()

    def _episode_lines(self, index: int, width: int) -> list[Line]:
        episode = self.plan.build.episodes[index]
        here = HERE if index == self.rows.cursor else " "
        new = self.numbers().get(episode.number)
        arrow = (f"  → {new}", "strong") if new is not None else ""
        return [line((f" {here} ", "key"), (f"{episode.number:>4}  ", "strong"), episode.title, arrow)]

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Another episode."""
        event.stop()
        self.draw_body()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Show what the number changes."""
        event.stop()
        self.hush()
        self.draw_body()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Renumber."""
        event.stop()
        self.action_go_on()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Renumber."""
        event.stop()
        self.action_go_on()

    def action_go_on(self) -> None:
        """Renumber."""
        why = wrong_number(self.query_one(Input).value.strip(), self.old)
        if why:
            self.say(why, "wrong")
            return
        self.write(renumber_task(self.numbers()))
