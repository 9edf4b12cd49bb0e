"""Heat input, preheat, cooling from 800 to 500 C and shrinkage: against pint, sympy, finite differences, numpy."""

from __future__ import annotations

import math

import numpy as np
import pint
import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from planner.numbers.calculators.preheating import cooling_thick, cooling_thin, method_b, transition
from planner.numbers.quantity import Quantity
from planner.numbers.registry import calculator
from tests.numbers.asking import ask, bad_numbers, mm, refused

UNIT: pint.UnitRegistry[float] = pint.UnitRegistry()
STEEL = {"metal": "plain-steel", "carbon": "0.18", "manganese": "1.0", "thickness": "6 mm"}
ARC = {"process": "135", "volts": "20 V", "amps": "150 A"}
heats, warms = st.floats(0.3, 3.0), st.floats(0, 250)


@settings(max_examples=40, deadline=None)
@given(st.floats(10, 40), st.floats(30, 400), st.floats(2, 40))
def test_heat_input_whatever_the_unit(volts: float, amps: float, inches: float) -> None:
    """PyPI pint on the same formula in other units."""
    wanted = 0.8 * (volts * UNIT.volt) * (amps * UNIT.ampere) / (inches * UNIT.inch / UNIT.minute)
    typed = {**ARC, "volts": f"{volts:.9f} V", "amps": f"{amps:.9f} A", "travel": f"{inches:.9f} in/min"}
    assert ask("arc", typed).value("heat") == pytest.approx(wanted.to("kJ/mm").magnitude, rel=1e-6)


def test_run_and_took_are_travel() -> None:
    """And wire fed over the time it took is the wire used."""
    found = ask("arc", {**ARC, "run": "1 in", "took": "8 s", "wire": "0.9 mm", "feed": "5 m/min"})
    assert found.value("travel") == pytest.approx(25.4 / 8)
    assert found.value("wire-used") == pytest.approx(5000 / 60 * 8)
    volume = math.pi / 4 * 0.9**2 * 5000 / 60 * 8
    assert found.value("mass") == pytest.approx(volume * 7.85e-3)
    assert found.value("laid") == pytest.approx(volume / 25.4)


def test_the_doubt_of_heat_is_that_of_its_readings() -> None:
    """Relative doubts in quadrature."""
    cell = ask("arc", {**ARC, "volts": "20 V ± 1", "amps": "150 A ± 15", "travel": "5 mm/s ± 0.5"}).results["heat"]
    assert isinstance(cell, Quantity)
    assert cell.u / cell.value == pytest.approx(math.sqrt((0.05**2 + 0.1**2 + 0.1**2) / 3))


parts = st.lists(st.integers(0, 250), min_size=9, max_size=9)


