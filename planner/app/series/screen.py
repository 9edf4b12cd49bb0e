"""The screen of the series: what was not seen first, then every episode, promises, corrections, what is to come."""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from planner.app.draw.drawing import shortened
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.ticking import WorkPage
from planner.app.frame.tofile import ask_where
from planner.paper.facts import Asked
from planner.paper.writing import proposed
from planner.plan.expand import Operation
from planner.session.story import Story, story_of
from planner.telling.looks import Line, line
from planner.telling.story import Topic, topics

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild


_WHAT = {"description": "Markdown", "shots": "a table for a spreadsheet"}


def description_lines(one: OneBuild, number: int) -> list[Line]:
    """The text that goes under an episode, and what whoever publishes it has to know."""
    from planner.paper.description import describe, plain

    told = describe(one, number)
    notes = [line(("• ", "notice"), note) for note in told.notes]
    return [*notes, *([line()] if notes else []), *(line(each) for each in plain(told).splitlines())]


def shot_lines(one: OneBuild, number: int | None) -> list[Line]:
    """What is left to film, of one episode or of all."""
    from planner.paper.shots import shot_list, shots_text

    found = shot_list(one, number)
    return [*(line(("• ", "notice"), note) for note in found.notes), *(line(each) for each in shots_text(found))]


def text_of(one: OneBuild, number: int | None, paper: str, ending: str) -> str:
    """The text as a file of that ending holds it."""
    if paper == "description":
        from planner.paper.description import describe, markdown, plain

        told = describe(one, number or 0)
        return markdown(told) if ending == ".md" else plain(told)
    from planner.paper.shots import shot_list, shots_csv, shots_text

    found = shot_list(one, number)
    return shots_csv(found) if ending == ".csv" else "\n".join(shots_text(found)) + "\n"


