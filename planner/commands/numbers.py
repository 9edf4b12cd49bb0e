"""``planner numbers``: every number of a build, from its file of readings."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

from planner.commands.out import EXIT_FINE, EXIT_UNUSABLE, CommandError, print_json, say, show, wrap
from planner.commands.places import find_build, parser

if TYPE_CHECKING:
    from planner.files.build.numbers import BuildNumbers

_EXAMPLE = """  planner numbers dunlin-pickup
  planner numbers dunlin-pickup --explain
  planner numbers dunlin-pickup --json

Reads numbers.yaml: one section a calculator, inputs as they are typed; planner figure NAME --inputs lists them.
Exit code 2 when an input is missing or refused; what does not depend on it is shown."""


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("numbers", "Work out every number of a build.", _EXAMPLE)
    made.add_argument("--explain", action="store_true", help="print the working, with every formula and its source")
    args = made.parse_args(argv)
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
