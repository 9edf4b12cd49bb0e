"""The screen for filming: one operation, large; ticks, takes and waits."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container, Vertical
from textual.events import Resize
from textual.widgets import Static

from planner.app.camera import text as cameratext
from planner.app.camera import words
from planner.app.camera.clips import ask_clip, ask_copied, cards_words
from planner.app.draw.big import big
from planner.app.draw.drawing import fold, shortened
from planner.app.draw.linelist import bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.page import TALL, WIDE
from planner.app.frame.ticking import INSTEAD, WorkPage
from planner.app.keys.table import BY_ID, shown_key
from planner.plan.expand import Operation
from planner.plan.fill import said
from planner.plan.ticks import LATE, NOTE, READING, ROLLING, SLATE, STOPPED
from planner.session.filming import CONTINUITY, is_seen, name_on, stand_in
from planner.telling.finding import shown_name
from planner.telling.looks import Line, line

# Rows: title, band, a row between it and the letters, and footer; the body at least; other sides; a wait.
FRAME, BODY, AROUND, TIMER = 5, 3, 3, 6


class CameraScreen(WorkPage):
    """The operation now."""

    TITLE_WORD = "camera"
    PLACED = True
    FOOT = (
        "camera.tick",
        "camera.undo",
        "camera.reading",
        "camera.note",
        "camera.rolling",
        "camera.not-filmed",
        "everywhere.help",
    )
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("camera")
    DEFAULT_CSS = """
    #band { height: auto; text-wrap: nowrap; }
    #main { layout: vertical; height: 1fr; }
    #words { height: auto; padding: 0 1; text-wrap: nowrap; }
    #now { height: 1fr; padding: 0 1; }
    #aside { height: auto; }
    #timer { height: auto; display: none; padding: 0 1; border-top: solid $panel; }
    #timer.-shown { display: block; }
    #digits { width: 1fr; height: 3; }
    #about { height: auto; max-height: 4; }
    CameraScreen.-low #digits { display: none; }
    CameraScreen.-low #about { height: 1; text-wrap: nowrap; text-overflow: ellipsis; }
    #others { height: 3; padding: 0 1; border-top: solid $panel; scrollbar-gutter: auto; }
    CameraScreen.-wide #main { layout: horizontal; }
    CameraScreen.-wide #now { width: 3fr; }
    CameraScreen.-wide #aside { width: 2fr; height: 1fr; border-left: solid $panel; padding: 0 1; }
    CameraScreen.-wide #timer { border-top: none; margin-bottom: 1; }
    CameraScreen.-wide #others { border-top: none; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.current: Operation | None = None
        self.index = 0  # in the plan's operations
        self.plan_seen: object = None

    def body(self) -> ComposeResult:
        """Band, operation, timer, other sides and next."""
        yield Static(id="band", markup=False)
        yield Static(id="words", markup=False)
        with Container(id="main"):
            now = TextPane(id="now")
            now.can_focus = False  # the arrows belong to the operations; Page Up and Down scroll it
            yield now
            with Vertical(id="aside"):
                with Vertical(id="timer"):
                    yield Static(id="digits", markup=False)
                    yield Static(id="about", markup=False)
                others = TextPane(id="others")
                others.can_focus = False
                yield others

    @property
    def low(self) -> bool:
        """Whether the screen has few lines."""
        return self.size.height < TALL

    def operation(self) -> Operation | None:
        """The operation that is shown."""
        return self.current

    def forget(self) -> None:
        """The operation is one of the build before."""
        self.current, self.index, self.plan_seen = None, 0, None

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one("#now", TextPane).show_lines(lines)
        self.query_one("#others", TextPane).show_lines([])
        self.query_one("#timer").set_class(False, "-shown")
        for each in ("#band", "#words"):
            self.fill(self.query_one(each, Static), [])

    def draw_build(self) -> None:
        """Take in the plan if it changed, and draw everything again."""
        one = self.one
        if self.plan_seen is not one.plan:
            self.plan_seen = one.plan
            wanted = one.live.by_name.get(self.current.name) if self.current is not None else None
            wanted = wanted or one.live.next() or (one.plan.operations[-1] if one.plan.operations else None)
            if wanted is not None:
                self.show_operation(wanted)
        self.draw_timer()  # the words have the rows that it leaves
        self.draw_operation()

    def draw_operation(self) -> None:
        """The operation and what stands around it."""
        if not self.stands:
            return
        op, opened = self.current, self.opened
        pane = self.query_one("#now", TextPane)
        others, top = self.query_one("#others", TextPane), self.query_one("#band", Static)
        if op is None:
            self.draw_nothing([line("the plan has no operation")])
            return
        shown = words.sheet(opened.one.plan.build, op, self.size.width - 2, self.room())
        self.fill(top, cameratext.band_lines(cameratext.band(opened, op), self.size.width, 1 + shown.left))
        self.fill(self.query_one("#words", Static), [(), *shown.lines])
        pane.show_lines(cameratext.body_lines(opened, op, self.asks_for_camera(op), self._way_key()))
        wide = self.size.width >= WIDE
        around = cameratext.around_lines(opened, op, self.following(7 if wide else 1), wide)
        if wide:
            others.styles.height = "1fr"
            others.show_lines(around)
            return
        width = self.size.width - 2
        lines = [*fold(around[:1], width), shortened(around[1], width)]
        others.styles.height = min(len(lines), 5) + 1  # and the rule above
        others.show_lines(lines)

    def draw_timer(self) -> None:
        """The big numerals of a wait."""
        one, now = self.one, self.one.clock()
        own = cameratext.own_waits(one, self.current, now) if self.current is not None else {}
        shown = cameratext.timer(self.shell.ringer, now, own)
        box = self.query_one("#timer")
        box.set_class(shown is not None, "-shown")
        if shown is not None:
            look = "on-word" if self.shell.ringer.over and not own else "waits"
            self.fill(self.query_one("#digits", Static), [line((row, look)) for row in big(shown[0]) or ()])
            about = [cameratext.timer_in_one_line(*shown)] if self.low else shown[1]
            self.fill(self.query_one("#about", Static), about)

    def draw_seconds(self) -> None:
        """A second of a wait has gone by."""
        if self.held is not None and self.stands:
            self.draw_timer()
            self.draw_operation()

    def draw_tick(self) -> None:
        """After a tick."""
        self.draw_title()
        self.draw_seconds()
        self.to_top()

    def to_top(self) -> None:
        """What matters most stands at the top: show it."""
        if self.stands:
            self.query_one("#now", TextPane).scroll_to(y=0, animate=False, immediate=True)

    def on_resize(self, event: Resize) -> None:
        """Another width."""
        super().on_resize(event)
        self.call_after_refresh(self.draw_seconds)

    def room(self) -> int:
        """How many rows the words may have: what else matters keeps its own."""
        timer = self.query_one("#timer").has_class("-shown")
        beside = self.size.width >= WIDE
        taken = FRAME + BODY + (0 if beside else AROUND) + (not self.low)  # low: a line less below
        if timer and not beside:
            taken += 1 if self.low else TIMER
        return max(1, self.size.height - taken)

    def detail_lines(self) -> list[Line]:
        """What is shown of the operation, as text."""
        op = self.current
        if op is None:
            return []
        build = self.opened.one.plan.build
        numbers = words.number_lines(words.counting(build, op), self.size.width, 0)
        body = cameratext.body_lines(self.opened, op, self.asks_for_camera(op))
        return [line(words.short_said(build, op)), *numbers, *body]

    # Moving

    def show_operation(self, op: Operation) -> None:
        """Show an operation."""
        self.index = self.opened.places().get(op.name, self.index)
        if op is not self.current:
            self.current = op
            self.to_top()
            self.rest()

    def following(self, most: int) -> list[Operation]:
        """The next operations after this one that are open; after the last, the first of all that are."""
        one = self.one
        ops = one.plan.operations
        found: list[Operation] = []
        for index in range(self.index + 1, len(ops)):
            if one.live.is_open(ops[index]):
                found.append(ops[index])
                if len(found) == most:
                    return found
        first = one.live.next()
        return found or ([first] if first is not None and first is not self.current else [])

    def action_earlier(self) -> None:
        """To the operation before."""
        self._move(-1)

    def action_later(self) -> None:
        """To the operation after."""
        self._move(1)

    def _move(self, by: int) -> None:
        one = self.one
        if not one.plan.operations:
            return
        self.hush()
        index = max(0, min(self.index + by, len(one.plan.operations) - 1))
        op = one.plan.operations[index]
        self.show_operation(op)
        self.index = index  # rework put in twice has two places and one name
        self.draw_seconds()

    def action_page_up(self) -> None:
        """Scroll the text up."""
        self.query_one("#now", TextPane).action_scroll_page_up()

    def action_page_down(self) -> None:
        """Scroll the text down."""
        self.query_one("#now", TextPane).action_scroll_page_down()

    def action_side_left(self) -> None:
        """To the same step on the side before."""
        self._side(-1)

    def action_side_right(self) -> None:
        """To the same step on the next side."""
        self._side(1)

    def _side(self, by: int) -> None:
        one, op = self.one, self.current
        if op is None:
            return
        if op.side is None:
            self.say("this is done once for all sides")
            return
        sides = one.plan.build.sides
        for distance in range(1, len(sides)):
            side = sides[(sides.index(op.side) + by * distance) % len(sides)]
            found = one.live.by_name.get(name_on(op, side, op.round))
            if found is not None:
                self.hush()
                self.show_operation(found)
                self.draw_seconds()
                return
        self.say("this step is planned on one side only")

    def action_next_open(self) -> None:
        """To what comes next in the plan; from there, where it has to wait, to what can be done meanwhile."""
        following = self.next_to_do()
        if following is None:
            self.say("nothing is left to do", "good")
        else:
            self.hush()
            self.show_operation(following)
            self.draw_seconds()

    # What to do

    def way_back(self) -> None:
        """The way back is shown here, first step first."""
        self.action_way_back()

    def action_way_back(self) -> None:
        """The way back from what was ticked, first step first."""
        from planner.app.camera.ahead import offer_way_back

        self.hush()
        self.shell.run_worker(
            offer_way_back(self.shell, self.opened, self._go, lambda: self.shell.write(self, "recover")),
            group="ahead",
        )

    def action_what_now(self) -> None:
        """What to do now, and why."""
        from planner.app.camera.ahead import offer_now

        self.hush()
        offer_now(self.shell, self.opened, self._go)

    def _way_key(self) -> str:
        return shown_key(self.shell.changed_keys.get("camera.way-back", BY_ID["camera.way-back"].key))

    def _go(self, op: Operation) -> None:
        self.show_operation(op)
        self.draw_seconds()

    # Recording

    def nothing_ticked(self) -> None:
        """A question stands before a tick, or was left."""
        super().nothing_ticked()
        self.to_top()

    def action_rolling(self) -> None:
        """Record that the camera was started, or stopped."""
        op, one = self.current, self.one
        if op is None:
            return
        did = STOPPED if one.rolling() is not None else ROLLING
        if self.record([{"did": did}], op):
            kept = cards_words(one) if did == ROLLING else ""
            self.say("the camera rolls" if did == ROLLING else "the camera is stopped", "good")
            if kept:
                self.say(f"the camera rolls; {kept}")
            self.draw_tick()

    def action_slate(self) -> None:
        """Show a slate for the camera, and keep the take in the log."""
        from planner.app.camera.slate import Slate

        op, one = self.current, self.one
        if op is None:
            return
        remarks = one.ticks.remarks.get(op.name, ())
        take = 1 + sum(1 for event in remarks if event.did == SLATE and "take" in event.raw)
        at = one.clock()
        if self.record([{"did": SLATE, "take": take}], op, at):
            self.draw_tick()
            self.app.bell()  # heard on the sound track: the picture and the log meet here
            self.app.push_screen(Slate(self.opened, op, take), lambda _: ask_clip(self, op, at))

    def action_copied(self) -> None:
        """Keep that a card was copied."""
        if self.current is not None:
            ask_copied(self, self.current)

    def action_note(self) -> None:
        """Write a note about the operation."""
        self._type("Note about", "for the editor or the welder", NOTE, "text")

    def keep_reading(self, op: Operation) -> None:
        """Keep a reading with the operation."""
        self._type("Reading of", "such as 0.010 in or 54 7/8 in", READING, "value")

    def _type(self, what: str, hint: str, did: str, key: str) -> None:
        from planner.app.frame.ask import Type

        op = self.current
        if op is None:
            return
        text = said(self.one.plan.build, op.step, op.side)
        lines = [line((f"{what} ", "title"), (shown_name(op.name), "strong")), line(text)]

        def take(typed: str | None) -> None:
            if typed and self.record([{"did": did, key: typed}], op):
                self.say(f"kept with {shown_name(op.name)}: {typed}", "good")
                self.draw_tick()

        self.app.push_screen(Type(lines, hint), take)

    def action_not_filmed(self) -> None:
        """It was not filmed: record that, and offer the next side in its place."""
        from planner.app.frame.choose import Choose

        op, one = self.current, self.one
        if op is None:
            return
        if not is_seen(op, one.filmed_instead):
            self.say(f"{shown_name(op.name)} is planned off camera")
            return
        other = stand_in(one.live, op)
        done = not one.live.is_open(op)
        name = shown_name(op.name)
        lines: list[Line] = [
            line((f"{name} was not filmed", "title")),
            line("It is ticked already." if done else "This ticks it as done, and not filmed."),
            (),
        ]
        answers = [("leave", "Leave it as it is")]
        if other is not None:
            lines.append(line(f"{shown_name(other.name)} is not done yet, and can be filmed in its place."))
            lines.append(line(("continuity ", "head"), CONTINUITY))
            answers.insert(0, (INSTEAD, f"Not filmed: film {shown_name(other.name)} in its place"))
        else:
            lines.append(line("No other side of it is left to film. Say so in the episode, or show the result."))
        answers.insert(1 if other is not None else 0, (LATE, "Not filmed: go on as planned"))

        def take(answer: str | None) -> None:
            if answer in (LATE, INSTEAD):
                self.tick_unfilmed(op, other if answer == INSTEAD else None)
            else:
                self.nothing_ticked()

        self.app.push_screen(Choose(lines, answers), take)
