"""What can be done to the row under the cursor: edit, add, duplicate, move, delete; undo and redo."""

from __future__ import annotations

from collections.abc import Callable, Hashable
from functools import partial
from typing import TYPE_CHECKING

from planner.app.editors.editor import Editing
from planner.app.frame.choose import Choose
from planner.app.keep.keeping import keep, save_again, tell, unreadable
from planner.app.write.comes import ask_comes, new_pieces, pieces_named
from planner.files.editing.episodes import add_episode, delete_episode, duplicate_episode
from planner.files.editing.spots import Edit, Spot, Texts, fresh_id
from planner.files.editing.steps import (
    add_stage,
    add_step,
    delete_stage,
    delete_step,
    duplicate_stage,
    duplicate_step,
)
from planner.files.editing.typed import id_of
from planner.files.plankeys import EPISODE, STAGE, STEP, TEXT, Field
from planner.files.yaml.places import EditError, Value
from planner.plan.words import counted
from planner.session.writing.desk import Outcome, Task, desk_of, no_edit
from planner.session.writing.fields import value_at
from planner.session.writing.rows import WriteRow, episode_row, first_new_step
from planner.session.writing.targets import located, spot_at
from planner.telling.looks import line

if TYPE_CHECKING:
    from planner.app.frame.host import Written
    from planner.plan.model import Build


