"""Ticking on a screen of an open build, with every question that may come before it.

What a question stands behind is on the disk or it is not: nothing is shown as done before the log has it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.app.frame.buildpage import BuildPage
from planner.plan.names import read_at
from planner.plan.ticks import AGAIN, DONE, LATE, NOTE, READING, ROLLING, STOPPED, UNDONE
from planner.plan.words import show_duration
from planner.session.filming import CONTINUITY, is_seen, stand_in
from planner.session.offorder import off_order
from planner.session.results import Reason
from planner.telling.finding import in_words, shown_name, words_of
from planner.telling.looks import LEVEL_GLYPHS, line

if TYPE_CHECKING:
    from planner.plan.expand import Operation
    from planner.session.onebuild import Refusal, Ticked

INSTEAD = "instead"  # the answer that another side is filmed in place of this one
ROLLING_FOR = 3600  # seconds that a camera is believed to run on: cards fill and batteries end


class WorkPage(BuildPage):
    """A screen on which operations are ticked."""

    def action_tick(self) -> None:
        """Tick the operation that is shown."""
        op = self.operation()
        if op is not None:
            self.tick(op)

    def action_again(self) -> None:
        """Record that the operation was done once more."""
        op = self.operation()
        if op is not None:
            self.tick(op, AGAIN)

    def action_undo(self) -> None:
        """Take the tick of this operation back; where it is not done, the latest of all."""
        done = [op for op, _ in self.one.live.done if op.name in self.one.live.times and read_at(op.name) is None]
        if not done:
            self.say("nothing is ticked, so there is nothing to take back")
            return
        self.tick(self.ticked_here() or done[-1], UNDONE)

    def ticked_here(self) -> Operation | None:
        """The operation whose tick undo takes back before all others."""
        op = self.operation()
        return op if op is not None and op.name in self.one.live.times else None

    def next_to_do(self) -> Operation | None:
        """What comes next; where that is shown already and cannot be done yet, what a refusal would offer instead."""
        live = self.one.live
        following = live.next()
        if following is None or self.operation() is not following or live.is_ready(following, self.one.clock()):
            return following
        return live.safe_instead(following, self.one.clock()) or following

    def tick(
        self,
        op: Operation,
        did: str = DONE,
        *,
        anyway: bool = False,
        camera_asked: bool = False,
        reading: str | None = None,
    ) -> None:
        """Tick, after asking what has to be asked; only what is on the disk is shown as done."""
        one, opened = self.one, self.opened
        known = one.live.by_name.get(op.name)  # the plan may have been read anew behind a question
        if known is None:
            self.say(f"{shown_name(op.name)} is no longer in the plan; nothing is ticked", "wrong")
            return
        op = known
        from planner.files.log.ticklog import NotWrittenError
        from planner.session.onebuild import Refusal as Refused

        was_open = one.live.is_open(op)
        try:
            if did in (DONE, AGAIN) and not camera_asked and self.asks_for_camera(op):
                refusal = None if anyway else one.would_refuse(op.name, did)
                if refusal is None:
                    self.ask_camera(op, did, anyway)
                    return
            else:
                refusal = None
            if reading is None and refusal is None and self.asks_for_reading(op, did):
                refusal = None if anyway else one.would_refuse(op.name, did)
                if refusal is None:
                    self.ask_reading(op, did, anyway)
                    return
            remarks = [{"did": READING, "value": reading}] if reading else []
            result = refusal or one.tick(op.name, did, anyway=anyway, remarks=remarks)
        except NotWrittenError as error:
            self.not_written(error)
            return
        if isinstance(result, Refused):
            if result.verdict is not None or result.reason in (Reason.HOLD, Reason.NO_READING):
                self.not_passed(op, did, anyway, reading, result)
            else:
                self.refused(op, did, result)
            return
        opened.count_tick(op, was_open and did == DONE)
        self.ticked(op, result)

    def asks_for_reading(self, op: Operation, did: str) -> bool:
        """Whether a tick of it wants a reading: at a hold point, and where the reading becomes a number."""
        if op.step.hold is None and op.step.reads is None:
            return False
        return did in (DONE, AGAIN) or (did == LATE and self.one.live.is_open(op))

    def action_reading(self) -> None:
        """Keep a reading: of what cools how hot it is; where something is done by it, that is a tick."""
        from planner.session.cooled import cooling

        op = self.operation()
        if op is None:
            return
        warm = cooling(self.one.live, op, self.one.clock())
        if warm is not None:
            self.ask_reading(warm, DONE, False)
        elif not self.asks_for_reading(op, DONE):
            self.keep_reading(op)
        elif self.one.live.is_open(op):
            self.tick(op)
        else:
            self.ask_reading(op, DONE, False)

    def keep_reading(self, op: Operation) -> None:
        """Keep a reading that nothing follows from."""
        self.say(f"{shown_name(op.name)} asks for no reading, and nothing that it waits for cools by a thermometer")

    def ask_reading(self, op: Operation, did: str, anyway: bool, *, typed: str = "", wrong: str = "") -> None:
        """Ask for the reading of an operation; without one a hold point is not done. ``wrong``: what was typed before
        is none, and why."""
        from planner.app.frame.keypad import Keypad
        from planner.session.asking import asked_of
        from planner.telling.reading import asking_lines

        asked = asked_of(self.one, op)
        assert asked is not None  # noqa: S101  # asked only there
        lines = asking_lines(op, self.one.said(op), asked, wrong)

        def take(found: str | None) -> None:
            if found is None:
                self.nothing_ticked()
            else:
                self.tick(op, did, anyway=anyway, camera_asked=True, reading=found)

        self.app.push_screen(Keypad(lines, asked.units, asked.doubt, typed=typed, may_lack=asked.may_lack), take)

    def not_passed(self, op: Operation, did: str, anyway: bool, reading: str | None, refusal: Refusal) -> None:
        """A reading that does not pass, said aloud with what recovers; or one that is none, asked for again."""
        if refusal.verdict is None:
            self.nothing_ticked()
            self.ask_reading(op, did, anyway, typed=reading or "", wrong=in_words(self.one.plan, refusal.says))
            return
        from planner.app.frame.choose import Choose
        from planner.session.asfound import changed_last
        from planner.telling.reading import verdict_lines

        self.shell.after_tick()
        self.draw_tick()
        self.say(f"not done: {in_words(self.one.plan, refusal.says)}", "wrong")
        answers = {1: ("stay", "Leave it: it is not done, and the log keeps the reading")}
        if refusal.instead is not None:
            answers[2] = ("instead", f"Go to {shown_name(refusal.instead)}, which recovers it")
        answers[3] = ("read", "Read it again")
        numbers = sorted(answers)

        def take(answer: str | None) -> None:
            there = self.one.live.by_name.get(refusal.instead or "")
            if answer == "instead" and there is not None:
                self.show_operation(there)
                self.draw_tick()
            elif answer == "read":
                self.tick(op, did, anyway=anyway, camera_asked=True)

        lines = verdict_lines(op, refusal, changed_last(self.one, op))
        self.app.push_screen(Choose(lines, [answers[number] for number in numbers], numbers), take)

    def not_written(self, error: Exception, what: str = "NOT TICKED") -> None:
        """The disk refused: say so; nothing is shown as done."""
        why = self.opened.device_problem
        self.say(f"{what}. {error}" + (f"  {why}" if why else ""), "wrong")
        self.draw_tick()

    def ticked(self, op: Operation, result: Ticked) -> None:
        """It is on the disk: say so and go on to what comes next."""
        self.say(said_of(op, result), "good")
        if result.until is not None:
            from planner.telling.reading import cooled_says

            self.say(cooled_says(result, self.opened.local(result.until)), "good")
        elif op.step.hold is not None and result.did in (DONE, AGAIN):
            from planner.session.asfound import changed_last

            since = changed_last(self.one, op)
            if since:
                self.say(f"{said_of(op, result)}; {since}", "good")
        self.touched = op.stage if result.did == DONE and not result.accepted else None
        self.shell.after_tick()
        one = self.one
        if result.did in (DONE, LATE) and result.next is not None:
            self.show_operation(one.live.by_name[result.next])
        elif result.did == UNDONE:
            self.show_operation(op)
        self.draw_tick()
        if result.did in (DONE, AGAIN, LATE):
            self.ask_rolling(op)

    def asks_for_camera(self, op: Operation) -> bool:
        """Whether the camera is wanted for what cannot be filmed twice, and nothing says that it runs."""
        return op.step.one_way and is_seen(op, self.one.filmed_instead) and self.not_rolling()

    def not_rolling(self) -> bool:
        """Whether nothing on record says that the camera runs now."""
        rolling = self.one.rolling()
        return rolling is None or self.shell.clock() - rolling.at > ROLLING_FOR

    def ask_camera(self, op: Operation, did: str, anyway: bool) -> None:
        """Ask before what can be done only once is ticked as filmed."""
        from planner.app.frame.choose import Choose

        self.nothing_ticked()
        other = stand_in(self.one.live, op)
        lines = [
            line(("Is the camera rolling?", "title")),
            (),
            line((shown_name(op.name), "strong"), " cannot be undone, and it is on camera: there is no second take."),
        ]
        answers = [
            ("wait", "Not yet: do not tick"),
            ("rolling", "It is rolling: tick it"),
            (LATE, "It is done, and was not filmed"),
        ]
        if other is not None and did == DONE:
            answers.append((INSTEAD, f"It is done and was not filmed: film {shown_name(other.name)} in its place"))

        def take(answer: str | None) -> None:
            if answer == "rolling":
                if self.record([{"did": ROLLING}], op):
                    self.tick(op, did, anyway=anyway, camera_asked=True)
            elif answer == INSTEAD:
                self.tick_unfilmed(op, other, anyway=anyway)
            elif answer == LATE:
                self.tick(op, LATE if did == DONE else did, anyway=anyway, camera_asked=True)
            else:
                self.nothing_ticked()

        self.app.push_screen(Choose(lines, answers), take)

    def tick_unfilmed(self, op: Operation, other: Operation | None, *, anyway: bool = False) -> None:
        """Tick it as not filmed; with ``other``, that is filmed in its place."""
        self.tick(op, LATE, anyway=anyway, camera_asked=True)
        one = self.one
        if other is None or op.name not in one.not_filmed:
            return
        text = f"film this side: it stands in for {op.name}, which was not filmed. {CONTINUITY}"
        if self.record([{"did": NOTE, "text": text, "for": op.name}], other):
            self.show_operation(one.live.by_name[other.name])
            self.say(f"{shown_name(op.name)} is kept as not filmed; {shown_name(other.name)} is on camera now", "good")
            self.draw_tick()

    def ask_rolling(self, op: Operation) -> None:
        """The work has gone off camera or to the desk while the camera rolls: ask whether it is to go on, once."""
        rolling = self.one.rolling()
        following = self.one.live.next()
        if rolling is None or following is None or rolling.n == self.shell.rolls_on:
            return
        if is_seen(following, self.one.filmed_instead) and following.step.where != "desk":
            return
        from planner.app.frame.choose import Choose

        self.shell.rolls_on = rolling.n
        where = "at the desk" if following.step.where == "desk" else "OFF CAMERA"
        lines = [
            line(("The camera is still rolling", "title")),
            (),
            line("What comes next is ", (where, "strong"), f": {self.one.said(following)}"),
        ]
        answers = [("stop", "The camera is stopped"), ("on", "It rolls on")]

        def take(answer: str | None) -> None:
            if answer == "stop" and self.record([{"did": STOPPED}], op):
                self.say("the camera is stopped", "good")
                self.draw_tick()

        self.app.push_screen(Choose(lines, answers), take)

    def refused(self, op: Operation, did: str, refusal: Refusal) -> None:
        """A tick that was stopped: say why, and offer what is safe instead."""
        if not refusal.findings:
            self.say(in_words(self.one.plan, refusal.says) + _WAYS.get(refusal.reason, ""))
            return
        from planner.app.frame.choose import Choose

        one = self.one
        self.nothing_ticked()
        ahead = all(finding.rule == "ahead" for finding in refusal.findings)
        head = ("This is ahead of open work", "notice") if ahead else ("Stop: this would be wrong now", "trap")
        lines = [line(head, f"   {shown_name(op.name)}")]
        for finding in refusal.findings[:5]:
            lines += [
                (),
                line((f"{LEVEL_GLYPHS[finding.level]} {finding.level}", finding.level)),
                line(words_of(one.plan, finding, cured=False)),
            ]
        if len(refusal.findings) > 5:
            lines += [(), line(f"and {len(refusal.findings) - 5} more of the kind")]
        answers = {1: ("stay", "Leave it: tick nothing")}
        answers[3] = ("anyway", "Do it anyway; the log keeps what you accepted")
        if refusal.instead is not None:
            answers[2] = ("instead", f"Go to {shown_name(refusal.instead)} instead, which springs no trap now")
        elif did != UNDONE and off_order(one) is not None:
            answers[2] = ("back", "See what to do first: the way back")
        numbers = sorted(answers)  # each always means the same: hands learn them

        def take(answer: str | None) -> None:
            if answer == "instead" and refusal.instead is not None:
                self.show_operation(one.live.by_name[refusal.instead])
                self.draw_tick()
            elif answer == "anyway":
                self.tick(op, did, anyway=True)
            elif answer == "back":
                self.nothing_ticked()
                self.way_back()
            else:
                self.nothing_ticked()

        self.app.push_screen(Choose(lines, [answers[number] for number in numbers], numbers), take)

    def way_back(self) -> None:
        """Show the way back from what was ticked."""
        self.shell.write(self, "recover")

    def nothing_ticked(self) -> None:
        """A question stands before a tick, or was left: what was said of an earlier tick no longer holds."""
        self.say("nothing was ticked")

    def record(self, records: list[dict[str, object]], op: Operation | None, at: float | None = None) -> bool:
        """Record remarks, now or as of ``at``; whether they are on the disk."""
        from planner.files.log.ticklog import NotWrittenError

        try:
            self.one.remark(op.name if op is not None else None, records, at)
        except NotWrittenError as error:
            self.not_written(error, "NOT KEPT")
            return False
        self.shell.after_tick()
        return True


def said_of(op: Operation, result: Ticked) -> str:
    """What is said once a tick is on the disk."""
    words = {DONE: "ticked", AGAIN: "ticked once more", UNDONE: "taken back", LATE: "ticked as not filmed"}
    says = f"{words.get(result.did, result.did)}: {shown_name(op.name)}"
    if result.did == UNDONE and op.step.one_way:
        says += "; the metal stays as it is"
    if result.accepted:
        says += ", with the warning accepted"
    if op.step.wait and result.did in (DONE, AGAIN):
        says += f"; wait {show_duration(op.step.wait)}"
    return says


_WAYS = {
    Reason.DONE_ALREADY: "; press a if it was done once more, u to take it back",
    Reason.NOT_DONE_YET: "; press Space to tick it",
}
