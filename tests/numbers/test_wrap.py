"""Marking round a tube: against points found in space, independently of the formulas."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize

from planner.numbers.calculators.wrap import _extremes, _touch
from planner.numbers.quantity import Quantity
from tests.numbers.asking import ask, bad_numbers, mm, refused, rows_of

DIAMETERS = st.floats(10, 500)


def quantity(found: object) -> Quantity:
    assert isinstance(found, Quantity)
    return found


def curve(typed: dict[str, str]) -> list[float]:
    """The points of the unrolled curve."""
    out = []
    for row in rows_of(ask("wrap", typed), "curve"):
        assert isinstance(row[1], float)
        out.append(row[1])
    return out


@settings(max_examples=60, deadline=None)
@given(DIAMETERS, st.floats(0.01, 44))
def test_mismatch_and_squareness_are_each_other_s_reverse(diameter: float, squareness: float) -> None:
    there = ask("wrap", {"diameter": mm(diameter), "squareness": f"{squareness:.12f} deg"})
    assume(there.value("mismatch") < 2000)
    back = ask("wrap", {"diameter": mm(diameter), "mismatch": mm(there.value("mismatch"))})
    assert back.value("squareness") == pytest.approx(squareness, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(DIAMETERS, st.floats(0.01, 20))
def test_a_wrap_is_a_helix(diameter: float, squareness: float) -> None:
    """Walk a straight strip of thin paper round the tube in small steps and see how far along it comes out."""
    around = math.pi * diameter
    steps = np.full(1000, around / 1000)
    climb = float(np.sum(steps * math.tan(math.radians(squareness))))
    found = ask("wrap", {"diameter": mm(diameter), "squareness": f"{squareness:.12f} deg"})
    assert found.value("mismatch") == pytest.approx(climb, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(DIAMETERS, st.integers(3, 72))
def test_positions_share_the_circumference(diameter: float, count: int) -> None:
    found = ask("wrap", {"diameter": mm(diameter), "positions": str(count)})
    places = [row[1] for row in rows_of(found, "round")]
    assert places == pytest.approx([math.pi * diameter * i / count for i in range(count)])


def test_positions_are_named_by_the_clock() -> None:
    names = [row[0] for row in rows_of(ask("wrap", {"diameter": "3 in", "positions": "8"}), "round")]
    assert names == ["12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30"]


@settings(max_examples=40, deadline=None)
@given(DIAMETERS, st.floats(0.1, 75))
def test_a_mitre_lies_in_one_plane(diameter: float, angle: float) -> None:
    """The points put back on the tube fit a plane (numpy), tilted by the angle; deepest less shallowest is D tan."""
    back = np.array(curve({"diameter": mm(diameter), "cut": "mitre", "angle": f"{angle:.12f} deg"}))
    t = 2 * np.pi * np.arange(12) / 12
    points = np.column_stack([diameter / 2 * np.cos(t), diameter / 2 * np.sin(t), np.ones(12)])
    plane, *_ = np.linalg.lstsq(points, back, rcond=None)
    assert np.allclose(points @ plane, back, atol=1e-9 * diameter)
    assert math.degrees(math.atan(math.hypot(plane[0], plane[1]))) == pytest.approx(angle, rel=1e-9)
    found = ask("wrap", {"diameter": mm(diameter), "cut": "mitre", "angle": f"{angle:.12f} deg"})
    assert found.value("deepest") == pytest.approx(diameter * math.tan(math.radians(angle)), rel=1e-9)
    assert found.value("shallowest") == pytest.approx(0, abs=1e-9)


def touches(t: float, radius: float, run: float, angle: float, sideways: float) -> float:
    """How far along the tube's axis its generator at t meets the other tube, found by walking in from outside."""
    lean = math.radians(angle)
    axis = np.array([math.cos(lean), 0.0, math.sin(lean)])
    twelve = np.array([-math.sin(lean), 0.0, math.cos(lean)])
    three = np.array([0.0, 1.0, 0.0])
    foot = radius * (math.cos(t) * twelve + math.sin(t) * three) + sideways * three

    def outside(along: float) -> float:
        point = foot + along * axis
        return float(point[1] ** 2 + point[2] ** 2 - run**2)

    middle = -float(foot @ np.array([0, 0, 1])) / math.sin(lean)  # where the generator passes the other's axis
    return float(optimize.brentq(outside, middle, middle + 50 * run, xtol=1e-13, rtol=1e-14))


