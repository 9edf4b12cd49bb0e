"""A plain question over the screen, and a line to type into. Both can be answered by key and by mouse."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.screen import ModalScreen
from textual.widgets import Input, Static

from planner.app.draw.drawing import content, fold
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.telling.looks import Line, line

_CSS = """
    { align: center middle; }
    .box { width: 90%; max-width: 92; height: auto; padding: 1 2; background: $surface; border: solid $primary; }
    #question { height: auto; background: $surface; }
    LineList { margin-top: 1; background: $surface; }
    Input { margin-top: 1; }
"""
_AROUND = 7  # lines of the box that are neither question nor answers: its border and space, and a line between


class Question(ModalScreen[str], inherit_bindings=False):
    """A text that takes no more room than it needs or than there is, over something to answer with."""

    def __init__(self, lines: Sequence[Line]) -> None:
        super().__init__()
        self.lines = lines

    def below(self) -> int:
        """How many lines the answer takes."""
        return 0

    def on_mount(self) -> None:
        """Show the question."""
        self.query_one(TextPane).show_lines(self.lines)

    def on_resize(self, event: Resize) -> None:
        """The answer is always in sight; what is too long of the question is scrolled."""
        self.call_after_refresh(self.fit)

    def fit(self) -> None:
        """Share the height out."""
        text = self.query_one(TextPane)
        room = max(1, self.size.height - _AROUND - self.below())
        text.styles.height = min(len(fold(self.lines, text.size.width)), room)


class Ask(Question):
    """A question with answers; gives the name of the answer, or nothing when it is left."""

    DEFAULT_CSS = f"Ask {_CSS}"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("question")

    def __init__(
        self, lines: Sequence[Line], answers: Sequence[tuple[str, str]], numbers: Sequence[int] | None = None
    ) -> None:
        super().__init__(lines)
        self.answers = answers
        self.numbers = numbers or range(1, len(answers) + 1)  # given where a number must keep its meaning

    def compose(self) -> ComposeResult:
        """The question, then the answers, the safe one first."""
        with Vertical(classes="box"):
            question = TextPane(id="question")
            question.can_focus = False  # the arrows belong to the answers
            yield question
            yield LineList(self._answer_lines, id="answers")

    def _answer_lines(self, index: int, width: int) -> list[Line]:
        return fold([line((f" {self.numbers[index]}  ", "mark"), self.answers[index][1])], width)

    def below(self) -> int:
        """The answers, all of them as high as the highest."""
        rows = self.query_one(LineList)
        rows.row_height = max(len(self._answer_lines(index, rows.size.width)) for index in range(len(self.answers)))
        height = rows.row_height * len(self.answers)
        rows.styles.height = height
        rows.set_rows(range(len(self.answers)))
        return height

    def on_mount(self) -> None:
        """Stand on the first answer."""
        self.query_one(LineList).focus()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Take the answer under the cursor."""
        event.stop()
        self.dismiss(self.answers[event.rows.cursor][0])

    def action_answer(self, number: int) -> None:
        """Take an answer by its number."""
        if number in self.numbers:
            self.dismiss(self.answers[self.numbers.index(number)][0])

    def action_leave(self) -> None:
        """Answer nothing."""
        self.dismiss(None)

    def action_page_up(self) -> None:
        """Scroll the question up."""
        self.query_one(TextPane).action_scroll_page_up()

    def action_page_down(self) -> None:
        """Scroll the question down."""
        self.query_one(TextPane).action_scroll_page_down()


class Type(Question):
    """A line of text; gives what was typed, or nothing when it is left."""

    DEFAULT_CSS = f"Type {_CSS}"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("typing")

    def __init__(self, lines: Sequence[Line], hint: str) -> None:
        super().__init__(lines)
        self.hint = hint

    def below(self) -> int:
        """The line to type into, and what can be done."""
        return 5

    def compose(self) -> ComposeResult:
        """What is asked for, and the line."""
        with Vertical(classes="box"):
            question = TextPane(id="question")
            question.can_focus = False
            yield question
            field = Input(placeholder=self.hint, max_length=500)
            field.cursor_blink = False
            yield field
            yield Static(content([line(("Enter", "key"), " keep it   ", ("Esc", "key"), " leave")], self.app.theme))

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Take what was typed; nothing typed is nothing."""
        event.stop()
        self.dismiss(event.value.strip() or None)

    def action_leave(self) -> None:
        """Type nothing."""
        self.dismiss(None)
