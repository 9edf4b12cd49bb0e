"""A file that was changed outside meanwhile: both texts are shown, and the person chooses."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.screen import ModalScreen
from textual.widgets import Static

from planner.app.draw.drawing import content
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.telling.edit import file_lines
from planner.telling.looks import Line, line

_ANSWERS = (
    ("theirs", "Theirs: keep the file as it is on the disk, without my edit"),
    ("both", "Both: make my edit once more, in their text"),
    ("mine", "Mine: put my text in its place; theirs is gone then"),
)


def both_lines(path: str, mine: bytes | None, theirs: bytes | None, before: bytes | None) -> list[Line]:
    """What they changed and what I would change, line by line."""
    was, now, own = _text(before), _text(theirs), _text(mine)
    return [
        line(("Theirs: what was changed on the disk", "title")),
        *file_lines(path, was, now),
        (),
        line(("Mine: what this edit would have changed", "title")),
        *file_lines(path, was, own),
    ]


def _text(raw: bytes | None) -> str | None:
    return None if raw is None else raw.decode("utf-8", "replace")


class Conflict(ModalScreen[str], inherit_bindings=False):
    """Gives theirs, both or mine; nothing when it is left, which keeps theirs."""

    DEFAULT_CSS = """
    Conflict { align: center middle; }
    Conflict #box { width: 94%; max-width: 110; height: 90%; padding: 0 1; background: $surface;
                    border: solid $primary; }
    Conflict .question { height: auto; }
    Conflict TextPane { height: 1fr; }
    Conflict LineList { height: 3; }
    """
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("question")

    def __init__(
        self, path: str, mine: bytes | None, theirs: bytes | None, before: bytes | None, *, both: bool
    ) -> None:
        super().__init__()
        self.path = path
        self.lines = both_lines(path, mine, theirs, before)
        self.answers = [each for each in _ANSWERS if both or each[0] != "both"]

    def compose(self) -> ComposeResult:
        """What happened, both texts, the answers."""
        head = [
            line((f"{self.path} was changed outside meanwhile", "trap")),
            line("Nothing was saved. Tab goes to the texts, 1 to 3 answer."),
        ]
        with Vertical(id="box"):
            yield Static(content(head, self.app.theme), classes="question", markup=False)
            yield TextPane(id="texts")
            yield LineList(self._answer_line, id="answers")

    def _answer_line(self, index: int, width: int) -> list[Line]:
        return [line((f" {index + 1}  ", "key"), self.answers[index][1])]

    def on_mount(self) -> None:
        """Stand on the answer that destroys nothing."""
        self.query_one(TextPane).show_lines(self.lines)
        rows = self.query_one(LineList)
        rows.set_rows(range(len(self.answers)))
        rows.focus()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Take the answer under the cursor."""
        event.stop()
        self.dismiss(self.answers[event.rows.cursor][0])

    def action_answer(self, number: int) -> None:
        """Take an answer by its number."""
        if number <= len(self.answers):
            self.dismiss(self.answers[number - 1][0])

    def action_leave(self) -> None:
        """Keep theirs."""
        self.dismiss("theirs")
