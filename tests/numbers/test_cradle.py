"""The cradle: laid out again in one row, the V solved by its normals, and every refusal's own remedy tried."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping

import numpy as np
import pytest
import uncertainties
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize
from uncertainties import umath

from planner.numbers.calculator import RefusedError
from planner.numbers.quantity import Quantity
from tests.numbers.asking import ask, bad_numbers, mm, refusals, refused, rows_of, text_of

PLAIN = {"plates": "50 in", "differential": "12 in", "tube": "3 in", "clearance": "1/2 in"}
SIDES = ("driver", "passenger")

LAYOUTS = st.fixed_dictionaries(
    {
        "plates": st.floats(900, 1800),
        "differential": st.floats(150, 350),
        "differential-offset": st.floats(-60, 60),
        "clearance": st.floats(0, 20),
        "differential-clearance": st.floats(0, 20),
        "upright-width": st.floats(0, 60),
        "inset": st.floats(0, 20),
        "window": st.floats(0, 60),
        "tube": st.floats(60, 90),
    }
)


@settings(max_examples=80, deadline=None)
@given(LAYOUTS, st.integers(2, 5), st.floats(0.35, 0.8))
def test_everything_fits_between_the_plates(case: dict[str, float], count: int, where: float) -> None:
    """All places on one axis from the driver's plate face: nothing overlaps, nothing hangs over, all adds up."""
    typed = {key: mm(value) for key, value in case.items()} | {"uprights": str(count)}
    joint = where * (case["plates"] - case["differential"]) / 2
    typed["first-line"] = mm(joint)
    try:
        found = ask("cradle", typed)
    except RefusedError:
        assume(False)
    c, plates = case["clearance"], case["plates"]
    driver, passenger = (found.value("half", side) for side in SIDES)
    middle = plates / 2 + case["differential-offset"]
    gap = (middle - case["differential"] / 2 - case["differential-clearance"],
           middle + case["differential"] / 2 + case["differential-clearance"])  # fmt: skip
    assert c + driver == pytest.approx(gap[0])
    assert plates - c - passenger == pytest.approx(gap[1])
    assert found.value("gap") == pytest.approx(gap[1] - gap[0])
    assert found.value("length") == pytest.approx(driver + found.value("gap") + passenger)
    assert found.value("length") <= plates + 1e-9
    for side, half in zip(SIDES, (driver, passenger), strict=True):
        edge = case["inset"] + case["upright-width"] / 2
        assert found.value("upright-outer", side) == pytest.approx(edge)
        assert half - found.value("upright-inner", side) == pytest.approx(edge)
        places = [row[1] for row in rows_of(found, "upright-places") if str(row[0]).startswith(side)]
        assert len(places) == count
        assert np.allclose(np.diff(np.array(places, dtype=float)), (half - 2 * edge) / (count - 1))
        rests = found.value("loose-rests", side)
        assert rests >= case["tube"] - 1e-6
        assert c + rests + case["window"] / 2 == pytest.approx(joint)
        if case["window"] > 1e-6:
            assert found.value("window-from", side) == pytest.approx(rests)
            assert found.value("window-to", side) <= half + 1e-6
        assert 0 < found.value("bears", side) <= 1 + 1e-9


@settings(max_examples=60, deadline=None)
@given(st.floats(20, 300), st.floats(60, 120))
def test_the_tube_touches_both_legs(diameter: float, vee: float) -> None:
    """The centre is where its distance to either leg is the radius (scipy); the contact is the foot of that normal."""
    assume(diameter < 290)
    typed = PLAIN | {"plates": "2000 mm", "tube": mm(diameter), "vee": f"{vee:.12f} deg", "differential": "300 mm"}
    found = ask("cradle", typed)
    half = math.radians(vee / 2)
    leg = np.array([math.sin(half), math.cos(half)])  # up the right leg, from the root

    def over(height: float) -> float:
        centre = np.array([0.0, height])
        return float(np.linalg.norm(centre - (centre @ leg) * leg)) - diameter / 2

    height = optimize.brentq(over, 1e-6, 10 * diameter)
    foot = (np.array([0.0, height]) @ leg) * leg
    assert found.value("centre-height") == pytest.approx(height, rel=1e-9)
    assert found.value("contact", "driver") == pytest.approx(float(np.linalg.norm(foot)), rel=1e-9)
    assert found.value("contact-apart", "driver") == pytest.approx(2 * float(foot[0]), rel=1e-9)
    below = math.degrees(math.atan2(foot[0], height - foot[1]))
    assert found.value("contact-angle") == pytest.approx(below, rel=1e-9)


