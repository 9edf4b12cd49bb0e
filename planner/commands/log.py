"""``planner log``: what was ticked, when and on which device."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from planner.commands.out import EXIT_FINE, print_json, say, show
from planner.commands.places import find_build, parser

_EXAMPLE = """  planner log dunlin-pickup
  planner log dunlin-pickup --op first-half#1@driver --json"""

_OWN_KEYS = frozenset({"v", "n", "at", "by", "op", "did"})


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("log", "Show the ticks of all devices in one order; times are UTC.", _EXAMPLE)
    made.add_argument("--op", metavar="OP", help="only this operation")
    args = made.parse_args(argv)

    from planner.files.log.ticklog import TickLog

    # The log stands on its own: it can be read when the plan cannot.
    log = TickLog(find_build(args.build, args.builds))
    events = [event for event in log.events if args.op in (None, event.op)]
    notices = [str(notice) for notice in log.notices]
    if args.json:
        print_json({"events": [dict(event.raw) for event in events], "notices": notices})
    else:
        show(_line(event.raw) for event in events)
        if not events:
            say(_none(find_build(args.build, args.builds), args.op) if args.op else "nothing is logged yet")
    for notice in notices:
        say(notice)
    return EXIT_FINE


def _none(folder: Path, name: str) -> str:
    """Why nothing is listed of an operation: there is none of that name, or nothing was ticked of it yet."""
    from planner.session.onebuild import OneBuild, UnusableError

    try:
        known = set(OneBuild(folder).live.by_name)
    except UnusableError:
        known = {name}  # the plan cannot be read: nobody can say
    if name in known:
        return f"nothing is logged for {name}"
    from planner.plan.words import nearest

    near = nearest(name, known)
    return f"there is no operation {name}" + (f"; did you mean {near}?" if near else "")


def _line(raw: Mapping[str, Any]) -> str:
    more = "  ".join(f"{key}: {_shown(value)}" for key, value in raw.items() if key not in _OWN_KEYS)
    return f"{raw['at']:<25} {raw['by']:<14} {raw['did']:<9} {raw.get('op') or ''}" + (f"  {more}" if more else "")


def _shown(value: object) -> str:
    return ", ".join(str(item) for item in value) if isinstance(value, list) else str(value)
