"""``planner calendar``: what remains, booked into the hours."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, EXIT_TRAPS, EXIT_UNUSABLE, CommandError, print_json, say, show
from planner.commands.places import instant_of, open_build, parser

if TYPE_CHECKING:
    from planner.plan.calendar.results import Results

_EXAMPLE = """  planner calendar dunlin-pickup
  planner calendar dunlin-pickup --from 2027-01-04 --pace 1.3 --json"""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("calendar", "Book what remains into the hours of one person.", _EXAMPLE)
    made.add_argument("--from", dest="since", metavar="DATE", help="begin on this day, or at this time (else now)")
    made.add_argument("--pace", type=float, default=1.0, metavar="N", help="reckon with N times the planned times")
    args = made.parse_args(argv)
    if not 0.1 <= args.pace <= 10:
        raise CommandError("--pace: wants a number from 0.1 to 10, such as 1.3")
    build = open_build(args)
    from planner.session.calendar import NoCalendarError, make_calendar

    start = None if args.since is None else _begin(args.since, build.plan.build.shop.timezone)
    try:
        found = make_calendar(build, start, pace=args.pace)
    except NoCalendarError as error:
        raise CommandError(error.says, EXIT_TRAPS if error.traps else EXIT_UNUSABLE) from error
    if args.json:
        print_json(as_json(found.results))
    else:
        from planner.telling.calendar import calendar_lines

        show(calendar_lines(build, found))
    for note in (*found.notes, *build.notices()):
        say(note)
    return EXIT_FINE


def _begin(text: str, zone: str | None) -> float:
    """``--from``: a date, from its first moment on, or a time."""
    if len(text) != 10:
        return instant_of(text, "--from", zone)
    from planner.files.times.shifts import first_instant

    found = first_instant(text, zone or "UTC")
    if isinstance(found, str):
        raise CommandError(f"--from: {found}")
    return found


def as_json(results: Results) -> dict[str, Any]:
    """A calendar as programs take it: times in UTC, floats in seconds."""
    from planner.files.log.line import iso

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
            {"episode": each.episode, "due": at(each.due), "ready": at(each.ready), "late_s": each.late * 60}
            for each in results.publish
        ],
        "finish": at(results.finish),
        "set_ups": results.set_ups,
        "critical": list(results.critical),
        "float_s": {name: minutes * 60 for name, minutes in results.floats.items()},
        "order_by": {name: at(latest) for name, latest in results.order_by},
    }
