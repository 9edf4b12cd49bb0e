"""The order of tacks or beads: into which step, what that changes, and written when told to."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.frame.choose import Choose
from planner.app.frame.looking import still_asked
from planner.app.keep.keeping import keep
from planner.session.writing.desk import Outcome, desk_of
from planner.session.writing.rounds import NoRoundsError, Rounds, drafted, rounds_of, steps_for
from planner.telling.edit import changed_lines as finding_changes
from planner.telling.edit import counts_line, file_lines
from planner.telling.looks import Line, line

if TYPE_CHECKING:
    from planner.app.frame.host import Host, Written
    from planner.plan.model import Step

_ANSWERS = (("go", "Write it into the plan; U undoes it"), ("stay", "Leave the plan as it is"))
_STAY = "(stay)"  # no step is called so


def offer_rounds(page: Written, name: str, did: Callable[[Outcome | None], None]) -> None:
    """Ask into which step the order of a calculator goes, and show what that changes."""
    build = page.one.plan.build
    try:
        asked = rounds_of(build, name)
    except NoRoundsError as error:
        page.say(str(error), "wrong")
        return
    steps = steps_for(build, asked)
    if not steps:
        page.say(f"no step can take it; name {{{name}.places}} in the words of the step that makes them", "wrong")
        return
    page.shell.run_worker(_offer(page, page.shell, asked, steps, did), group="writing")


async def _offer(
    page: Written, shell: Host, asked: Rounds, steps: list[Step], did: Callable[[Outcome | None], None]
) -> None:
    opened = page.opened
    head = [line((f"the order of {asked.calculator}: {asked.rounds} rounds", "title"), ("   into which step?", "dim"))]
    answers = [*[(step.id, step.do) for step in steps], (_STAY, "Leave the plan as it is")]
    if not still_asked(shell, page, opened):
        return
    chosen = await shell.push_screen_wait(Choose(_said(asked), answers, head=head, left=_STAY))
    if chosen in (None, _STAY) or not page.stands or shell.opened is not opened:
        return
    try:
        task, outcome = await to_thread(drafted, opened, str(chosen), asked)
    except NoRoundsError as error:
        page.say(str(error), "wrong")
        return
    if not outcome.edit.changes:
        page.say("the plan says this order already")
        return
    if not still_asked(shell, page, opened):
        return
    lines = [counts_line(outcome.before, outcome.findings), *finding_changes(outcome), ()]
    for path, text in outcome.edit.changes.items():
        lines += file_lines(desk_of(opened).short(path), outcome.texts.get(path), text)
    head = [line((f"the order of {asked.calculator}", "title"), ("   Page Down goes through the text", "dim"))]
    if await shell.push_screen_wait(Choose(lines, _ANSWERS, head=head)) == "go":
        keep(shell, task, did)


def _said(asked: Rounds) -> list[Line]:
    turns = "" if asked.joints == 1 else ", one on each side before the next on any"
    wait = "" if asked.wait is None else f", and {asked.wait} s between two on one side"
    each = "each opposite pair" if asked.calculator == "tacks" else "each bead"
    return [line(f"A round for {each}{turns}{wait}.")]