SADDLES = st.tuples(st.floats(20, 200), st.floats(1.05, 4), st.floats(20, 90), st.floats(-0.9, 0.9), st.floats(0, 0.4))


@settings(max_examples=30, deadline=None)
@given(SADDLES)
def test_a_saddle_touches_where_the_tubes_meet_in_space(case: tuple[float, float, float, float, float]) -> None:
    diameter, ratio, angle, part, thick = case
    onto, wall = diameter * ratio, round(diameter * thick / 2, 6)
    sideways = part * (onto - diameter) / 2
    typed = {
        "diameter": mm(diameter),
        "cut": "saddle",
        "onto": mm(onto),
        "angle": f"{angle:.12f} deg",
        "sideways": mm(sideways),
        "wall": mm(wall),
    }
    radii = np.linspace(diameter / 2 - wall, diameter / 2, 60 if wall else 1)
    if not wall:
        radii = np.array([diameter / 2])
    exact = [max(touches(2 * math.pi * i / 12, float(r), onto / 2, angle, sideways) for r in radii) for i in range(12)]
    back = curve(typed)
    shift = back[0] - exact[0]
    assert back == pytest.approx([e + shift for e in exact], abs=2e-3 * diameter if wall else 1e-7 * diameter)
    found = ask("wrap", typed)
    assert found.value("shallowest") == pytest.approx(0, abs=1e-9)
    assert min(back) >= -1e-9
    assert max(back) <= found.value("deepest") + 1e-9


def test_a_saddle_s_extremes_lie_between_the_clock_positions() -> None:
    """A fine ring of points (numpy) finds the same deepest place."""
    diameter, onto, angle, sideways = 60.0, 90.0, 50.0, 11.0
    t = np.linspace(0, 2 * np.pi, 200_001)
    lean = math.radians(angle)
    height = np.sqrt((onto / 2) ** 2 - (diameter / 2 * np.sin(t) + sideways) ** 2)
    along = (height - diameter / 2 * np.cos(t) * math.cos(lean)) / math.sin(lean)
    typed = {
        "diameter": mm(diameter),
        "cut": "saddle",
        "onto": mm(onto),
        "angle": f"{angle} deg",
        "sideways": mm(sideways),
    }
    assert ask("wrap", typed).value("deepest") == pytest.approx(float(along.max() - along.min()), rel=1e-9)


def test_a_square_saddle_is_the_same_on_both_sides() -> None:
    back = curve({"diameter": "3 in", "cut": "saddle", "onto": "4 in"})
    for i in range(1, 12):
        assert back[i] == pytest.approx(back[-i])
    assert back[0] == pytest.approx(back[6])
    assert back[0] == pytest.approx(50.8 - math.sqrt(50.8**2 - 38.1**2))
    assert back[3] == pytest.approx(0, abs=1e-9)


def test_a_straight_cut_is_a_straight_line() -> None:
    assert curve({"diameter": "3 in", "cut": "straight"}) == [0.0] * 12


def test_uncertainty_is_carried() -> None:
    """By small steps of each reading, added in quadrature."""
    plain = {
        "diameter": "60 mm",
        "cut": "saddle",
        "onto": "90 mm",
        "angle": "50 deg",
        "sideways": "11 mm",
        "wall": "5 mm",
    }
    assert rows_of(ask("wrap", plain | {"wall": "0 mm"}), "curve") != rows_of(ask("wrap", plain), "curve")
    for key, unit, half in (
        ("diameter", "mm", 0.5),
        ("onto", "mm", 0.5),
        ("angle", "deg", 0.2),
        ("sideways", "mm", 0.5),
        ("wall", "mm", 0.2),
    ):
        for output in ("deepest", "circumference"):
            said = quantity(ask("wrap", plain | {key: f"{plain[key]} ± {half}"}).results[output]).u
            step = 1e-4
            base = float(plain[key].split()[0])
            up = ask("wrap", plain | {key: f"{base + step:.6f} {unit}"}).value(output)
            down = ask("wrap", plain | {key: f"{base - step:.6f} {unit}"}).value(output)
            assert said == pytest.approx(abs(up - down) / (2 * step) * half / math.sqrt(3), rel=1e-3, abs=1e-9)


