"""How a calculator is run: its inputs judged, its function called, what it wrote put into an immutable result."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType

from planner.numbers.calculator import (
    DEFAULT_SIDES,
    GUESS,
    Arriving,
    Calculator,
    Given,
    Input,
    RefusedError,
    Result,
    Sheet,
    Show,
    Working,
)
from planner.numbers.inputs import read_inputs
from planner.numbers.quantity import Quantity
from planner.numbers.units import KINDS, Asked, asked_in


def _as_typed(each: Input, typed: Mapping[str, Arriving], side: str | None) -> str:
    """An input as it was typed, or what it was taken from."""
    found = typed.get(each.key)
    if isinstance(found, Mapping):
        found = found.get(side or "")
    return f"“{found.strip()}”" if isinstance(found, str) else each.taken or "given"


def _asked(calculator: Calculator, typed: Mapping[str, Arriving]) -> tuple[Asked, ...]:
    """The units in which inputs were typed, the first of each kind."""
    found: dict[str, Asked] = {}
    for each in calculator.inputs:
        arriving = typed.get(each.key)
        for text in arriving.values() if isinstance(arriving, Mapping) else (arriving,):
            unit = asked_in(each.kind, text) if isinstance(text, str) else None
            if unit is not None:
                found.setdefault(unit.base, unit)
    return tuple(found.values())


def _say_guesses(calculator: Calculator, given: Given, sheet: Sheet) -> None:
    """A guess never looks surer than a measurement: what rests on one says so, however far it was carried."""
    for each in calculator.inputs:
        found = [given.arrived(each.key, side) for side in given.sides]
        guesses = {
            name for value in found if isinstance(value, Quantity) for name in value.terms if name.endswith(GUESS)
        }
        for name in sorted(guesses):
            what = name.removesuffix(GUESS)
            sheet.warn(f"{each.key} rests on a guess at {what}, with its ±: measure it before metal is cut by this")


def run(
    calculator: Calculator,
    typed: Mapping[str, Arriving],
    sides: Sequence[str] = DEFAULT_SIDES,
    show: Show | None = None,
    read: Mapping[tuple[str, str | None], Quantity] | None = None,
) -> Result:
    """Run a calculator on inputs as typed (or as another calculator yields them); raises RefusedError.

    An input per side is a mapping side -> text. ``read``: results that were read on the metal, (key, side) -> value.
    """
    names = tuple(sides)
    if calculator.sides and len(names) != calculator.sides:
        said = ", ".join(names)
        raise RefusedError([("sides", f"{calculator.name} is for {calculator.sides} sides; there are {said}")])
    given = Given(calculator, read_inputs(calculator, typed, names), names, show or Show())
    sheet = Sheet(calculator, read or {})
    for each in calculator.inputs:
        for side in (None, *names):
            arrived = given.raw(each.key, side)
            if arrived is not None:
                unit = KINDS[each.kind].base if each.kind in KINDS else "text"
                sheet.working.append(Working(each.key, side, arrived, unit, _as_typed(each, typed, side), "input"))
    try:
        calculator.compute(given, sheet)
    except (OverflowError, ZeroDivisionError, ValueError) as error:
        says = "these inputs together have no finite result; check their sizes"
        raise RefusedError([(calculator.name, says)]) from error
    sheet.stop_if_refused()
    _say_guesses(calculator, given, sheet)
    order = [output.key for output in calculator.outputs if output.key in sheet.results]
    results = {
        key: MappingProxyType(value) if isinstance(value := sheet.results[key], dict) else value for key in order
    }
    return Result(
        calculator,
        names,
        MappingProxyType(results),
        tuple(sheet.warnings),
        tuple(sheet.working),
        given,
        frozenset(sheet.measured),
        _asked(calculator, typed),
        tuple(sheet.differing),
    )
