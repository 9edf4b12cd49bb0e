"""Uncertainty against the general library for it, and against the worked arithmetic of the guide."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from uncertainties import ufloat, umath

from planner.numbers.lengths import parse_length
from planner.numbers.quantity import Quantity, atan, cos, reading, sin, sqrt, tan
from planner.numbers.units import parse_value
from tests.numbers.asking import ask
from tests.numbers.housings import PLAIN, SIDES, value

SOURCE = "PyPI uncertainties (library): linear propagation with correlations"
GUM = "JCGM 100:2008 (GUM), 4.3.7 equation (7) and F.2.2.1"

Formula = Callable[[Any, Any, Any], Any]


class Ours:
    """The functions of the package under test, by the names that the formulas use."""

    sqrt, sin, cos = staticmethod(sqrt), staticmethod(sin), staticmethod(cos)
    tan, atan = staticmethod(tan), staticmethod(atan)


class Theirs:
    """The same functions of the library, in degrees."""

    sqrt = staticmethod(umath.sqrt)

    @staticmethod
    def sin(x: Any) -> Any:
        return umath.sin(x * math.pi / 180)

    @staticmethod
    def cos(x: Any) -> Any:
        return umath.cos(x * math.pi / 180)

    @staticmethod
    def tan(x: Any) -> Any:
        return umath.tan(x * math.pi / 180)

    @staticmethod
    def atan(x: Any) -> Any:
        return umath.atan(x) * 180 / math.pi


FORMULAS: dict[str, Callable[[Any, Any, Any, Any], Any]] = {
    "sum": lambda m, a, b, c: a - b + c / 2 - a / 3,
    "cancel": lambda m, a, b, c: (a + b) - (a - b) - 2 * b,
    "product": lambda m, a, b, c: a * b / c - 2 / a,
    "power": lambda m, a, b, c: a**2 / b - c**3 * 1e-3,
    "root": lambda m, a, b, c: m.sqrt(a * a + b * b - a * b) - c,
    "angles": lambda m, a, b, c: a * m.cos(b) + c * m.sin(b) * m.tan(a / 2),
    "back": lambda m, a, b, c: m.atan(a / b) + m.atan(b / c),
}


@pytest.mark.parametrize("name", FORMULAS)
@given(
    values=st.tuples(*[st.floats(1, 80)] * 3),
    doubts=st.tuples(*[st.floats(1e-6, 0.5)] * 3),
)
def test_formulas(name: str, values: tuple[float, ...], doubts: tuple[float, ...]) -> None:
    """Value and standard uncertainty of formulas in which readings enter more than once."""
    formula = FORMULAS[name]
    ours = formula(Ours, *(reading(each, v, u) for each, v, u in zip("abc", values, doubts, strict=True)))
    theirs = formula(Theirs, *(ufloat(v, u) for v, u in zip(values, doubts, strict=True)))
    assert isinstance(ours, Quantity)
    assert ours.value == pytest.approx(theirs.nominal_value, rel=1e-9, abs=1e-9), SOURCE
    assert ours.u == pytest.approx(theirs.std_dev, rel=1e-6, abs=1e-9), SOURCE


@pytest.mark.parametrize("choice", ["keep", "centre", "equal-shafts"])
def test_narrow(choice: str) -> None:
    """The whole of narrow, written a second time with the library's variables."""
    housing = PLAIN._replace(choice=choice, overlap=(70, 64))
    found = ask("narrow", housing.typed(plus_minus=" ± 1/32"))
    u = 25.4 / 32 / math.sqrt(3)
    pinion = [ufloat(value(count), u) for count in housing.pinion]
    plate = [ufloat(value(count), u) for count in housing.plate]
    shaft = [ufloat(value(housing.pinion[i] - housing.overlap[i]), u) for i in (0, 1)]
    shrinkage = ufloat(value(3), value(4) / math.sqrt(12))
    flanges = value(housing.flanges - housing.removed)
    offset = (pinion[0] - pinion[1]) / 2
    overlap = [pinion[i] - shaft[i] for i in (0, 1)]
    new = {"keep": offset, "centre": 0.0, "equal-shafts": (overlap[0] - overlap[1]) / 2}[choice]
    for index, side in enumerate(SIDES):
        p = flanges / 2 + (new if index == 0 else -new)
        shorten = (pinion[index] - plate[index]) - (p - plate[index])
        for key, wanted in {
            "shorten": shorten,
            "second-line": value(housing.first[index]) + shorten + value(housing.gap) - shrinkage,
            "shaft": p - overlap[index],
            "half": p - plate[index],
        }.items():
            each = found.results[key]
            assert not isinstance(each, (Quantity, str, tuple))
            quantity = each[side]
            assert isinstance(quantity, Quantity)
            nominal, deviation = (wanted, 0.0) if isinstance(wanted, float) else (wanted.nominal_value, wanted.std_dev)
            assert quantity.value == pytest.approx(nominal, rel=1e-9), (key, SOURCE)
            assert quantity.u == pytest.approx(deviation, rel=1e-6, abs=1e-9), (key, SOURCE)


@pytest.mark.parametrize(
    ("text", "u"),
    [
        ("100 mm ± 0.5", 0.5 / math.sqrt(3)),  # a half width a: u = a/√3
        ("100 mm step 1", 1 / math.sqrt(12)),  # a resolution d: u = d/√12 = 0.29 d
        ("99.5..100.5 mm", 1 / math.sqrt(12)),  # the same limits as a range
    ],
)
def test_the_guide(text: str, u: float) -> None:
    """Type B evaluation from limits only: a rectangular distribution."""
    assert parse_length(text).deviation == pytest.approx(u), GUM
    assert parse_value("angle", text.replace("mm", "deg")).deviation == pytest.approx(u), GUM


def test_resolution_as_the_guide_has_it() -> None:
    """F.2.2.1: a resolution δx has a standard uncertainty of 0.29 δx."""
    assert parse_length("1 mm step 1").deviation == pytest.approx(0.29, abs=0.005), GUM