def test_packing_brings_every_support_to_one_height() -> None:
    tubes = {"driver": "3 in", "passenger": "2 3/4 in"}
    inner = {"driver": "3 1/4 in", "passenger": "3 in"}
    found = ask("cradle", PLAIN | {"tube": tubes, "tube-inner": inner})
    top = found.value("centre-height")
    diameters = {
        ("driver", "outer"): 3,
        ("driver", "inner"): 3.25,
        ("passenger", "outer"): 2.75,
        ("passenger", "inner"): 3,
    }
    for (side, spot), diameter in diameters.items():
        packed = diameter * 25.4 / 2 + found.value(f"packing-{spot}", side)
        assert packed * math.sqrt(2) == pytest.approx(top)
        assert diameter * 25.4 / 2 * math.sqrt(2) + found.value(f"lift-{spot}", side) == pytest.approx(top)
    assert found.value("packing-inner", "driver") == 0


@settings(max_examples=60, deadline=None)
@given(LAYOUTS, st.floats(20, 800))
def test_a_refused_first_line_names_one_that_does(case: dict[str, float], line: float) -> None:
    typed = {key: mm(value) for key, value in case.items()}
    try:
        ask("cradle", typed | {"first-line": mm(line)})
    except RefusedError as error:
        for key, says in error.problems:
            if not key.startswith("first-line"):
                continue
            side = key.partition(".")[2]
            found = re.search(r"at (least|most) ([-\d /]+ in)", says)
            assert found is not None
            other = SIDES[1 - SIDES.index(side)]
            fixed = {side: found[2], other: mm(line)}
            try:
                ask("cradle", typed | {"first-line": fixed})
            except RefusedError as again:
                assert key not in [row[0] for row in again.problems], (says, again.problems)


@settings(max_examples=40, deadline=None)
@given(LAYOUTS)
def test_swapping_sides_swaps_results(case: dict[str, float]) -> None:
    typed = {key: mm(value) for key, value in case.items()}
    turned = typed | {"differential-offset": mm(-case["differential-offset"])}
    try:
        one, two = ask("cradle", typed), ask("cradle", turned)
    except RefusedError:
        assume(False)
    for key in ("half", "upright-inner", "bears", "contact"):
        assert one.value(key, "driver") == pytest.approx(two.value(key, "passenger"))
        assert one.value(key, "passenger") == pytest.approx(two.value(key, "driver"))


def test_inches_and_millimetres_agree() -> None:
    inches = ask("cradle", PLAIN)
    metric = ask("cradle", {"plates": "1270 mm", "differential": "304.8 mm", "tube": "76.2 mm", "clearance": "12.7 mm"})
    for key in ("length", "gap", "half", "centre-height", "bears"):
        assert inches.value(key) == pytest.approx(metric.value(key), rel=1e-9)


def test_uncertainty_is_that_of_the_uncertainties_library() -> None:
    """Readings that enter a result twice must cancel or double (PyPI uncertainties)."""
    half = 1 / math.sqrt(3)
    plates, wide = uncertainties.ufloat(1270, 2 * half), uncertainties.ufloat(300, 1 * half)
    line, tube = uncertainties.ufloat(150, 0.8 * half), uncertainties.ufloat(76.2, 0.4 * half)
    typed = {
        "plates": "1270 mm ± 2",
        "differential": "300 mm ± 1",
        "tube": "76.2 mm ± 0.4",
        "first-line": "150 mm ± 0.8",
    }
    found = ask("cradle", typed | {"window": "40 mm", "clearance": "10 mm", "out-of-line": "1 mm"})
    length, side = plates - 20, (plates - 20 - wide) / 2
    for key, wanted in (
        ("length", length),
        ("half", side),
        ("bears", (side - 40) / ((plates - wide) / 2)),
        ("loose-rests", line - 10 - 20),
        ("centre-height", tube / 2 * math.sqrt(2)),
        ("packing-outer", tube - tube),
        ("tilt", umath.degrees(umath.atan(1 / side))),
    ):
        result = found.results[key]
        one = result["driver"] if isinstance(result, Mapping) else result
        assert isinstance(one, Quantity)
        assert one.value == pytest.approx(wanted.nominal_value, rel=1e-9)
        assert one.u == pytest.approx(wanted.std_dev, rel=1e-9, abs=1e-12), key


def test_the_cut_list_feeds_bars() -> None:
    found = ask("cradle", PLAIN | {"differential-offset": "1 in", "upright-height": "10 in", "uprights": "3"})
    bars = ask("bars", {"stock": "20 ft", "kerf": "1/8 in", "pieces": text_of(found, "pieces")})
    wanted = found.value("length") - found.value("gap") + 6 * 254
    assert bars.value("bars") * 6096 - bars.value("waste") == pytest.approx(wanted)
    rows = rows_of(found, "cut-list")
    assert [row[0] for row in rows] == [1, 1, 6]


