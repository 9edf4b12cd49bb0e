"""Values with their uncertainty, carried by the reading."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.numbers.quantity import (
    Quantity,
    acos,
    asin,
    atan,
    cos,
    depending,
    exact,
    least,
    most,
    reading,
    sin,
    sqrt,
    tan,
    without_doubt,
)


def test_a_reading_that_enters_twice_cancels_or_doubles() -> None:
    """By its name, not by its value."""
    a, b = reading("a", 10.0, 0.3), reading("b", 10.0, 0.4)
    assert (a - a).u == 0
    assert (a + a).u == pytest.approx(0.6)
    assert (a + b).u == pytest.approx(0.5)
    assert ((a - b) + b).u == pytest.approx(0.3)
    assert (a + b).dominant == "b"
    assert (3 * a + b).dominant == "a"
    assert [(a - 3).value, (3 - a).value, (a + 3).value, (-a).value, (a / 4).value] == [7, -7, 13, -10, 2.5]
    assert [(a - 3).u, (3 - a).u, (-a).u, (a / 4).u] == pytest.approx([0.3, 0.3, 0.3, 0.075])
    assert a == reading("a", 10.0, 0.3)
    assert a != b
    assert a != 10.0
    assert exact(3.0).dominant is None
    assert without_doubt(a).u == 0


def test_nothing_changes_a_quantity() -> None:
    """Neither its value nor what it came from."""
    a = reading("a", 1.0, 0.1)
    with pytest.raises(AttributeError):
        a.value = 2.0
    b = a + 1
    assert (a.value, b.value, a.terms) == (1.0, 2.0, {"a": 0.1})


numbers = st.floats(0.1, 100)


@pytest.mark.parametrize(
    ("ours", "plain"),
    [
        (lambda a, b: a + b, lambda a, b: a + b),
        (lambda a, b: a - 2 * b + 1, lambda a, b: a - 2 * b + 1),
        (lambda a, b: 3 - a / b, lambda a, b: 3 - a / b),
        (lambda a, b: a * b / 7, lambda a, b: a * b / 7),
        (lambda a, b: 2 / a + b**3, lambda a, b: 2 / a + b**3),
        (lambda a, b: sqrt(a * a + b * b), math.hypot),
        (lambda a, b: a * sin(b), lambda a, b: a * math.sin(math.radians(b))),
        (lambda a, b: a * cos(b) - b, lambda a, b: a * math.cos(math.radians(b)) - b),
        (lambda a, b: tan(a / 2 + b / 4), lambda a, b: math.tan(math.radians(a / 2 + b / 4))),
        (lambda a, b: asin(a / (a + b)), lambda a, b: math.degrees(math.asin(a / (a + b)))),
        (lambda a, b: acos(a / (a + b)), lambda a, b: math.degrees(math.acos(a / (a + b)))),
        (lambda a, b: atan(a / b), lambda a, b: math.degrees(math.atan(a / b))),
    ],
)
@given(a=numbers, b=numbers)
def test_slopes_are_partial_derivatives(
    ours: Callable[[Quantity, Quantity], Quantity], plain: Callable[[float, float], float], a: float, b: float
) -> None:
    """Against central differences of the plain function."""
    found = ours(reading("a", a, 1.0), reading("b", b, 1.0))
    assert found.value == pytest.approx(plain(a, b), rel=1e-9, abs=1e-9)
    h = 1e-6
    for name, slope in (
        ("a", (plain(a * (1 + h), b) - plain(a * (1 - h), b)) / (2 * a * h)),
        ("b", (plain(a, b * (1 + h)) - plain(a, b * (1 - h))) / (2 * b * h)),
    ):
        scale = max(1.0, abs(found.value) / (a if name == "a" else b))
        assert found.terms.get(name, 0.0) == pytest.approx(slope, rel=1e-4, abs=1e-6 * scale)


def test_depending() -> None:
    """A function of one's own, with its partial derivatives."""
    a = reading("a", 3.0, 0.1)
    assert depending(9.0, [(a, 6.0)]).u == pytest.approx(0.6)
    assert depending(9.0, [(a, 6.0), (a, -6.0)]).u == 0


def test_edges() -> None:
    """The square root of an uncertain nothing has no slope; the least and the most go by value."""
    with pytest.raises(ValueError, match="square root"):
        sqrt(reading("a", 0.0, 0.1))
    assert sqrt(exact(0.0)).value == 0
    a, b = reading("a", 1.0, 0.1), reading("b", 2.0, 0.1)
    assert least([a, b]) is a
    assert most([a, b]) is b
    assert hash(a) == hash(reading("a", 1.0, 0.1))
    assert repr(a) == "1 ± 0.2 (2u)"
