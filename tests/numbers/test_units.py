"""Units against pint (PyPI), and the ways people write them."""

from __future__ import annotations

import pytest
from pint import UnitRegistry

from planner.numbers.lengths import TextError, parse_length
from planner.numbers.units import parse_value

UNITS: UnitRegistry[float] = UnitRegistry(autoconvert_offset_to_baseunit=True)


@pytest.mark.parametrize(
    ("kind", "text", "number", "unit", "base"),
    [
        ("temperature", "300 F", 300, "degF", "degC"),
        ("temperature", "-40 F", -40, "degF", "degC"),
        ("temperature", "300 K", 300, "kelvin", "degC"),
        ("torque", "250 ft-lbs", 250, "foot * pound_force", "newton * meter"),
        ("stress", "36 ksi", 36, "kpsi", "MPa"),
        ("travel", "12 in/min", 12, "inch / minute", "mm / second"),
        ("wind", "5 mph", 5, "mile / hour", "meter / second"),
        ("wind", "100 ft/min", 100, "foot / minute", "meter / second"),
        ("area", "0.05 in2", 0.05, "inch ** 2", "mm ** 2"),
    ],
)
def test_units_are_those_of_pint(kind: str, text: str, number: float, unit: str, base: str) -> None:
    """Every factor and every zero."""
    wanted = UNITS.Quantity(number, unit).to(base).magnitude
    assert parse_value(kind, text).number == pytest.approx(wanted, rel=1e-9)


def test_ways_of_writing() -> None:
    """One unit behind both figures; newtons with a caret; a ± in degrees is no temperature."""
    assert parse_length("54 7/8 ± 1/32 in") == parse_length("54 7/8 in ± 1/32 in")
    assert parse_length("1394 ± 0.5 mm").width == 0.5
    assert parse_value("stress", "250 N/mm^2").number == 250
    assert parse_value("temperature", "113 F ± 9").width == pytest.approx(5)
    assert parse_value("temperature", "113 ± 9 F").number == pytest.approx(45)
    assert parse_value("temperature", "104..122 F").number == pytest.approx(45)
    assert parse_value("torque", "1200 ft/lbs") == parse_value("torque", "1200 lb-ft")
    for kind, bad in (("torque", "1,200 lb-ft"), ("length", "35,5 mm"), ("temperature", "21,5 C")):
        with pytest.raises(TextError, match="has a comma"):
            parse_value(kind, bad)
    with pytest.raises(TextError, match="is not a length"):
        parse_length("way out, 5 in")  # words, and no comma of a number
    for bad in ("54 7/8 ± 1/32", "54 7/8 ± 1/32 mm"):
        with pytest.raises(TextError):
            parse_length(bad)
