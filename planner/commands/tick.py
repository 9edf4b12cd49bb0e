"""``planner tick``: the app's tick without the app."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from planner.commands.check import finding_json
from planner.commands.out import (
    EXIT_FINE,
    EXIT_NOT_WRITTEN,
    EXIT_TRAPS,
    CommandError,
    plain,
    print_json,
    say,
    show,
    wrap,
)
from planner.commands.places import instant_of, open_build, operation_named, parser

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild

_EXAMPLE = """  planner tick dunlin-pickup tacks#2@driver
  planner tick dunlin-pickup straight --reading "0.010 in"
  planner tick dunlin-pickup first-half#1@driver --undo
  planner tick dunlin-pickup tacks#2@driver --slate "A003C012 10:22:33;12 29.97 left" --at 2027-02-13T19:30
  planner tick dunlin-pickup fire-watch-4 --copied "A003 shop disk"

A tick that would spring a trap, or begin a stage while earlier work is open, is refused with exit code 1 and a safe
operation to do instead; --anyway records it all the same, together with what was accepted. --reading and --note on an
operation that is done add the remark only."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("tick", "Record that an operation was done.", _EXAMPLE)
    made.add_argument("op", metavar="OP", help="the operation, such as first-half#1@driver or tacks#2@driver")
    how = made.add_mutually_exclusive_group()
    how.add_argument("--undo", action="store_true", help="take its latest done back")
    how.add_argument("--again", action="store_true", help="it was done once more")
    made.add_argument("--reading", metavar="V", help="keep a reading with it")
    made.add_argument("--note", metavar="T", help="keep a note with it")
    made.add_argument(
        "--slate", metavar="S", help='tie a clip to the clock: "CLIP TIMECODE RATE [CAMERA]"; ticks nothing'
    )
    made.add_argument("--copied", metavar="C", help='a card was copied: "CARD PLACE"; ticks nothing')
    made.add_argument("--at", metavar="TIME", help="when it was done, if not now")
    made.add_argument("--anyway", action="store_true", help="record it although it springs a trap or is ahead")
    args = made.parse_args(argv)
    build = open_build(args, to_tick=True)

    from planner.files.log.ticklog import NotWrittenError, iso
    from planner.session.asfound import changed_last
    from planner.session.onebuild import Refusal
    from planner.session.results import Reason

    op = operation_named(build, args.op, _round_of(args.op, build))
    at = None if args.at is None else instant_of(args.at, "--at", build.plan.build.shop.timezone)
    if at is not None and at > build.clock() + 60:
        say(f"planner: --at: {args.at} is still to come by this clock; every wait of it counts from then")
    if args.slate is not None or args.copied is not None:
        from planner.commands.filming import copied, slate

        record, typed = (slate, args.slate) if args.slate is not None else (copied, args.copied)
        return record(build, args.op, typed, at, as_json=args.json)
    did = "undone" if args.undo else "again" if args.again else "done"
    remarks = [
        {"did": remark, key: value}
        for remark, key, value in (("reading", "value", args.reading), ("note", "text", args.note))
        if value is not None
    ]
    left_behind = build.live.would_leave_behind(op) if did == "done" else []
    try:
        result = build.tick(args.op, did, at=at, remarks=remarks, anyway=args.anyway)
    except NotWrittenError as error:
        raise CommandError(str(error), EXIT_NOT_WRITTEN) from error
    for notice in build.notices():
        say(str(notice))
    for left in left_behind:
        say(f"notice: {left}")
    if isinstance(result, Refusal) and result.verdict is not None:
        if args.json:
            print_json({"op": result.op, "did": "reading", "verdict": result.verdict, "instead": result.instead})
        say(f"not done: {result.says}")
        since = changed_last(build, op)
        if since:
            say(since)
        if result.instead is not None:
            say(f"to do instead: {result.instead}")
        return EXIT_TRAPS
    if isinstance(result, Refusal):
        ways = {
            Reason.DONE_ALREADY: "; use --again to do it once more",
            Reason.HOLD: "; give it with --reading",
            Reason.NOT_DONE_YET: "; tick it without --again",
        }
        says = result.says + ways.get(result.reason, "")
        if args.json:
            print_json(
                {
                    "refused": True,
                    "op": result.op,
                    "says": says,
                    "findings": [finding_json(finding) for finding in result.findings],
                    "instead": result.instead,
                }
            )
        say(f"not ticked: {says}")
        for finding in result.findings:
            for line in wrap(finding.says):
                say(line)
        if result.instead is not None:
            say(f"safe to do instead: {result.instead}")
        if result.findings:
            say("to record it all the same: --anyway")
        return EXIT_TRAPS
    if args.json:
        print_json(
            {
                "op": result.op,
                "did": result.did,
                "at": iso(result.at),
                "accepted": list(result.accepted),
                "next": result.next,
                **({} if result.until is None else {"until": iso(result.until)}),
            }
        )
    elif result.until is not None:
        from planner.files.times.hours import show_local
        from planner.telling.reading import cooled_says

        show(cooled_says(result, show_local(result.until, build.plan.build.shop.timezone)))
    else:
        since = changed_last(build, op) if args.reading is not None else ""
        if since:
            say(since)
        show(f"{result.did}: {result.op}" + (f"; next: {plain(result.next)}" if result.next else "; nothing is left"))
    return EXIT_FINE


def _round_of(name: str, build: OneBuild) -> str | None:
    """The next open round of a step that was named without one."""
    step, _, side = name.partition("@")
    rounds = [op for op in build.live.remaining() if op.step.id == step and op.round and op.side == (side or None)]
    return rounds[0].name if rounds else None
