"""Readings of numbers: which kind each has, and reading one as it was typed."""

from __future__ import annotations

from collections.abc import Mapping

from planner.numbers.calculator import Calculator, Input, Output, RefusedError
from planner.numbers.inputs import judged, parse_input
from planner.numbers.lengths import TextError, finest
from planner.numbers.quantity import Quantity, marked, reading
from planner.numbers.registry import calculator
from planner.numbers.units import KINDS

#: Name -> side ("" for the whole job) -> what was read, as typed; None: it was read, and later work spoiled it.
Measured = Mapping[str, Mapping[str, str | None]]
NONE: Measured = {}

_KIND_OF = {"": "number", **{unit.base: kind for kind, unit in KINDS.items() if unit.base and unit.base != "%"}}


def input_of(output: Output) -> Input | None:
    """A result as something that is typed; None where it is words, a list, or of a unit that nobody types."""
    kind = _KIND_OF.get(output.unit)
    return None if kind is None else Input(output.key, kind, output.doc, sided=output.sided)


def kind_of(name: str) -> str:
    """What sort of value a number is; "number" where its unit is one that nobody types.

    >>> kind_of("narrow.measured-half"), kind_of("cool.air")
    ('length', 'temperature')
    """
    section, _, key = name.partition(".")
    asked = calculator(section)
    each = next((each for each in asked.inputs if each.key == key), None)
    if each is None:
        each = next((input_of(output) for output in asked.outputs if output.key == key), None)
    return "number" if each is None or each.kind == "text" else each.kind


def why_no_reading(name: str, text: str) -> str | None:
    """Why a text is no reading of a number, in one line; None where it is one.

    >>> why_no_reading("narrow.measured-half", "26 1/4 in ± 1/32")
    >>> why_no_reading("narrow.half", "way out, 5 in")
    '“way out, 5 in” is no reading of narrow.half; write it as 54 7/8 in or 1394 mm'
    """
    section, _, key = name.partition(".")
    asked = calculator(section)
    output = next((each for each in asked.outputs if each.key == key), None)
    each = input_of(output) if output is not None else next(one for one in asked.inputs if one.key == key)
    if each is None or each.kind == "text":
        return f"{name} is in words, and no reading can stand for it"
    example = f"write it as {KINDS[each.kind].example}"
    try:
        typed = parse_input(each, text.strip())
    except TextError:
        return f"“{text}” is not a reading of {name}; {example}"
    if typed is not None and typed.form == "range":
        return f"“{text}” is a range; a reading of {name} is one value, with ± for what it may be off"
    if output is None:
        try:
            judged(asked, each, text, None)
        except RefusedError as error:
            return f"{name}: {error.problems[0][1]}"
    return None


def read_output(asked: Calculator, output: Output, side: str, text: str) -> Quantity | None:
    """A reading in the place of a result; None where the text is none."""
    each = input_of(output)
    if each is None:
        return None
    try:
        typed = parse_input(each, text.strip())
    except TextError:
        return None
    name = f"{asked.name}.{output.key}{'.' if side else ''}{side} measured"  # no input's: a result may share its key
    if typed is None:
        return None
    found = reading(name, typed.number, typed.deviation)
    return marked(found, typed.number) if each.kind == "length" and finest(typed.number) > 1 else found
