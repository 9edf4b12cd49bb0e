"""Keeping an edit: worked out beside the screen, asked about where ticks or others are concerned, saved."""

from __future__ import annotations

from asyncio import Lock, to_thread
from collections.abc import Callable
from typing import TYPE_CHECKING
from weakref import WeakKeyDictionary

from planner.app.frame.choose import Choose
from planner.files.disk.saving import NotSavedError
from planner.files.log.ticklog import NotWrittenError
from planner.session.writing.desk import ChangedOutsideError, Desk, Outcome, Task, desk_of, now_of
from planner.telling.edit import said, tick_lines

if TYPE_CHECKING:
    from planner.app.frame.host import Host
    from planner.session.opened import Opened

#: Told what came of it: an outcome that was kept or refused, or nothing where the person left it.
Done = Callable[[Outcome | None], None]

_GATES: WeakKeyDictionary[Desk, Lock] = WeakKeyDictionary()


def unreadable(opened: Opened) -> str:
    """Why nothing can be written now; empty when it can."""
    if opened.problems:
        return "the plan on the disk cannot be read now; correct the files first (! lists the problems)"
    return ""


def keep(shell: Host, task: Task, done: Done, *, agreed: bool = False) -> None:
    """Keep an edit; edits are kept one after the other. ``agreed``: what becomes of ticks was said already."""
    opened = shell.whole()
    why = unreadable(opened)
    if why:
        done(Outcome(task, {}, refused=why))
        return
    shell.run_worker(_keep(shell, opened, task, done, agreed), group="writing")


async def _keep(shell: Host, opened: Opened, task: Task, done: Done, agreed: bool) -> None:
    desk = desk_of(opened)
    try:
        async with _GATES.setdefault(desk, Lock()):
            result = await _kept(shell, opened, desk, task, agreed)
    except Exception:
        done(None)  # whoever waits for it goes on; the app keeps the fault and says it
        raise
    page = shell.page
    if opened is shell.opened and result is not None and result.good and page is not None and not shell.covered:
        page.draw_all()  # another screen over it draws it when it goes
        page.arrived()
    done(result)


async def _kept(shell: Host, opened: Opened, desk: Desk, task: Task, agreed: bool) -> Outcome | None:
    while True:
        outcome = await to_thread(desk.work_out, task, now_of(opened))
        if not outcome.good or not outcome.edit.changes:
            return outcome
        if outcome.ticks and not agreed:
            answers = [("stay", "Leave the plan as it is"), ("go", "Change it; the log keeps every tick as written")]
            if await shell.push_screen_wait(Choose(tick_lines(outcome.ticks), answers)) != "go":
                return None
            agreed = True
        if outcome.texts is not desk.texts:
            continue  # something else was kept behind the question
        try:
            desk.keep(outcome, opened)
        except ChangedOutsideError as error:
            if not await settle(shell, desk, error):
                await to_thread(desk.look, None)
                return None
        except (NotSavedError, NotWrittenError) as error:
            return outcome._replace(plan=None, refused=str(error))
        else:
            return outcome


async def settle(shell: Host, desk: Desk, error: ChangedOutsideError) -> bool:
    """Show both texts of a file that was changed outside, and do as the person says; whether to go on."""
    from planner.app.keep.conflict import conflict

    question = conflict(desk.short(error.path), error.mine, error.theirs, error.before, both=not desk.unsaved)
    answer = await shell.push_screen_wait(question)
    if answer == "both":
        desk.take_theirs(error.path, error.theirs)
        return True
    if answer == "mine":
        desk.write_over(error.path, error.theirs)
        return True
    if answer == "theirs":
        desk.take_theirs(error.path, error.theirs)
    return False


def tell(shell: Host, outcome: Outcome | None, say: Callable[[str, str], None]) -> None:
    """Say in one line what came of an edit."""
    opened = shell.opened
    if opened is None:
        return  # the build was left behind it, and the next could not be read
    if outcome is None:
        say("left as it was", "note")
        return
    if outcome.refused:
        say(outcome.refused, "wrong")
    elif outcome.problems:
        more = f" (and {len(outcome.problems) - 1} more)" if len(outcome.problems) > 1 else ""
        say(f"not written: {outcome.problems[0].message}{more}", "wrong")
    elif desk_of(opened).unsaved:
        say(not_saved(desk_of(opened)), "wrong")
    elif not outcome.edit.changes:
        say(
            {-1: "there is no edit to undo", 1: "there is no edit to redo"}.get(outcome.task.step, "nothing changes"),
            "note",
        )
    else:
        say(said(outcome), "good")


def not_saved(desk: Desk) -> str:
    """What is said while edits are kept in memory only."""
    return f"NOT SAVED. {desk.unsaved}. The edit is kept here; W tries again, and so does the next edit"


def save_again(shell: Host, say: Callable[[str, str], None]) -> None:
    """Try once more to save what could not be."""
    opened = shell.whole()
    desk = desk_of(opened)
    if not desk.unsaved:
        say("everything is saved", "good")
        return

    async def again() -> None:
        async with _GATES.setdefault(desk, Lock()):
            while True:
                try:
                    good = desk.save_again(opened)
                except ChangedOutsideError as error:
                    if await settle(shell, desk, error):
                        continue
                    desk.unsaved = ""
                    desk.plan = None
                    opened.seen = ()  # to be read again within the second
                    say("left; the files as they are on the disk are read again", "note")
                    return
                if good and shell.page is not None:
                    shell.page.draw_all()
                    shell.page.arrived()
                say("saved" if good else not_saved(desk), "good" if good else "wrong")
                return

    shell.run_worker(again(), group="writing")
