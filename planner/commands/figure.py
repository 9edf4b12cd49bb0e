"""``planner figure``: one calculator, from inputs on the command line."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple, cast

from planner.commands.out import EXIT_FINE, CommandError, print_json, show, wrap
from planner.commands.places import parser

if TYPE_CHECKING:
    from planner.files.yaml.tree import Problem
    from planner.numbers.calculator import Arriving, Calculator, Show

_EXAMPLE = """  planner figure wheel "width=7 in" "offset=35 mm"
  planner figure tyre size=205/55R16 "rim=6.5 in" --json
  planner figure narrow --inputs --lengths "inch 1/16"

Lengths need a unit: 54 7/8 in, 54-7/8", 4' 6 7/8", 1394 mm; say what the tape may be off: "60 in ± 1/32".
An input that differs between the sides is given per side: "hat.driver=1/4 in" "hat.passenger=0 in"."""


class Wrong(NamedTuple):
    """An input that cannot be used, as programs read it."""

    message: str
    path: str = ""
    line: None = None
    column: None = None
    near: str | None = None

    def __str__(self) -> str:
        return self.message


def run(argv: Sequence[str]) -> int:
    """Run the command."""
    made = parser("figure", "Work out one calculator.", _EXAMPLE, build=False)
    made.add_argument("name", metavar="NAME", nargs="?", help="which calculator; none lists them")
    made.add_argument("inputs", metavar="key=value", nargs="*", help="an input as it is typed")
    made.add_argument("--explain", action="store_true", help="print the working, with every formula and its source")
    made.add_argument("--inputs", dest="list", action="store_true", help="list the calculator's inputs and outputs")
    made.add_argument("--sides", metavar="A,B", default="driver,passenger", help="names of the sides, the first first")
    made.add_argument("--lengths", metavar="L", help='how lengths are shown: mm, or "inch 1/32"')
    named = next((word for word in argv if not word.startswith("-")), None)
    if named is not None and {"-h", "--help"} & set(argv):
        made.print_help()
        show([""])
        return _describe(_calculator(named), False, None)
    args, rest = made.parse_known_intermixed_args(argv)  # options may stand anywhere between the inputs
    if rest:  # with an option that it does not know, it gives up on the inputs too
        made.error(f"unrecognized arguments: {' '.join([word for word in rest if word.startswith('-')] or rest)}")

    from planner.numbers.calculator import RefusedError
    from planner.numbers.running import run as work_out
    from planner.numbers.showing import AID, as_json, as_text, explain, explain_json

    if args.name is None:
        return _list(args.json)
    asked = _calculator(args.name)
    if args.list:
        return _describe(asked, args.json, _show(args.lengths, ()) if args.lengths else None)
    typed = _typed(asked, args.inputs)
    shown = _show(args.lengths, args.inputs)
    try:
        result = work_out(asked, typed, _sides(args.sides), shown)
    except RefusedError as error:
        rows = [Wrong(f"{asked.name}: {key}: {says}", key) for key, says in error.problems]
        says = f"{asked.name} cannot be worked out; no result is shown"
        raise CommandError(says, problems=_as_problems(rows)) from error
    if args.json:
        said = as_json(result, shown) | {"caution": AID}
        print_json(said | {"working": explain_json(result, shown)} if args.explain else said)
        return EXIT_FINE
    lines = [f"{asked.name}: {asked.says}", *as_text(result, shown)]
    if args.explain:
        lines += ["", "Working", *explain(result, shown)]
    show([*lines, "", *wrap(AID, "")])
    return EXIT_FINE


def _as_problems(rows: list[Wrong]) -> Sequence[Problem]:
    """Wrong inputs as the problems of a file that they resemble; the real ones would cost the import of yaml."""
    return cast("Sequence[Problem]", rows)


def _list(as_json: bool) -> int:
    from planner.numbers.registry import CALCULATORS, calculator

    rows = [(name, calculator(name).says) for name in CALCULATORS]
    if as_json:
        print_json({"calculators": [{"name": name, "says": says} for name, says in rows]})
    else:
        show(f"{name:<12} {says}" for name, says in rows)
    return EXIT_FINE


def _calculator(name: str) -> Calculator:
    from planner.numbers.registry import CALCULATORS, calculator

    if name in CALCULATORS:
        return calculator(name)
    from planner.plan.words import nearest

    near = nearest(name, CALCULATORS)
    hint = f"; did you mean {near}?" if near else f"; there are {', '.join(CALCULATORS)}"
    raise CommandError(f"there is no calculator {name}{hint}", near=near)


def _describe(asked: Calculator, as_json: bool, shown: Show | None) -> int:
    from planner.numbers.inputs import describe_input, describe_output

    taken = [{"key": each.key, "takes": describe_input(each, shown), "means": each.doc} for each in asked.inputs]
    yields = [{"key": each.key, "unit": describe_output(each), "means": each.doc} for each in asked.outputs]
    if as_json:
        print_json({"inputs": taken, "outputs": yields})
        return EXIT_FINE
    from planner.numbers.showing import formula_of

    lines = [f"{asked.name}: {asked.says}", "", *formula_of(asked), "", "Inputs"]
    lines += [f"  {row['key']:<26} {row['takes']}: {row['means']}" for row in taken]
    lines += ["", "Outputs", *[f"  {row['key']:<26} {row['unit']}: {row['means']}" for row in yields]]
    show(lines)
    return EXIT_FINE


def _typed(asked: Calculator, inputs: Sequence[str]) -> dict[str, Arriving]:
    """The inputs by key, those with a side gathered; unknown and doubled ones are refused."""
    known = {each.key for each in asked.inputs}
    found: dict[str, Arriving] = {}
    wrong: list[Wrong] = []
    for item in inputs:
        name, equals, value = item.partition("=")
        key, dot, side = name.strip().partition(".")
        if not equals or not key:
            wrong.append(Wrong(f"“{item}” is not an input; write key=value, in quotes where it has spaces", item))
        elif key not in known:
            from planner.plan.words import nearest

            near = nearest(key, known)
            hint = f"; did you mean {near}?" if near else f"; planner figure {asked.name} --inputs lists them"
            wrong.append(Wrong(f"{asked.name} has no input {key}{hint}", key, near=near))
        elif not value.strip():
            wrong.append(Wrong(f"{asked.name}: {name} has no value", name))
        elif not dot and key not in found:
            found[key] = value
        elif dot and isinstance(sided := found.setdefault(key, {}), dict) and side not in sided:
            sided[side] = value
        else:
            wrong.append(Wrong(f"{asked.name}: {name} is given twice; keep one value, or one a side", name))
    if wrong:
        raise CommandError(f"{asked.name} cannot be worked out; no result is shown", problems=_as_problems(wrong))
    return found


def _sides(text: str) -> tuple[str, ...]:
    from planner.plan.model import RESERVED_SIDES
    from planner.plan.words import is_name

    sides = tuple(side.strip() for side in text.split(","))
    for side in sides:
        if not is_name(side) or side in RESERVED_SIDES:
            raise CommandError(f"--sides: “{side}” is not a name for a side; use lower-case letters, digits, hyphens")
    if len(set(sides)) < len(sides) or len(sides) > 8:
        raise CommandError("--sides: must be one to eight names, each once")
    return sides


def _show(lengths: str | None, inputs: Sequence[str]) -> Show:
    from planner.numbers.showing import infer_show, parse_show

    if lengths is None:
        return infer_show(inputs)
    found = parse_show(lengths)
    if found is None:
        raise CommandError(f'--lengths: must be mm, or inch with a fraction such as "inch 1/32", not “{lengths}”')
    return found
