"""``planner calendar``: what remains, booked into the hours."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from planner.commands.out import (
    EXIT_FINE,
    EXIT_TRAPS,
    EXIT_UNUSABLE,
    CommandError,
    print_json,
    say,
    show,
)
from planner.commands.places import instant_of, open_build, parser
from planner.commands.stopping import Stopping
from planner.commands.writing import put, there

if TYPE_CHECKING:
    from planner.plan.calendar.results import Results
    from planner.session.calendar import Made
    from planner.session.onebuild import OneBuild

_EXAMPLE = """  planner calendar dunlin-pickup
  planner calendar dunlin-pickup --from 2027-01-04 --pace 1.3 --json
  planner calendar dunlin-pickup hay-trailer --ics ~/shop.ics"""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("calendar", "Book what remains into the hours of one person.", _EXAMPLE)
    made.add_argument("--from", dest="since", metavar="DATE", help="begin on this day, or at this time (else now)")
    made.add_argument("--pace", type=float, default=1.0, metavar="N", help="reckon with N times the planned times")
    made.add_argument(
        "also", nargs="*", metavar="ALSO", help="other builds for the same pair of hands, the first first"
    )
    made.add_argument("--ics", metavar="FILE", help="write it for a calendar program (RFC 5545)")
    made.add_argument("--alarm", metavar="TIME", help="with --ics: an alarm so long before each shift, such as 30 min")
    args = made.parse_args(argv)
    if not 0.1 <= args.pace <= 10:
        raise CommandError("--pace: must be a number from 0.1 to 10, such as 1.3")
    from planner.plan.words import parse_duration

    alarm = None if args.alarm is None else parse_duration(args.alarm)
    if args.alarm is not None and (alarm is None or args.ics is None):
        raise CommandError("--alarm: goes with --ics, and must be a time such as 30 min")
    builds = [open_build(args)]
    for name in args.also:
        args.build = name
        builds.append(open_build(args))
    build = builds[0]
    folders = [each.folder.resolve() for each in builds]
    twice = next((folder for folder in folders if folders.count(folder) > 1), None)
    if twice is not None:
        raise CommandError(f"{twice.name} is named twice; name each build once", path=str(twice))
    from planner.plan.calendar.pace import real_pace
    from planner.session.calendar import NoCalendarError, make_calendar

    start = None if args.since is None else _begin(args.since, build.plan.build.shop.timezone)
    with Stopping() as stop:
        try:
            found = make_calendar(builds, start, pace=args.pace, stop=stop)
        except NoCalendarError as error:
            raise CommandError(error.says, EXIT_TRAPS if error.traps else EXIT_UNUSABLE) from error
        ways = [] if args.json else _ways(found, build, stop)
    if stop.asked:
        say("stopped: this is the best calendar so far")
    if args.ics is not None:
        _write(args.ics, found, build, alarm)
    if args.json:
        print_json(as_json(found.results, [each.folder.resolve().name for each in builds]))
    else:
        from planner.telling.calendar import calendar_lines

        show([*calendar_lines(found), *([""] if ways else []), *ways])
    for note in found.notes:
        say(note)
    for each in builds:
        for notice in each.notices():
            say(str(notice))
    pace = real_pace(build.live)
    if pace is not None and pace not in (1.0, args.pace):
        say(f"so far the work took {pace} times the planned time: --pace {pace} reckons with that")
    return EXIT_FINE


def _ways(found: Made, build: OneBuild, stop: Stopping) -> list[str]:
    """What would have to give; nothing where somebody waits no longer."""
    from planner.session.giving import giving
    from planner.telling.calendar import giving_lines

    ways = giving(found, build.plan.build.place, stop)
    return [] if stop.asked else giving_lines(ways, found.shop.timezone)


def _write(path: str, made: Made, build: OneBuild, alarm: int | None) -> None:
    """The calendar as a file; it takes the place of one that was written before."""
    from planner.paper.ics import ics

    text = ics(made, build.folder.resolve().name, build.clock(), alarm)
    before = there(Path(path), "--ics")
    if before is not None and not before.startswith(b"BEGIN:VCALENDAR"):
        raise CommandError(f"--ics: {path} is there and is not a calendar; choose another name", path=path)
    put(Path(path), before, text, "--ics")
    say(f"{path}: written; importing it again changes what moved and doubles nothing")


def _begin(text: str, zone: str | None) -> float:
    """``--from``: a date, from its first moment on, or a time."""
    if len(text) != 10:
        return instant_of(text, "--from", zone)
    from planner.files.times.shifts import first_instant

    found = first_instant(text, zone or "UTC")
    if isinstance(found, str):
        raise CommandError(f"--from: {found}")
    return found


def as_json(results: Results, builds: Sequence[str] = ("",)) -> dict[str, Any]:
    """A calendar as programs take it: times in UTC, floats in seconds."""
    from planner.files.log.line import iso
    from planner.plan.calendar.jobs import EPISODES

    def at(minute: int | None) -> str | None:
        return None if minute is None else iso(minute * 60)

    return {
        "from": at(results.start),
        "shifts": [
            {
                "start": at(spell.start),
                "end": at(spell.end),
                "place": spell.place,
                "parts": [{"op": part.name, "start": at(part.start), "end": at(part.end)} for part in spell.parts],
                "cooling": [{"op": name, "until": at(until)} for name, until in spell.cooling],
            }
            for spell in results.spells
        ],
        "publish": [
            {
                "episode": each.episode % EPISODES,
                "due": at(each.due),
                "ready": at(each.ready),
                "late_s": each.late * 60,
                **({"build": builds[each.episode // EPISODES]} if len(builds) > 1 else {}),
            }
            for each in results.publish
        ],
        "finish": at(results.finish),
        "set_ups": results.set_ups,
        "critical": list(results.critical),
        "float_s": {name: minutes * 60 for name, minutes in results.floats.items()},
        "order_by": {name: at(latest) for name, latest in results.order_by},
    }
