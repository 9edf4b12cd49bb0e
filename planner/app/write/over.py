"""A page over the plan that asks for something and then changes the plan, once."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.app.frame.over import Over
from planner.app.keep.keeping import keep, tell, unreadable
from planner.session.writing.desk import Outcome, Task

if TYPE_CHECKING:
    from planner.app.frame.host import Shown
    from planner.plan.expand import Plan
    from planner.session.onebuild import OneBuild
    from planner.session.opened import Opened


class WriteOver(Over):
    """A page that ends in one edit."""

    busy = False

    @property
    def opened(self) -> Opened:
        """The build that is written on."""
        return self.shell.whole()

    @property
    def one(self) -> OneBuild:
        """The same, read."""
        return self.opened.one

    @property
    def plan(self) -> Plan:
        """Its plan, as it is now."""
        return self.one.plan

    def ticked(self) -> list[str]:
        """The operations that are ticked."""
        return [entry.op for entry in self.one.ticks.entries]

    def write(self, task: Task) -> None:
        """Keep the edit; when it is kept, leave and say so on the page below, else say here why not."""
        if self.busy:
            return
        why = unreadable(self.opened)
        if why:
            self.say(why, "wrong")
            return
        self.busy = True
        keep(self.shell, task, self.written, agreed=True)

    def action_leave(self) -> None:
        """Leave; what is being saved already is waited for."""
        if self.busy:
            self.say("it is being saved already; U undoes it")
        else:
            super().action_leave()

    def written(self, outcome: Outcome | None) -> None:
        """What came of it."""
        self.busy = False
        if not self.stands:
            return
        if outcome is None or not outcome.good:
            tell(self.shell, outcome, self.say)
            return
        below = self.shell.page
        self.dismiss(None)
        if below is not None:
            below.draw_all()
            tell(self.shell, outcome, below.say)
            self.after(below)

    def after(self, below: Shown) -> None:
        """The edit is kept: show it on the page below."""


__all__ = ["WriteOver"]
