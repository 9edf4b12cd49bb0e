"""The keys of a screen, and every action by name; each line can be chosen, by key or by mouse, and is then done."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Sequence
from typing import ClassVar

from rich.cells import cell_len
from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.widgets import Input, Static

from planner.app.draw.drawing import content, cut, fold
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.stands import StandingModal
from planner.app.keys.actions import Entry, matching
from planner.app.keys.table import KeyProblem
from planner.telling.looks import LEGEND_GLYPHS, Line, line

LEGEND = tuple(f"{glyph} {word}" for word, glyph in LEGEND_GLYPHS.items())


def legend_lines(width: int) -> list[Line]:
    """Every sign with its word, none of them parted."""
    lines = [""]
    for each in LEGEND:
        longer = f"{lines[-1]}   {each}" if lines[-1] else each
        lines = [*lines[:-1], longer] if cell_len(longer) <= width else [*lines, each]
    return [line(each) for each in lines]


_HIGH = 24  # rows of a terminal in which the signs stand above the keys; else they follow them


def _signs(width: int) -> list[Line]:
    """The signs as the last group of the list."""
    return [line(("signs", "head")), *(line(" ", *parts) for parts in legend_lines(width - 1))]


LEAD = 12  # the width of a key's own name


class KeyRows(LineList):
    """Actions under the names of their groups, each on as many lines as it takes; the cursor rests on first lines."""

    def __init__(
        self,
        entries: Sequence[Entry],
        *,
        ids: bool = False,
        tail: Callable[[int], list[Line]] | None = None,
        id: str | None = None,  # noqa: A002
    ) -> None:
        super().__init__(self._drawn, id=id)
        self.entries = entries
        self.tail = tail  # lines behind the last action, by the width there is
        self.ids = ids  # whether the id of each is shown, as the map of keys takes it
        self.rows: list[Line] = []
        self.firsts: list[int] = []  # the row that each entry begins on
        self.tops: list[int] = []  # the same, or the name of its group above it

    @property
    def entry(self) -> Entry | None:
        """What the cursor is on."""
        return self.entries[self._number(self.cursor)] if self.entries else None

    def _number(self, row: int) -> int:
        return max(0, bisect_right(self.firsts, row) - 1)

    def _drawn(self, row: int, _width: int) -> list[Line]:
        return [self.rows[row]]

    def show(self, entries: Sequence[Entry]) -> None:
        """Show other entries, the cursor on the first."""
        self.entries = entries
        self.cursor = 0
        self._fold()
        self.scroll_to(y=0, animate=False)

    def on_resize(self, event: Resize) -> None:
        """Fold what the keys do to the width there is now; the cursor stays on its key."""
        self._fold()

    def _fold(self) -> None:
        self.rows, self.firsts, self.tops = [], [], []
        names: list[tuple[str, int]] = []
        group = ""
        for each in self.entries:
            self.tops.append(len(self.rows))
            if each.group != group:
                group = each.group
                self.rows.append(line((group, "head")))
                names.append((f"({group})", 0))
            self.firsts.append(len(self.rows))
            lines = entry_lines(each, self.scrollable_content_region.width, self.ids)
            names += [(each.id, number) for number in range(len(lines))]
            self.rows += lines
        tail = self.tail(self.scrollable_content_region.width) if self.tail is not None else []
        names += [("(signs)", number) for number in range(len(tail))]
        self.rows += tail
        self.set_rows(names)
        if self.firsts and self.cursor < self.firsts[0]:
            self.cursor = self.firsts[0]

    def move_to(self, row: int, *, by_hand: bool = True) -> None:
        """Put the cursor on the action that has this row."""
        if self.firsts:
            super().move_to(self.firsts[self._number(row)], by_hand=by_hand)

    def action_up(self) -> None:
        """To the action above, past the name of a group."""
        self.move_to(self.firsts[max(0, self._number(self.cursor) - 1)] if self.firsts else 0)

    def action_down(self) -> None:
        """To the action below, past the further rows of this one."""
        after = self._number(self.cursor) + 1
        if after < len(self.firsts):
            self.move_to(self.firsts[after])

    def show_cursor(self) -> None:
        """Scroll so far that all lines of the action can be seen, and the name of its group with the first of it."""
        if self.firsts:
            number = self._number(self.cursor)
            self.show_lines(self.tops[number], self.tops[number + 1] if number + 1 < len(self.tops) else len(self.rows))


def entry_lines(entry: Entry, width: int, ids: bool) -> list[Line]:
    """An action: its keys, what it does and, where there is room, its id; it goes on below where it is long."""
    room = width - LEAD - 24
    ids = ids and room >= 30
    if not ids:
        room = width - LEAD
    lead = max(11, cell_len(entry.keys) + 1)
    parts = fold([line(entry.says)], room - (lead - 11) - 1)
    lines = []
    for number, part in enumerate(parts):
        says = "".join(piece.text for piece in part)
        name = "" if number else entry.keys
        lines.append(
            line(
                (f" {name:<{lead}}", "key"),
                cut(says, room - (lead - 11)) if ids else says,
                (entry.id, "dim") if ids and not number else "",
            )
        )
    return lines


class KeyPage(StandingModal[str], inherit_bindings=False):
    """Gives the id of the chosen action."""

    DEFAULT_CSS = """
    KeyPage { align: center middle; }
    KeyPage #box { width: 90%; max-width: 86; height: 90%; padding: 0 1; background: $surface; border: solid $primary; }
    KeyPage #head, KeyPage #foot { height: auto; }
    KeyPage Input, KeyPage Input:focus { border: none; height: 1; padding: 0; background: $panel; }
    """

    def __init__(self, entries: Sequence[Entry]) -> None:
        super().__init__()
        self.entries = entries

    @property
    def rows(self) -> KeyRows:
        """The list of actions."""
        return self.query_one(KeyRows)

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Do what the line says."""
        event.stop()
        self.choose()

    def choose(self) -> None:
        """Take what the cursor is on."""
        entry = self.rows.entry
        if entry is not None:
            self.dismiss(entry.id)

    def action_leave(self) -> None:
        """Do nothing."""
        self.dismiss(None)


