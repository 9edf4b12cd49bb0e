"""What the numbers screen does with values: typing them, putting them back, and writing them into their file."""

from __future__ import annotations

from typing import TYPE_CHECKING

from textual.events import ScreenSuspend
from textual.widgets import Input, Static

from planner.app.frame.buildpage import WorkPage
from planner.app.keys.table import BY_ID, shown_key
from planner.app.numbers.form import Form, of_side
from planner.session.numbers.draft import Change, Typed, input_of, settle, unreadable
from planner.session.numbers.shelf import Shelf
from planner.telling.looks import Line, counted, line

if TYPE_CHECKING:
    from planner.plan.expand import Plan
    from planner.session.numbers.desk import Desk


class NumbersEditing(WorkPage):
    """The half of the numbers screen that changes values; the other half draws them."""

    chosen = ""  # the calculator that is shown
    typing: tuple[str, str | None] | None = None  # the input and side that are being typed

    @property
    def shelf(self) -> Shelf:
        """The desks of all builds whose numbers were looked at."""
        if self.shell.shelf is None:
            self.shell.shelf = Shelf()
        return self.shell.shelf

    @property
    def desk(self) -> Desk | None:
        """The numbers of the build that is open, once they were read."""
        return self.shelf.desks.get(self.held.folder) if self.held is not None else None

    @property
    def form(self) -> Form:
        """The form."""
        return self.query_one(Form)

    def draw_sheet(self) -> None:
        """Draw form, results and drawing again."""

    def show_calculator(self, name: str) -> None:
        """Show a calculator."""

    def _changed(self) -> None:
        self.hush()
        self.draw_title()
        self.draw_sheet()

    # Typing

    def action_type(self) -> None:
        """Type the value under the cursor."""
        if self._behind_drawing():
            self.call_after_refresh(self.action_type)
            return
        desk, row = self.desk, self.form.row
        if desk is None or row is None:
            return
        self.leave_typing(keep=True, focus=False)
        self.typing = (row.key, row.side)
        figure = self.query_one("#figure", Input)
        each = input_of(self.chosen, row.key)
        figure.placeholder = " or ".join(each.choices) if each.choices else "nothing is given"
        figure.value = of_side(desk.draft.typed(self.chosen, row.key), row.side)
        what = row.key if row.side is None else f"{row.key} {row.side}"
        self.fill(self.query_one("#what", Static), [line((what, "head"))])
        self.add_class("-typing")
        figure.focus()
        figure.cursor_position = len(figure.value)
        self.draw_keys()
        self.call_after_refresh(self.form.show_cursor)

    def on_input_changed(self, event: Input.Changed) -> None:
        """Every letter is worked out at once."""
        desk = self.desk
        if desk is None or self.typing is None:
            return
        key, side = self.typing
        if event.value.strip() == of_side(desk.trial.typed(self.chosen, key), side).strip():
            return  # the line was only filled
        desk.type(self.chosen, key, event.value, side)
        self.draw_sheet()

    def on_input_submitted(self, event: Input.Submitted) -> None:
        """Keep the value and go on to the next."""
        self.leave_typing(keep=True)
        self.form.action_down()

    def leave_typing(self, *, keep: bool, focus: bool = True) -> None:
        """Keep what was typed, or put it back; it is in no file yet."""
        desk = self.desk
        if self.typing is None or desk is None:
            return
        self.typing = None
        self.remove_class("-typing")
        self.draw_keys()
        if keep:
            desk.keep()
        else:
            desk.forget()
        if focus:
            self.form.focus()
        self._changed()

    def type_beside(self, by: int) -> None:
        """Keep it, and type the value above or below."""
        self.leave_typing(keep=True, focus=False)
        if by < 0:
            self.form.action_up()
        else:
            self.form.action_down()
        self.action_type()

    def _behind_drawing(self) -> bool:
        """Whether the form was behind the drawing; it is shown now, and nothing was changed unseen."""
        drawn = self.has_class("-drawn")
        if drawn:
            self.action_drawing()
        return drawn

    def action_drawing(self) -> None:
        """Show the drawing large, or put it back."""

    # Other changes

    def action_clear(self) -> None:
        """Take the value under the cursor away."""
        if self._behind_drawing():
            return
        desk, row = self.desk, self.form.row
        if desk is not None and row is not None:
            desk.clear(self.chosen, row.key, row.side)
            self._changed()

    def action_sides(self) -> None:
        """Give one value a side, or one for all of them."""
        if self._behind_drawing():
            return
        desk, row = self.desk, self.form.row
        if desk is None or row is None:
            return
        if not input_of(self.chosen, row.key).sided or len(desk.sides) < 2:
            self.say(f"{row.key} is one value for the whole job; it is not given per side")
        elif desk.share(self.chosen, row.key):
            self._changed()
        else:
            self.say(f"the sides of {row.key} differ, and no side's number is carried across: make them alike first")

    def action_put_back(self) -> None:
        """Put the input under the cursor back as the file has it, else the latest that was changed."""
        desk, row = self.desk, self.form.row
        if desk is None:
            return
        where = desk.put_back((self.chosen, row.key if row is not None else ""))
        if where is None:
            self.say("nothing was changed, so there is nothing to put back")
            return
        self.show_calculator(where[0])
        self._changed()
        self.form.to(where[1], None)
        self.draw_sheet()
        self.say(f"put back as the file has it: {'.'.join(where)}", "good")

    # Saving

    def action_save(self) -> None:
        """Write what was changed into the lines of numbers.yaml that it stands in."""
        self.leave_typing(keep=True)
        desk = self.desk
        if desk is None:
            return
        changes = desk.draft.unsaved()
        if not changes:
            self.say("nothing to save: numbers.yaml says all of this already")
            return
        wrong = unreadable(desk.draft)
        if wrong:
            name, says = next(iter(wrong.items()))
            more = f" (and {len(wrong) - 1} more)" if len(wrong) > 1 else ""
            self.say(f"NOT SAVED, because a file of numbers cannot hold it: {name}: {says}{more}", "wrong")
            calculator_, key, *side = name.split(".")
            self.show_calculator(calculator_)
            self.form.to(key, side[0] if side else None)
            self.draw_sheet()
            return
        self._read_again(desk)
        if desk.now.problems:
            self.say(f"NOT SAVED: {desk.now.problems[0]}; mend the file first", "wrong")
            return
        clashes = desk.draft.clashes()
        if clashes:
            self._ask(desk, clashes)
        else:
            self._write(desk)

    def _read_again(self, desk: Desk) -> None:
        """Take in the file as it is at this moment."""
        from planner.session.numbers.file import read_now

        build = self.one.plan.build
        desk.take(read_now(self.opened.folder, build.sides, build.show.get("lengths")), build.sides)

    def _write(self, desk: Desk) -> None:
        from planner.session.numbers.file import CannotWriteError, write

        changes = desk.draft.unsaved()
        if not changes:  # the file says so by now
            self._changed()
            self.say("nothing to save: numbers.yaml says all of this already")
            return
        try:
            write(desk.now, changes)
        except CannotWriteError as error:
            self.say(f"NOT SAVED. {error}", "wrong")
            return
        self._read_again(desk)
        self._changed()
        names = ", ".join(dict.fromkeys(".".join(where) for where in changes))
        self.say(f"saved in numbers.yaml: {names}", "good")
        self._fill_steps()

    def _fill_steps(self) -> None:
        """The steps take their numbers from the file that was written."""
        from planner.files.disk.watching import plan_signature

        opened = self.opened
        opened.seen = plan_signature(opened.folder)  # it was us

        def adopt(read: tuple[Plan | None, tuple[object, ...]]) -> None:
            plan, problems = read
            opened.problems = problems  # type: ignore[assignment]
            if plan is not None:
                opened.adopt(plan)

        self.shell.beside(opened.read_plan, adopt)

    def _ask(self, desk: Desk, clashes: dict[tuple[str, str], Change]) -> None:
        """Inputs that somebody else changed meanwhile: show both, and let the person choose."""
        from planner.app.frame.choose import Choose

        lines: list[Line] = [line(("numbers.yaml was changed outside, in the same place", "trap"))]
        for (name, key), change in clashes.items():
            theirs = desk.draft._replace(changes={}).typed(name, key)
            lines += [
                (),
                line((f"{name}.{key}", "strong"), ("   it was ", "dim"), _words(change.old)),
                line(("the file  ", "head"), _words(theirs)),
                line(("yours     ", "head"), _words(change.new)),
            ]
        answers = [
            ("leave", "Write nothing now, and look again"),
            ("theirs", "Take what the file says; drop mine"),
            ("mine", "Write mine over it"),
        ]

        def take(answer: str | None) -> None:
            if answer == "theirs":
                for where in clashes:
                    desk.put_back(where)
            if answer == "mine":
                desk.draft = desk.trial = settle(desk.draft)
            if answer in ("theirs", "mine"):
                self._write(desk)
            else:
                self._changed()
                self.say("nothing was written; the form shows both")

        self.app.push_screen(Choose(lines, answers), take)

    # Leaving

    def action_quit(self) -> None:
        """Leave; what is typed at this moment counts as typed."""
        self.leave_typing(keep=True)
        super().action_quit()

    def on_screen_suspend(self, event: ScreenSuspend) -> None:
        """Going to another screen: what is not saved is kept here, and said there."""
        count = self.shelf.unsaved()
        if count:
            self.app.call_later(self._say_elsewhere, count)

    def _say_elsewhere(self, count: int) -> None:
        page = self.shell.page
        if page is not None and page is not self:
            back = shown_key(self.shell.changed_keys.get(_BACK.id, _BACK.key))
            page.say(f"{counted(count, 'change')} of numbers not saved yet; {back} goes back to them")


_BACK = BY_ID["everywhere.numbers"]


def _words(value: Typed) -> str:
    if isinstance(value, str):
        return value
    return ", ".join(f"{side} {text}" for side, text in value.items()) if value else "not given"
