"""What the camera offers beyond the operation it shows: the way back, and what to do now."""

from __future__ import annotations

from typing import TYPE_CHECKING

from planner.app.frame.choose import Choose
from planner.app.frame.looking import looked_for
from planner.session.rightnow import right_now
from planner.session.wayback import way_search
from planner.telling.finding import shown_name
from planner.telling.looks import Line, line
from planner.telling.now import now_lines
from planner.telling.wayback import way_lines

if TYPE_CHECKING:
    from collections.abc import Callable

    from planner.app.frame.host import Host
    from planner.plan.expand import Operation
    from planner.session.opened import Opened

_SECONDS = 6.0  # the longest that somebody stands before the screen for it
_STAY = ("stay", "Stay here")


async def offer_way_back(
    shell: Host, opened: Opened, show: Callable[[Operation], None], plan: Callable[[], None]
) -> None:
    """Look for the way back; then to its first step (``show``), or to what it changes in the plan (``plan``)."""
    one = opened.one
    way = await looked_for(
        shell,
        "looking for the way back",
        _SECONDS,
        lambda stop: way_search(one, seconds=_SECONDS, stop=stop)(),
    )
    if shell.opened is not opened or shell.covered:
        return
    answers = [_STAY]
    if way.legs:
        first = way.legs[0].op
        answers = [
            ("go", f"Go to the first step: {shown_name(first.name)}"),
            _STAY,
            ("plan", "See it as a change of the plan"),
        ]

    def take(answer: str | None) -> None:
        if answer == "go":
            show(way.legs[0].op)
        elif answer == "plan":
            plan()

    shell.push_screen(Choose(way_lines(one, way), answers), take)


def offer_now(shell: Host, opened: Opened, show: Callable[[Operation], None]) -> None:
    """Say what to do now and why, what does not fit and why; then to one of them."""
    one = opened.one
    found = right_now(one)
    best = [each for each in found.choices if each.fits][:2]
    answers = [(str(n), f"Go to {shown_name(each.op.name)}") for n, each in enumerate(best)]
    lines: list[Line] = [line(("what now", "title")), *now_lines(one, found)]

    def take(answer: str | None) -> None:
        if answer is not None and answer != "stay":
            show(best[int(answer)].op)

    shell.push_screen(Choose(lines, [*answers, _STAY]), take)
