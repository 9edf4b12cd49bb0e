"""The app itself: which build is open, which screen is shown, what changed outside, and the bell."""

from __future__ import annotations

import time
from asyncio import sleep, to_thread
from collections.abc import Callable, Mapping
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, ClassVar, TypeVar

from textual.binding import BindingType
from textual.reactive import Reactive
from textual.screen import ModalScreen, Screen
from textual.theme import Theme

from planner.app.draw.linelist import bindings_of, ids_of
from planner.app.draw.palettes import first_palette, themes
from planner.app.frame.page import Page
from planner.app.frame.sturdy import SturdyApp
from planner.app.keys.actions import COLOURS
from planner.app.keys.presses import Presses
from planner.app.keys.table import BY_ID
from planner.files.yaml.collecting import go_on, set_aside
from planner.plan.words import counted
from planner.session.bell import Ringer, off_since

if TYPE_CHECKING:
    from textual.actions import ActionParseResult
    from textual.dom import DOMNode

    from planner.app.frame.host import Screens, Written
    from planner.app.keys.table import Key, KeyProblem
    from planner.files.yaml.tree import Problem
    from planner.plan.expand import Operation, Plan
    from planner.plan.repairs import Repairs
    from planner.session.numbers.shelf import Shelf
    from planner.session.opened import Files, Opened

Result = TypeVar("Result")

LINKS_SOON, LINKS_REST = 0.1, 0.7  # seconds before links are worked out: none are known; those known may have changed
BELL = "bell"  # whether it rings, as this machine keeps it


