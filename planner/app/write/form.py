"""The form: every key of a step, a stage, an episode or the build, each with its value; Enter edits one."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import BindingType

from planner.app.draw.drawing import cut
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.page import Page
from planner.app.keep.keeping import keep, not_saved, save_again, tell
from planner.app.write.edits import Editors
from planner.app.write.formtext import detail
from planner.files.plankeys import ENTRIES, Field
from planner.files.yaml.places import Value
from planner.plan.expand import Plan
from planner.session.writing.desk import Outcome, Task, counts_of, desk_of, no_edit
from planner.session.writing.fields import shown, value_at
from planner.session.writing.targets import Target, edit_key, fields_of, inner_level, located, title_of, value_of
from planner.telling.looks import Line, level_words, line


class FormScreen(Page):
    """All keys of one thing, laid over the screen that opened it."""

    TITLE_WORD = "form"
    FOOT = ("list.choose", "form.clear", "form.add", "form.undo-edit", "form.leave", "everywhere.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("form")
    DEFAULT_CSS = """
    FormScreen #fields { height: 1fr; }
    FormScreen #detail { height: 7; border-top: solid $panel; padding: 0 1; }
    FormScreen.-low #detail { height: 5; }
    FormScreen.-high #detail { height: 12; }
    """

    def __init__(self, target: Target) -> None:
        super().__init__()
        self.target = target
        self.values: Value = None
        self.fields: Sequence[Field] = ()
        self.editors = Editors(self)
        self.drawn: object = None  # the plan that was drawn last

    def on_mount(self) -> None:
        """Look once a second whether the plan was read anew behind the form."""
        self.set_interval(1.0, self.look)

    def look(self) -> None:
        """Draw again what has changed outside."""
        # A form that lies under others may outlive its build: it asks for the plan only once it is on top.
        if self.stands and self.shell.screen is self and self.plan is not self.drawn:
            self.draw_all()

    def body(self) -> ComposeResult:
        """The keys, and the one under the cursor in full."""
        yield LineList(self._field_line, id="fields")
        yield TextPane(id="detail")

    @property
    def plan(self) -> Plan:
        """The plan that is open."""
        return self.shell.whole().one.plan

    def draw_all(self) -> None:
        """Read the values anew, and draw everything."""
        if not self.stands:
            return
        if not self._read():
            self.call_later(self._vanished)
            return
        self.drawn = self.plan
        super().draw_all()

    def _vanished(self) -> None:
        if self.stands and self.shell.screen is self:
            self.dismiss(None)

    def _read(self) -> bool:
        """Take the values in; whether there still is such a thing."""
        plan, desk = self.plan, desk_of(self.shell.whole())
        desk.look(plan)
        found = located(self.target, plan.build)
        if found is None or found.path not in desk.texts:
            return False
        self.target = found
        self.values = value_at(desk.values(found.path), found.inside)
        if self.values is None and found.inside and found.level not in ("conditions", "kinds", "words"):
            return False
        self.fields = fields_of(found, self.values)
        return True

    def title_line(self) -> Line:
        """What the form is about, and what stands against the plan."""
        counts = level_words(counts_of(self.shell.whole().findings()))
        room = self.size.width - 4 - len(self.target.level) - 3 - sum(cell_len(piece.text) for piece in counts)
        title = title_of(self.target, self.values)
        shown_title = cut(title, min(cell_len(title), max(room, 0)))
        return (*line((self.target.level, "title"), "  ", (shown_title, "strong"), "  "), *counts)

    def draw_body(self) -> None:
        """Draw the keys again."""
        rows = self.query_one("#fields", LineList)
        rows.set_rows([field.key for field in self.fields])
        if self.focused is None:
            rows.focus()
        rows.refresh()
        self.draw_detail(top=False)
        desk = desk_of(self.shell.whole())
        if desk.unsaved:
            self.say(not_saved(desk), "wrong")

    def field(self) -> Field | None:
        """The key under the cursor."""
        at = self.query_one("#fields", LineList).cursor
        return self.fields[at] if at < len(self.fields) else None

    def _field_line(self, index: int, width: int) -> list[Line]:
        if index >= len(self.fields):
            return []
        field = self.fields[index]
        value = value_of(self.target, field, self.values)
        names = max(15, *(len(each.key) + 3 for each in self.fields)) if self.fields else 15
        head = cut(f" {field.key}", min(names, width // 2))
        if field.sort == ENTRIES and field.path[0] in ("conditions", "kinds", "words"):
            text = f"{len(value)} written" if isinstance(value, dict) and value else ""
        elif field.sort == ENTRIES:
            means = value_at(value, ("means",))
            kept = value_at(value, ("kept",)) or value_at(value, ("on",))
            text = f"{shown(means)}{f'  ({kept})' if kept else ''}" if value is not None else "dropped"
        else:
            text = shown(value)
        if not text:
            return [line((head, "dim"), ("– nothing", "dim"))]
        return [line((head, "head"), text)]

    def draw_detail(self, *, top: bool = True) -> None:
        """The key under the cursor in full."""
        self.query_one(TextPane).show_lines(self.detail_lines(), top=top)

    def detail_lines(self) -> list[Line]:
        """What the key is for, its whole value, and what it brings."""
        field = self.field()
        if field is None:
            return [line(("nothing is written here yet; n adds an entry", "dim"))]
        return detail(self.plan, self.target, field, self.values)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what the cursor is on."""
        if event.by_hand:
            self.hush()
        self.draw_detail()

    # Editing

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Edit what the cursor is on."""
        event.stop()
        field = self.field()
        if field is None:
            return
        if field.sort == ENTRIES:
            self.app.push_screen(FormScreen(self.target.within(inner_level(self.target, field), *field.path)))
        else:
            self.editors.edit(field)

    def edited(self, outcome: Outcome | None) -> None:
        """An editor has gone; say what came of it."""
        if outcome is None:
            return
        self.draw_all()
        tell(self.shell, outcome, self.say)

    def action_clear(self) -> None:
        """Take the key out; an entry with all that is in it."""
        field = self.field()
        if field is None or value_of(self.target, field, self.values) is None:
            return
        says = f"took {field.key} out" + (f" of {self.target.step}" if self.target.step else "")

        target = self.target
        keep(self.shell, Task(says, lambda texts: edit_key(texts, target, field, None)), self._told)

    def action_add(self) -> None:
        """Add an entry: a condition, a kind, a word."""
        self.editors.add()

    def action_undo_edit(self) -> None:
        """Undo the latest edit."""
        keep(self.shell, Task("undone", no_edit, step=-1), self._told)

    def action_redo_edit(self) -> None:
        """Redo it."""
        keep(self.shell, Task("redone", no_edit, step=1), self._told)

    def _told(self, outcome: Outcome | None) -> None:
        if self.stands:
            self.draw_all()
            tell(self.shell, outcome, self.say)

    def action_save_again(self) -> None:
        """Try again to save."""
        save_again(self.shell, self.say)

    def action_leave(self) -> None:
        """Back to where it was opened."""
        self.dismiss(None)

    def action_go(self, screen: str) -> None:
        """Another screen; the form goes."""
        shell = self.shell
        self.dismiss(None)
        shell.call_later(shell.go, screen)
