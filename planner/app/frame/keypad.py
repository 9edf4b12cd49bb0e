"""A reading, typed with gloves: large numerals above, large keys below, the unit there already."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Click, Key, Paste
from textual.widgets import Static

from planner.app.draw.big import HEIGHT, big
from planner.app.draw.drawing import content
from planner.app.draw.linelist import bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.choose import Question
from planner.session.asking import with_unit
from planner.telling.looks import Line, line, literal

ERASE, SPACE, UNIT, KEEP, LEAVE = "erase", "space", "unit", "keep", "cancel"
#: The keys as they lie; a word is something else than what is typed.
PAD = (
    ("7", "8", "9", "/", ERASE),
    ("4", "5", "6", "±", SPACE),
    ("1", "2", "3", "-", UNIT),
    ("0", ".", ",", LEAVE, KEEP),
)
_COLUMNS = len(PAD[0])
_WIDEST = 11  # cells of a key: wider ones are no easier to hit
_LONGEST = 200
_AROUND = 2 + HEIGHT + 2  # rows of the box that are neither question nor keys: border, numerals, unit, what Enter does


class Pad(Static):
    """The keys, to be hit with a finger or a mouse."""

    def __init__(self) -> None:
        super().__init__(id="pad", markup=False)
        self.key_height = 1
        self.unit = ""

    def lines(self, width: int) -> list[Line]:
        """The keys in so many cells, each as wide as the others."""
        cell = self.cell(width)
        found: list[Line] = []
        for row in PAD:
            words = [self.unit or "unit" if key == UNIT else key for key in row]
            plain = line((" " * (cell - 1), "row"), " ")
            names = [line((f"{word[: cell - 1]:^{cell - 1}}", "row"), " ") for word in words]
            for part in range(self.key_height):
                if self.key_height > 1 and part == self.key_height - 1:
                    found.append(())  # between two rows of keys
                    continue
                shown = names if part == (self.key_height - 1) // 2 else [plain] * len(words)
                found.append(tuple([piece for each in shown for piece in each]))
        return found

    @staticmethod
    def cell(width: int) -> int:
        """How wide a key is."""
        return max(4, min(_WIDEST, width // _COLUMNS))

    def key_at(self, x: int, y: int) -> str | None:
        """The key under a finger."""
        column, row = x // self.cell(self.size.width), y // self.key_height
        return PAD[row][column] if 0 <= row < len(PAD) and 0 <= column < _COLUMNS else None


class Keypad(Question):
    """Gives a reading with its unit; nothing when it is left. With ``may_lack`` an empty one is an answer, ``""``."""

    DEFAULT_CSS = """
    Keypad { align: center middle; }
    Keypad .box {
        width: 90%; max-width: 92; height: auto; padding: 0 2; background: $surface; border: solid $primary;
    }
    Keypad #question { height: auto; background: $surface; }
    Keypad #typed { height: 3; text-wrap: nowrap; }
    Keypad #about { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    Keypad #pad { height: auto; text-wrap: nowrap; }
    Keypad #ways { height: 1; text-wrap: nowrap; }
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("keypad")

    def __init__(
        self,
        lines: Sequence[Line],
        units: Sequence[str],
        doubt: str | None = None,
        *,
        typed: str = "",
        may_lack: bool = False,
    ) -> None:
        super().__init__(lines)
        self.units = units
        self.doubt = doubt
        self.typed = typed
        self.may_lack = may_lack
        self.at = 0

    @property
    def unit(self) -> str:
        """The unit that what is typed has, where it states none."""
        return self.units[self.at] if self.units else ""

    def compose(self) -> ComposeResult:
        """What is asked for, what is typed, the keys."""
        with Vertical(classes="box"):
            question = TextPane(id="question")
            question.can_focus = False
            yield question
            yield Static(id="typed", markup=False)
            yield Static(id="about", markup=False)
            yield Pad()
            ways = line(("Enter", "key"), " keep it   ", ("Tab", "key"), " unit   ", ("Esc", "key"), " cancel")
            yield Static(content([ways], self.app.theme), id="ways")

    def below(self) -> int:
        """The keys."""
        return len(PAD) * self.query_one(Pad).key_height

    def fit(self) -> None:
        """The keys as large as can be, and the question in what they leave."""
        if not self.stands:
            return
        pad, text = self.query_one(Pad), self.query_one(TextPane)
        wanted = min(6, max(2, len(text.folded)))
        room = self.size.height - _AROUND - wanted
        pad.key_height = max(1, min(3, room // len(PAD)))
        text.styles.height = max(1, min(len(text.folded), self.size.height - _AROUND - self.below()))
        self.draw_typed()

    def draw_typed(self) -> None:
        """What is typed so far, as large as it can be."""
        pad = self.query_one(Pad)
        width = max(1, pad.size.width)
        shown = with_unit(self.typed, self.unit) or (f"– {self.unit}" if self.unit else "–")
        drawn: Sequence[str] | None = None
        for narrow in (False, True):
            rows = big(shown, narrow=narrow)
            if drawn is None and rows is not None and len(rows[0].rstrip()) <= width:
                drawn = rows
        lines = [line((row, "number")) for row in drawn] if drawn else [line((literal(shown)[-width:], "number"))]
        self.query_one("#typed", Static).update(content(lines, self.app.theme))
        doubt = f"± {self.doubt} unless you type your own ±" if self.doubt else "type ± for what the reading may be off"
        self.query_one("#about", Static).update(content([line((doubt, "dim"))], self.app.theme))
        pad.unit = f"→ {self.units[(self.at + 1) % len(self.units)]}" if len(self.units) > 1 else self.unit
        pad.update(content(pad.lines(width), self.app.theme))

    def on_key(self, event: Key) -> None:
        """A character is typed."""
        if event.character is not None and event.is_printable:
            event.stop()
            event.prevent_default()
            self.type(event.character)

    def on_paste(self, event: Paste) -> None:
        """Text from elsewhere is typed as well."""
        event.stop()
        self.type(" ".join(event.text.split()))

    def on_click(self, event: Click) -> None:
        """A key of the pad is hit."""
        if isinstance(event.widget, Pad):
            key = event.widget.key_at(event.x, event.y)
            does = {ERASE: self.action_erase, UNIT: self.action_unit, KEEP: self.action_keep, LEAVE: self.action_leave}
            if key in does:
                does[key]()
            elif key is not None:
                self.type(" " if key == SPACE else key)

    def type(self, text: str) -> None:
        """Add to what is typed."""
        if self.stands:
            self.typed = (self.typed + text)[:_LONGEST]
            self.draw_typed()

    def action_erase(self) -> None:
        """Take the last character away."""
        self.typed = self.typed[:-1]
        self.draw_typed()

    def action_unit(self) -> None:
        """The next unit."""
        self.at = (self.at + 1) % max(1, len(self.units))
        self.draw_typed()

    def action_keep(self) -> None:
        """Take what is typed."""
        typed = with_unit(self.typed, self.unit)
        if typed or self.may_lack:
            self.dismiss(typed)
        else:
            self.query_one("#about", Static).update(content([line(("nothing is typed yet", "trap"))], self.app.theme))
