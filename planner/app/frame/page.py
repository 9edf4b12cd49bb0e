"""What all screens share: a title, a line that says what happened, the line of keys, and the common keys."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, ClassVar, cast

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.events import Resize, ScreenResume
from textual.widgets import Static

from planner.app.draw.drawing import content, fold
from planner.app.draw.linelist import bindings_of
from planner.app.frame.keyline import KeyLine
from planner.app.frame.stands import Standing
from planner.app.keys.table import BY_ID, EVERYWHERE, Key, keys_of
from planner.telling.looks import Line, line, plain

if TYPE_CHECKING:
    from planner.app.frame.host import Host
    from planner.plan.expand import Operation

SAID = {"good": ("✓ ", "done"), "wrong": ("✗ ", "trap"), "note": ("", "notice")}


MOST_SAID = 4  # lines
WIDE, TALL = 104, 22  # from so many columns and lines on there is room for more


class Page(Standing[None], inherit_bindings=False):
    """A full screen of the app."""

    said: Sequence[Line] = ()  # what is said now, in lines
    wanted: Operation | None = None  # to be shown with the next drawing
    PLACED = False  # whether it stands somewhere in the build, as other such screens do
    TITLE_WORD = ""  # the screen's name, as in the table of keys
    FOOT: ClassVar[tuple[str, ...]] = ("everywhere.quit", "everywhere.help")  # the line of keys; help comes last
    BINDINGS: ClassVar[list[BindingType]] = bindings_of(EVERYWHERE)
    HORIZONTAL_BREAKPOINTS = [(0, "-narrow"), (76, "-middle"), (WIDE, "-wide")]  # noqa: RUF012  # as Textual has it
    VERTICAL_BREAKPOINTS = [(0, "-low"), (TALL, "-tall"), (32, "-high")]  # noqa: RUF012
    DEFAULT_CSS = """
    Page { overflow: hidden; }  /* a bar for what does not fit for a moment would narrow all lines */
    Page .title { height: 1; padding: 0 1; text-wrap: nowrap; text-overflow: ellipsis; }
    Page .said { height: auto; min-height: 1; padding: 0 1; }
    """

    @property
    def shell(self) -> Host:
        """The app, as far as screens know it."""
        return cast("Host", self.app)

    def compose(self) -> ComposeResult:
        """Title, body, what was said, keys."""
        yield Static(classes="title", markup=False)
        yield from self.body()
        yield Static(classes="said", markup=False)
        yield KeyLine(markup=False)

    def body(self) -> ComposeResult:
        """The widgets between the title and the keys."""
        yield from ()

    def title_line(self) -> Line:
        """The title line."""
        return line((self.TITLE_WORD, "title"))

    def here(self) -> Operation | None:
        """Where in the build it stands."""
        return None

    def detail_lines(self) -> list[Line]:
        """The text that the copy key takes."""
        return []

    def on_screen_resume(self, event: ScreenResume) -> None:
        """Draw for the first time, and again when another screen may have changed what is shown here."""
        self.draw_all()
        self.arrived()

    def arrived(self) -> None:
        """Somebody came here, or what is open has changed: begin what is looked for beside the screen. No drawing
        does."""

    def on_resize(self, event: Resize) -> None:
        """More or fewer keys fit now."""
        if self.stands:
            self.draw_keys()

    @property
    def stale(self) -> bool:
        """Whether what is drawn is not what is open any more, and only all of it can be drawn."""
        return False

    def draw_all(self) -> None:
        """Draw everything again from what is open; before the screen stands this is left to its first drawing."""
        if not self.stands:
            return
        self.draw_title()
        self.draw_keys()
        self.draw_body()

    def draw_title(self) -> None:
        """Draw the title again."""
        self.fill(self.query_one(".title", Static), [self.title_line()], fixed=True)

    def draw_keys(self) -> None:
        """Draw the line of keys again."""
        keys = [BY_ID[key_id] for key_id in self.FOOT]
        self.query_one(KeyLine).show_keys(keys, self.shell.changed_keys, self.app.theme)

    def draw_body(self) -> None:
        """Draw the body again."""

    def draw_repairs(self) -> None:
        """Repairs were found."""
        self.draw_all()

    def draw_ties(self) -> None:
        """What binds the operations was worked out."""

    def second(self) -> None:
        """A second has gone by."""

    def draw_seconds(self) -> None:
        """A second has gone by while a wait runs."""

    def say(self, text: str, how: str = "note") -> None:
        """Say in place what happened; stays until something else is said or done."""
        if not self.stands:
            if not self.is_mounted:
                self.call_later(self.say, text, how)
            return
        glyph, look = SAID[how]
        self._show_said([line((glyph + text, look))])

    def hush(self) -> None:
        """Take away what was said."""
        self._show_said([])

    def _show_said(self, lines: list[Line]) -> None:
        folded = fold(lines, self.size.width - 2)[:MOST_SAID]
        if folded == self.said:
            return
        # The screen is laid out anew only when what is said takes more or fewer lines than before.
        fixed = max(1, len(folded)) == max(1, len(self.said))
        self.said = folded
        self.fill(self.query_one(".said", Static), folded, fixed=fixed)

    def fill(self, widget: Static, lines: list[Line], *, fixed: bool = False) -> None:
        """Put lines into a Static; ``fixed``: they take as many lines as before."""
        widget.update(content(lines, self.app.theme), layout=not fixed)

    def action_go(self, screen: str) -> None:
        """Go to another screen."""
        self.shell.go(screen)

    def do_key(self, key: Key) -> None:
        """Do what a key does, as if it were pressed."""
        self.call_later(self.app.run_action, key.full_action(), self)

    def action_copy_detail(self) -> None:
        """Copy what is shown in detail."""
        lines = self.detail_lines()
        if not lines:
            self.say("there is nothing to copy here")
            return
        self.app.copy_to_clipboard(plain(lines))
        self.say("copied; a terminal without a clipboard of its own keeps it for this app only", "good")

    def action_help(self) -> None:
        """Show all keys of this screen."""
        from planner.app.frame.help import Help
        from planner.app.keys.actions import key_entries

        def do(key_id: str | None) -> None:
            if key_id:
                self.do_key(BY_ID[key_id])

        shell = self.shell
        entries = key_entries(keys_of(self.TITLE_WORD), shell.changed_keys, self.TITLE_WORD)
        self.app.push_screen(Help(self.TITLE_WORD, entries, shell.key_problems, shell.key_file), do)

    def action_find(self, by_id: bool = False) -> None:
        """Find a step in all episodes, or by its id, and go to it."""
        self.shell.find(by_id)

    def action_papers(self) -> None:
        """Write a paper of the build."""
        self.shell.papers()

    def action_silence(self) -> None:
        """Silence the bell."""
        self.shell.silence()

    def action_quit(self) -> None:
        """Leave."""
        self.shell.may_leave(self.app.exit)
