"""The one page for a list in plain text, pasted or typed; the steps that it makes are shown meanwhile."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.events import Paste
from textual.widgets import Static, TextArea

from planner.app.draw.linelist import bindings_of
from planner.app.draw.textbox import TextBox, in_measure
from planner.app.draw.textpane import TextPane
from planner.app.frame.choose import Choose
from planner.app.write.over import WriteOver
from planner.files.editing.spots import Edit, Spot, Texts
from planner.files.editing.typed import Part, has_levels, id_of, parts_of, put_in
from planner.files.yaml.places import EditError
from planner.plan.words import counted
from planner.session.writing.choices import offered
from planner.session.writing.desk import Outcome, Task
from planner.telling.looks import Line, line


class PasteScreen(WriteOver):
    """The text on one half, the steps that it makes on the other."""

    TITLE_WORD = "paste"
    FOOT = ("paste.keep", "paste.leave", "paste.offers", "paste.levels", "over.help")
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("paste")
    DEFAULT_CSS = """
    PasteScreen .ask { height: auto; padding: 0 2; }
    PasteScreen #both { layout: vertical; height: 1fr; }
    PasteScreen TextArea { height: 1fr; margin: 0 1; }
    PasteScreen TextPane { height: 1fr; padding: 0 2; }
    PasteScreen.-wide #both { layout: horizontal; }
    PasteScreen.-wide TextArea, PasteScreen.-wide TextPane { width: 1fr; height: 1fr; }
    """

    def __init__(
        self, into: str, place: Callable[[], tuple[Spot, int]], then: Callable[[Outcome], None], text: str = ""
    ) -> None:
        super().__init__()
        self.into = into  # where they go, in words
        self.place = place  # asked when they are written, since the plan may change meanwhile; may raise EditError
        self.then = then  # told when they are in the plan, and the page below shows
        self.first = in_measure(text)
        self.left_out = len(text) - len(self.first)  # characters that were not taken in
        self.stages = True  # outer lines with deeper ones below them are stages
        self.taken = False  # whether the kinds and pieces that are offered are written
        self.answered = False  # whether somebody has said so, or not
        self.parts: list[Part] = []
        self.known: dict[str, tuple[str, str]] = {}  # what was offered already: most lines stay as they are at a key

    def body(self) -> ComposeResult:
        """Where it goes, the text, the steps."""
        yield Static(classes="ask", markup=False)
        with Container(id="both"):
            area = TextBox(self.first, soft_wrap=True, show_line_numbers=False, tab_behavior="focus")
            area.cursor_blink = False
            yield area
            yield TextPane(id="steps")

    def on_mount(self) -> None:
        """Stand behind what was pasted."""
        area = self.query_one(TextArea)
        area.move_cursor(area.document.end)
        area.focus()
        self.look()

    def title_line(self) -> Line:
        """How many steps there are in it."""
        steps = sum(len(part.steps) for part in self.parts)
        stages = sum(1 for part in self.parts if part.stage)
        counts = counted(steps, "step") + (f" in {counted(stages, 'new stage')}" if stages else "")
        return line(("steps from a list", "title"), "   ", (counts, "dim"))

    def draw_body(self) -> None:
        """Where they go, and what they are."""
        how = (
            f"Steps go {self.into}; (20 min) at the end of a line is its time. A line that ends with a colon, or "
            "has deeper lines below it, is a stage; deeper than a step: its note. A kind with ? behind it is offered, "
            "with its piece: Ctrl+O takes all."
        )
        ask = [
            line(("Paste or type a list, one step a line", "large")),
            line((how, "dim")),
        ]
        self.fill(self.query_one(".ask", Static), ask)
        self.query_one(TextPane).show_lines(self.step_lines())

    def step_lines(self) -> list[Line]:
        """The steps that the text makes."""
        if not self.parts:
            return [line(("no step yet", "dim"))]
        lines: list[Line] = []
        for part in self.parts:
            if part.stage:
                lines.append(line(("stage ", "dim"), (part.stage, "head")))
            for step in part.steps:
                time = (f"  {step.time}", "notice") if step.time else ""
                given = f"{step.kind}{f' on {step.piece}' if step.piece else ''}"
                kind = (f"  kind {given}", "done") if self.taken else (f"  {given}?", "dim")
                lines.append(line("  ", (id_of(step.do), "strong"), "  ", step.do, time, kind if step.kind else ""))
                lines += [line("      ", (f"note: {note}", "dim")) for note in step.note]
        return lines

    def look(self) -> None:
        """Make steps of the text as it is now."""
        text = self.query_one(TextArea).text
        try:
            self.parts, wrong = self._offer(parts_of(text, self.stages)), ""
        except EditError as error:
            self.parts, wrong = [], str(error)
        if self.left_out:
            self.say(f"too long for a list: {self.left_out:,} characters were not taken in", "wrong")
            self.left_out = 0
        elif wrong:
            self.say(wrong, "wrong")
        elif has_levels(text):
            how = "outer lines are stages" if self.stages else "inner lines are notes"
            self.say(f"some lines stand deeper: {how}; Ctrl+L takes them the other way")
        else:
            self.hush()
        self.draw_title()
        self.draw_body()

    def _offer(self, parts: list[Part]) -> list[Part]:
        """The same steps with the kind and the piece that their words name."""
        build = self.shell.whole().one.plan.build
        dos = dict.fromkeys(step.do for part in parts for step in part.steps)
        self.known = {do: self.known.get(do) or offered(build, do) for do in dos}
        made = []
        for part in parts:
            given = [(step, *self.known[step.do]) for step in part.steps]
            made.append(part._replace(steps=tuple(step._replace(kind=k, piece=p) for step, k, p in given)))
        return made

    def action_offers(self) -> None:
        """Give the steps the kinds and pieces that are offered, or not."""
        self.taken, self.answered = not self.taken, True
        self.draw_body()

    def on_text_area_changed(self, event: TextArea.Changed) -> None:
        """Show what it makes."""
        event.stop()
        self.look()

    def on_paste(self, event: Paste) -> None:
        """Pasted beside the text: it goes into it. What the text itself was given comes by here too."""
        area = self.query_one(TextBox)
        if not area.has_focus:
            area.take_in(event.text)

    def on_text_box_cut(self, event: TextBox.Cut) -> None:
        """Say that not all of it was taken in."""
        event.stop()
        self.left_out = event.left
        self.look()

    def action_levels(self) -> None:
        """Take deeper lines as steps of a stage, or as notes."""
        self.stages = not self.stages
        self.look()

    def action_keep(self) -> None:
        """Put the steps into the plan; whether with the kinds that are offered is asked where nobody has said."""
        steps = [step for part in self.parts for step in part.steps]
        if not steps:
            self.say("there is no step in this text", "wrong")
            return
        offers = sum(1 for step in steps if step.kind)
        if offers and not self.answered:
            self.app.push_screen(Choose(_offer_lines(offers, len(steps)), _OFFERS), self._answer)
        else:
            self._put_in(len(steps))

    def _answer(self, answer: str | None) -> None:
        """Put them in as answered; nothing answered is back to the text."""
        if answer is not None:
            self.taken = answer == "take"
            self._put_in(sum(len(part.steps) for part in self.parts))

    def _put_in(self, count: int) -> None:
        parts, place = tuple(self.parts if self.taken else map(_plain, self.parts)), self.place

        def make(texts: Texts) -> Edit:
            return put_in(texts, *place(), parts)

        self.write(Task(f"{counted(count, 'step')} added from a list", make))

    def written(self, outcome: Outcome | None) -> None:
        """Go to the first of the new steps."""
        super().written(outcome)
        if outcome is not None and outcome.good:
            self.then(outcome)


_OFFERS = (("take", "Put them in with these kinds and pieces"), ("plain", "Put them in as they are typed"))


def _offer_lines(offers: int, count: int) -> list[Line]:
    """What a list without kinds would lack."""
    which = "all of the" if offers == count else f"{offers} of {count}"
    return [
        line((f"A kind is offered for {which} steps", "title")),
        line("By its kind and its piece a step is checked for traps: a weld needs clean metal, and spoils paint."),
        line(("Each can be changed later, by e on the step.", "dim")),
    ]


def _plain(part: Part) -> Part:
    """A part as it was typed, without what is offered."""
    return part._replace(steps=tuple(step._replace(kind="", piece="") for step in part.steps))
