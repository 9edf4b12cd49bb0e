"""A new build by a short series of questions, one a page; opened as soon as it is made."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Horizontal, Vertical
from textual.widgets import Input, Static

from planner.app.builds.asks import (
    BACK,
    Answers,
    Question,
    put,
    question,
    questions,
    summary,
    wish_of,
    wrong,
)
from planner.app.draw.drawing import cut
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.over import Over, quiet_input
from planner.files.starters.make import Offer, StarterError, StarterNotWrittenError, make_own, offers
from planner.telling.looks import HERE, Line, bar, line


class NewBuild(Over):
    """The questions."""

    TITLE_WORD = "new-build"
    FOOT = ("new-build.go-on", "new-build.back", "over.leave", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("new-build")
    DEFAULT_CSS = """
    NewBuild #ask { height: auto; padding: 1 2 0 2; }
    NewBuild #so-far { width: 40; padding: 1 1; border-left: solid $panel; display: none; }
    NewBuild.-wide #so-far { display: block; }
    NewBuild #summary { height: auto; padding: 0 2 1 2; display: none; }
    NewBuild.-last #summary { display: block; }
    NewBuild.-last #so-far { display: none; }
    NewBuild.-low #ask { padding: 0 2; }
    """

    def __init__(self, home: Path, made: Callable[[Path], None]) -> None:
        super().__init__()
        self.home = home
        self.made = made
        self.answers = Answers()
        self.at = 0
        self.offers: Sequence[Offer] = ()
        self.taken: Sequence[str] = ()
        self.asked: Question | None = None  # the page that stands

    def body(self) -> ComposeResult:
        """The question, a line to type into, answers to choose, and what was answered before."""
        with Horizontal():
            with Vertical():
                yield Static(id="ask", markup=False)
                yield Static(id="summary", markup=False)
                yield quiet_input(longest=200, replace=True)
                yield LineList(self._choice_lines, row_height=2, id="choices")
            yield Static(id="so-far", markup=False)

    def on_mount(self) -> None:
        """Read what there is to begin from: so little that keys typed ahead matter more."""
        self.offers = offers()
        try:
            self.taken = [entry.name for entry in self.home.iterdir()]
        except OSError:
            self.taken = []  # then making it says what is wrong
        self.show_question()

    # Drawing

    def title_line(self) -> Line:
        """How far along it is."""
        keys = questions(self.answers)
        return line(
            ("new build", "title"),
            f"   question {self.at + 1} of {len(keys)}  ",
            *bar(self.at + 1, len(keys), len(keys)),
        )

    def show_question(self) -> None:
        """Show the page of the question that is at hand."""
        key = questions(self.answers)[self.at]
        self.asked = page = question(key, self.answers, self.offers, self.taken)
        self.set_class(key == "make", "-last")
        rows, field = self.rows, self.query_one(Input)
        rows.row_height = 2 if any(choice.says for choice in page.choices) else 1
        rows.set_rows([choice.value for choice in page.choices])
        rows.cursor = next((i for i, choice in enumerate(page.choices) if choice.value == page.value), 0)
        rows.display = bool(page.choices)
        rows.scroll_to(y=0, animate=False)
        field.display = page.typed
        if page.typed:
            with field.prevent(Input.Changed):
                field.value = page.value
            field.cursor_position = len(page.value)
            field.focus()
        else:
            rows.focus()
        self.hush()
        self.draw_all()
        self.call_after_refresh(rows.show_cursor)

    def draw_body(self) -> None:
        """The question, and what was answered so far."""
        if self.asked is None:
            return
        says = [line((self.asked.ask, "large")), *(line((text, "dim")) for text in self.asked.says), ()]
        self.fill(self.query_one("#ask", Static), says)
        so_far = summary(self.answers, self.offers, self.home.resolve().name)
        self.fill(self.query_one("#summary", Static), so_far)
        self.fill(self.query_one("#so-far", Static), [line(("so far", "head")), (), *so_far] if so_far else [])
        self.rows.refresh()

    def _choice_lines(self, index: int, width: int) -> list[Line]:
        assert self.asked is not None  # noqa: S101  # there are no rows before a question
        choice = self.asked.choices[index]
        here = HERE if index == self.rows.cursor else " "
        head = line((f" {here} ", "key"), (cut(choice.head, max(0, width - 4)).rstrip(), "strong"))
        return [head, line("   ", (choice.says, "dim"))]

    # Answering

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """What may be typed shows what the cursor is on."""
        event.stop()
        self.hush()
        field = self.query_one(Input)
        if self.asked is not None and self.asked.typed:
            field.value = self.asked.choices[event.rows.cursor].value
            field.cursor_position = len(field.value)
        event.rows.refresh()

    def on_input_changed(self, event: Input.Changed) -> None:
        """Say at once what cannot be; the list's cursor follows what is typed."""
        event.stop()
        if self.asked is None:
            return
        values = [choice.value for choice in self.asked.choices]
        if event.value in values:
            self.rows.move_to(values.index(event.value))
        why = wrong(self.asked.key, event.value, self.answers, self.offers, self.taken)
        if why and event.value.strip():
            self.say(why, "wrong")
        else:
            self.hush()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Go on."""
        event.stop()
        self.action_go_on()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go on with what was chosen."""
        event.stop()
        self.action_go_on()

    def action_go_on(self) -> None:
        """Take the answer and go to the next question; from the last, make the build."""
        page = self.asked
        if page is None:
            return
        value = self.query_one(Input).value if page.typed else page.choices[self.rows.cursor].value
        why = wrong(page.key, value, self.answers, self.offers, self.taken)
        if why:
            self.say(why, "wrong")
        elif page.key == "make":
            if value == BACK:
                self.action_back()
            else:
                self.make()
        else:
            self.answers = put(self.answers, page.key, value)
            self.at += 1
            self.show_question()

    def action_back(self) -> None:
        """To the question before; from the first, leave."""
        if self.at == 0 or self.asked is None:
            self.action_leave()
            return
        page = self.asked
        if page.typed and not wrong(page.key, self.query_one(Input).value, self.answers, self.offers, self.taken):
            self.answers = put(self.answers, page.key, self.query_one(Input).value)
        self.at -= 1
        self.show_question()

    def make(self) -> None:
        """Make it, and hand it over; what is wrong is said, and nothing is left behind."""
        try:
            folder = make_own(self.home, wish_of(self.answers))
        except StarterNotWrittenError as error:
            self.say(f"NOT MADE. {error}", "wrong")
        except StarterError as error:
            where = f": {error.problems[0].path}: {error.problems[0].message}" if error.problems else ""
            self.say(f"NOT MADE. {error}{where}", "wrong")
        else:
            self.dismiss(None)
            self.made(folder)