class SeriesScreen(WorkPage):
    """A topic a row, and one of them in full."""

    TITLE_WORD = "series"
    FOOT = (
        "list.choose",
        "series.description",
        "series.shots",
        "series.write",
        "everywhere.quit",
        "everywhere.help",
    )
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("series")
    DEFAULT_CSS = """
    SeriesScreen #both { layout: vertical; height: 1fr; }
    SeriesScreen #topics { height: 2fr; }
    SeriesScreen #detail { height: 3fr; border-top: solid $panel; padding: 0 1; }
    SeriesScreen #detail:focus { border-top: heavy $primary; }
    SeriesScreen.-wide #both { layout: horizontal; }
    SeriesScreen.-wide #topics { width: 2fr; height: 1fr; }
    SeriesScreen.-wide #detail { width: 3fr; height: 1fr; border-top: none; border-left: solid $panel; }
    SeriesScreen.-wide #detail:focus { border-left: heavy $primary; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.story: Story | None = None
        self.topics: list[Topic] = []
        self.shown: str | None = None
        self.paper = ""  # what is shown in the place of the story: description or shots
        self.lines: list[Line] = []  # of it

    def body(self) -> ComposeResult:
        """The topics, and the one under the cursor."""
        with Container(id="both"):
            yield LineList(self._row, id="topics")
            yield TextPane(id="detail")

    def forget(self) -> None:
        """The story is that of the build before."""
        self.story, self.topics, self.shown, self.paper = None, [], None, ""
        self.query_one(LineList).set_rows(())

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one(TextPane).show_lines(lines)

    def draw_build(self) -> None:
        """Tell the series as it stands now."""
        self.story = story_of(self.one)
        self.topics = topics(self.story, self.one.plan.build.shop.timezone)
        rows = self.query_one(LineList)
        rows.set_rows([topic.name for topic in self.topics])
        rows.refresh()
        if self.paper:
            self._make(self.paper)
        self.draw_detail()

    def topic(self) -> Topic | None:
        """The topic under the cursor."""
        at = self.query_one(LineList).cursor
        return self.topics[at] if at < len(self.topics) else None

    def _row(self, index: int, width: int) -> list[Line]:
        return [shortened((*line(" "), *self.topics[index].head), width)]

    def draw_detail(self) -> None:
        """The topic under the cursor, in full."""
        topic = self.topic()
        name = f"{self.paper} {topic.name}" if topic is not None else None
        self.query_one(TextPane).show_lines(self.detail_lines(), top=name != self.shown)
        self.shown = name

    def detail_lines(self) -> list[Line]:
        """The topic in full."""
        topic = self.topic() if self.held is not None else None
        if self.paper and topic is not None:
            return self.lines
        return [] if topic is None else [topic.head, (), *topic.lines]

    def episode(self) -> int | None:
        """The episode that the cursor is on."""
        topic = self.topic()
        number = topic.name.removeprefix("episode-") if topic is not None else ""
        return int(number) if number.isdigit() else None

    def action_show(self, paper: str) -> None:
        """Show a text for others in the place of the story, or the story again."""
        if self.paper == paper:
            self.paper = ""
        elif paper == "description" and self.episode() is None:
            self.say("go to an episode first: each has a text of its own")
            return
        else:
            self.paper = paper
            self._make(paper)
        self.hush()
        self.draw_detail()

    def _make(self, paper: str) -> None:
        """Put a text together; the shots want a calendar, which is reckoned beside the screen."""
        one, number, name = self.one, self.episode(), self.shown_for()
        if paper == "description":
            self.lines = [] if number is None else description_lines(one, number)
            return
        self.lines = [line(("… reckoning the shifts", "dim"))]

        def done(found: list[Line]) -> None:
            if self.stands and self.paper == paper and self.held is not None and self.shown_for() == name:
                self.lines = found
                self.draw_detail()

        self.shell.beside(lambda: shot_lines(one, number), done)

    def action_write_text(self) -> None:
        """Write the text that is shown into a file; asks where."""
        if not self.paper:
            self.say("show what is to be written first: the description, or the shots")
            return
        one, number, paper = self.one, self.episode(), self.paper
        endings = {"description": (".md", ".txt"), "shots": (".csv", ".txt")}[paper]
        of = "the series" if number is None else f"episode {number}"
        lines = [
            line((f"The {paper} of {of}", "strong")),
            line(f"Where shall it go? The ending says what: {endings[0]} {_WHAT[paper]}, .txt plain text."),
            line(("The folder papers, beside the builds, is made if it is not there.", "dim")),
        ]
        at = proposed(self.shell.builds, one.folder, paper, Asked(episode=number), endings[0])
        ask_where(self, lines, at, endings, lambda ending: (text_of(one, number, paper, ending).encode(), ""))

    def shown_for(self) -> tuple[object, str]:
        """What a text belongs to: the build as it stands, and the topic."""
        topic = self.topic()
        return self.story, topic.name if topic is not None else ""

    def operation(self) -> Operation | None:
        """The first operation that the topic is about."""
        topic, story, one = self.topic(), self.story, self.one
        if topic is None or story is None:
            return None
        known = one.live.by_name
        if topic.name == "off-camera":
            return next((known[op] for each in story.continuity for op in each.ops if op in known), None)
        if topic.name == "put-right":
            return next((known[each.op] for each in story.put_right if each.op in known), None)
        if topic.name == "on-order":
            names = [op for op, _ in (*story.on_order, *story.to_order)]
            return next((known[name] for name in names if name in known), None)
        if topic.name == "findings":
            return next((known[each.at] for each in story.findings if each.at in known), None)
        number, stages = self.episode(), one.plan.stages
        return next((op for op in one.plan.operations if stages[op.stage][0].number == number), None)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show the topic under the cursor."""
        self.hush()
        if self.paper == "description" and self.episode() is None:
            self.paper = ""
        if self.paper:
            self._make(self.paper)
        self.draw_detail()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go to the plan, to what the topic is about."""
        op = self.operation()
        if op is None:
            self.say("this is about no operation; the file of its episode has it")
        else:
            self.shell.show_on("plan", op)
