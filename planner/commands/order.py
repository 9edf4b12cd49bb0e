"""``planner order``: the best good order of a part of the plan, or why there is none."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import (
    EXIT_FINE,
    EXIT_NOT_WRITTEN,
    EXIT_TRAPS,
    CommandError,
    print_json,
    say,
    show,
    wrap,
)
from planner.commands.places import open_build, parser
from planner.commands.stopping import Stopping

if TYPE_CHECKING:
    from planner.session.onebuild import OneBuild
    from planner.session.orders import Answer, Asked

_EXAMPLE = """  planner order dunlin-pickup --episode 4
  planner order dunlin-pickup --all --json
  planner order dunlin-pickup --stage fit-up-and-tacks --write

Good: no need and no after fails, no turns are broken, and nothing fails behind it that does not fail as written. The
best has the fewest set-up changes, then the fewest pairs the other way round than written. Rework is not put in:
planner recover does that. At most ten seconds; Ctrl-C stops with the best so far. Exit code 1 where no good order
exists."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    return run_search("order", "Find the best good order of what remains.", _EXAMPLE, argv, rework=False)


def add_part(made: argparse.ArgumentParser) -> None:
    """The options that choose a part of the plan."""
    part = made.add_mutually_exclusive_group()
    part.add_argument("--stage", metavar="ID", help="this stage: its name in lower case with hyphens")
    part.add_argument("--episode", type=int, metavar="N", help="this episode (else that of the next open operation)")
    part.add_argument("--all", action="store_true", help="all that remains of the build")


def part_asked(args: argparse.Namespace, build: OneBuild) -> Asked:
    """The part that was asked for."""
    from planner.session.orders import Asked, default_part

    if args.all:
        return Asked()
    if args.stage is None and args.episode is None:
        return default_part(build)
    return Asked(args.stage, args.episode)


def run_search(name: str, says: str, example: str, argv: Sequence[str], *, rework: bool) -> int:
    """Run ``order`` or ``recover``."""
    made = parser(name, says, example)
    add_part(made)
    made.add_argument("--write", action="store_true", help="write the order into the plan by the smallest edit")
    args = made.parse_args(argv)
    build = open_build(args)

    from planner.plan.words import nearest
    from planner.session.orders import NoSuchPartError, answer, part_of

    asked = part_asked(args, build)
    try:
        part_of(build, asked)
    except NoSuchPartError as error:
        near = nearest(str(args.stage if args.stage is not None else args.episode), error.known)
        hint = f"; did you mean {near}?" if near else f"; there are {', '.join(error.known)}"
        raise CommandError(f"{error}{hint}", near=near, path=str(build.folder)) from error
    with Stopping() as stop:
        found = answer(build, asked, rework=rework, stop=stop)
    if args.json:
        print_json(as_json(found, rework=rework))
    else:
        show(as_text(build, found, rework=rework))
    for notice in build.notices():
        say(str(notice))
    if stop.asked:
        what = "this is the best so far" if found.found.order is not None else "nothing was found so far"
        say(f"planner: stopped: {what}" + ("; nothing was written" if args.write else ""))
    if args.write and found.found.order is not None:
        if stop.asked:
            return EXIT_NOT_WRITTEN
        _write(build, found, name)
    return EXIT_TRAPS if found.found.order is None else EXIT_FINE


def as_json(answer: Answer, *, rework: bool) -> dict[str, Any]:
    """The answer as programs read it."""
    from planner.telling.order import summary

    found = answer.found
    order: list[Any] | None = None
    if found.order is not None:
        order = [op.name for op in found.order]
        if rework:
            order = [
                {"op": op.name, "rework": op.step.rework, "why": why}
                for op, why in zip(found.order, answer.reasons, strict=True)
            ]
    told: dict[str, Any] = {
        "scope": answer.name,
        "order": order,
        "set_ups": None if found.cost is None else found.cost.set_ups,
        "departures": None if found.cost is None else found.cost.departures,
        "as_written": {"set_ups": found.written.set_ups, "failing": found.failing},
        "proved": found.proved,
        "departures_proved": found.departures_proved,
        "least_set_ups": found.least_set_ups,
        "core": None
        if answer.core is None
        else [{"op": op, "after" if is_step else "condition": what} for op, what, is_step in answer.core],
        "says": summary(answer, rework=rework),
    }
    if rework:
        told["rework"] = None if found.cost is None else found.cost.rework
    return told


def as_text(build: OneBuild, answer: Answer, *, rework: bool) -> list[str]:
    """The answer as people read it."""
    from planner.telling.order import core_lines, summary

    lines = wrap(summary(answer, rework=rework), "")
    written = {op.name: index for index, op in enumerate(answer.scope.inside)}
    says = {finding.id: finding.told() for finding in build.found()} if any(answer.reasons) else {}
    stage: int | None = None
    reached = -1
    setup: str | None = None
    for index, op in enumerate(answer.found.order or ()):
        if op.stage != stage:
            stage = op.stage
            lines.append(f"  {build.plan.stages[stage][1].title}")
        marks = []
        if op.name not in written:
            marks.append("rework, put in")
        elif written[op.name] < reached:
            marks.append("later than written")
        reached = max(reached, written.get(op.name, -1))
        if op.step.setup is not None and op.step.setup != setup:
            setup = op.step.setup
            marks.append(f"set up: {setup}")
        lines.append(f"    {op.name}" + (f"   ({'; '.join(marks)})" if marks else ""))
        why = answer.reasons[index] if rework else None
        if why is not None and why in says:
            lines += wrap(f"because {says[why]}", "        ")
    for line in core_lines(build.plan, answer):
        lines += wrap(line, "    ")
    return lines


def _write(build: OneBuild, answer: Answer, name: str) -> None:
    """Write the order into the plan, after showing what changes."""
    from planner.session.writing.ordering import NotPossibleError, draft, keep
    from planner.telling.edit import file_lines

    try:
        made = draft(build, answer)
        outcome = made.outcome
        if not outcome.edit.changes:
            say("planner: the plan says this order already; nothing was written")
            return
        for path, text in outcome.edit.changes.items():
            for line in file_lines(made.desk.short(path), outcome.texts.get(path), text):
                say("".join(piece.text for piece in line))
        keep(made)
    except NotPossibleError as error:
        raise CommandError(f"{name} --write: {error}", EXIT_NOT_WRITTEN, path=str(build.folder)) from error
    for note in outcome.edit.notes:
        say(f"planner: {note}")
    say(f"planner: written: {', '.join(made.desk.short(path) for path in outcome.edit.changes)}")
