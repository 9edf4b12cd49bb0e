"""The screen of the series: what was not seen first, then every episode, promises, corrections, what is to come."""

from __future__ import annotations

from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container

from planner.app.draw.drawing import shortened
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.buildpage import WorkPage
from planner.plan.expand import Operation
from planner.session.story import Story, story_of
from planner.telling.looks import Line, line
from planner.telling.story import Topic, topics


class SeriesScreen(WorkPage):
    """A topic a row, and one of them in full."""

    TITLE_WORD = "series"
    FOOT = (
        "list.choose",
        "everywhere.plan",
        "everywhere.camera",
        "everywhere.copy",
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

    def body(self) -> ComposeResult:
        """The topics, and the one under the cursor."""
        with Container(id="both"):
            yield LineList(self._row, id="topics")
            yield TextPane(id="detail")

    def forget(self) -> None:
        """The story is that of the build before."""
        self.story, self.topics, self.shown = None, [], None
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
        name = topic.name if topic is not None else None
        self.query_one(TextPane).show_lines(self.detail_lines(), top=name != self.shown)
        self.shown = name

    def detail_lines(self) -> list[Line]:
        """The topic in full."""
        topic = self.topic() if self.held is not None else None
        return [] if topic is None else [topic.head, (), *topic.lines]

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
        number = topic.name.removeprefix("episode-")
        stages = one.plan.stages
        return next((op for op in one.plan.operations if str(stages[op.stage][0].number) == number), None)

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Show the topic under the cursor."""
        self.hush()
        self.draw_detail()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go to the plan, to what the topic is about."""
        op = self.operation()
        if op is None:
            self.say("this is about no operation; the file of its episode has it")
        else:
            self.shell.show_on("plan", op)
