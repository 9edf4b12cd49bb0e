"""The best order of the episode under the cursor: what it changes, and written into the plan when told to."""

from __future__ import annotations

from asyncio import to_thread
from collections.abc import Callable
from typing import TYPE_CHECKING

from planner.app.frame.choose import Choose
from planner.app.frame.looking import looked_for, still_asked
from planner.app.keep.keeping import keep
from planner.app.write.repair import order_lines
from planner.session.orders import Answer, Asked, search_of
from planner.session.writing.desk import Outcome, desk_of, now_of
from planner.session.writing.ordering import ordering
from planner.telling.edit import changed_lines as finding_changes
from planner.telling.edit import counts_line, file_lines, outcome_lines
from planner.telling.finding import in_words
from planner.telling.looks import Line, line
from planner.telling.order import core_lines, summary

if TYPE_CHECKING:
    from planner.app.frame.host import Host, Written

ANSWERS = (("go", "Write this order into the plan; U undoes it"), ("stay", "Leave the plan as it is"))
_SEEN = (("stay", "Back to the plan"),)
_SECONDS = 6.0


def offer_order(page: Written, did: Callable[[Outcome | None], None], *, rework: bool = False) -> None:
    """Look for the best order of the episode under the cursor, or (``rework``) for the way back with rework put in."""
    place = page.writes_at()
    one = page.one
    if place is None and one.live.next() is None:
        page.say("nothing is left to put in order")
        return
    following = one.live.next()
    stage = place[0] if place is not None else following.stage if following is not None else 0
    asked = Asked(episode=one.plan.stages[stage][0].number)
    page.shell.run_worker(_offer(page, page.shell, asked, did, rework), group="writing")


async def _offer(page: Written, shell: Host, asked: Asked, did: Callable[[Outcome | None], None], rework: bool) -> None:
    opened = page.opened
    one = opened.one

    def search(stop: Callable[[], bool]) -> Answer:
        return search_of(one, asked, rework=rework, seconds=_SECONDS, stop=lambda: stop() or not page.stands)()

    what = "looking for the way back" if rework else "looking for the best order"
    answer = await looked_for(shell, what, _SECONDS, search)
    if not page.stands or shell.opened is not opened:
        return
    lines = _answer_lines(answer, rework=rework)
    answers: tuple[tuple[str, str], ...] = _SEEN
    task = ordering(one, answer)
    if answer.found.order is not None:
        outcome = await to_thread(desk_of(opened).work_out, task, now_of(opened))
        if not outcome.good:
            lines += [(), *outcome_lines(outcome)]
        elif not outcome.edit.changes:
            page.say(f"{summary(answer, rework=rework)} The plan says it already.")
            return
        else:
            answers = ANSWERS
            lines += [counts_line(outcome.before, outcome.findings), *finding_changes(outcome), ()]
            for path, text in outcome.edit.changes.items():
                lines += file_lines(desk_of(opened).short(path), outcome.texts.get(path), text)
            before = [op.name for op in answer.scope.inside]
            lines += order_lines(before, [op.name for op in answer.found.order])
    else:
        lines += [line(in_words(one.plan, text)) for text in core_lines(one.plan, answer)]
    if not still_asked(shell, page, opened):
        return
    page.hush()
    head = [
        line(("the way back" if rework else "the best order", "title"), ("   Page Down goes through the text", "dim"))
    ]
    if await shell.push_screen_wait(Choose(lines, answers, head=head)) == "go":
        keep(shell, task, did)


def _answer_lines(answer: Answer, *, rework: bool) -> list[Line]:
    return [line((summary(answer, rework=rework), "strong")), ()]
