"""Lengths and other units against a general library for units."""

from __future__ import annotations

from fractions import Fraction

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.numbers.lengths import DENOMINATORS, parse_length
from planner.numbers.units import parse_value

SOURCE = "PyPI pint (library), with exact fractions"
UNITS: pint.UnitRegistry[Fraction] = pint.UnitRegistry(non_int_type=Fraction)


@given(st.integers(0, 40), st.integers(0, 11), st.integers(0, 127), st.sampled_from(DENOMINATORS))
def test_feet_and_inches(feet: int, inches: int, above: int, below: int) -> None:
    """Every way of writing the same length, exactly."""
    above %= below
    length = Fraction(feet) * UNITS.foot + (inches + Fraction(above, below)) * UNITS.inch
    wanted = length.to(UNITS.millimeter).magnitude
    assert parse_length(f"{feet}' {inches} {above}/{below}\"").value == wanted, SOURCE
    assert parse_length(f"{feet} ft {inches}-{above}/{below} in").value == wanted, SOURCE
    assert parse_length(f"{12 * feet + inches} {above}/{below} in").value == wanted, SOURCE


@pytest.mark.parametrize(
    ("kind", "text", "value", "unit", "base"),
    [
        ("length", "1.25 m", "1.25", "meter", "millimeter"),
        ("length", "12.5 cm", "12.5", "centimeter", "millimeter"),
        ("length", "35 thou", "35", "milliinch", "millimeter"),
        ("torque", "250 lb-ft", "250", "force_pound * foot", "newton * meter"),
        ("torque", "100 in-lb", "100", "force_pound * inch", "newton * meter"),
        ("torque", "4.08 kN.m", "4.08", "kilonewton * meter", "newton * meter"),
        ("force", "1000 lbf", "1000", "force_pound", "newton"),
        ("force", "450 kgf", "450", "kilogram_force", "newton"),
        ("stress", "36 ksi", "36", "ksi", "megapascal"),
        ("stress", "4527 psi", "4527", "psi", "megapascal"),
        ("stress", "0.2 GPa", "0.2", "gigapascal", "megapascal"),
        ("time", "20 min", "20", "minute", "second"),
        ("time", "1.5 h", "1.5", "hour", "second"),
    ],
)
def test_units(kind: str, text: str, value: str, unit: str, base: str) -> None:
    """Exact by definition: the pound is 0.45359237 kg, the inch 25.4 mm."""
    wanted = UNITS.Quantity(Fraction(value), unit).to(base).magnitude
    assert parse_value(kind, text).value == wanted, SOURCE


@pytest.mark.parametrize(
    ("text", "unit", "base", "kind"),
    [("157.08 rad/s", "radian / second", "rpm", "speed"), ("0.5 rad", "radian", "degree", "angle")],
)
def test_round_units(text: str, unit: str, base: str, kind: str) -> None:
    """Units with π in them, to the last binary digits."""
    wanted = pint.UnitRegistry().Quantity(float(text.partition(" ")[0]), unit).to(base).magnitude
    assert float(parse_value(kind, text).value) == pytest.approx(wanted, rel=1e-12), SOURCE