@pytest.mark.parametrize(("key", "bad"), bad_numbers(["diameter", "onto", "sideways", "wall"]))
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("wrap", {"diameter": "3 in", "cut": "saddle", "onto": "4 in", key: bad}, key)


@pytest.mark.parametrize(
    ("typed", "key", "says"),
    [
        ({"diameter": "0 in"}, "diameter", "5 mm to 2000 mm"),
        ({"diameter": "-3 in"}, "diameter", "5 mm to 2000 mm"),
        ({"diameter": "3 mm"}, "diameter", "was in meant"),
        ({"squareness": "nan deg"}, "squareness", "30 deg"),
        ({"squareness": "3"}, "squareness", "no unit"),
        ({"squareness": "46 deg"}, "squareness", "0 deg to 45 deg"),
        ({"squareness": "1 deg", "mismatch": "2 mm"}, "mismatch", "one of them"),
        ({"positions": "2"}, "positions", "3 to 72"),
        ({"positions": "7.5"}, "positions", "not a whole number"),
        ({"cut": "oblique"}, "cut", "straight, mitre, saddle"),
        ({"angle": "30 deg"}, "cut", "is missing"),
        ({"cut": "mitre"}, "angle", "is missing"),
        ({"cut": "mitre", "angle": "0 deg"}, "angle", "more than 0"),
        ({"cut": "mitre", "angle": "80 deg"}, "angle", "at most 75"),
        ({"cut": "mitre", "angle": "30 deg", "onto": "4 in"}, "onto", "not used by a mitre"),
        ({"cut": "straight", "angle": "30 deg"}, "angle", "not used by a straight"),
        ({"cut": "saddle"}, "onto", "is missing"),
        ({"cut": "saddle", "onto": "2 in"}, "onto", "at least 3 in"),
        ({"cut": "saddle", "onto": "4 in", "sideways": "20 mm"}, "onto", "at least 4 19/32 in"),
        ({"cut": "saddle", "onto": "4 in", "angle": "10 deg"}, "angle", "15 to 90 deg"),
        ({"cut": "saddle", "onto": "4 in", "wall": "1.5 in"}, "wall", "less than 1 1/2 in"),
    ],
)
def test_bad_input_says_what_is_allowed(typed: dict[str, str], key: str, says: str) -> None:
    assert says in refused("wrap", {"diameter": "3 in"} | typed, key)


@given(
    st.floats(5.0, 50.0),
    st.floats(1.0, 3.0),
    st.floats(-1.0, 1.0),
    st.floats(0.0, 0.9),
    st.floats(15.0, 90.0),
)
def test_extremes_are_found_on_bare_numbers_in_few_looks(
    radius: float, times: float, aside: float, wall: float, angle: float
) -> None:
    """Nothing on a ring 20 times finer lies beyond them, and the curve is looked at less than 180 times."""
    run = radius * times
    shape = (radius, run, aside * (run - radius), wall * radius, angle)
    looks = 0

    def looked(t: float) -> float:
        nonlocal looks
        looks += 1
        found = _touch(shape, t)[0]
        assert type(found) is float
        return found

    deepest, shallowest = _extremes(looked)
    assert looks < 180
    fine = [_touch(shape, 2 * math.pi * i / 1920)[0] for i in range(1920)]
    near = 1e-4 * radius  # a kink between two points of the ring is closed in on, not solved
    assert looked(deepest) >= max(fine) - near
    assert looked(shallowest) <= min(fine) + near