class Help(KeyPage, inherit_bindings=False):
    """The keys of one screen, with their ids."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("help")

    def __init__(self, screen: str, entries: Sequence[Entry], problems: Sequence[KeyProblem], where: str) -> None:
        super().__init__(entries)
        self.where = screen
        self.problems = problems
        self.map_file = where

    def compose(self) -> ComposeResult:
        """What it is about, the keys, where to change them."""
        palette = self.app.theme
        with Vertical(id="box"):
            low = self.app.size.height < _HIGH
            head = line((f"keys of {self.where}", "title"), "   Enter does it, Esc goes back")
            room = min(86, self.app.size.width * 9 // 10) - 4  # within the frame of the box
            signs = [line(("End: what the signs mean", "dim"))] if low else legend_lines(room)
            yield Static(content([head, *signs], palette), id="head", markup=False)
            yield KeyRows(self.entries, ids=True, tail=_signs if low else None, id="keys")
            foot = [line(("change keys in ", "dim"), self.map_file)]
            foot += [line((f"✗ {problem.says}", "trap")) for problem in self.problems]
            yield Static(content(foot, palette), id="foot", markup=False)

    def on_mount(self) -> None:
        """Stand on the first key."""
        self.rows.focus()


class Actions(KeyPage, inherit_bindings=False):
    """Every action, found by typing. Enter does nothing until something was typed or the cursor was moved."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("actions")

    def __init__(self, entries: Sequence[Entry]) -> None:
        super().__init__(entries)
        self.meant = False

    def compose(self) -> ComposeResult:
        """What can be done here, the line to type into, the actions."""
        with Vertical(id="box"):
            yield Static(content([line(("every action", "title"))], self.app.theme), id="head", markup=False)
            field = Input(placeholder="type words of what you want to do", max_length=80)
            field.cursor_blink = False
            yield field
            rows = KeyRows(self.entries, id="keys")
            rows.can_focus = False  # one types, and the arrows move it
            yield rows
            yield Static(id="foot", markup=False)

    def on_mount(self) -> None:
        """Type at once."""
        self.query_one(Input).focus()
        self.say("↑ ↓ choose   Enter does it   Esc goes back")

    def say(self, text: str) -> None:
        """Say something below the list."""
        self.query_one("#foot", Static).update(content([line((text, "dim"))], self.app.theme))

    def on_input_changed(self, event: Input.Changed) -> None:
        """Fewer actions, or more."""
        event.stop()
        if not self.stands:
            return
        self.meant = self.meant or bool(event.value.strip())
        found = matching(self.entries, event.value)
        self.rows.show(found)
        self.say("↑ ↓ choose   Enter does it   Esc goes back" if found else "no action has these words in its name")

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Do what the cursor is on."""
        event.stop()
        if self.meant:
            self.choose()
        else:
            self.say("type a word of what you want to do, or choose with ↑ ↓; then Enter")

    def action_row(self, by: int) -> None:
        """The cursor up or down, while one types."""
        self.meant = True
        self.rows.action_down() if by > 0 else self.rows.action_up()

    def action_rows(self, pages: int) -> None:
        """A page up or down."""
        self.meant = True
        self.rows.action_page_down() if pages > 0 else self.rows.action_page_up()
