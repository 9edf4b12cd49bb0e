"""All keys of a screen, with their ids; each line can be chosen, by key or by mouse, and does what it says."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.screen import ModalScreen
from textual.widgets import Static

from planner.app.draw.drawing import content, cut, fold
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.keys.table import Key, KeyProblem, keys_of, shown_key
from planner.telling.looks import LEVEL_GLYPHS, STATE_GLYPHS, Line, line

LEGEND = line(
    *(part for word, glyph in {**STATE_GLYPHS, **LEVEL_GLYPHS}.items() for part in ((f"{glyph} {word}", ""), "   ")),
)
LEAD = 12  # the width of a key's own name


class KeyRows(LineList):
    """Keys one under the other, each on as many lines as what it does takes; the cursor rests on first lines."""

    def __init__(self, keys: Sequence[Key], changed: dict[str, str], *, id: str | None = None) -> None:  # noqa: A002
        super().__init__(self._drawn, id=id)
        self.keys = keys
        self.changed = changed
        self.rows: list[Line] = []
        self.firsts: list[int] = []  # the row that each key begins on

    @property
    def key(self) -> Key:
        """The key under the cursor."""
        return self.keys[self._number(self.cursor)]

    def _number(self, row: int) -> int:
        return max(0, bisect_right(self.firsts, row) - 1)

    def _drawn(self, row: int, _width: int) -> list[Line]:
        return [self.rows[row]]

    def on_resize(self, event: Resize) -> None:
        """Fold what the keys do to the width there is now; the cursor stays on its key."""
        self.rows, self.firsts = [], []
        names = []
        for key in self.keys:
            self.firsts.append(len(self.rows))
            lines = key_lines(key, shown_key(self.changed.get(key.id, key.key)), self.scrollable_content_region.width)
            names += [(key.id, number) for number in range(len(lines))]
            self.rows += lines
        self.set_rows(names)

    def move_to(self, row: int, *, by_hand: bool = True) -> None:
        """Put the cursor on the key that has this row."""
        if self.firsts:
            super().move_to(self.firsts[self._number(row)], by_hand=by_hand)

    def action_down(self) -> None:
        """To the key below, past the further rows of this one."""
        after = self._number(self.cursor) + 1
        if after < len(self.firsts):
            self.move_to(self.firsts[after])

    def show_cursor(self) -> None:
        """Scroll so far that all lines of the key can be seen."""
        if self.firsts:
            after = self._number(self.cursor) + 1
            self.show_lines(self.cursor, self.firsts[after] if after < len(self.firsts) else len(self.rows))


def key_lines(key: Key, shown: str, width: int) -> list[Line]:
    """A key, what it does and, where there is room, its id; what it does goes on below where it is long."""
    room = width - LEAD - 24
    ids = room >= 30
    parts = fold([line(key.says)], (room if ids else width - LEAD) - 1)
    lines = []
    for number, part in enumerate(parts):
        says = "".join(piece.text for piece in part)
        name = "" if number else shown
        lines.append(
            line(
                (f" {name:<11}", "key"), cut(says, room) if ids else says, (key.id, "dim") if ids and not number else ""
            )
        )
    return lines


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
            yield KeyRows(self.keys, self.changed, id="keys")
            foot = [line(("change keys in ", "dim"), self.map_file)]
            foot += [line((f"✗ {problem.says}", "trap")) for problem in self.problems]
            yield Static(content(foot, palette), id="foot", markup=False)

    def on_mount(self) -> None:
        """Stand on the first key."""
        self.query_one(KeyRows).focus()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Do what the line says."""
        event.stop()
        self.dismiss(self.query_one(KeyRows).key.id)

    def action_leave(self) -> None:
        """Do nothing."""
        self.dismiss(None)
