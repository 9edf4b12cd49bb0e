"""All keys of a screen, with their ids; each line can be chosen, by key or by mouse, and does what it says."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from planner.app.drawing import content, cut
from planner.app.keys import KeyProblem, keys_of, shown_key
from planner.app.linelist import LineList, bindings_of
from planner.app.looks import LEVEL_GLYPHS, STATE_GLYPHS, Line, line

LEGEND = line(
    *(part for word, glyph in {**STATE_GLYPHS, **LEVEL_GLYPHS}.items() for part in ((f"{glyph} {word}", ""), "   ")),
)


class Help(ModalScreen[str], inherit_bindings=False):
    """Gives the id of the chosen key."""

    DEFAULT_CSS = """
    Help { align: center middle; }
    #box { width: 90%; max-width: 86; height: 90%; padding: 0 1; background: $surface; border: solid $primary; }
    #head, #foot { height: auto; }
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("help")

    def __init__(self, screen: str, changed: dict[str, str], problems: list[KeyProblem], where: str) -> None:
        super().__init__()
        self.where = screen
        self.changed = changed
        self.keys = keys_of(screen)
        self.problems = problems
        self.map_file = where

    def compose(self) -> ComposeResult:
        """What it is about, the keys, where to change them."""
        palette = self.app.theme
        with Vertical(id="box"):
            head = line((f"keys of the screen {self.where}", "title"), "   Enter does it, Esc leaves")
            yield Static(content([head, LEGEND], palette), id="head", markup=False)
            yield LineList(self._key_line, id="keys")
            foot = [line(("change keys in ", "dim"), self.map_file)]
            foot += [line((f"✗ {problem.says}", "trap")) for problem in self.problems]
            yield Static(content(foot, palette), id="foot", markup=False)

    def on_mount(self) -> None:
        """List the keys."""
        rows = self.query_one(LineList)
        rows.set_rows([key.id for key in self.keys])
        rows.focus()

    def _key_line(self, index: int, width: int) -> list[Line]:
        key = self.keys[index]
        shown = shown_key(self.changed.get(key.id, key.key))
        room = width - 12 - 24
        ids = (key.id, "dim") if room >= 30 else ""
        return [line((f" {shown:<11}", "key"), cut(key.says, room if ids else width - 12), ids)]

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Do what the line says."""
        event.stop()
        self.dismiss(self.keys[event.rows.cursor].id)

    def action_leave(self) -> None:
        """Do nothing."""
        self.dismiss(None)
