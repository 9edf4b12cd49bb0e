"""What a screen may ask of the app, and what writing may ask of a page: so that nobody names the app or a page."""

from __future__ import annotations

from collections.abc import Callable, Coroutine, Hashable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, NamedTuple, Protocol, TypeVar

if TYPE_CHECKING:
    from textual.app import App
    from textual.screen import Screen
    from textual.worker import Worker

    from planner.app.keys.table import KeyProblem
    from planner.plan.expand import Operation, Plan
    from planner.plan.model import Finding
    from planner.session.bell import Ringer
    from planner.session.loose import Loose
    from planner.session.numbers.shelf import Shelf
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Files, Opened
    from planner.session.writing.rows import WriteRow

Result = TypeVar("Result")


class Shown(Protocol):
    """A full screen as others know it: it can be told something, and drawn again."""

    TITLE_WORD: str

    def say(self, text: str, how: str = "note") -> None:
        """Say in place what happened."""

    def draw_all(self) -> None:
        """Draw everything again."""

    def arrived(self) -> None:
        """What is open has changed: begin what is looked for beside the screen."""


class Host(Protocol):
    """The app as its screens know it."""

    builds: Path
    clock: Callable[[], float]
    opened: Opened | None  # the build that is open, whole
    files: Files | None  # what is looked at, whether it could be read or not
    place: Operation | None  # where one is in the build, on every screen
    ringer: Ringer
    rolls_on: int  # the take of which is known that it rolls on off camera, by the number of its record
    shelf: Shelf | None
    changed_keys: dict[str, str]
    key_problems: list[KeyProblem]
    key_file: str

    @property
    def page(self) -> Shown | None:
        """The full screen that is shown, whatever question stands over it."""

    @property
    def covered(self) -> bool:
        """Whether a question or another page stands over the screen that is shown."""

    @property
    def screen(self) -> Screen[Any]:
        """The screen on top."""

    def whole(self) -> Opened:
        """The build that is open; asked only by what stands over one."""

    def beside(self, work: Callable[[], Result], done: Callable[[Result], None]) -> None:
        """Do work beside the screen, then hand its result over."""

    def go(self, screen: str) -> None:
        """Show a screen."""

    def show_on(self, screen: str, op: Operation) -> None:
        """Show a screen with the cursor on an operation."""

    def find(self, by_id: bool = False) -> None:
        """Find a step and go to it."""

    def papers(self, folder: Path | None = None) -> None:
        """Show the papers of a build: of this folder, else of the build that is open."""

    def write(self, page: Written, what: str, by: int = 0, text: str = "") -> None:
        """Write the plan on the row under the cursor of a page."""

    def open_build(self, folder: Path) -> None:
        """Open a build."""

    def may_leave(self, then: Callable[[], None], *, app: bool = True) -> None:
        """Do something that forgets what is not on the disk, once that was asked about."""

    def after_tick(self) -> None:
        """Something was recorded."""

    def find_repairs(self) -> None:
        """Look for repairs beside the screen."""

    def find_links(self) -> None:
        """Work out beside the screen what binds the operations: once pictures are drawn, and once no more is ticked."""

    def silence(self) -> None:
        """Silence the bell."""

    def run_worker(self, work: Coroutine[Any, Any, None], *, group: str = "default") -> Worker[None]:
        """Run work that awaits, on the app and not on a screen that may go."""

    def push_screen(
        self, screen: Screen[Result], callback: Callable[[Result | None], None] | None = None
    ) -> Any:  # Textual's own type: awaitable by whoever wants to
        """Lay a screen over the one that is shown."""

    async def push_screen_wait(self, screen: Screen[Result]) -> Result:
        """The same, and wait for its answer; in a worker only."""

    def call_later(self, callback: Callable[..., Any], *args: Any) -> bool:  # as Textual has it
        """Call once everything before it was done."""


class Written(Protocol):
    """A page as writing knows it: what its cursor is on, and where it goes afterwards."""

    @property
    def shell(self) -> Host:
        """The app, as far as screens know it."""

    @property
    def app(self) -> App[object]:
        """The app, as Textual knows it."""

    @property
    def stands(self) -> bool:
        """Whether there are widgets to draw into."""

    @property
    def opened(self) -> Opened:
        """The build that is drawn."""

    @property
    def one(self) -> OneBuild:
        """The same, joined."""

    def write_row(self) -> WriteRow | None:
        """What is written on."""

    def marked_rows(self) -> list[WriteRow]:
        """The steps that are marked, in the order of the plan."""

    def mark_steps(self, ids: Sequence[str]) -> None:
        """Mark these steps and no others."""

    def writes_at(self) -> tuple[int, str | None] | None:
        """The stage by its number in the plan, and the step."""

    def go_to_row(self, name: Hashable) -> None:
        """Go to what was written."""

    def findings_here(self) -> list[Finding]:
        """The findings about what is shown."""

    def side_at_cursor(self) -> str:
        """The side under the cursor."""

    def say(self, text: str, how: str = "note") -> None:
        """Say in place what happened."""

    def hush(self) -> None:
        """Take away what was said."""

    def draw_all(self) -> None:
        """Draw everything again."""


class Screens(NamedTuple):
    """What the app is handed, since it knows no screen by name."""

    makers: Mapping[str, Callable[[], Screen[Any]]]
    find: Callable[[Plan, Callable[[Operation], None], bool], Screen[Any]]
    write: Callable[[Written, str, int, str], None]
    papers: Callable[[Path, int | None], Screen[Any]]
    leave: Callable[[Host, tuple[Loose, ...], Callable[[], None]], None]