class Writer:
    """Writes on the row under the cursor of a page."""

    def __init__(self, page: Written) -> None:
        self.page = page
        self.shell = page.shell
        self.app = page.app
        self.say = page.say

    def do(self, what: str, by: int = 0, text: str = "") -> None:
        """Do what a key is for."""
        if what == "save_again":
            save_again(self.shell, self.say)
        elif self.may_write():
            if by:
                self.move(by)
            elif text:
                getattr(self, what)(text)
            else:
                getattr(self, what)()

    @property
    def build(self) -> Build:
        """The build that is open."""
        return self.page.one.plan.build

    def may_write(self) -> bool:
        """Whether anything can be written now; says why not."""
        why = unreadable(self.page.opened)
        if why:
            self.say(why, "wrong")
        return not why

    def _row(self) -> WriteRow | None:
        row = self.page.write_row()
        if row is None:
            self.say("go to a step first; w lists everything that can be written")
        return row

    def now(self, row: WriteRow) -> Spot:
        """Where a row is by the time of the edit. Raises EditError where it is not any more."""
        found = located(row.target, self.build)
        if found is None:
            raise EditError(f"{row.said} is no longer where it was; look again")
        return spot_at(found)

    def edit_with(
        self,
        says: str,
        make: Callable[[Texts], Edit],
        after: Callable[[Outcome], Hashable] | None = None,
        *,
        takes_out: bool = False,
    ) -> None:
        """Keep an edit, say what came of it, and go where ``after`` says."""

        def done(outcome: Outcome | None) -> None:
            self.did(outcome, after)

        keep(self.shell, Task(says, make, takes_out=takes_out), done)

    def did(self, outcome: Outcome | None, after: Callable[[Outcome], Hashable] | None = None) -> None:
        if not self.page.stands:
            return
        if outcome is not None and outcome.good and outcome.edit.changes:
            self.page.draw_all()
            where = after(outcome) if after is not None else None
            if where is not None:
                self.page.go_to_row(where)
        tell(self.shell, _with_way_back(outcome), self.say)

    # Editing and adding

    def edit(self) -> None:
        """Every key of what is under the cursor."""
        row = self._row()
        if row is not None:
            from planner.app.write.form import FormScreen

            self.app.push_screen(FormScreen(row.target))

    def edit_build(self) -> None:
        """Every key of the build."""
        from planner.app.write.form import FormScreen
        from planner.session.writing.rows import build_target

        self.app.push_screen(FormScreen(build_target(self.build)))

    def _ask_line(
        self,
        row: WriteRow,
        key: str,
        says: str,
        task: Callable[[str], Task],
        after: Callable[[Outcome], Hashable],
    ) -> None:
        """Ask for a line, and make an edit of it."""
        from planner.app.editors.line import LineEditor

        field = Field((key,), TEXT, says)

        def made(value: Value) -> Task:
            return task(str(value or ""))

        def done(outcome: Outcome | None) -> None:
            if outcome is not None:
                self.did(outcome, after)

        self.app.push_screen(LineEditor(Editing(row.target, field, None, made)), done)

    def add_step(self) -> None:
        """A step more, behind the cursor."""
        row = self._row()
        if row is None or not self._has_stage(row):
            return

        def task(do: str) -> Task:
            def make(texts: Texts) -> Edit:
                if not do:
                    raise EditError("do: must be text, what is done in the step")
                spot, index = self._behind(row)
                return add_step(texts, spot, index, {"step": fresh_id(texts, id_of(do)), "do": do})

            return Task("added a step; e edits the rest of it", make)

        self._ask_line(row, "do", "a new step: what is done in it; its id is made of it", task, to_new_step)

    def _has_stage(self, row: WriteRow) -> bool:
        if row.what == EPISODE and not row.stages:
            self.say("this episode has no stage yet; s adds one")
            return False
        return True

    def _behind(self, row: WriteRow, at_end: bool = False) -> tuple[Spot, int]:
        """The stage for a new step, and the place in it: behind a step; in a stage first, or last."""
        now = self.now(row)
        index = now.step + 1 if now.step is not None else row.steps if at_end else 0
        return Spot(now.path, now.stage or 0), index

    def add_stage(self) -> None:
        """A stage more, behind this one."""
        row = self._row()
        if row is None:
            return
        path = row.spot.path
        index = row.spot.stage + 1 if row.spot.stage is not None else row.stages

        def task(title: str) -> Task:
            def make(texts: Texts) -> Edit:
                now = self.now(row)
                at = now.stage + 1 if now.stage is not None else index
                return add_stage(texts, now.path, at, {"stage": title})

            return Task(f"added the stage “{title}”", make)

        self._ask_line(row, "stage", "a new stage: its name", task, lambda _: (STAGE, path, index))

    def add_episode(self) -> None:
        """An episode more, behind this one."""
        row = self._row()
        if row is None:
            return
        number = row.number + 1

        def task(title: str) -> Task:
            return Task(f"added episode {number}", lambda texts: add_episode(texts, title, number))

        says = f"a new episode, number {number}: its title"
        self._ask_line(row, "title", says, task, partial(to_episode, number))

    def type_steps(self, text: str = "") -> None:
        """A list, one step a line, typed or pasted."""
        row = self._row()
        if row is None:
            return
        from planner.app.write.paste import PasteScreen

        stages = next(each.stages for each in self.build.episodes if each.place.path == row.spot.path)

        def place() -> tuple[Spot, int]:
            if row.what == EPISODE:
                return Spot(self.now(row).path), row.stages
            return self._behind(row, at_end=True)

        before = pieces_named(self.shell.whole().one.plan)

        def then(outcome: Outcome) -> None:
            where = to_new_step(outcome)
            if where is not None and self.page.stands:
                self.page.go_to_row(where)
            ask_comes(self.shell, new_pieces(before, outcome), self.did)

        if row.what == EPISODE:
            into = f"under stages of their own, behind those of episode {row.number}"
        else:
            where = f"behind {row.step.id}" if row.step is not None else "at the end"
            into = f"into {stages[row.spot.stage or 0].title}, {where}"
        self.app.push_screen(PasteScreen(into, place, then, text))

    # Doubling, taking out, moving

    def give(self) -> None:
        """A kind, a piece or sides for the marked steps, else for the one under the cursor."""
        from planner.app.write.several import give

        row = self._row()
        rows = self.page.marked_rows() or ([row] if row is not None and row.step is not None else [])
        if rows:
            give(self, rows)
        elif row is not None:
            self.say("go to a step first, or mark some with Space")

    def _several(self, does: str) -> bool:
        """Do it to all marked steps, where some are marked; whether some were."""
        rows = self.page.marked_rows()
        if rows:
            from planner.app.write import several

            {"delete": several.delete_all, "duplicate": several.duplicate_all, "move": several.move_all}[does](
                self, rows
            )
        return bool(rows)

    def duplicate(self) -> None:
        """The same once more, behind itself."""
        if self._several("duplicate"):
            return
        row = self._row()
        if row is None:
            return
        if row.what == STEP:
            self.edit_with(f"duplicated {row.said}", lambda texts: duplicate_step(texts, self.now(row)), to_new_step)
        elif row.what == STAGE:
            where = (STAGE, row.spot.path, (row.spot.stage or 0) + 1)
            says = f"duplicated {row.said}"
            self.edit_with(says, lambda texts: duplicate_stage(texts, self.now(row)), lambda _: where)
        else:
            number = row.number + 1
            self.edit_with(
                f"duplicated {row.said}",
                lambda texts: duplicate_episode(texts, self.now(row).path),
                partial(to_episode, number),
            )

    def delete(self) -> None:
        """Take it out; asked about where more than one step goes."""
        if self._several("delete"):
            return
        row = self._row()
        if row is None:
            return
        says = f"deleted {row.said}"
        if row.what == STEP:
            self.edit_with(says, lambda texts: delete_step(texts, self.now(row)), takes_out=True)
            return

        def make(texts: Texts) -> Edit:
            now = self.now(row)
            return delete_stage(texts, now) if row.what == STAGE else delete_episode(texts, now.path)

        steps = row.steps
        if row.what == EPISODE:
            inside = [episode for episode in self.build.episodes if episode.number == row.number]
            steps = sum(len(stage.steps) for episode in inside for stage in episode.stages)
        if not steps:
            self.edit_with(says, make, takes_out=True)
            return
        question = [
            line((f"Delete {row.said}?", "title")),
            (),
            line(f"{counted(steps, 'step')} go with it. U undoes it."),
        ]
        answers = [("stay", "Leave it"), ("go", f"Delete it with {counted(steps, 'step')}")]

        def take(answer: str | None) -> None:
            if answer == "go":
                self.edit_with(says, make, takes_out=True)

        self.app.push_screen(Choose(question, answers), take)

    def move(self, by: int) -> None:
        """One place up or down."""
        row = self._row()
        if row is not None:
            from planner.app.write.moving import move

            move(self, row, self.build, by)

    def move_to(self) -> None:
        """Into another stage, or a stage into another episode."""
        if self._several("move"):
            return
        row = self._row()
        if row is not None:
            from planner.app.write.moving import move_to

            move_to(self, row, self.build)

    def one_side(self) -> None:
        """Some sides only, with the reason."""
        row = self._row()
        if row is None or row.step is None:
            if row is not None:
                self.say("go to a step first: sides are those of a step")
            return
        from planner.app.editors.sides import ask_sides

        desk = desk_of(self.page.opened)
        desk.look(self.page.one.plan)
        values = value_at(desk.values(row.spot.path), row.spot.inside)

        def done(outcome: Outcome | None) -> None:
            if outcome is not None:
                self.did(outcome)

        ask_sides(self.shell, row.target, values, done, self.page.side_at_cursor())

    # Repairs, undo, redo

    def repair(self) -> None:
        """The repair of the finding under the cursor, with all that it changes."""
        from planner.app.write.repair import offer_repair

        offer_repair(self.page, self.did)

    def order(self) -> None:
        """The best order of the episode under the cursor, written when told to."""
        from planner.app.write.order import offer_order

        offer_order(self.page, self.did)

    def recover(self) -> None:
        """The way back from what was ticked, with rework put in, written when told to."""
        from planner.app.write.order import offer_order

        offer_order(self.page, self.did, rework=True)

    def rounds(self, name: str) -> None:
        """The order that a calculator found, written into a step as its rounds."""
        from planner.app.write.rounds import offer_rounds

        offer_rounds(self.page, name, self.did)

    def undo_edit(self) -> None:
        """Undo the latest edit."""
        keep(self.shell, Task("undone", no_edit, step=-1), self.did)

    def redo_edit(self) -> None:
        """Redo it."""
        keep(self.shell, Task("redone", no_edit, step=1), self.did)


def _with_way_back(outcome: Outcome | None) -> Outcome | None:
    """With a word on how to take it back, where something is gone at one key or came back by one."""
    if outcome is None or not outcome.edit.changes:
        return outcome
    task = outcome.task
    if task.step < 0:
        way = "R does it again"
    elif task.step > 0 or task.takes_out:
        way = "U undoes it"
    else:
        return outcome
    return outcome._replace(edit=outcome.edit._replace(notes=(*outcome.edit.notes, way)))


def to_new_step(outcome: Outcome) -> Hashable:
    """The first step that an edit made; None: stay where the cursor is."""
    return first_new_step(outcome.plan.build, outcome.known) if outcome.plan is not None else None


def to_episode(number: int, outcome: Outcome) -> Hashable:
    """The row of an episode after an edit."""
    return episode_row(outcome.plan.build, number) if outcome.plan is not None else None
