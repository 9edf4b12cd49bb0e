"""The one question with answers: a text above, which scrolls where it is long, and the answers below."""

from __future__ import annotations

from collections.abc import Sequence
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import Binding, BindingType
from textual.containers import Vertical
from textual.events import Resize
from textual.widgets import Static

from planner.app.draw.drawing import content, fold
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.stands import StandingModal
from planner.telling.looks import Line, line

BOX = """
    { align: center middle; }
    .box { width: 90%; max-width: 92; height: auto; padding: 1 2; background: $surface; border: solid $primary; }
    .large { width: 94%; max-width: 110; height: 92%; padding: 0 1; }
    .head { height: auto; }
    #question { height: auto; background: $surface; }
    .large #question { height: 1fr; }
    LineList { margin-top: 1; background: $surface; }
    .large LineList { margin-top: 0; }
    Input { margin-top: 1; }
"""
_AROUND = 7  # lines of the box that are neither question nor answers: its border and space, and a line between
_MOVES = ("list.up", "list.down", "list.choose")  # the other keys of a list scroll the text


class Question(StandingModal[str], inherit_bindings=False):
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
        if not self.stands:
            return  # answered before it was drawn
        text = self.query_one(TextPane)
        room = max(1, self.size.height - _AROUND - self.below())
        text.styles.height = min(len(fold(self.lines, text.size.width)), room)

    def action_leave(self) -> None:
        """Answer nothing."""
        self.dismiss(None)


class AnswerList(LineList, inherit_bindings=False):
    """The answers: arrows and Enter are theirs, the keys of pages are the text's."""

    BINDINGS: ClassVar[list[BindingType]] = [
        each for each in bindings_of("list") if isinstance(each, Binding) and each.id in _MOVES
    ]


class Choose(Question):
    """Gives the name of the answer; when it is left ``left``, which is nothing unless said.

    ``numbers`` are given where a number must keep its meaning. ``head`` stays in sight above a text that is large:
    such a text takes the whole height, and Tab goes to it.
    """

    DEFAULT_CSS = f"Choose {BOX}"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("question")

    def __init__(
        self,
        lines: Sequence[Line],
        answers: Sequence[tuple[str, str]],
        numbers: Sequence[int] | None = None,
        *,
        head: Sequence[Line] = (),
        left: str | None = None,
    ) -> None:
        super().__init__(lines)
        self.answers = answers
        self.numbers = numbers or range(1, len(answers) + 1)
        self.head = head
        self.left = left

    def compose(self) -> ComposeResult:
        """The question, then the answers, the safe one first."""
        with Vertical(classes="box large" if self.head else "box"):
            if self.head:
                yield Static(content(self.head, self.app.theme), classes="head", markup=False)
            question = TextPane(id="question")
            question.can_focus = bool(self.head)  # else the arrows belong to the answers
            yield question
            yield AnswerList(self._answer_lines, id="answers")

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

    def fit(self) -> None:
        """Share the height out; a large text has all that the answers leave."""
        if not self.head:
            super().fit()
        elif self.stands:
            self.below()

    def on_mount(self) -> None:
        """Stand on the first answer."""
        self.query_one(LineList).focus()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Take the answer under the cursor."""
        event.stop()
        self.action_take()

    def action_take(self) -> None:
        """Take the answer under the cursor, from the text too."""
        self.dismiss(self.answers[self.query_one(LineList).cursor][0])

    def action_answer(self, number: int) -> None:
        """Take an answer by its number."""
        if number in self.numbers:
            self.dismiss(self.answers[self.numbers.index(number)][0])

    def action_leave(self) -> None:
        """Answer nothing, or what leaving means."""
        self.dismiss(self.left)

    def action_page_up(self) -> None:
        """Scroll the question up."""
        self.query_one(TextPane).action_scroll_page_up()

    def action_page_down(self) -> None:
        """Scroll the question down."""
        self.query_one(TextPane).action_scroll_page_down()

    def action_top(self) -> None:
        """To the beginning of the question."""
        self.query_one(TextPane).scroll_home(animate=False)

    def action_bottom(self) -> None:
        """To the end of the question."""
        self.query_one(TextPane).scroll_end(animate=False)
