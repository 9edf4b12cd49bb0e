"""The screen of the calendar."""

from __future__ import annotations

from collections.abc import Callable
from typing import ClassVar

from textual.app import ComposeResult
from textual.binding import BindingType
from textual.containers import Container
from textual.events import Resize
from textual.widgets import Static

from planner.app.calendar.weekrows import WeekRows
from planner.app.calendar.weeks import ROWS, Weeks, day_at, day_names, flag_at, week_lines, weeks_of
from planner.app.draw.linelist import LineList, bindings_of
from planner.app.draw.textpane import TextPane
from planner.app.frame.ticking import WorkPage
from planner.files.times.shifts import day_number, day_of_week, day_words
from planner.plan.calendar.results import Spell
from planner.plan.expand import Operation
from planner.plan.words import counted
from planner.session.calendar import Made, NoCalendarError, make_calendar, others_of, refined
from planner.session.onebuild import OneBuild
from planner.session.whatif import Trial, trial_of, tried, with_away, with_date, with_day, with_hours
from planner.telling.calendar import episode_says
from planner.telling.looks import Line, line
from planner.telling.shift import dates_lines, shift_lines, whatif_lines


def _made_or_why(make: Callable[[], Made]) -> Made | NoCalendarError:
    try:
        return make()
    except NoCalendarError as error:
        return error


