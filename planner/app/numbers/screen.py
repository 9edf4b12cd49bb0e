"""The screen of the numbers: calculators, the form of one, its results as one types, and a drawing to scale."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container, Horizontal, Vertical
from textual.content import Content
from textual.events import Blur
from textual.style import Style
from textual.widgets import Input, Static

from planner.app.draw.drawing import content, cut, fold
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.keyline import KeyLine
from planner.app.keys.table import BY_ID
from planner.app.numbers import text as numberstext
from planner.app.numbers.drawings.choose import drawing_lines
from planner.app.numbers.editing import NumbersEditing
from planner.app.numbers.form import Asked, Form, Pane, form_rows, hint_lines
from planner.numbers.registry import calculator
from planner.plan.words import counted
from planner.session.numbers.draft import SLOW, in_order, input_of
from planner.session.writing.rounds import ORDERED
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.numbers.calculator import Calculator


class Figure(Input):
    """The line that a value is typed into."""

    BINDINGS: ClassVar[list[BindingType]] = bindings_of("figure")

    def action_leave(self) -> None:
        """Put the value back as it was."""
        self._page().leave_typing(keep=False)

    def action_above(self) -> None:
        """Keep it, and type the value above."""
        self._page().type_beside(-1)

    def action_below(self) -> None:
        """Keep it, and type the value below."""
        self._page().type_beside(1)

    def on_blur(self, event: Blur) -> None:
        """Leaving the line by mouse or Tab keeps what was typed."""
        if self.screen.focused is not self:  # it may have come back meanwhile
            self._page().leave_typing(keep=True, focus=False)

    def _page(self) -> NumbersScreen:
        assert isinstance(self.screen, NumbersScreen)  # noqa: S101  # the only screen that has this line
        return self.screen


class NumbersScreen(NumbersEditing):
    """The numbers of the build that is open."""

    TITLE_WORD = "numbers"
    FOOT = (
        "numbers.type",
        "numbers.save",
        "numbers.drawing",
        "numbers.working",
        "numbers.put-back",
        "everywhere.help",
    )
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("numbers")
    CSS = """
    #work { height: 1fr; }
    #calculators { width: 22; border-right: solid $panel; }
    NumbersScreen.-narrow #calculators { display: none; }
    #sheet { width: 1fr; layout: vertical; }
    #entry { height: 1fr; }
    #head { height: 1; padding: 0 1; text-wrap: nowrap; }
    #inputs { height: 1fr; }
    #hint { height: auto; max-height: 3; padding: 0 1; border-top: solid $panel; }
    NumbersScreen.-low #hint { max-height: 1; border-top: none; }
    #bar { height: 1; display: none; padding: 0 1; }
    NumbersScreen.-typing #bar { display: block; }
    #figure { width: 1fr; background: $panel; }
    #what { width: auto; max-width: 50%; padding: 0 1 0 0; text-wrap: nowrap; text-overflow: ellipsis; }
    #results { height: 1fr; border-top: solid $panel; padding: 0 1; }
    #results:focus { border-top: heavy $primary; }
    NumbersScreen.-wide #sheet { layout: horizontal; }
    NumbersScreen.-wide #entry { width: 51; height: 100%; }
    NumbersScreen.-wide #results { width: 1fr; height: 100%; border-top: none; border-left: solid $panel; }
    NumbersScreen.-wide #results:focus { border-left: heavy $primary; }
    #drawing { display: none; height: 1fr; padding: 0 1; }
    NumbersScreen.-wide.-high #drawing { display: block; height: 15; border-top: solid $panel; }
    NumbersScreen.-wide.-high #drawing:focus { border-top: heavy $primary; }
    NumbersScreen.-drawn #work { display: none; }
    NumbersScreen.-drawn #drawing { display: block; height: 1fr; }
    NumbersScreen.-wide.-high.-drawn #drawing { height: 1fr; border-top: none; }
    NumbersScreen.-wide.-high.-drawn #drawing:focus { border-top: none; }
    #aid { height: auto; padding: 0 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.shows_working = False

    def body(self) -> ComposeResult:
        """Calculators, form and results, the drawing, and what must be said of all of it."""
        with Horizontal(id="work"):
            yield LineList(self._calculator_lines, id="calculators")
            with Container(id="sheet"):
                with Vertical(id="entry"):
                    yield Static(id="head", markup=False)
                    yield Form(id="inputs")
                    yield Static(id="hint", markup=False)
                    with Horizontal(id="bar"):
                        figure = Figure(id="figure", compact=True, max_length=200)
                        figure.cursor_blink = False
                        yield Static(id="what", markup=False)
                        yield figure
                yield Pane(id="results")
        yield Pane(id="drawing")
        yield Static(numberstext.SHORT_AID, id="aid", markup=False)

    @property
    def calculator(self) -> Calculator:
        """The calculator that is shown."""
        return calculator(self.chosen)

    # Drawing

    def title_line(self) -> Line:
        """The build, and whether all that was typed is in its file."""
        desk = self.desk
        if desk is None:
            return line(("numbers", "title"))
        one = self.one
        count = len(desk.draft.unsaved())
        rest = line((f"Δ {counted(count, 'change')} not saved", "waits") if count else ("✓ saved", "done"))
        if self.opened.desk is not None and self.opened.desk.unsaved:
            rest = line(("✗ not on the disk; W tries again", "trap"))
        if desk.now.problems:
            rest = line(("✗ numbers.yaml cannot be read now; ! lists why", "trap"))
        room = self.size.width - 2 - 20 - 6 - sum(len(piece.text) for piece in rest)
        name = cut(one.plan.build.name, min(len(one.plan.build.name), room)) if room > 4 else ""
        word = f"numbers of {self.chosen}" if self.has_class("-drawn") else "numbers"
        return (*line((word, "title"), "   ", (name, "strong"), "   "), *rest)

    def forget(self) -> None:
        """What is shown is that of the build before; what was typed of it stays on its desk."""
        self.chosen, self.typing = "", None
        self.remove_class("-typing")
        self.query_one("#calculators", LineList).set_rows(())
        self.form.show_rows([])

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one("#results", TextPane).show_lines(lines)

    def draw_build(self) -> None:
        """Read the file where it changed, and draw everything again."""
        self.shelf.look(self.shell, self._taken)
        self.draw_all_parts()

    def second(self) -> None:
        """Once a second: did the file change."""
        if self.held is not None:
            self.shelf.look(self.shell, self._taken)

    def _taken(self) -> None:
        """The numbers were read, or one of them was worked out beside the screen."""
        self.draw_title()
        self.draw_all_parts()

    def draw_all_parts(self) -> None:
        """Draw the list and the sheet again."""
        desk = self.desk
        if desk is None:
            self.query_one("#results", TextPane).show_lines([line(("… reading", "dim"))])
            return
        names = in_order(desk.now.sections)
        fresh = not self.chosen
        if fresh:
            self.chosen = "narrow" if "narrow" in desk.now.sections else names[0]
        rows = self.query_one("#calculators", LineList)
        rows.set_rows(names)
        rows.cursor = names.index(self.chosen)
        rows.refresh()
        self.draw_sheet()
        if fresh:
            self.form.focus()

    def draw_sheet(self) -> None:
        """Draw form, results and drawing again."""
        desk = self.desk
        if desk is None or not self.chosen:
            return
        asked = Asked(self.calculator, desk.trial, desk.outcomes.get(self.chosen), desk.sides, desk.now.show)
        room = self.form.scrollable_content_region
        self.form.show_rows(form_rows(asked, room.width, room.height))
        self.draw_head()
        self.draw_hint()
        pane = self.query_one("#results", TextPane)
        pane.show_lines(self.result_lines(pane.scrollable_content_region.width))
        self.draw_drawing()
        self.query_one("#calculators", LineList).refresh()

    def told(self) -> numberstext.Told | None:
        """What the results are told from."""
        desk = self.desk
        if desk is None or not self.chosen:
            return None
        busy = desk.busy and self.chosen == SLOW
        return numberstext.Told(
            self.calculator, desk.outcomes.get(self.chosen), desk.now.outcomes.get(self.chosen), desk.sides,
            desk.now.show, busy,
        )  # fmt: skip

    def result_lines(self, width: int) -> list[Line]:
        """The results, or the working behind them."""
        told, desk = self.told(), self.desk
        if told is None or desk is None:
            return []
        if self.shows_working:
            return numberstext.working_lines(told)
        elsewhere = numberstext.moved_elsewhere(self.chosen, desk.now.outcomes, desk.outcomes, busy=desk.busy)
        return numberstext.result_lines(told, elsewhere, width)

    def draw_keys(self) -> None:
        """The line of keys; while a value is typed, the keys that work then."""
        names = ("figure.keep", "figure.leave", "figure.above", "figure.below") if self.typing else self._foot()
        keys = [BY_ID[name] for name in names]
        self.query_one(KeyLine).show_keys(keys, self.shell.changed_keys, self.app.theme)

    def _foot(self) -> tuple[str, ...]:
        return ("numbers.into-plan", *self.FOOT) if self.chosen in ORDERED else self.FOOT

    def draw_head(self) -> None:
        """The calculator that is shown; on a narrow screen with the way to the others."""
        told, head = self.told(), self.query_one("#head", Static)
        if told is None:
            return
        state = self._state(self.chosen)
        names = self.query_one("#calculators", LineList).names
        width = head.content_region.width
        if not self.has_class("-narrow"):
            head.update(content([numberstext.head_line(told, state, width)], self.app.theme))
            return
        made = content([numberstext.head_line(told, state, width - 10)], self.app.theme)
        for text, action in (
            ("  ‹ ", "screen.before"),
            (f"{names.index(self.chosen) + 1}/{len(names)}", ""),
            (" ›", "screen.after"),
        ):
            part = Content(text)
            made += part.stylize(Style.from_meta({"@click": action})) if action else part
        head.update(made)

    def draw_hint(self) -> None:
        """What the input under the cursor is."""
        desk, row, hint = self.desk, self.form.row, self.query_one("#hint", Static)
        if desk is None or row is None:
            return
        width = max(20, hint.content_region.width)
        each = input_of(self.chosen, row.key)
        lines = hint_lines(each, desk.now.show, width * (1 if self.has_class("-low") else 2) - 8)  # lines end early
        if self.has_class("-low"):  # room for one: what it is, and while it is typed what it may be
            lines = lines[1:] if self.typing is not None else lines[:1]
        self.fill(hint, fold(lines, width))

    def draw_drawing(self) -> None:
        """The drawing, where it is shown."""
        desk, pane = self.desk, self.query_one("#drawing", TextPane)
        if desk is None or not pane.display:
            return
        size = pane.scrollable_content_region
        done = self._ticked_of(self.chosen)
        made = drawing_lines(
            self.chosen, desk.outcomes, desk.now.show, size.width, size.height, done, desk.now.outcomes
        )
        pane.show_lines(made)

    def _ticked_of(self, name: str) -> int:
        """How many tacks or beads are ticked, by the step that names their order."""
        desk, opened = self.desk, self.held
        outcome = desk.outcomes.get(name) if desk is not None else None
        if name not in ("tacks", "beads") or opened is None or outcome is None or outcome.result is None:
            return 0
        from planner.app.numbers.drawings.clockface import marks_of
        from planner.session.parts import ticked_part

        return int(len(marks_of(outcome.result)) * ticked_part(opened.one, f"{name}."))

    def on_fitted(self) -> None:
        """A part has another size: what is in it is made for that."""
        self.draw_sheet()

    def _state(self, name: str) -> numberstext.State:
        desk = self.desk
        assert desk is not None  # noqa: S101  # no rows without it
        outcome = desk.outcomes.get(name)
        return numberstext.state_of(outcome, busy=desk.busy and name == SLOW)

    def _calculator_lines(self, index: int, width: int) -> list[Line]:
        desk = self.desk
        assert desk is not None  # noqa: S101
        name = str(self.query_one("#calculators", LineList).names[index])
        before, outcome = desk.now.outcomes.get(name), desk.outcomes.get(name)
        moves = numberstext.has_moved(before, outcome) and not (desk.busy and name == SLOW)
        return [numberstext.calculator_line(name, self._state(name), moves, width)]

    def detail_lines(self) -> list[Line]:
        """The results, or the drawing, to be copied."""
        told, desk = self.told(), self.desk
        if told is None or desk is None:
            return []
        if self.has_class("-drawn"):
            return drawing_lines(self.chosen, desk.outcomes, desk.now.show, 100, 40)
        return [numberstext.head_line(told, self._state(self.chosen), 120), *self.result_lines(120)]

    # Moving

    def show_calculator(self, name: str) -> None:
        """Show a calculator."""
        if name == self.chosen:
            return
        self.leave_typing(keep=True)
        self.chosen = name
        self.form.cursor = 0
        self.form.scroll_to(y=0, animate=False)
        self.query_one("#results", TextPane).scroll_to(y=0, animate=False)
        self.draw_all_parts()
        self.draw_keys()

    def _beside(self, by: int) -> None:
        names = [str(name) for name in self.query_one("#calculators", LineList).names]
        if self.chosen in names:
            self.show_calculator(names[(names.index(self.chosen) + by) % len(names)])

    def action_before(self) -> None:
        """To the calculator before."""
        self._beside(-1)

    def action_after(self) -> None:
        """To the next calculator."""
        self._beside(1)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show what the cursor is on."""
        self.hush()
        if event.rows is self.form:
            self.draw_hint()
        else:
            self.show_calculator(str(event.rows.name_at_cursor))

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """From a calculator to its form; in the form, type."""
        if event.rows is self.form:
            self.action_type()
        else:
            self.show_calculator(str(event.rows.name_at_cursor))
            self.form.focus()

    def action_drawing(self) -> None:
        """Show the drawing large, or put it back."""
        self.leave_typing(keep=True, focus=False)
        drawn = not self.has_class("-drawn")
        self.set_class(drawn, "-drawn")
        self.draw_title()
        self.query_one("#drawing" if drawn else "#inputs").focus()

    def action_into_plan(self) -> None:
        """Write the order of tacks or beads into a step."""
        desk = self.desk
        if self.chosen not in ORDERED:
            self.say(f"only the order of {' or '.join(sorted(ORDERED))} goes into a step; choose one of them")
        elif desk is not None and any(where[0] == self.chosen for where in desk.draft.unsaved()):
            self.say(f"save the numbers of {self.chosen} first: their file is what the plan goes by")
        else:
            self.leave_typing(keep=True, focus=False)
            self.shell.write(self, "rounds", text=self.chosen)

    def action_working(self) -> None:
        """Show the working in the place of the results, or put them back."""
        self.shows_working = not self.shows_working
        if self.has_class("-drawn"):
            self.action_drawing()
        self.draw_sheet()
        self.query_one("#results", TextPane).scroll_to(y=0, animate=False)
