"""``planner numbers``: every number of a build, from its file of readings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, EXIT_NOT_WRITTEN, EXIT_UNUSABLE, CommandError, print_json, say, show, wrap
from planner.commands.places import find_build, open_build, parser

if TYPE_CHECKING:
    from planner.files.build.numbers import BuildNumbers
    from planner.session.onebuild import OneBuild

_EXAMPLE = """  planner numbers dunlin-pickup
  planner numbers dunlin-pickup --explain
  planner numbers dunlin-pickup --json
  planner numbers dunlin-pickup --write tacks=tack-ends

--write puts the order of tacks or beads into a step: a round for each opposite pair or
bead, the sides in turn, and the wait between two on one side.

Reads numbers.yaml: one section a calculator, inputs as they are typed; planner figure NAME --inputs lists them.
Exit code 2 when an input is missing or refused; what does not depend on it is shown."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("numbers", "Work out every number of a build.", _EXAMPLE)
    made.add_argument("--explain", action="store_true", help="print the working, with every formula and its source")
    made.add_argument(
        "--write", metavar="NAME=STEP", help="write the order that beads or tacks found into this step, as its rounds"
    )
    args = made.parse_args(argv)
    if args.write is not None:
        return _write(open_build(args), args.write)
    folder = find_build(args.build, args.builds)

    from planner.files.build.alone import read_alone
    from planner.files.build.numbers import work_out

    reading = read_alone(folder)
    if reading.problems:
        count = len(reading.problems)
        says = f"the numbers of {folder} cannot be used: {count} problem{'s' if count > 1 else ''}"
        raise CommandError(says, problems=reading.problems)
    found = reading.numbers
    if found is None:
        says = f"{folder} has no numbers.yaml; its first line is format: 1, then comes a section such as wheel:"
        raise CommandError(says, path=str(folder / "numbers.yaml"))
    from planner.session.readings import measured_in

    measured = measured_in(folder)
    if measured:
        found = work_out(found.file, found.sides, reading.lengths, measured)
    problems = found.problems()
    if args.json:
        print_json(as_json(found, args.explain))
    else:
        show(as_text(reading.name, found, args.explain))
    for problem in problems:
        say(str(problem))
    if problems:
        say("planner: no result is shown from what is missing or refused")
    return EXIT_UNUSABLE if problems else EXIT_FINE


def _write(build: OneBuild, asked: str) -> int:
    """Write an order into a step, after showing what changes."""
    from planner.plan.words import nearest
    from planner.session.opened import Opened
    from planner.session.writing.desk import ChangedOutsideError, desk_of
    from planner.session.writing.rounds import NoRoundsError, drafted, rounds_of, steps_for
    from planner.telling.edit import file_lines

    name, _, step = asked.partition("=")
    opened = Opened(build.folder, build)
    try:
        order = rounds_of(build.plan.build, name)
        steps = {op.step.id for op in build.live.by_name.values()}
        if step not in steps:
            near = nearest(step, steps) or next((each.id for each in steps_for(build.plan.build, order)), None)
            hint = f"; did you mean {near}?" if near else ""
            raise CommandError(f"--write: there is no step “{step}”{hint}", near=near, path=str(build.folder))
        outcome = drafted(opened, step, order).outcome
    except NoRoundsError as error:
        raise CommandError(f"--write: {error}", EXIT_NOT_WRITTEN, path=str(build.folder)) from error
    if not outcome.edit.changes:
        say("planner: the plan says this order already; nothing was written")
        return EXIT_FINE
    if outcome.ticks:
        says = f"{step} is ticked already, and its ticks would belong to nothing; the app shows them and asks"
        raise CommandError(f"--write: {says}", EXIT_NOT_WRITTEN, path=str(build.folder))
    desk = desk_of(opened)
    for path, text in outcome.edit.changes.items():
        for line in file_lines(desk.short(path), outcome.texts.get(path), text):
            say("".join(piece.text for piece in line))
    try:
        desk.keep(outcome, opened)
    except ChangedOutsideError as error:
        raise CommandError(f"--write: {error}", EXIT_NOT_WRITTEN, path=str(build.folder)) from error
    if desk.unsaved:
        raise CommandError(f"--write: {desk.unsaved}", EXIT_NOT_WRITTEN, path=str(build.folder))
    for note in outcome.edit.notes:
        say(f"planner: {note}")
    say(f"planner: written: {', '.join(desk.short(path) for path in outcome.edit.changes)}")
    return EXIT_FINE


def as_json(found: BuildNumbers, working: bool = False) -> dict[str, Any]:
    """All numbers as programs read them: calculator -> output -> cell; what was refused under problems."""
    from planner.numbers import showing

    out: dict[str, Any] = {"results": {}, "warnings": [], "caution": showing.AID}
    for name, outcome in found.outcomes.items():
        if outcome.result is not None:
            made = showing.as_json(outcome.result, found.show)
            out["results"][name] = made["results"]
            out["warnings"] += [f"{name}: {warning}" for warning in made["warnings"]]
    if working:
        out["working"] = {
            name: showing.explain_json(outcome.result, found.show)
            for name, outcome in found.outcomes.items()
            if outcome.result is not None
        }
    problems = found.problems()
    if problems:
        out["problems"] = [
            {"path": p.path, "line": p.line, "column": p.column, "message": p.message, "near": p.near} for p in problems
        ]
    return out


def as_text(name: str, found: BuildNumbers, working: bool = False) -> list[str]:
    """All numbers as people read them."""
    from planner.numbers import showing

    lines = [name]
    for outcome in found.outcomes.values():
        if outcome.result is None:
            word = "waiting for readings" if outcome.waiting else "refused"
            keys = ", ".join(dict.fromkeys(key for key, _ in outcome.problems))
            lines += ["", f"{outcome.name}: {word} ({keys})"]
            continue
        lines += ["", f"{outcome.name}: {outcome.result.calculator.says}"]
        lines += showing.as_text(outcome.result, found.show)
        if working:
            lines += ["  Working", *[f"  {line}" for line in showing.explain(outcome.result, found.show)]]
    return [*lines, "", *wrap(showing.AID, "")]
