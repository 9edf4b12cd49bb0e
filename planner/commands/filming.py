"""What ``planner tick`` records of the filming: slates and copies. Nothing is ticked by them."""

from __future__ import annotations

from collections.abc import Mapping
from typing import TYPE_CHECKING

from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, CommandError, print_json, show

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild


def slate(build: OneBuild, name: str, typed: str, at: float | None, *, as_json: bool) -> int:
    """Record a slate: a clip, the time code seen on it, and when; also afterwards, by --at."""
    from planner.files.log.line import iso
    from planner.paper.rushes import read_slate
    from planner.paper.timecode import TimecodeError

    try:
        record = read_slate(typed)
    except TimecodeError as error:
        raise CommandError(f"--slate: {error}") from error
    when = _keep(build, name, {"did": "slate", **record}, at)
    if as_json:
        print_json({"op": name, "did": "slate", "at": iso(when), **record})
    else:
        show(f"slate: {record['clip']} showed {record['timecode']} at {iso(when)}")
    return EXIT_FINE


def copied(build: OneBuild, name: str, typed: str, at: float | None, *, as_json: bool) -> int:
    """Record that a card was copied to a place, and say whether it may be wiped."""
    from planner.files.log.line import iso
    from planner.plan.cards import CopiedError, read_copied

    try:
        record = read_copied(typed)
    except CopiedError as error:
        raise CommandError(f"--copied: {error}") from error
    when = _keep(build, name, {"did": "copied", **record}, at)
    card = next(each for each in build.cards() if each.name == record["card"])
    if as_json:
        print_json({"op": name, "did": "copied", "at": iso(when), **record, "free": card.free})
    else:
        state = "it is free" if card.free else "it is not free: copy it to a second place before it is wiped"
        show(f"copied: {record['card']} to {record['to']}; {state}")
    return EXIT_FINE


def _keep(build: OneBuild, name: str, record: Mapping[str, str], at: float | None) -> float:
    from planner.files.log.ticklog import NotWrittenError

    when = build.clock() if at is None else at
    try:
        build.remark(name, [record], when)
    except NotWrittenError as error:
        raise CommandError(str(error), EXIT_NOT_WRITTEN) from error
    return when