def test_tilt_is_the_slope_of_one_half_against_the_other() -> None:
    typed = PLAIN | {"differential-offset": "1 in"}  # halves of 19 1/2 and 17 1/2
    found = ask("cradle", typed | {"out-of-line": "1 mm"})
    assert found.value("tilt") == pytest.approx(math.degrees(math.atan(1 / (17.5 * 25.4))))
    assert any("tapered roller" in warning for warning in found.warnings)
    fine = ask("cradle", typed | {"out-of-line": "1 mm", "bearing": "deep-groove-ball"})
    assert any("doubtful" in warning for warning in fine.warnings)
    worse = ask("cradle", typed | {"out-of-line": "2 mm", "bearing": "tapered-roller"})
    assert any("MORE TILT" in warning for warning in worse.warnings)
    true = ask("cradle", typed | {"out-of-line": "0 mm", "bearing": "tapered-roller"})
    assert true.value("tilt") == 0
    assert not any("tilt" in warning.lower() for warning in true.warnings)


def test_what_is_doubtful_is_said() -> None:
    bare = ask("cradle", {"plates": "50 in", "differential": "12 in", "tube": "3 in"})
    assert any("no clearance" in warning for warning in bare.warnings)
    assert any("no first line" in warning for warning in bare.warnings)
    assert bare.value("length") == pytest.approx(1270)
    lined = ask("cradle", PLAIN | {"first-line": "6 in"})
    assert any("no window" in warning for warning in lined.warnings)
    blocked = ask("cradle", PLAIN | {"first-line": "9 in", "window": "2 in", "uprights": "3", "upright-width": "2 in"})
    assert any("upright 2 on the driver side" in warning for warning in blocked.warnings)
    uneven = ask("cradle", PLAIN | {"differential-offset": "1 in"})
    assert any("HALVES DIFFER" in warning for warning in uneven.warnings)
    assert not any("HALVES DIFFER" in warning for warning in lined.warnings)


def test_a_loose_end_on_less_than_one_diameter_is_refused_side_by_side() -> None:
    lines = {"driver": "4 15/32 in", "passenger": "4 1/2 in"}
    says = refused("cradle", PLAIN | {"window": "2 in", "first-line": lines}, "first-line.driver")
    assert "at least 4 1/2 in" in says
    odd = PLAIN | {"tube": "76 mm", "window": "2 in", "first-line": "4 in"}  # 76 + 12.7 + 25.4 = 114.1 mm
    assert all("at least 4 1/2 in" in says for _, says in refusals("cradle", odd))


def test_a_joint_off_the_half_is_refused() -> None:
    says = dict(refusals("cradle", PLAIN | {"window": "2 in", "first-line": "19 in"}))
    assert set(says) == {"first-line.driver", "first-line.passenger"}
    assert "at most 18 in" in says["first-line.driver"]


def test_sides_other_than_two_are_refused() -> None:
    with pytest.raises(RefusedError, match="2 sides"):
        ask("cradle", PLAIN, ("left",))


@pytest.mark.parametrize(
    ("key", "bad"),
    bad_numbers(["plates", "differential", "differential-offset", "clearance", "tube", "window", "leg", "out-of-line"]),
)
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("cradle", PLAIN | {key: bad}, key)


@pytest.mark.parametrize(
    ("change", "key", "says"),
    [
        ({"plates": ""}, "plates", "is missing"),
        ({"differential": "0 in"}, "differential", "20 mm to 2000 mm"),
        ({"tube": "-3 in"}, "tube", "20 mm to 300 mm"),
        ({"tube": "3 mm"}, "tube", "was in meant"),
        ({"differential": "46 in", "differential-offset": "0 in"}, "differential", "at least 3 in"),
        ({"leg": "1 1/2 in", "leg-thickness": "1/8 in"}, "leg", "at least 1 5/8 in"),
        ({"leg-thickness": "1/8 in"}, "leg", "is missing"),
        ({"uprights": "1"}, "uprights", "2 to 12"),
        ({"uprights": "2.5"}, "uprights", "whole number"),
        ({"vee": "30 deg"}, "vee", "60 deg to 120 deg"),
        ({"bearing": "tapered-roller"}, "out-of-line", "is missing"),
        ({"bearing": "plain"}, "bearing", "deep-groove-ball"),
    ],
)
def test_bad_input_says_what_is_allowed(change: dict[str, str], key: str, says: str) -> None:
    assert all(says in said for found, said in refusals("cradle", PLAIN | change) if found == key)
    assert {found for found, _ in refusals("cradle", PLAIN | change)} == {key}