@settings(max_examples=40, deadline=None)
@given(parts)
def test_carbon_equivalents_are_weighted_sums(thousandths: list[int]) -> None:
    """numpy's product with the published weights."""
    names = ("carbon", "silicon", "manganese", "chromium", "molybdenum", "vanadium", "nickel", "copper", "boron")
    x = np.array(thousandths) / 1000.0
    x[8] /= 10
    typed = {**STEEL, **{name: f"{value:.6f} %" for name, value in zip(names, x, strict=True)}}
    found = ask("preheat", typed)
    ce = np.array([1, 0, 1 / 6, 1 / 5, 1 / 5, 1 / 5, 1 / 15, 1 / 15, 0])
    cet = np.array([1, 0, 0.1, 0.05, 0.1, 0, 1 / 40, 0.05, 0])
    pcm = np.array([1, 1 / 30, 0.05, 0.05, 1 / 15, 0.1, 1 / 60, 0.05, 5])
    assert found.value("ce") == pytest.approx(float(ce @ x), abs=1e-9)
    assert found.value("cet") == pytest.approx(float(cet @ x), abs=1e-9)
    assert found.value("pcm") == pytest.approx(float(pcm @ x), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(st.floats(0.2, 0.48), st.floats(10, 88), st.floats(1, 19), st.floats(0.5, 3.9))
def test_preheat_rises_with_what_cracks(cet: float, thick: float, hydrogen: float, heat: float) -> None:
    """More alloy, wall or hydrogen asks for more; more heat for less. And the slope by CET is sympy's."""
    base = method_b(cet, thick, hydrogen, heat)
    assert method_b(cet + 0.01, thick, hydrogen, heat) > base
    assert method_b(cet, thick + 1, hydrogen, heat) > base
    assert method_b(cet, thick, hydrogen + 0.5, heat) > base
    assert method_b(cet, thick, hydrogen, heat + 0.1) < base
    c, d, h, q = sympy.symbols("c d h q", positive=True)
    written = 697 * c + 160 * sympy.tanh(d / 35) + 62 * h ** sympy.Rational(35, 100) + (53 * c - 32) * q - 328
    at = {c: cet, d: thick, h: hydrogen, q: heat}
    assert base == pytest.approx(float(written.subs(at)), abs=1e-6)
    rise = (method_b(cet + 1e-5, thick, hydrogen, heat) - base) / 1e-5
    assert rise == pytest.approx(float(sympy.diff(written, c).subs(at)), rel=1e-4)


def test_outside_its_range_preheat_takes_the_side_that_asks_for_more_or_says_so() -> None:
    """A thin wall is taken as 10 mm, a hot bead as 4 kJ/mm; much hydrogen is said to be asked too little for."""
    thin = ask("preheat", {**STEEL, "hydrogen": "5", "heat": "1 kJ/mm"})
    assert thin.value("by-cet") == pytest.approx(method_b(0.28, 10.0, 5.0, 1.0))
    assert any("10 mm is taken" in each for each in thin.warnings)
    hot = ask("preheat", {**STEEL, "thickness": "30 mm", "hydrogen": "5", "heat": "6 kJ/mm"})
    assert hot.value("by-cet") == pytest.approx(method_b(0.28, 30.0, 5.0, 4.0))
    assert not any("TOO LITTLE" in each for each in hot.warnings)
    for key, value in (("hydrogen", "30"), ("heat", "0.2 kJ/mm")):
        assert any("TOO LITTLE" in each for each in ask("preheat", {**STEEL, key: value}).warnings), key
    cold = ask("preheat", {**STEEL, "thickness": "60 mm", "heat": "1 kJ/mm", "metal-at": "5 C"})
    assert any("COLDER THAN THE LEAST" in each for each in cold.warnings)


def seconds_of(times: np.ndarray, middle: np.ndarray) -> float:
    """Between 800 and 500 on a falling curve."""
    at = np.interp([-800.0, -500.0], -middle, times)
    return float(at[1] - at[0])


@settings(max_examples=4, deadline=None)
@given(heats, warms)
def test_thick_plate_by_finite_differences(heat: float, warm: float) -> None:
    """A line of heat along the surface of a deep body, conducted outward by scipy on rings round it."""
    conductivity, capacity = 1e6 / (2 * math.pi * (6700 - 5 * warm)), 5e6
    spread = conductivity / capacity
    begin = heat * 1e6 / (2 * math.pi * conductivity * (1200 - warm))
    far = 9 * math.sqrt(spread * 8 * begin)
    r = (np.arange(300) + 0.5) * far / 300
    start = warm + (1200 - warm) * np.exp(-(r**2) / (4 * spread * begin))
    edge = np.arange(1, 300) * far / 300

    def slope(_: float, t: np.ndarray) -> np.ndarray:
        flow = np.concatenate([[0.0], edge * np.diff(t) / (r[1] - r[0]), [0.0]])
        return np.asarray(spread * np.diff(flow) / (r * (r[1] - r[0])))

    found = solve_ivp(slope, (0.0, 4 * begin), start, method="BDF", rtol=1e-6, atol=1e-3, max_step=begin / 20)
    assert seconds_of(found.t, found.y[0]) == pytest.approx(cooling_thick(heat, warm), rel=0.02)


@settings(max_examples=4, deadline=None)
@given(heats, warms, st.floats(2, 8))
def test_thin_plate_by_finite_differences(heat: float, warm: float, thick: float) -> None:
    """A line of heat through a thin plate, conducted sideways by scipy."""
    product = 1e18 / (4 * math.pi * (4300 - 4.3 * warm) * 1e5)  # conductivity x heat capacity
    spread, capacity = 30.0**2 / product, product / 30.0
    begin = (heat * 1e9 / thick / (1200 - warm)) ** 2 / (4 * math.pi * product)
    far = 9 * math.sqrt(spread * 10 * begin)
    x = (np.arange(300) + 0.5) * far / 300
    start = warm + (1200 - warm) * np.exp(-(x**2) / (4 * spread * begin))
    assert capacity > 0

    def slope(_: float, t: np.ndarray) -> np.ndarray:
        flow = np.concatenate([[0.0], np.diff(t), [0.0]])
        return np.asarray(spread * np.diff(flow) / (x[1] - x[0]) ** 2)

    found = solve_ivp(slope, (0.0, 15 * begin), start, method="BDF", rtol=1e-6, atol=1e-3, max_step=begin / 10)
    assert seconds_of(found.t, found.y[0]) == pytest.approx(cooling_thin(heat, warm, thick), rel=0.02)


@settings(max_examples=60, deadline=None)
@given(heats, warms, st.floats(1, 60))
def test_the_longer_of_thin_and_thick_counts(heat: float, warm: float, thick: float) -> None:
    """They meet at the transition; hotter metal, more heat and a thinner wall cool more slowly."""
    d = transition(heat, warm)
    assert cooling_thick(heat, warm) == pytest.approx(cooling_thin(heat, warm, d))
    typed = {**STEEL, "thickness": mm(thick), "heat": f"{heat:.9f} kJ/mm", "metal-at": f"{warm:.9f} C", "joint": "bead"}
    found = ask("preheat", typed).value("t8-5")
    wanted = cooling_thin(heat, warm, thick) if thick < d else cooling_thick(heat, warm)
    assert found == pytest.approx(wanted, rel=1e-5)
    assert found >= max(cooling_thick(heat, warm), 0) * (1 - 1e-6)
    assert ask("preheat", {**typed, "heat": f"{heat + 0.1:.9f} kJ/mm"}).value("t8-5") > found
    assert ask("preheat", {**typed, "metal-at": f"{warm + 5:.9f} C"}).value("t8-5") > found


def test_arc_hands_its_heat_to_preheat_and_shrink_its_shrinkage_to_narrow() -> None:
    """By what is declared."""
    taken = {each.key: each.taken for each in (*calculator("preheat").inputs, *calculator("narrow").inputs)}
    assert taken["heat"] == "arc.heat"
    assert taken["shrinkage"] == "shrink.shrinkage"


PREPARED = {"thickness": "6 mm", "gap": "2 mm", "angle": "60 deg", "face": "1.5 mm"}


def test_shrinkage_is_a_range_of_which_both_rules_are_ends() -> None:
    """Its rectangular half-width reaches from one rule to the other."""
    found = ask("shrink", PREPARED)
    cell = found.results["shrinkage"]
    assert isinstance(cell, Quantity)
    half = cell.u * math.sqrt(3)
    assert cell.value - half == pytest.approx(found.value("rule-least"))
    assert cell.value + half == pytest.approx(found.value("rule-most"))
    area = 2 * 6 + 4.5**2 * math.tan(math.radians(30))
    assert found.value("weld-area") == pytest.approx(area)
    assert any("coupon" in each for each in found.warnings)


def test_a_coupon_narrows_it() -> None:
    """Calipers over marks: the reading counts, with a quarter for the next joint."""
    found = ask("shrink", {**PREPARED, "coupon-before": "100 mm ± 0.02", "coupon-after": "99.4 mm ± 0.02"})
    cell = found.results["shrinkage"]
    assert isinstance(cell, Quantity)
    assert cell.value == pytest.approx(0.6)
    assert cell.u * math.sqrt(3) == pytest.approx(math.hypot(0.02, 0.02, 0.15))
    far = ask("shrink", {**PREPARED, "coupon-before": "100 mm ± 0.02", "coupon-after": "95 mm ± 0.02"})
    assert any("far outside" in each for each in far.warnings)


@pytest.mark.parametrize(
    ("name", "typed", "key"),
    [
        ("arc", ARC, "travel"),
        ("arc", {**ARC, "run": "1 in"}, "travel"),
        ("arc", {**ARC, "travel": "5 mm/s", "took": "8 s"}, "took"),
        ("arc", {**ARC, "travel": "5 mm/s", "wire": "0.9 mm"}, "feed"),
        ("arc", {**ARC, "travel": "5 mm/s", "process": "137"}, "process"),
        ("arc", {**ARC, "travel": "0 mm/s"}, "travel"),
        ("arc", {**ARC, "travel": "5 mm"}, "travel"),
        ("arc", {**ARC, "volts": "20 A", "travel": "5 mm/s"}, "volts"),
        *(("preheat", {**STEEL, "metal": each}, "metal") for each in ("cast", "unknown", "stainless", "aluminium")),
        ("preheat", {**STEEL, "carbon": "0.4"}, "carbon"),
        ("preheat", {**STEEL, "carbon": "3.2"}, "carbon"),
        ("preheat", {**STEEL, "carbon": "0.3", "chromium": "6"}, "carbon"),
        ("preheat", {**STEEL, "heat": "1 mm"}, "heat"),
        ("shrink", {**PREPARED, "face": "7 mm"}, "face"),
        ("shrink", {"thickness": "6 mm"}, "area"),
        ("shrink", {**PREPARED, "area": "20 mm2", "angle": "", "face": "1 mm"}, "face"),
        ("shrink", {**PREPARED, "coupon-before": "100 mm"}, "coupon-after"),
        ("shrink", {**PREPARED, "coupon-before": "100 mm ± 0.1", "coupon-after": "101 mm ± 0.1"}, "coupon-after"),
        ("shrink", {**PREPARED, "coupon-before": "100 mm", "coupon-after": "80 mm"}, "coupon-after"),
        *(("shrink", {**PREPARED, key: value}, key) for key, value in bad_numbers(["thickness", "gap"])),
    ],
)
def test_what_cannot_be(name: str, typed: dict[str, str], key: str) -> None:
    """One line that names the input."""
    assert "\n" not in refused(name, typed, key)
