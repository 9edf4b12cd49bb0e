"""Short ways to ask a calculator, for its tests."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Mapping

import pytest

from planner.numbers.calculator import RefusedError, Result
from planner.numbers.registry import figure

Typed = str | Mapping[str, str]


def ask(name: str, typed: Mapping[str, Typed], sides: tuple[str, ...] = ("driver", "passenger")) -> Result:
    """The result of a calculator on inputs as typed."""
    return figure(name, typed, sides)


def mm(value: float) -> str:
    """A length as a person might type it, to the last binary digit that a decimal of 12 places can hold."""
    return f"{value:.12f} mm"


def refusals(name: str, typed: Mapping[str, Typed]) -> list[tuple[str, str]]:
    """What is refused of inputs as typed; something must be."""
    with pytest.raises(RefusedError) as caught:
        ask(name, typed)
    return list(caught.value.problems)


def refused(name: str, typed: Mapping[str, Typed], key: str) -> str:
    """What is said of the one input that is refused, which must be this one."""
    found = refusals(name, typed)
    assert [row[0] for row in found] == [key], found
    return found[0][1]


#: What no input of a measured kind may be, whatever its unit: the calculators ask for lengths, angles and the like.
NONSENSE = (
    "nan mm",
    "inf mm",
    "-inf mm",
    "1e3 mm",
    "12",
    "1/0 in",
    "mm",
    "12 furlongs",
    "3 1/7 in",
    "5 5 mm",
    "0x10 mm",
)


def bad_numbers(keys: Iterable[str]) -> list[tuple[str, str]]:
    """Every key with every nonsense, for a parametrised test."""
    return list(itertools.product(keys, NONSENSE))


def text_of(result: Result, key: str) -> str:
    """The words of a text result."""
    found = result.results[key]
    assert isinstance(found, str)
    return found


def rows_of(result: Result, key: str) -> list[list[object]]:
    """The rows of a list, quantities as bare millimetres."""
    found = result.results[key]
    assert isinstance(found, tuple)
    return [[getattr(item, "value", item) for item in row] for row in found]
