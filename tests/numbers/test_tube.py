"""Round tube: section values and bending, against integration, a finite element section and simple identities."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate
from sectionproperties.analysis.section import Section
from sectionproperties.pre.library.steel_sections import circular_hollow_section

from tests.numbers.asking import ask, bad_numbers, mm, refused

TUBES = st.tuples(st.floats(12, 390), st.floats(0.02, 0.45)).map(lambda t: (t[0], min(100.0, max(0.5, t[0] * t[1]))))


@settings(max_examples=60, deadline=None)
@given(TUBES)
def test_section_values_are_the_integrals_over_the_metal(tube: tuple[float, float]) -> None:
    """Area, second and polar moment by numerical integration over rings (scipy)."""
    diameter, wall = tube
    found = ask("tube", {"diameter": mm(diameter), "wall": mm(wall)})
    low, high = diameter / 2 - wall, diameter / 2
    area, _ = integrate.quad(lambda r: 2 * math.pi * r, low, high)
    polar, _ = integrate.quad(lambda r: 2 * math.pi * r**3, low, high)
    about, _ = integrate.dblquad(lambda t, r: (r * math.sin(t)) ** 2 * r, low, high, 0, 2 * math.pi)
    assert found.value("area") == pytest.approx(area, rel=1e-9)
    assert found.value("torsion-constant") == pytest.approx(polar, rel=1e-9)
    assert found.value("second-moment") == pytest.approx(about, rel=1e-6)
    assert found.value("section-modulus") == pytest.approx(about / high, rel=1e-6)
    assert found.value("gyration") == pytest.approx(math.sqrt(about / area), rel=1e-6)


@pytest.mark.parametrize(("diameter", "wall"), [(76.2, 6.35), (89.0, 8.0), (60.0, 20.0)])
def test_a_finite_element_section_agrees(diameter: float, wall: float) -> None:
    """PyPI sectionproperties, within 0.2 %."""
    shape = circular_hollow_section(d=diameter, t=wall, n=160)
    shape.create_mesh(mesh_sizes=[wall**2 / 2])
    section = Section(shape)
    section.calculate_geometric_properties()
    section.calculate_warping_properties()
    found = ask("tube", {"diameter": mm(diameter), "wall": mm(wall)})
    assert found.value("area") == pytest.approx(section.get_area(), rel=2e-3)
    assert found.value("second-moment") == pytest.approx(section.get_ic()[0], rel=2e-3)
    assert found.value("section-modulus") == pytest.approx(section.get_z()[0], rel=2e-3)
    assert found.value("torsion-constant") == pytest.approx(section.get_j(), rel=2e-3)


LOADED = st.tuples(st.floats(20, 300), st.floats(100, 60_000), st.floats(30, 900), st.floats(50, 1500))


@settings(max_examples=40, deadline=None)
@given(LOADED)
def test_deflection_is_the_double_integral_of_the_curvature(case: tuple[float, float, float, float]) -> None:
    """The axle's line integrated from its middle outwards (numpy): level there, on the perch, then out to the wheel."""
    diameter, load, arm, span = case
    wall = diameter / 10
    typed = {"diameter": mm(diameter), "wall": mm(wall), "load": f"{load:.9f} N", "arm": mm(arm), "span": mm(span)}
    found = ask("tube", typed)
    stiff = 200_000 * found.value("second-moment")
    x = np.linspace(0, span / 2 + arm, 200_001)
    moment = load * np.minimum(arm, span / 2 + arm - x)
    slope = integrate.cumulative_trapezoid(moment / stiff, x, initial=0)
    line = integrate.cumulative_trapezoid(slope, x, initial=0)
    expected = line[-1] - np.interp(span / 2, x, line)
    assert found.value("deflection") == pytest.approx(expected, rel=1e-5)
    assert found.value("stress") == pytest.approx(load * arm / found.value("section-modulus"), rel=1e-9)


def test_narrowing_shortens_the_arm_and_lowers_stress_in_proportion() -> None:
    typed = {"diameter": "3 in", "wall": "1/4 in", "load": "1000 lbf", "arm": "10 in", "arm-after": "5 in"}
    found = ask("tube", typed)
    assert found.value("stress-after") == pytest.approx(found.value("stress") / 2)
    assert found.value("deflection-after") == pytest.approx(found.value("deflection") / 8)
    assert any("planning aid" in warning for warning in found.warnings)


@settings(max_examples=50, deadline=None)
@given(TUBES)
def test_inches_and_millimetres_agree(tube: tuple[float, float]) -> None:
    diameter, wall = round(tube[0] / 25.4, 3), round(tube[1] / 25.4, 4)
    inches = ask("tube", {"diameter": f"{diameter:.3f} in", "wall": f"{wall:.4f} in"})
    metric = ask("tube", {"diameter": f"{diameter * 25.4:.9f} mm", "wall": f"{wall * 25.4:.9f} mm"})
    for key in ("area", "second-moment", "section-modulus", "torsion-constant"):
        assert inches.value(key) == pytest.approx(metric.value(key), rel=1e-9)


def test_the_reading_that_dominates_is_named() -> None:
    found = ask("tube", {"diameter": "3 in ± 1/64", "wall": "1/4 in ± 0.001"})
    area = found.results["area"]
    assert getattr(area, "dominant", None) == "tube.diameter"
    spread = math.pi * 6.35 * 25.4 / 64 / math.sqrt(3)  # d(area)/d(diameter) at a fixed wall is pi x wall
    other = math.pi * (76.2 - 2 * 6.35) * 0.001 * 25.4 / math.sqrt(3)
    assert getattr(area, "u", None) == pytest.approx(math.hypot(spread, other), rel=1e-9)


@pytest.mark.parametrize(("key", "bad"), bad_numbers(["diameter", "wall", "arm", "span"]))
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    typed = {"diameter": "3 in", "wall": "1/4 in", "load": "1000 lbf", "arm": "10 in", "span": "30 in", key: bad}
    refused("tube", typed, key)


@pytest.mark.parametrize(
    ("change", "key", "says"),
    [
        ({"wall": "1.5 in"}, "wall", "must be less than 1 1/2 in"),
        ({"wall": "0 mm"}, "wall", "0.5 mm to 100 mm"),
        ({"diameter": "-3 in"}, "diameter", "10 mm to 400 mm"),
        ({"diameter": "3 mm"}, "diameter", "was in meant"),
        ({"load": "0 N"}, "load", "1 N to 200000 N"),
        ({"load": "1000"}, "load", "no unit"),
        ({"load": ""}, "load", "is missing"),
        ({"arm": ""}, "arm", "is missing"),
        ({"span-after": "20 in"}, "arm-after", "is missing"),
        ({"modulus": "0 MPa"}, "modulus", "1000 MPa"),
    ],
)
def test_bad_input_says_what_is_allowed(change: dict[str, str], key: str, says: str) -> None:
    typed = {"diameter": "3 in", "wall": "1/4 in", "load": "1000 lbf", "arm": "10 in"} | change
    assert says in refused("tube", typed, key)


def test_it_says_that_the_weld_sits_where_the_moment_is_full() -> None:
    loaded = {"diameter": "3 in", "wall": "1/4 in", "load": "1500 lbf", "arm": "11 in"}
    for typed in (loaded, loaded | {"span": "40 in"}):
        assert any("full" in each and "joint" in each for each in ask("tube", typed).warnings)
