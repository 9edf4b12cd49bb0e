"""What the numbers screen does with values: typing them, putting them back, and writing them into their file."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from textual.events import ScreenSuspend
from textual.widgets import Input, Static

from planner.app.frame.ticking import WorkPage
from planner.app.keys.table import BY_ID, shown_key
from planner.app.numbers.form import Form, of_side
from planner.plan.words import counted
from planner.session.numbers.draft import input_of, settle, unreadable
from planner.session.numbers.shelf import Shelf, held_text
from planner.telling.looks import line

if TYPE_CHECKING:
    from planner.session.numbers.desk import Desk
    from planner.session.numbers.file import Now
    from planner.session.writing.desk import Outcome


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
            self.say(f"{row.key} is one value for the whole build; it is not given per side")
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
        self._read_again(desk, self._save)

    def _read_again(self, desk: Desk, then: Callable[[Desk], None]) -> None:
        """Take in the file as it is at this moment."""
        from planner.session.numbers.file import read_now

        build, folder, text = self.one.plan.build, self.opened.folder, held_text(self.opened)

        def take(now: Now) -> None:
            if desk is self.desk and self.stands:
                desk.take(now, build.sides)
                then(desk)

        self.shell.beside(lambda: read_now(folder, build.sides, build.show.get("lengths"), text), take)

    def _save(self, desk: Desk) -> None:
        """Ask about what somebody else changed in the same place, then write."""
        if desk.now.problems:
            self.say(f"NOT SAVED: {desk.now.problems[0]}; correct the file first", "wrong")
            return
        clashes = desk.draft.clashes()
        if not clashes:
            self._write(desk)
            return
        from planner.app.keep.conflict import inputs_conflict

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

        saved = desk.draft._replace(changes={})
        both = {where: (each.old, saved.typed(*where), each.new) for where, each in clashes.items()}
        self.app.push_screen(inputs_conflict(both), take)

    def _write(self, desk: Desk) -> None:
        """An edit of the build like any other: kept, undone and asked about in the same way."""
        from planner.app.keep.keeping import keep, tell
        from planner.session.numbers.file import save_task

        changes = desk.draft.unsaved()
        if not changes:  # the file says so by now
            self._changed()
            self.say("nothing to save: numbers.yaml says all of this already")
            return

        def done(outcome: Outcome | None) -> None:
            if self.stands:
                self.draw_all()
                tell(self.shell, outcome, self.say)

        keep(self.shell, save_task(self.opened.folder, desk.now, changes), done)

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
