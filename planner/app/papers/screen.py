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
from planner.app.frame.ask import Type
from planner.app.frame.choose import Choose
from planner.app.frame.over import Over
from planner.paper.facts import Asked, Facts, NothingToPrintError
from planner.paper.ground import plaintext
from planner.paper.ground.drawing import TooLargeError
from planner.paper.ground.sizes import SIZES
from planner.paper.ground.tree import Document
from planner.paper.registry import EPISODE, PAPERS, Paper, make
from planner.paper.writing import ENDINGS, NotPutError, Written, proposed, put, written
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
    FOOT = ("papers.write", "papers.part-after", "papers.size", "papers.leave", "over.help")
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
        part = f"episode {self.episode}" if self.episode is not None else "the whole build"
        return line(("papers", "title"), "   ", (name, "strong"), f"   {part}, {self.size_name}")

    def _row(self, index: int, width: int) -> list[Line]:
        paper = PAPERS[index]
        here = ("▌", "key") if index == self.rows.cursor else " "
        return [shortened(line(" ", here, f" {paper.name:<10} ", (paper.says, "dim")), width)]

    def paper(self) -> Paper:
        """The paper under the cursor."""
        return PAPERS[self.rows.cursor]

    def asked(self) -> Asked:
        """What part of the build, and on which paper."""
        episode = self.episode if EPISODE in self.paper().takes else None
        return Asked(episode=episode, size=SIZES[self.size_name])

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
        self.episode = parts[(at + by) % len(parts)]
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
        ask = Type(lines, "a file", str(self._proposed(paper, asked)))
        self.shell.push_screen(ask, lambda typed: self._where(document, asked, typed))

    def _where(self, document: Document, asked: Asked, typed: str | None) -> None:
        if not typed or not self.stands:
            return
        path = Path(typed).expanduser()
        if path.suffix.lower() not in ENDINGS:
            self.say(f"NOT WRITTEN. {path.name} must end in one of {', '.join(ENDINGS)}", "wrong")
        elif _is_there(path):
            answers = [("leave", "Leave that file as it is, and write nothing"), ("go", "Write over it")]
            ask = Choose([line(f"{path} is there already.")], answers)
            self.shell.push_screen(ask, lambda answer: self._over(document, asked, path, answer))
        else:
            self._put(document, asked, path, replace=False)

    def _over(self, document: Document, asked: Asked, path: Path, answer: str | None) -> None:
        if answer == "go":
            self._put(document, asked, path, replace=True)
        elif self.stands:
            self.say("nothing was written")

    def _put(self, document: Document, asked: Asked, path: Path, *, replace: bool) -> None:
        self.say("… writing")
        self.shell.beside(lambda: _written(document, asked, path, replace=replace), self._wrote)

    def _proposed(self, paper: Paper, asked: Asked) -> Path:
        path = proposed(self.shell.builds, self.folder, paper.name, asked)
        here = Path.cwd()
        return path.relative_to(here) if path.is_relative_to(here) else path

    def _wrote(self, says: tuple[str, str]) -> None:
        if self.stands:
            self.say(*says)


def _is_there(path: Path) -> bool:
    try:
        return path.exists()
    except (OSError, ValueError):
        return False  # writing it will say what is wrong with the name


def _made(one: OneBuild, paper: Paper, asked: Asked, width: int) -> Made:
    """The document and its text, or why there is none."""
    try:
        document = make(paper, Facts(one, one.clock(), asked))
    except (NothingToPrintError, TooLargeError) as error:
        return Made(None, (str(error),))
    return Made(document, tuple(plaintext.write(document, width).splitlines()[:_MOST]))


def _written(document: Document, asked: Asked, path: Path, *, replace: bool) -> tuple[str, str]:
    """Write the file; what is to be said of it, and how."""
    try:
        body: Written = written(document, path.suffix.lower(), asked.size)
        put(path, body.body, replace=replace)
    except (NotPutError, TooLargeError) as error:
        return f"NOT WRITTEN. {error}", "wrong"
    pages = "" if body.pages is None else f": {body.pages} page{'' if body.pages == 1 else 's'}"
    lost = f"; {len(body.missing)} characters are printed as boxes, its last page names them" if body.missing else ""
    return f"{path}{pages}{lost}", "good"
