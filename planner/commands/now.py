"""``planner now``: the best next operation, and why; what does not fit, and why."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, CommandError, print_json, say, show, wrap
from planner.commands.places import instant_of, open_build, parser

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild
    from planner.session.rightnow import Now

_EXAMPLE = """  planner now dunlin-pickup
  planner now dunlin-pickup --at 2027-02-11T19:30 --for 90min --json

What may begin now, the best first. The time there is: --for, else to the end of the shift that runs."""
_MOST = 5


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("now", "Say what to do now, and why.", _EXAMPLE)
    made.add_argument("--at", metavar="TIME", help="at this time instead of now")
    made.add_argument("--for", dest="length", metavar="LENGTH", help="so much time, such as 90min")
    args = made.parse_args(argv)
    length: float | None = None
    if args.length is not None:
        from planner.plan.words import parse_duration

        length = parse_duration(re.sub(r"(?<=\d)\s*(?=[a-z])", " ", args.length.strip()))
        if not length:
            raise CommandError("--for: must be a time such as 90min or 2h 30min")
    build = open_build(args)
    from planner.session.rightnow import right_now

    at = None if args.at is None else instant_of(args.at, "--at", build.plan.build.shop.timezone)
    found = right_now(build, at, length)
    if args.json:
        print_json(as_json(found))
    else:
        show(as_text(build, found))
    for notice in build.notices():
        say(str(notice))
    return EXIT_FINE


def as_json(found: Now) -> dict[str, Any]:
    """What was found, as programs read it."""
    from planner.files.log.ticklog import iso
    from planner.telling.now import reasons_say

    return {
        "at": iso(found.at),
        "until": None if found.until is None else iso(found.until),
        "choices": [
            {"op": each.op.name, "ends": iso(each.ends), "fits": each.fits, "why": reasons_say(each)}
            for each in found.choices
        ],
        "waiting": [{"op": wait.cause, "until": iso(wait.until)} for wait in found.waiting],
        "debts": list(found.debts),
    }


def as_text(build: OneBuild, found: Now) -> list[str]:
    """What was found, as people read it."""
    from planner.files.times.hours import show_local
    from planner.plan.fill import said
    from planner.telling.now import choice_line, owed_later

    zone = build.plan.build.shop.timezone
    lines = []
    if not found.open:
        lines.append("the shop is closed by its hours; --for says how much time there is")
    elif found.until is not None:
        lines.append(f"until {show_local(found.until, zone)}")
    fit = [each for each in found.choices if each.fits]
    rest = [each for each in found.choices if not each.fits]
    for index, each in enumerate(fit[:_MOST]):
        lines += wrap(f"{'now' if not index else 'or'}: {choice_line(each)}", "")
        lines += wrap(said(build.plan.build, each.op.step, each.op.side), "      ")
    if len(fit) > _MOST:
        lines.append(f"and {len(fit) - _MOST} more")
    for each in rest[:_MOST]:
        lines += wrap(f"not now: {choice_line(each)}", "")
    if not found.choices:
        following = build.live.next()
        lines.append("nothing is left" if following is None else f"nothing may begin; next is {following.name}")
    lines += [f"waiting: {wait.cause} until {show_local(wait.until, zone)}" for wait in found.waiting]
    lines += [f"close before you leave: {name}" for name in found.tonight]
    later = owed_later(found)
    if later:
        lines += wrap(f"owed later: {later}", "")
    return lines
