"""The screen of builds: every build with how far it is and what is wrong with it."""

from __future__ import annotations

import time
from asyncio import to_thread
from collections.abc import Callable
from pathlib import Path
from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.widgets import Static

from planner.app.draw.drawing import shortened
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.frame.page import Page
from planner.plan.words import counted
from planner.telling.looks import Line, bar, level_words, line, progress_words

_NO_FOLDER = (
    "Press n to make one by a few questions, or use the command planner new.",
    "Another folder is named with --builds or PLANNER_BUILDS.",
    "Press r when it is there.",
)


class Row(NamedTuple):
    """What the list shows of one build."""

    folder: Path
    name: str = ""
    done: int = 0
    total: int = 0
    counts: tuple[tuple[str, int], ...] = ()
    problems: int = 0
    read: bool = False
    checked: tuple[int, int] = (0, 0)  # steps that are checked at all, of how many
    debts: int = 0
    now: Line = ()  # the one thing to do now


def row_lines(row: Row, width: int) -> list[Line]:
    """A build in three lines and an empty one."""
    folder = row.folder.name
    if not row.read:
        return [line((f" {folder}", "strong")), line(("   … reading", "dim"))]
    if row.problems:
        says = f"   ✗ cannot be read: {counted(row.problems, 'problem')}; open it to see them"
        return [line((f" {folder}", "strong")), line((says, "trap"))]
    name = line((f" {row.name}", "strong"))
    room = width - sum(len(piece.text) for piece in name) - len(folder) - 1
    where = (" " * room + folder + " ", "dim") if room > 1 else ""
    progress = progress_words(row.done, row.total)
    debts = ("   ○ " + counted(row.debts, "debt"), "notice") if row.debts else ""
    thin = bar(row.done, row.total, min(24, width - 66))
    found = level_words(dict(row.counts), row.checked)
    return [
        (*name, *line(where)),
        (*line("   "), progress, *line("   "), *thin, *line("   " if thin else ""), *found, *line(debts)),
        shortened((*line("   "), *row.now), width),
    ]


def read_row(folder: Path, clock: Callable[[], float] = time.time) -> Row:
    """Read one build for the list; never raises for what is in it."""
    from planner.plan.fates import checked_steps
    from planner.session.onebuild import OneBuild, UnusableError
    from planner.session.rightnow import right_now
    from planner.telling.now import now_line

    try:
        one = OneBuild(folder, clock=clock)
    except UnusableError as error:
        return Row(folder, problems=len(error.problems), read=True)
    counts = {"trap": 0, "gap": 0, "notice": 0}
    for finding in one.findings():
        if not finding.history:
            counts[finding.level] += 1
    total = len(one.plan.operations)
    checked = checked_steps(one.plan)
    return Row(
        folder,
        one.plan.build.name,
        one.ticked(),
        total,
        tuple(counts.items()),
        0,
        True,
        checked,
        len(one.live.debts()),
        now_line(one, right_now(one)),
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
        yield LineList(lambda index, width: row_lines(self.rows[index], width), row_height=4, id="builds")

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

    def action_read_again(self) -> None:
        """Read everything again."""
        self.seen = None
        self.look()
