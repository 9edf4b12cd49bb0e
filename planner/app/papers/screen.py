"""The page of papers: a list of them, what the chosen one says, and Enter to write it into a file."""

from __future__ import annotations

from pathlib import Path
from typing import ClassVar, NamedTuple

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from planner.app.draw.drawing import shortened
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.over import Over
from planner.app.frame.tofile import ask_where
from planner.paper.facts import Asked, Facts, NothingToPrintError
from planner.paper.ground import plaintext
from planner.paper.ground.drawing import TooLargeError
from planner.paper.ground.sizes import SIZES
from planner.paper.ground.tree import Document
from planner.paper.registry import EPISODE, PAPERS, SHIFT, SIDE, Paper, make
from planner.paper.writing import ENDINGS, NotPutError, Written, proposed, written
from planner.session.onebuild import OneBuild, UnusableError
from planner.telling.looks import Line, line, literal

_MOST = 4000  # lines of a preview


class Made(NamedTuple):
    """A paper that was made to be looked at: its document and its text, or why there is none."""

    document: Document | None
    lines: tuple[str, ...]


class PapersScreen(Over):
    """A paper a row, and the one under the cursor as text. It reads the build for itself, beside the screen."""

    TITLE_WORD = "papers"
    FOOT = ("papers.write", "papers.part-after", "papers.shift", "papers.side", "papers.leave", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("papers")
    DEFAULT_CSS = """
    PapersScreen #both { layout: vertical; height: 1fr; }
    PapersScreen #papers { height: 9; margin: 0; }
    PapersScreen #preview { height: 1fr; border-top: solid $panel; padding: 0 1; }
    PapersScreen #preview:focus { border-top: heavy $primary; }
    PapersScreen.-low #papers { height: 5; }
    PapersScreen.-wide #both { layout: horizontal; }
    PapersScreen.-wide #papers { width: 2fr; height: 1fr; }
    PapersScreen.-wide #preview { width: 3fr; height: 1fr; border-top: none; border-left: solid $panel; }
    PapersScreen.-wide #preview:focus { border-left: heavy $primary; }
    """

    def __init__(self, folder: Path, episode: int | None = None) -> None:
        super().__init__()
        self.folder = folder
        self.one: OneBuild | None = None
        self.size_name = "a4"
        self.episode = episode  # None: of the whole build
        self.side: str | None = None  # None: all sides
        self.shift: int | None = None  # it stands in the place of the episode
        self.made: dict[tuple[str, Asked], Made] = {}
        self.busy = False

    def body(self) -> ComposeResult:
        """The papers, and the one under the cursor."""
        with Container(id="both"):
            yield LineList(self._row, id="papers")
            yield TextPane(id="preview")

    def on_mount(self) -> None:
        """List the papers, and read the build."""
        self.rows.set_rows([paper.name for paper in PAPERS])
        self.rows.focus()
        folder, clock = self.folder, self.shell.clock

        def work() -> OneBuild | str:
            try:
                return OneBuild(folder, None, clock)
            except UnusableError as error:
                return str(error.problems[0])

        self.shell.beside(work, self._read)

    def _read(self, found: OneBuild | str) -> None:
        if not self.stands:
            return
        if isinstance(found, str):
            self.say(f"this build cannot be read: {found}", "wrong")
            return
        self.one = found
        self.draw_all()

    def title_line(self) -> Line:
        """Of which build, which part of it, and on which paper."""
        name = self.one.plan.build.name if self.one is not None else self.folder.name
        asked = self.asked()
        part = f"episode {asked.episode}" if asked.episode is not None else "the whole build"
        if asked.shift is not None:
            part = f"shift {asked.shift}"
        parts = [
            part,
            *([f"{asked.side} side"] if asked.side is not None else []),
            f"{self.size_name.capitalize()} paper",
        ]
        return line(("papers", "title"), "   ", (name, "strong"), f"   {', '.join(parts)}")

    def _row(self, index: int, width: int) -> list[Line]:
        paper = PAPERS[index]
        here = ("▌", "key") if index == self.rows.cursor else " "
        return [shortened(line(" ", here, f" {paper.name:<13} ", (paper.says, "dim")), width)]

    def paper(self) -> Paper:
        """The paper under the cursor."""
        return PAPERS[self.rows.cursor]

    def asked(self) -> Asked:
        """What part of the build, as far as this paper is made of parts, and on which paper."""
        takes = self.paper().takes
        shift = self.shift if SHIFT in takes else None
        episode = self.episode if EPISODE in takes and shift is None else None
        side = self.side if SIDE in takes else None
        return Asked(episode, side, shift, SIZES[self.size_name])

    def draw_body(self) -> None:
        """The list, and the paper as text as soon as it is made."""
        self.rows.refresh()
        paper, asked, one = self.paper(), self.asked(), self.one
        made = self.made.get((paper.name, asked))
        if made is not None:
            self._show(made)
        elif one is not None and not self.busy:
            self.busy = True
            pane = self.query_one(TextPane)
            pane.show_lines([line(("… making it", "dim"))], top=True)
            width = max(40, min(plaintext.WIDTH, pane.scrollable_content_region.width))
            self.shell.beside(lambda: _made(one, paper, asked, width), lambda done: self._take(paper, asked, done))

    def _take(self, paper: Paper, asked: Asked, made: Made) -> None:
        self.busy = False
        self.made[paper.name, asked] = made
        if self.stands:
            self.draw_body()  # of what is under the cursor now

    def _show(self, made: Made) -> None:
        lines = [line(literal(text)) for text in made.lines]
        if made.document is None:
            lines = [line(("✗ nothing to print  ", "notice"), text) for text in made.lines]
        self.query_one(TextPane).show_lines(lines, top=True)

    def detail_lines(self) -> list[Line]:
        """The text of the paper."""
        made = self.made.get((self.paper().name, self.asked()))
        return [line(text) for text in made.lines] if made is not None else []

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Another paper."""
        event.stop()
        self.hush()
        self.draw_body()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Write it."""
        event.stop()
        self.action_write_paper()

    def action_part(self, by: int) -> None:
        """Of another episode, or of the whole build."""
        if self.one is None:
            return
        parts = [None, *(each.number for each in self.one.plan.build.episodes)]
        at = parts.index(self.episode) if self.episode in parts else 0
        self.episode, self.shift = parts[(at + by) % len(parts)], None
        self.hush()
        self.draw_all()

    def action_shift(self, by: int) -> None:
        """Of a shift of the calendar, the next one first; before the first, of the episode again."""
        if SHIFT not in self.paper().takes:
            self.say(f"{self.paper().name} is not made of shifts")
            return
        self.shift = max(0, (self.shift or 0) + by) or None
        self.hush()
        self.draw_all()

    def action_side(self) -> None:
        """Of one side, of the next, or of all."""
        if self.one is None:
            return
        if SIDE not in self.paper().takes:
            self.say(f"{self.paper().name} shows all sides")
            return
        sides = [None, *self.one.plan.build.sides]
        self.side = sides[(sides.index(self.side) + 1) % len(sides)]
        self.hush()
        self.draw_all()

    def action_size(self) -> None:
        """On the other size of paper."""
        names = list(SIZES)
        self.size_name = names[(names.index(self.size_name) + 1) % len(names)]
        self.draw_all()

    def action_write_paper(self) -> None:
        """Write the paper into a file; asks where, and before it writes over one."""
        made = self.made.get((self.paper().name, self.asked()))
        if made is None:
            self.say("it is being made; one moment")
        elif made.document is None:
            self.say(made.lines[0], "wrong")
        else:
            self._ask_where(made.document, self.paper(), self.asked())

    def _ask_where(self, document: Document, paper: Paper, asked: Asked) -> None:
        lines = [
            line((document.title, "strong")),
            line("Where shall it go? The ending says what: .pdf to print, .html for a tablet, .txt plain text."),
            line(("The folder papers, beside the builds, is made if it is not there.", "dim")),
        ]
        at = proposed(self.shell.builds, self.folder, paper.name, asked)
        ask_where(self, lines, at, ENDINGS, lambda ending: _bytes(document, ending, asked))


def _made(one: OneBuild, paper: Paper, asked: Asked, width: int) -> Made:
    """The document and its text, or why there is none."""
    try:
        document = make(paper, Facts(one, one.clock(), asked))
    except (NothingToPrintError, TooLargeError) as error:
        return Made(None, (str(error),))
    return Made(document, tuple(plaintext.write(document, width).splitlines()[:_MOST]))


def _bytes(document: Document, ending: str, asked: Asked) -> tuple[bytes, str]:
    """What the file holds, and what is said of it."""
    try:
        body: Written = written(document, ending, asked.size)
    except TooLargeError as error:
        raise NotPutError(str(error)) from error
    pages = "" if body.pages is None else f": {body.pages} page{'' if body.pages == 1 else 's'}"
    lost = f"; {len(body.missing)} characters are printed as boxes, its last page names them" if body.missing else ""
    return body.body, f"{pages}{lost}"