class CalendarScreen(WorkPage):
    """Weeks of shifts, and one shift in full."""

    TITLE_WORD = "calendar"
    FOOT = (
        "calendar.later",
        "calendar.longer",
        "calendar.away",
        "calendar.later-date",
        "calendar.put-back",
        "everywhere.help",
    )
    BINDINGS: ClassVar[list[BindingType]] = bindings_of("calendar")
    DEFAULT_CSS = """
    CalendarScreen #both { layout: vertical; height: 1fr; }
    CalendarScreen #left { height: 2fr; }
    CalendarScreen #days { height: 1; text-wrap: nowrap; }
    CalendarScreen #weeks { height: 1fr; }
    CalendarScreen #detail { height: 3fr; border-top: solid $panel; padding: 0 1; }
    CalendarScreen #detail:focus { border-top: heavy $primary; }
    CalendarScreen.-wide #both { layout: horizontal; }
    CalendarScreen.-wide #left { width: 3fr; height: 1fr; }
    CalendarScreen.-wide #detail { width: 2fr; height: 1fr; border-top: none; border-left: solid $panel; }
    CalendarScreen.-wide #detail:focus { border-left: heavy $primary; }
    """

    def __init__(self) -> None:
        super().__init__()
        self.base: Made | None = None  # as the plan is
        self.made: Made | None = None  # as it is shown: the base, or what is tried
        self.trial: Trial | None = None
        self.weeks: Weeks | None = None
        self.why = ""  # there is no calendar
        self.reckoned: object = None  # the findings that the calendar belongs to
        self.turn = 0  # of the reckoning that counts
        self.refining = False  # it is only looked for a better one than what is shown
        self.stopped = 0  # the reckoning that was told to stop
        self.working = False
        self.spell = 0
        self.days_width = 0  # that the names of the days are drawn for
        self.others: tuple[OneBuild, ...] = ()  # that share the pair of hands, once they were asked for
        self.booked: tuple[OneBuild, ...] = ()  # those of them that the calendar shown holds

    def body(self) -> ComposeResult:
        """The weeks, and the shift that is chosen."""
        with Container(id="both"):
            with Container(id="left"):
                yield Static(id="days", markup=False)
                yield WeekRows(self._week, row_height=ROWS, id="weeks")
            yield TextPane(id="detail")

    def forget(self) -> None:
        """The calendar is that of the build before."""
        self.turn += 1
        self.base = self.made = self.trial = self.weeks = self.reckoned = None
        self.why, self.spell, self.others, self.booked = "", 0, (), ()
        self.query_one(LineList).set_rows(())

    def draw_nothing(self, lines: list[Line]) -> None:
        """There is no build to draw."""
        self.query_one(TextPane).show_lines(lines)

    def draw_build(self) -> None:
        """Draw the calendar; reckon it anew where ticks or the plan have changed."""
        if self.reckoned is not self.opened.findings():
            self.reckoned = self.opened.findings()
            self._reckon()
        self.draw_detail()

    # Reckoning, beside the screen

    def _reckon(self, found: Made | None = None) -> None:
        """Make the calendar: at first the best of a few rules; with ``found``, better ones until stopped."""
        self.turn += 1
        turn, others = self.turn, self.others
        ones, where = [self.one, *others], self.one.plan.build.place

        def work() -> Made | NoCalendarError:
            if found is not None:
                return refined(found, where, self._over(turn))
            return _made_or_why(lambda: make_calendar(ones, tries=0, stop=self._over(turn)))

        def done(made: Made | NoCalendarError) -> None:
            if turn != self.turn:
                return
            if others != self.booked:
                self.hush()
            self.booked = others
            self.base = made if isinstance(made, Made) else None
            self.why = made.says if isinstance(made, NoCalendarError) else ""
            self.trial = None
            self.working = self.refining = found is None and self.base is not None
            self._take(self.base)
            if self.working:
                self._reckon(self.base)

        self.working, self.refining = True, found is not None
        self.shell.beside(work, done)

    def action_all_builds(self) -> None:
        """All builds of the folder for one pair of hands, the open one's dates first; or the open one alone again."""
        if self.others:
            self._share(())
            return
        one, turn, folder, clock = self.one, self.turn, self.shell.builds, self.shell.clock
        self.say("… reading the other builds")

        def done(found: tuple[OneBuild, ...]) -> None:
            if turn == self.turn and self.held is not None and self.one is one:
                if found:
                    self._share(found)
                else:
                    self.say("there is no other build in this folder that can be read and has work left")

        self.shell.beside(lambda: others_of(one, folder, clock), done)

    def _share(self, others: tuple[OneBuild, ...]) -> None:
        self.others = others
        self.say(f"… booking {counted(len(others) + 1, 'build')}; Esc stops")
        self._reckon()

    def _over(self, turn: int) -> Callable[[], bool]:
        """Whether nobody wants the reckoning of that turn any more."""
        return lambda: turn != self.turn or self.stopped == turn or self.gone

    def action_stop(self) -> None:
        """Keep what was found so far: what is shown, or what the search has by now. Nothing runs: nothing is tried."""
        if self.working:
            self.working = False
            if self.refining:
                self.stopped = self.turn
            else:
                self.turn += 1
                self.others = self.booked
            self.say("stopped: this is the best calendar so far")
            self.draw_detail()
        elif self.trial is not None:
            self.action_put_back()

    def _take(self, made: Made | None) -> None:
        chosen = self.chosen()
        self.made = made
        self.weeks = weeks_of(made) if made is not None else None
        spells = made.results.spells if made is not None else ()
        after = [i for i, each in enumerate(spells) if chosen is not None and each.start >= chosen.start]
        self.spell = after[0] if after else 0
        if self.stands:
            self.query_one(LineList).set_rows(range(self.weeks.number) if self.weeks is not None else ())
            self._draw_days()
            self.show_spell()
            self.draw_title()

    def _try(self, trial: Trial | None, why: str) -> None:
        """Try other hours or dates, and show at once what moves."""
        if self.base is None:
            return
        if trial is None:
            self.say(why, "wrong")
            return
        self.turn += 1
        turn, base, where = self.turn, self.base, self.one.plan.build.place

        def work() -> Made | NoCalendarError:
            return _made_or_why(lambda: tried(base, trial, where, self._over(turn)))

        def done(found: Made | NoCalendarError) -> None:
            if turn != self.turn:
                return
            self.working = False
            if isinstance(found, NoCalendarError):
                self.say(found.says, "wrong")
                return
            self.trial = trial
            self._take(found)

        self.trial = trial
        self.shell.beside(work, done)

    # What is shown

    def chosen(self) -> Spell | None:
        """The shift that is shown in full."""
        spells = self.made.results.spells if self.made is not None else ()
        return spells[self.spell] if self.spell < len(spells) else None

    def on_resize(self, event: Resize) -> None:
        """The days stand over their columns."""
        super().on_resize(event)
        self.call_after_refresh(self._draw_days)

    def _draw_days(self) -> None:
        if self.stands:
            self.days_width = width = self.query_one(LineList).scrollable_content_region.width
            self.fill(self.query_one("#days", Static), [day_names(width)], fixed=True)

    def _week(self, index: int, width: int) -> list[Line]:
        if width != self.days_width:  # laid out anew since the days were drawn
            self.days_width = width
            self.call_after_refresh(self._draw_days)
        return week_lines(self.weeks, index, width, self.chosen()) if self.weeks is not None else []

    def draw_detail(self) -> None:
        """The chosen shift in full."""
        if self.stands:
            self.query_one(TextPane).show_lines(self.detail_lines(), top=True)

    def detail_lines(self) -> list[Line]:
        """What is tried, the shift, the publish dates, what has to be known."""
        if self.held is None:
            return []
        shared = ", ".join(each.plan.build.name for each in self.booked)
        head = [line(("one pair of hands for  ", "head"), f"{self.one.plan.build.name}, {shared}")] if shared else []
        if self.why:
            return [*head, line(("✗ no calendar  ", "trap"), self.why)]
        made, base, spell = self.made, self.base, self.chosen()
        if made is None or base is None:
            return [*head, line(("… reckoning", "dim"))]
        lines = head
        lines += whatif_lines(base, self.trial, made) if self.trial is not None else []
        if spell is None:
            lines.append(line("Nothing is left to book."))
        else:
            lines += [*shift_lines(self.one, made, spell), line()]
        lines += dates_lines(made)
        if self.working:
            lines.append(line(("… looking for a better one", "dim")))
        return [*lines, *(line(("• ", "notice"), note) for note in made.notes)]

    def operation(self) -> Operation | None:
        """The first operation of the shift."""
        spell = self.chosen()
        names = [part.name for part in spell.parts] if spell is not None else []
        return next((self.one.live.by_name[name] for name in names if name in self.one.live.by_name), None)

    def show_spell(self) -> None:
        """Bring the chosen shift into view."""
        spell = self.chosen()
        rows = self.query_one(LineList)
        if spell is not None and self.weeks is not None and self.made is not None:
            week = (day_number(spell.start, self.made.shop.timezone) - self.weeks.first) // 7
            rows.move_to(week, by_hand=False)
        rows.refresh()
        self.draw_detail()

    def on_line_list_moved(self, event: LineList.Moved) -> None:
        """Another week: its first shift is shown."""
        if not event.by_hand or self.made is None or self.weeks is None:
            return
        self.hush()
        zone = self.made.shop.timezone
        day = self.weeks.first + 7 * event.rows.cursor
        spells = self.made.results.spells
        later = [i for i, spell in enumerate(spells) if day_number(spell.start, zone) >= day]
        self.spell = later[0] if later else max(0, len(spells) - 1)
        event.rows.refresh()
        self.draw_detail()

    def on_line_list_chosen(self, event: LineList.Chosen) -> None:
        """Go to the first operation of the shift in the plan."""
        op = self.operation()
        if op is not None:
            self.shell.show_on("plan", op)

    # Mouse

    def on_week_rows_pressed(self, event: WeekRows.Pressed) -> None:
        """A day: its shift is shown; the day that is shown, or that is away by trial: away, or there again."""
        week, column, _ = event.spot
        if self.weeks is None or self.made is None:
            return
        day = day_at(self.weeks, week, column, self.days_width)
        if day is None:
            return
        zone, spells, trial = self.made.shop.timezone, self.made.results.spells, self._trial()
        chosen = self.chosen()
        mine = [index for index, spell in enumerate(spells) if day_number(spell.start, zone) == day]
        away = trial is not None and (day, day) in trial.shop.away
        if trial is not None and (away or (chosen is not None and day_number(chosen.start, zone) == day)):
            self._try(with_away(trial, day), "")
        elif mine:
            self.hush()
            self.spell = mine[0]
            self.show_spell()
        else:
            self.say("no work is booked on that day")

    def on_week_rows_carried(self, event: WeekRows.Carried) -> None:
        """A flag is carried to another day: tried at once where it is let go."""
        trial = self._trial()
        if self.weeks is None or trial is None:
            return
        flag = flag_at(self.weeks, event.begin[0], event.begin[1], self.days_width)
        day = day_at(self.weeks, event.end[0], event.end[1], self.days_width)
        if flag is None or event.begin[2] != ROWS - 1:
            return
        if day is None:
            self.say("let go on a day")
        elif not event.over:
            self.say(f"⚑ {episode_says(flag.episode)} → {day_words(day)}")
        elif day == day_number(trial.due[flag.episode], trial.shop.timezone):
            self.hush()
        else:
            self.hush()
            self._try(with_day(trial, flag.episode, day), "")

    # Keys

    def action_step(self, by: int) -> None:
        """To the next shift, or the one before."""
        count = len(self.made.results.spells) if self.made is not None else 0
        if count:
            self.hush()
            self.spell = max(0, min(count - 1, self.spell + by))
            self.show_spell()

    def action_first_shift(self) -> None:
        """To the next shift there is: tonight."""
        self.spell = 0
        self.show_spell()

    def action_longer(self, by: int) -> None:
        """Try so many minutes more on this day of the week."""
        spell, trial = self.chosen(), self._trial()
        if spell is None or trial is None:
            return
        day = day_of_week(day_number(spell.start, trial.shop.timezone))
        self._try(with_hours(trial, spell.place, day, by), "these hours cannot be changed by so much")

    def action_away(self) -> None:
        """Try this day away, or there again."""
        spell, trial = self.chosen(), self._trial()
        if spell is not None and trial is not None:
            self._try(with_away(trial, day_number(spell.start, trial.shop.timezone)), "")

    def action_date(self, weeks: int) -> None:
        """Try the publish date of the episode that this shift works on, later or earlier."""
        spell, trial = self.chosen(), self._trial()
        if spell is None or trial is None or self.made is None:
            return
        names = {part.name for part in spell.parts}
        episode = next((task.episode for task in self.made.booking.job.tasks if task.name in names), 0)
        self._try(with_date(trial, episode, weeks), "this shift works on no episode with a publish date")

    def action_put_back(self) -> None:
        """Back to the hours and dates as they are written."""
        self.turn += 1
        self.trial = None
        self.hush()
        self._take(self.base)

    def _trial(self) -> Trial | None:
        if self.base is None:
            return None
        return self.trial or trial_of(self.base)
