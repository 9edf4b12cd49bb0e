"""Copying a stage to another build: which build, which episode, which place; then all that it changes there."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.write.copytext import Copied, Other, copied, copy_lines, places_of, read_other, save_copy
from planner.app.write.over import WriteOver
from planner.files.disk.saving import NotSavedError
from planner.files.disk.watching import ShelfError, build_folders
from planner.files.editing.spots import Spot
from planner.plan.words import counted
from planner.session.writing.desk import ChangedOutsideError, desk_of
from planner.telling.looks import HERE, Line, line

BUILD, EPISODE, PLACE, SHOWN = range(4)
_ASKS = (
    "To which build?", "Into which of its episodes?", "Where in the episode?", "Enter copies it; nothing is saved yet",
)  # fmt: skip


class CopyStage(WriteOver):
    """The questions, and then what the copy comes to."""

    TITLE_WORD = "copy-stage"
    FOOT = ("copy-stage.go-on", "copy-stage.back", "over.leave", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("copy-stage")
    DEFAULT_CSS = """
    CopyStage .ask { height: auto; padding: 1 2; }
    CopyStage TextPane { height: 1fr; padding: 0 1; margin: 0 1; display: none; }
    CopyStage.-low .ask { padding: 0 2; }
    CopyStage.-last LineList { display: none; }
    CopyStage.-last TextPane { display: block; }
    """

    def __init__(self, stage: int) -> None:
        super().__init__()
        self.stage = stage  # by its number in the plan
        self.at = BUILD
        self.folders: Sequence[Path] = ()
        self.other: Other | None = None
        self.chosen = [0, 0, 0]  # the rows that were chosen
        self.made: Copied | None = None

    def body(self) -> ComposeResult:
        """The question, answers to choose, what it comes to."""
        yield Static(classes="ask", markup=False)
        yield LineList(self._row_lines, id="choices")
        yield TextPane(id="comes-to")

    def on_mount(self) -> None:
        """List the other builds."""
        here = self.opened.folder.resolve()
        try:
            found = build_folders(self.shell.builds)
        except ShelfError:
            found = []
        self.folders = [folder for folder in found if folder.resolve() != here]
        self.show_question(BUILD)
        if not self.folders:
            self.say("there is no other build beside this one; make one first: n on the builds", "wrong")

    def title_line(self) -> Line:
        """Which stage."""
        return line(("copy the stage", "title"), "  ", (self.plan.stages[self.stage][1].title, "strong"))

    def draw_body(self) -> None:
        """The question."""
        ask = [line((_ASKS[self.at], "large"))]
        if self.other is not None and self.at > BUILD:
            ask.append(line((f"{self.other.build.name}, sides {', '.join(self.other.build.sides)}", "dim")))
        self.fill(self.query_one(".ask", Static), ask)
        self.rows.refresh()

    def choices(self) -> list[str]:
        """What may be chosen now."""
        if self.at == BUILD or self.other is None:
            return [folder.name for folder in self.folders]
        episodes = self.other.build.episodes
        if self.at == EPISODE:
            return [f"{each.number:>3}  {each.title}  ({counted(len(each.stages), 'stage')})" for each in episodes]
        return places_of([stage.title for stage in episodes[self.chosen[EPISODE]].stages])

    def show_question(self, at: int) -> None:
        """Ask the next question, or show what it comes to."""
        self.at = at
        self.set_class(at == SHOWN, "-last")
        self.hush()
        if at == SHOWN:
            self.query_one(TextPane).focus()
        else:
            self.rows.set_rows([(at, number) for number in range(len(self.choices()))])
            self.rows.cursor = min(self.chosen[at], max(0, len(self.choices()) - 1))
            self.rows.focus()
        self.draw_all()

    def _row_lines(self, index: int, width: int) -> list[Line]:
        here = HERE if index == self.rows.cursor else " "
        return [line((f" {here} ", "key"), (self.choices()[index], "strong"))]

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """The mark moves along."""
        event.stop()
        event.rows.refresh()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go on."""
        event.stop()
        self.action_go_on()

    def action_go_on(self) -> None:
        """Take the answer; at last copy the stage."""
        if self.busy or not self.folders:
            return
        if self.at == SHOWN:
            self.copy()
            return
        self.chosen[self.at] = self.rows.cursor
        if self.at == BUILD:
            self.busy = True
            folder = self.folders[self.rows.cursor]
            self.shell.beside(lambda: read_other(folder), self._read)
        elif self.at == EPISODE:
            stages = len(self.other.build.episodes[self.chosen[EPISODE]].stages) if self.other is not None else 0
            self.chosen[PLACE] = stages  # at the end, unless it is said otherwise
            self.show_question(PLACE)
        else:
            self.work_out()

    def _read(self, found: Other | str) -> None:
        self.busy = False
        if not self.stands:
            return
        if isinstance(found, str):
            self.say(f"{self.folders[self.chosen[BUILD]].name}: {found}", "wrong")
            return
        self.other = found
        self.chosen[EPISODE] = len(found.build.episodes) - 1
        self.show_question(EPISODE)

    def work_out(self) -> None:
        """Work out beside the screen what the copy comes to."""
        other = self.other
        assert other is not None  # noqa: S101  # the build was asked for first
        episode, stage = self.plan.stages[self.stage]
        spot = Spot(episode.place.path, [id(each) for each in episode.stages].index(id(stage)))
        to = other.build.episodes[self.chosen[EPISODE]].place.path
        index, desk, plan = self.chosen[PLACE], desk_of(self.opened), self.plan

        def work() -> Copied:
            try:
                desk.look(plan)
            except (OSError, UnicodeDecodeError) as error:
                return Copied(refused=f"the files cannot be read: {error}")
            return copied(desk.texts, spot, other, to, index)

        self.busy = True
        self.shell.beside(work, self._worked_out)

    def _worked_out(self, made: Copied) -> None:
        self.busy = False
        if not self.stands:
            return
        self.made = made
        assert self.other is not None  # noqa: S101
        episode = self.other.build.episodes[self.chosen[EPISODE]]
        where = f"episode {episode.number}, {self.choices()[self.chosen[PLACE]]}"
        title = self.plan.stages[self.stage][1].title
        self.query_one(TextPane).show_lines(copy_lines(made, title, self.other, where), top=True)
        self.show_question(SHOWN)

    def copy(self) -> None:
        """Save it into the other build."""
        made, other = self.made, self.other
        if made is None or other is None or not made.good:
            self.say("it cannot be copied so; Esc goes back", "wrong")
            return
        try:
            save_copy(other, made.edit)
        except ChangedOutsideError as error:
            self.say(f"{error}; it is read again", "wrong")
            self.chosen[BUILD] = min(self.chosen[BUILD], len(self.folders) - 1)
            self.busy = True
            self.shell.beside(lambda: read_other(other.folder), self._read)
            return
        except NotSavedError as error:
            self.say(f"NOT COPIED. {error}", "wrong")
            return
        below = self.shell.page
        self.dismiss(None)
        if below is not None:
            below.say(f"the stage is copied to {other.build.name}; b and Enter open it", "good")

    def action_back(self) -> None:
        """To the question before; from the first, leave."""
        if self.at == BUILD:
            self.action_leave()
        else:
            self.show_question(self.at - 1)
