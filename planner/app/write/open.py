"""The pages that change the plan in one go, opened from the plan and from the writing screen."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.keep.keeping import unreadable

if TYPE_CHECKING:
    from planner.app.frame.host import Written


def _may_write(page: Written) -> bool:
    """Whether there is a plan to write on; says why not."""
    why = unreadable(page.opened)
    if why:
        page.say(why, "wrong")
    return not why


def rename(page: Written) -> None:
    """Call a step or a condition otherwise everywhere; the step under the cursor comes first."""
    if _may_write(page):
        from planner.app.write.names import RenameScreen

        place = page.writes_at()
        page.app.push_screen(RenameScreen(place[1] if place is not None else None))


def renumber(page: Written) -> None:
    """Give an episode another number; that of the cursor comes first."""
    if _may_write(page):
        from planner.app.write.names import RenumberScreen

        place, one = page.writes_at(), page.one
        number = one.plan.stages[place[0]][0].number if place is not None else None
        page.app.push_screen(RenumberScreen(number))


def copy_stage(page: Written) -> None:
    """Copy the stage that the cursor is in to another build."""
    if not _may_write(page):
        return
    place = page.writes_at()
    if place is None:
        page.say("go to a step of the stage first")
        return
    from planner.app.write.copy import CopyStage

    page.app.push_screen(CopyStage(place[0]))


#: The pages that need no text to begin with.
PAGES: dict[str, Callable[[Written], None]] = {"rename": rename, "renumber": renumber, "copy_stage": copy_stage}
