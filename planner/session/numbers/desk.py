"""What lies on the desk while numbers are tried: the file, the draft, and what both come to. No widget in here."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import TYPE_CHECKING

from planner.session.numbers.draft import (
    SLOW,
    Draft,
    Outcomes,
    Sections,
    Where,
    drop,
    joined,
    put,
    put_all,
    rebase,
    slow_question,
    split,
    work,
)

if TYPE_CHECKING:
    from planner.numbers.together import Outcome
    from planner.session.numbers.file import Now

#: Does work beside the screen and hands its result over.
Beside = Callable[[Callable[[], "Outcome"], Callable[["Outcome"], None]], None]


class Desk:
    """The numbers of one build while they are on the screen; stays when the screen shows another build."""

    def __init__(self, now: Now, sides: Sequence[str], beside: Beside, redraw: Callable[[], None]) -> None:
        self.now = now
        self.sides = tuple(sides)
        self.draft = Draft(now.sections)  # what was kept, and is not in the file yet
        self.trial = self.draft  # the same with what is being typed
        self.outcomes: Outcomes = now.outcomes
        self.busy = False  # the slow calculator is still at work
        self._beside = beside
        self._redraw = redraw
        self._asked: object = None
        self._answer: Outcome | None = None

    def take(self, now: Now, sides: Sequence[str]) -> None:
        """The file was read again; what was typed stays over it. Of a file that cannot be read, only that is kept."""
        self.sides = tuple(sides)
        if now.problems:
            self.now = self.now._replace(problems=now.problems)
            return
        self.now = now
        self.draft = rebase(self.draft, now.sections)
        self.trial = rebase(self.trial, now.sections)
        self._asked = None
        self.look()

    def look(self) -> None:
        """Work everything out again; the slow calculator beside the screen, and only when it is asked anew."""
        now, sections = self.now, self.trial.sections()
        self.busy = False
        if sections == now.sections:
            self.outcomes = now.outcomes
            return
        found = work(sections, self.sides, now.show, slow=False, measured=now.measured)
        self.outcomes = found
        question = slow_question(sections, found)
        if question is None:
            return
        if question == slow_question(now.sections, now.outcomes) and SLOW in now.outcomes:
            found[SLOW] = now.outcomes[SLOW]
        elif question == self._asked and self._answer is not None:
            found[SLOW] = self._answer
        else:
            self.busy = True
            if question != self._asked:
                self._asked, self._answer = question, None
                self._beside(partial(self._slowly, sections), partial(self._answered, question))

    def _slowly(self, sections: Sections) -> Outcome:
        return work(sections, self.sides, self.now.show, slow=True, measured=self.now.measured)[SLOW]

    def _answered(self, question: object, outcome: Outcome) -> None:
        if question == self._asked:
            self._answer = outcome
            self.look()
            self._redraw()

    # Changes

    def type(self, name: str, key: str, text: str, side: str | None) -> None:
        """Try a text; it is not kept yet."""
        self.trial = put(self.draft, name, key, text, side, self.sides)
        self.look()

    def keep(self) -> None:
        """Keep what was tried."""
        self.draft = self.trial

    def forget(self) -> None:
        """Put back what was tried and not kept."""
        self._change(self.draft)

    def clear(self, name: str, key: str, side: str | None) -> None:
        """Take an input away."""
        self._change(put(self.draft, name, key, "", side, self.sides))

    def share(self, name: str, key: str) -> bool:
        """Give one value a side, or one for all; whether that could be done without carrying a number across."""
        value = self.draft.typed(name, key)
        if not isinstance(value, Mapping):
            self._change(split(self.draft, name, key, self.sides))
            return True
        text = joined(value)
        if text is None:
            return False
        self._change(put_all(self.draft, name, key, text))
        return True

    def put_back(self, where: Where) -> Where | None:
        """Take one change back, or the latest where this is none; returns which."""
        changes = self.draft.changes
        if where not in changes:
            if not changes:
                return None
            where = list(changes)[-1]
        self._change(drop(self.draft, where))
        return where

    def _change(self, draft: Draft) -> None:
        self.draft = self.trial = draft
        self.look()
