"""The screen of builds: every build with how far it is and what is wrong with it."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable
from pathlib import Path
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Resize
from textual.widgets import Static

from planner.app.builds.rows import HEIGHTS, Row, read_row, row_lines
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.page import Page
from planner.telling.looks import Line, line

_NO_FOLDER = (
    "Press n to make one by a few questions, or use the command planner new.",
    "Another folder is named with --builds or PLANNER_BUILDS.",
    "Press r when it is there.",
)


class BuildsScreen(Page):
    """The list of builds."""

    TITLE_WORD = "builds"
    FOOT = ("list.choose", "builds.new", "builds.again", "everywhere.quit", "everywhere.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("builds")
    DEFAULT_CSS = """
    #none { padding: 1 2; display: none; height: 1fr; }
    BuildsScreen.-empty #none { display: block; }
    BuildsScreen.-empty #builds { display: none; }
    #builds { margin-top: 1; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.rows: list[Row] = []
        self.seen: object = None

    def body(self) -> ComposeResult:
        """The list, or why there is none."""
        yield Static(id="none", markup=False)
        yield LineList(self._row_lines, row_height=4, id="builds")

    def _row_lines(self, index: int, width: int) -> list[Line]:
        return row_lines(self.rows[index], width, self.query_one(LineList).row_height)

    def fit_rows(self) -> None:
        """Rows as high as all builds have room for."""
        if not self.stands:
            return
        rows = self.query_one(LineList)
        height = next((each for each in HEIGHTS if each * len(self.rows) <= rows.size.height), HEIGHTS[-1])
        if height != rows.row_height:
            rows.row_height = height
            rows.set_rows(rows.names)
            rows.show_cursor()

    def on_resize(self, event: Resize) -> None:
        """Another height."""
        super().on_resize(event)
        self.call_after_refresh(self.fit_rows)

    def title_line(self) -> Line:
        """Which folder is shown."""
        return line(("builds", "title"), "   ", (str(self.shell.builds), "dim"))

    def draw_body(self) -> None:
        """List the folders, then read what is in them when the screen stands."""
        self.call_after_refresh(self.look)

    def look(self) -> None:
        """See which builds there are, and read them where anything changed."""
        if not self.stands:
            return
        from planner.files.disk.watching import ShelfError, build_folders, log_signature, plan_signature

        try:
            folders = build_folders(self.shell.builds)
        except ShelfError as error:
            self._show_none(str(error))
            return
        if not folders:
            self._show_none("there is no build in it yet")
            return
        seen = [(folder, plan_signature(folder), log_signature(folder)) for folder in folders]
        if seen == self.seen:
            return
        self.seen = seen
        self.remove_class("-empty")
        old = {row.folder: row for row in self.rows}
        self.rows = [old.get(folder, Row(folder)) for folder in folders]
        self.query_one(LineList).set_rows(folders)
        self.fit_rows()
        self.run_worker(self._read(folders), exclusive=True, group="builds")

    async def _read(self, folders: list[Path]) -> None:
        """Read build after build, beside the screen."""
        for folder in folders:
            self._take(await to_thread(read_row, folder, self.shell.clock))

    def second(self) -> None:
        """See whether a build came, went or changed."""
        self.look()

    def _take(self, row: Row) -> None:
        for index, each in enumerate(self.rows):
            if each.folder == row.folder:
                self.rows[index] = row
                if self.stands:
                    self.query_one(LineList).refresh()

    def _show_none(self, why: str) -> None:
        self.seen = None
        self.add_class("-empty")
        head = line(("✗ no builds: ", "trap"), f"{self.shell.builds}: {why}.")
        self.fill(self.query_one("#none", Static), [head, (), *(line(text) for text in _NO_FOLDER)])

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Open a build."""
        self.shell.open_build(self.rows[event.rows.cursor].folder)

    def action_new_build(self) -> None:
        """Make a new build by a few questions."""
        from planner.app.builds.newbuild import NewBuild

        self.app.push_screen(NewBuild(self.shell.builds, self.shell.open_build))

    def _build_here(self) -> Row | None:
        at = self.query_one(LineList).cursor
        if at < len(self.rows) and not self.has_class("-empty"):
            return self.rows[at]
        self.say("there is no build here")
        return None

    def action_copy_build(self) -> None:
        """One more of the same, with its ticks or without."""
        from planner.app.frame.choose import Choose

        row = self._build_here()
        if row is None:
            return
        folder = row.folder

        def take(answer: str | None) -> None:
            from planner.files.starters.shelf import copy_build

            if answer is not None:
                self._shelve(lambda: copy_build(folder, ticks=answer == "ticks"), "copied as {}")

        answers = [("plan", "The plan and its numbers; nothing is ticked in the copy"), ("ticks", "All, ticks too")]
        self.app.push_screen(Choose([line((f"Copy {row.name or folder.name}", "title"))], answers), take)

    def action_remove_build(self) -> None:
        """Put it away, once that was asked; nothing of it is lost."""
        from planner.app.frame.choose import Choose

        row = self._build_here()
        if row is None:
            return
        folder = row.folder

        def take(answer: str | None) -> None:
            from planner.files.starters.shelf import remove_build

            if answer == "go":
                self._shelve(lambda: remove_build(folder), "removed; all of it is in {}, move it back from there")

        question = [
            line((f"Remove {row.name or folder.name} from the builds?", "title")),
            (),
            line("Its folder goes to the removed builds with all its files and ticks; nothing is lost."),
        ]
        self.app.push_screen(Choose(question, [("stay", "Leave it"), ("go", "Remove it")]), take)

    def _shelve(self, make: Callable[[], Path], says: str) -> None:
        """Change the shelf, and say what came of it."""
        from planner.files.starters.make import StarterNotWrittenError

        try:
            there = make()
        except StarterNotWrittenError as error:
            self.say(str(error), "wrong")
            return
        self.action_read_again()
        builds = Path(self.shell.builds)
        self.say(says.format(there.relative_to(builds) if there.is_relative_to(builds) else there), "good")

    def action_papers(self) -> None:
        """Write a paper of the build under the cursor."""
        at = self.query_one(LineList).cursor
        self.shell.papers(self.rows[at].folder if at < len(self.rows) else None)

    def action_read_again(self) -> None:
        """Read everything again."""
        self.seen = None
        self.look()