class PlannerApp(SturdyApp, inherit_bindings=False):
    """The app over one folder of builds."""

    TITLE = "planner"
    ENABLE_COMMAND_PALETTE = False  # there is a page of our own
    DEFAULT_MODE = "builds"
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("app")
    theme: Reactive[str] = Reactive(first_palette)

    def __init__(
        self, builds: Path, build: Path | None, screens: Screens, clock: Callable[[], float] = time.time
    ) -> None:
        self.own_themes = themes()
        if build is not None:
            self.DEFAULT_MODE = "plan"  # type: ignore[misc]  # read from the instance when the app begins
        super().__init__()
        self.builds = builds
        self.screens = screens
        self.clock = clock
        self.opened: Opened | None = None  # the build that is open, whole
        self.files: Files | None = None  # what is looked at; the same, or what could not be read
        self.place: Operation | None = None  # where one is in the build, on every screen
        self.opening: object = None  # the build that is being read
        self.first_build = build
        self.changed_keys: dict[str, str] = {}
        self.key_problems: list[KeyProblem] = []
        self.key_file = ""
        self.ringer = Ringer()
        self.rolls_on = 0  # a take that rolls on off camera, and was asked about
        self.presses = Presses()
        self.shelf: Shelf | None = None  # numbers that were typed, once somebody looked at numbers
        self.searching: object = None  # the findings that repairs are being looked for
        self.linking = False  # whether links are being looked for

    @property
    def available_themes(self) -> dict[str, Theme]:
        """Our palettes; asked for very often, and never changed."""
        return self.own_themes

    def get_default_screen(self) -> Screen[Any]:
        """The first screen: the builds, or the plan where a build was named."""
        return self.screens.makers["plan" if self.first_build is not None else "builds"]()

    def on_ready(self) -> None:
        """Once the first screen stands: look for changes from now on."""
        go_on()  # looking over what is there now would cost more than any first picture
        self.set_interval(1.0, self.second)
        self.set_timer(0.05, self.read_keys)  # after the first picture: most have no such file

    def on_mount(self) -> None:
        """Read the build that was named while the first screen is being drawn."""
        # Modes and not a stack: every screen stays as it was left, and questions stand over their own screen.
        # Only now, since Textual reads all style sheets once more for a first screen that is one.
        for name, maker in self.screens.makers.items():
            self.add_mode(name, maker)
        if self.first_build is not None:
            self.open_build(self.first_build)

    def beside(self, work: Callable[[], Result], done: Callable[[Result], None]) -> None:
        """Do work beside the screen, then hand its result over; leaving the app does not wait for it."""

        async def both() -> None:
            result = await to_thread(work)
            if self.is_running:
                done(result)

        self.run_worker(both())

    def read_keys(self) -> None:
        """Take in the user's map of keys; what cannot be used of it is said."""
        from planner.app.keys.table import KeyProblem, check_keys
        from planner.files.machine.kept import kept
        from planner.files.machine.keyfile import key_file, read_key_file

        self.ringer.off = off_since(kept(BELL), self.clock())
        path = key_file()
        self.key_file = str(path)
        wanted, problems = read_key_file(path)
        self.changed_keys, wrong = check_keys({key_id: key for key_id, (key, _) in wanted.items()})
        self.key_problems = [KeyProblem("", str(problem)) for problem in problems]
        self.key_problems += [KeyProblem(p.id, f"{path}:{wanted[p.id][1]}: {p.says}") for p in wrong]
        if self.changed_keys:
            self.set_keymap(self.changed_keys)
        page = self.page
        if page is not None and (self.changed_keys or self.key_problems):
            page.draw_keys()
            if self.key_problems:
                more = f" ({len(self.key_problems)} problems; ? lists them)" if len(self.key_problems) > 1 else ""
                page.say(f"the map of keys: {self.key_problems[0].says}{more}", "wrong")

    @property
    def page(self) -> Page | None:
        """The full screen that is shown, whatever question stands over it."""
        found = self.screen_stack[0] if self.screen_stack else None
        return found if isinstance(found, Page) else None

    def tell(self, text: str, how: str = "note") -> None:
        """Say it on the screen on top, or on the one below a question."""
        shown = self.screen if self.screen_stack and isinstance(self.screen, Page) else self.page
        if shown is not None:
            shown.say(text, how)

    @property
    def covered(self) -> bool:
        """Whether a question or another page stands over the screen that is shown."""
        return len(self.screen_stack) > 1

    def go(self, screen: str) -> None:
        """Show a screen."""
        page = self.page
        if self.opened is None and screen != "builds":
            if self.files is None:
                if page is not None:
                    page.say("open a build first: Enter on its line")
                return
            screen = "problems"
        self._keep_place()
        self.switch_mode(screen)
        shown = self.page
        if shown is not None and shown.PLACED:
            shown.wanted = self.place

    def _keep_place(self) -> None:
        """There is one place in the build, kept across the screens that have one."""
        if self.page is not None and self.page.PLACED:
            self.place = self.page.here() or self.place

    def show_on(self, screen: str, op: Operation) -> None:
        """Show a screen with the cursor on an operation."""
        self.go(screen)
        page = self.page
        if page is not None and screen == page.TITLE_WORD:
            page.wanted = op
            page.draw_all()

    def find(self, by_id: bool = False) -> None:
        """Find a step and go to it: in the camera where that is shown, else in the plan."""
        page, opened = self.page, self.opened
        if page is None or opened is None:
            if page is not None:
                page.say("open a build first: Enter on its line")
            return
        there = page.TITLE_WORD if page.PLACED else "plan"
        self.push_screen(self.screens.find(opened.one.plan, lambda op: self.show_on(there, op), by_id))

    def papers(self, folder: Path | None = None) -> None:
        """Show the papers of a build: of this folder, else of the build that is open, where one is in it."""
        page, opened = self.page, self.opened
        here = page.here() if page is not None and folder is None else None
        episode = opened.one.plan.stages[here.stage][0].number if opened is not None and here is not None else None
        folder = folder or (opened.folder if opened is not None else None)
        if folder is not None:
            self.push_screen(self.screens.papers(folder, episode))
        elif page is not None:
            page.say("open a build first: Enter on its line")

    def write(self, page: Written, what: str, by: int = 0, text: str = "") -> None:
        """Write the plan on the row under the cursor of a page."""
        self.screens.write(page, what, by, text)

    def may_leave(self, then: Callable[[], None], *, app: bool = True) -> None:
        """Do something that forgets the build, once what is on no disk is saved or given up.

        ``app``: the app is left, not only the build; what was typed as numbers outlives a build, not the app. A
        question that stands already is not asked about numbers: from there one leaves at once.
        """
        from planner.session.loose import leaving

        numbers = self.shelf if app and not isinstance(self.screen, ModalScreen) else None
        loose = leaving(self.opened, numbers)
        if loose:
            self.screens.leave(self, loose, then)
        else:
            then()

    async def run_action(
        self,
        action: str | ActionParseResult,
        default_namespace: DOMNode | None = None,
        namespaces: Mapping[str, DOMNode] | None = None,
    ) -> bool:
        """Do what a key or a click asks for; a key that is held does once what records or takes away."""
        if isinstance(action, str) and not self.presses.press(action, self.clock()):
            if self.page is not None:
                self.page.say("one at a time: the key was held")
            return True
        return await super().run_action(action, default_namespace, namespaces)

    async def action_quit(self) -> None:
        """Leave."""
        self.may_leave(self.exit)

    # Opening and reloading

    def open_build(self, folder: Path) -> None:
        """Open a build: its plan, or the list of its problems."""
        self.may_leave(partial(self._open, folder), app=False)

    def _open(self, folder: Path) -> None:
        """Read a build beside the screen; until it is there whole, what was open stays, with all that shows it."""
        from planner.session.opened import open_build

        opening = self.opening = object()
        if self.page is not None and self.page.TITLE_WORD == "builds":
            self.page.say(f"… reading {folder.name}")
        self.beside(lambda: open_build(folder, self.clock), lambda files: self._read(opening, files))

    def _read(self, opening: object, files: Files) -> None:
        from planner.session.opened import Opened

        page = self.page
        if opening is not self.opening or page is None:
            return  # another build was opened meanwhile
        self.opening, self.files = None, files
        self.opened = files if isinstance(files, Opened) else None
        self.place = None
        self.ringer = Ringer(off=self.ringer.off)
        if self.opened is None:
            self._show("problems")
            return
        set_aside()
        self.ringer.look(self.opened.one.timers(), self.clock())
        page.hush()
        self._show("plan" if page.TITLE_WORD in ("builds", "problems") else page.TITLE_WORD)
        if files.notices:
            self._say_notices(files)

    def _show(self, screen: str) -> None:
        """Go to a screen and draw it, also where it is shown already."""
        if self.page is not None and screen != self.page.TITLE_WORD:
            self.switch_mode(screen)
        self._draw_page()
        self._arrived()

    def whole(self) -> Opened:
        """The build that is open; asked only by what stands over one."""
        assert self.opened is not None  # noqa: S101  # a page of a build is laid over an open build only
        return self.opened

    def _arrived(self) -> None:
        if self.page is not None:
            self.page.arrived()

    def _draw_page(self) -> None:
        if self.page is not None:
            self.page.draw_all()

    def _say_notices(self, files: Files) -> None:
        if self.page is not None:
            count = len(files.notices)
            self.page.say(f"{counted(count, 'thing')} in the files cannot be used and is kept; ! lists what")

    def second(self) -> None:
        """Once a second: did a file change, does a wait run or end."""
        files, opened, page = self.files, self.opened, self.page
        if page is None or not page.stands:
            return
        page.second()
        if files is not None and files.changed_outside():
            self.beside(files.read_plan, lambda read: self._reread(files, *read))
        if opened is None:
            return
        before = len(opened.notices)
        opened.prepare()  # what lasts so long may have run out
        if opened.refresh():
            self._arrived()
            page.draw_all()
            page.say("the logs changed outside; what they say is shown")
            if len(opened.notices) > before:
                self._say_notices(opened)
        had = bool(self.ringer.running or self.ringer.over)
        if self.ringer.look(opened.one.timers(), self.clock()):
            self.bell()
        if had or self.ringer.running:
            if page.stale:
                page.draw_all()
            else:
                page.draw_seconds()

    def _reread(self, files: Files, plan: Plan | None, problems: tuple[Problem, ...]) -> None:
        page, opened = self.page, self.opened
        if files is not self.files or page is None:
            return
        was_broken = bool(files.problems)
        files.problems = problems
        if opened is None:
            if plan is not None:
                self._open(files.folder)
                return
        elif plan is None:
            count, last = counted(len(problems), "problem"), "What you see is the last that could; ! lists them"
            page.say(f"the plan cannot be read now: {count}. {last}", "wrong")
        else:
            opened.adopt(plan)
            self._arrived()
            says = "the plan can be read again" if was_broken else "the plan changed outside and was read again"
            page.say(says, "good")
        page.draw_all()

    # Ticks, waits and the bell

    def after_tick(self) -> None:
        """Something was recorded: whoever did it has seen what was over, and a new wait may run."""
        self.ringer.attend()
        if self.opened is not None:
            self.opened.prepare()
            self._arrived()
            self.ringer.look(self.opened.one.timers(), self.clock())

    def find_repairs(self) -> None:
        """Look for repairs beside the screen, once for the findings as they are."""
        opened = self.opened
        if opened is None or opened.known_repairs() is not None or self.searching is opened.findings():
            return
        found, search = opened.findings(), opened.repair_search()
        self.searching = found

        def done(repairs: Repairs) -> None:
            self.searching = None
            opened.take_repairs(found, repairs)
            if opened is self.opened and self.page is not None:
                if self.page.stale:
                    self.page.draw_all()
                else:
                    self.page.draw_repairs()

        self.beside(search, done)

    def find_links(self) -> None:
        """Work out beside the screen what binds the operations: once pictures are drawn, and once no more is ticked."""
        if self.linking:
            return
        self.linking = True

        async def look() -> None:
            try:
                while (opened := self.opened) is not None and not opened.links_known():
                    live, done = opened.one.live, len(opened.one.live.done)
                    await sleep(LINKS_REST if opened.has_links() else LINKS_SOON)
                    if opened is not self.opened or live is not opened.one.live or done != len(live.done):
                        continue
                    await to_thread(opened.link_search())
                    if self.is_running and self.page is not None and not self.page.stale:
                        self.page.draw_ties()
            finally:
                self.linking = False

        self.run_worker(look())

    def watch_theme(self) -> None:
        """Other colours: what is drawn in pieces must be drawn again."""
        if self.is_running:
            self.call_later(self._draw_page)

    def choose_palette(self, palette: str) -> None:
        """Take other colours, now and at the next start."""
        from planner.app.draw.palettes import keep_palette

        self.theme = palette
        why = keep_palette(palette)
        if why and self.page is not None:
            self.page.say(f"these colours are for now only: {why}", "wrong")

    def action_actions(self) -> None:
        """Offer every action by its name, grouped by screen."""
        from planner.app.draw.palettes import PALETTES
        from planner.app.frame.help import Actions
        from planner.app.keys.actions import all_entries

        screen = self.screen
        if isinstance(screen, Actions):
            return
        here = screen.TITLE_WORD if isinstance(screen, Page) else ""
        colours = {palette: f"colours: {says}" for palette, says in PALETTES.items()}
        entries = all_entries(here, ids_of(type(screen)), self.changed_keys, colours)
        self.push_screen(Actions(entries), lambda chosen: self.act(chosen, screen))

    def act(self, chosen: str | None, screen: Screen[Any]) -> None:
        """Do what was chosen by its id: on that screen, or on the full screen that it belongs to."""
        group, _, palette = (chosen or "").partition(".")
        if chosen in BY_ID:
            key = BY_ID[chosen]
            if key.where in self.screens.makers and not (isinstance(screen, Page) and key.where == screen.TITLE_WORD):
                self.go(key.where)
                self.call_later(self._act_there, key)
            else:
                self.call_later(self.run_action, key.full_action(), screen)
        elif group == COLOURS:
            self.choose_palette(palette)

    def _act_there(self, key: Key) -> None:
        """The screen that an action belongs to is shown now, unless it could not be."""
        if self.page is not None and key.where == self.page.TITLE_WORD:
            self.page.do_key(key)

    def silence(self) -> None:
        """Silence the bell that rings; where none does turn it off for filming, or on again."""
        from planner.files.machine.kept import keep

        if self.page is None:
            return
        if self.ringer.silence():
            self.page.say("the bell is silent; z once more turns it off for filming")
            return
        self.ringer.off = not self.ringer.off
        keep(BELL, f"off {int(self.clock())}" if self.ringer.off else "on")  # where it cannot be kept: for this run
        off = "the bell is off for 12 h; what is over is shown and not heard; z turns it on"
        self.page.say(off if self.ringer.off else "the bell is on")
        self.page.draw_seconds()
