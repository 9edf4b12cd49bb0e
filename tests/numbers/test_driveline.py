"""Driveline: against the joint's exact motion in space (numpy), step by step round a turn."""

from __future__ import annotations

import math

import numpy as np
import numpy.typing as npt
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from scipy import optimize

from planner.numbers.quantity import Quantity, reading, through
from tests.numbers.asking import ask, bad_numbers, mm, refusals, refused

Array = npt.NDArray[np.float64]
LAYOUT = {"gearbox": "3 deg", "pinion": "2.5 deg", "drop": "100 mm", "shaft": "1270 mm", "speed": "3000 rpm"}


def turned(first: Array, second: Array, angles: Array, arm: Array) -> tuple[Array, Array]:
    """A cross joint: where the driven fork's arm points for each direction of the driving fork's arm."""
    driven = np.cross(second, arm)
    driven /= np.linalg.norm(driven, axis=1)[:, None]
    side = driven[0]
    other = np.cross(second, side)
    angle = np.unwrap(np.arctan2(driven @ other, driven @ side))
    assert np.all(np.diff(angle) > 0) or len(angles) == 1
    return driven, angle


def ring(axis: Array, angles: Array) -> Array:
    """An arm square to an axis, at each angle."""
    side = np.cross(axis, [0.0, 0.3, 1.0])
    side /= np.linalg.norm(side)
    arm: Array = np.outer(np.cos(angles), side) + np.outer(np.sin(angles), np.cross(axis, side))
    return arm


def deg(value: float) -> str:
    return f"{value:.12f} deg"


@settings(max_examples=30, deadline=None)
@given(st.floats(0.5, 44), st.floats(100, 6000))
def test_one_joint_moves_as_its_cross_does(angle: float, speed: float) -> None:
    turn = np.linspace(0, 2 * np.pi, 40_001)
    first = np.array([1.0, 0.0, 0.0])
    second = np.array([math.cos(math.radians(angle)), 0.0, -math.sin(math.radians(angle))])
    _, out = turned(first, second, turn, ring(first, turn))
    ratio = np.gradient(out, turn)[1:-1]
    found = ask("driveline", {"angle": deg(angle), "speed": f"{speed:.9f} rpm"})
    assert found.value("fluctuation") == pytest.approx(float(ratio.max() - ratio.min()), rel=1e-4)
    omega = speed * math.pi / 30
    assert found.value("acceleration") == pytest.approx(
        float(np.gradient(ratio, turn[1:-1]).max()) * omega**2, rel=1e-3
    )
    fastest = int(np.argmax(ratio[:20_000]))
    alike = turn[1:-1][fastest + int(np.argmax(ratio[fastest:] < 1.0))] - turn[1:-1][fastest]
    assert found.value("unit-ratio") == pytest.approx(math.degrees(alike), abs=0.05)


@settings(max_examples=30, deadline=None)
@given(st.floats(0.001, 0.6))
def test_the_angle_allowed_gives_back_the_fluctuation(most: float) -> None:
    angle = ask("driveline", {"most-fluctuation": f"{most:.12f}"}).value("angle-allowed")
    root = optimize.brentq(lambda b: 1 / math.cos(b) - math.cos(b) - most, 0, 1.2)
    assert angle == pytest.approx(math.degrees(root), rel=1e-7)


@settings(max_examples=50, deadline=None)
@given(st.floats(0, 44), st.floats(0, 44))
def test_a_compound_angle_is_the_angle_in_space(side: float, above: float) -> None:
    direction = np.array([1.0, math.tan(math.radians(above)), math.tan(math.radians(side))])
    wanted = math.degrees(math.acos(min(1.0, 1.0 / float(np.linalg.norm(direction)))))
    found = ask("driveline", {"angle": deg(side), "plan-angle": deg(above)})
    assert found.value("compound") == pytest.approx(wanted, abs=2e-6)


LAYOUTS = st.tuples(
    st.floats(-8, 8),
    st.floats(-8, 8),
    st.floats(-150, 150),
    st.floats(-100, 100),
    st.floats(900, 2000),
    st.floats(-89, 89),
)


def directions(case: tuple[float, float, float, float, float, float]) -> tuple[Array, Array, Array]:
    """Gearbox axis, shaft and pinion axis; rearward, toward the second side, up."""
    gearbox, pinion, drop, offset, length, _ = case
    run = math.sqrt(length**2 - drop**2 - offset**2)
    shaft = np.array([run, offset, -drop]) / length
    a, b = math.radians(gearbox), math.radians(pinion)
    return np.array([math.cos(a), 0, -math.sin(a)]), shaft, np.array([math.cos(b), 0, -math.sin(b)])


def laid_out(case: tuple[float, float, float, float, float, float]) -> dict[str, str]:
    gearbox, pinion, drop, offset, length, phase = case
    return {
        "gearbox": deg(gearbox),
        "pinion": deg(pinion),
        "drop": mm(drop),
        "pinion-offset": mm(offset),
        "shaft": mm(length),
        "phase": deg(phase),
        "speed": "2500 rpm",
    }


def shaken(case: tuple[float, float, float, float, float, float]) -> float:
    """The most that the pinion speeds up in a turn at one radian a second, from the exact motion of both crosses."""
    first, shaft, last = directions(case)
    turn = np.linspace(0, 2 * np.pi, 8_001)
    arm, _ = turned(first, shaft, turn, ring(first, turn))
    phase = math.radians(case[5])
    fork = arm * math.cos(phase) + np.cross(shaft, arm) * math.sin(phase)
    _, out = turned(shaft, last, turn, fork)
    return float(np.abs(np.gradient(np.gradient(out, turn), turn)[5:-5]).max())


@settings(max_examples=60, deadline=None)
@given(LAYOUTS)
def test_the_residual_shakes_the_pinion_as_both_joints_do(
    case: tuple[float, float, float, float, float, float],
) -> None:
    """The residual is a small-angle rule: within 6 % of the exact motion, and of the largest single joint."""
    found = ask("driveline", laid_out(case))
    first, shaft, last = directions(case)
    front = math.degrees(math.acos(min(1.0, float(first @ shaft))))
    rear = math.degrees(math.acos(min(1.0, float(shaft @ last))))
    assert found.value("front-ride") == pytest.approx(front, abs=2e-6)
    assert found.value("rear-ride") == pytest.approx(rear, abs=2e-6)
    exact = shaken(case)
    size = math.radians(max(front, rear)) ** 2
    ours = math.radians(found.value("residual-ride")) ** 2
    assert ours == pytest.approx(exact, rel=0.06, abs=0.03 * size + 1e-6)
    omega = 2500 * math.pi / 30
    assert found.value("excitation-ride") == pytest.approx(ours * omega**2, rel=1e-9)


@settings(max_examples=30, deadline=None)
@given(LAYOUTS)
def test_forks_turned_by_the_phasing_leave_the_least(case: tuple[float, float, float, float, float, float]) -> None:
    found = ask("driveline", laid_out(case))
    assume(min(found.value("front-ride"), found.value("rear-ride")) > 0.2)
    twist = found.value("phasing")
    assert -90 <= twist <= 90
    best = ask("driveline", laid_out((*case[:5], twist))).value("residual-ride")
    one, two = found.value("front-ride"), found.value("rear-ride")
    assert best == pytest.approx(math.sqrt(abs(one**2 - two**2)), abs=1e-4)
    assert best <= found.value("residual-ride") + 1e-6


def test_parallel_axes_with_forks_in_line_cancel() -> None:
    """The Z layout: equal slopes, and nothing is left at the pinion, beside each other or not."""
    for offset in ("0 mm", "60 mm"):
        found = ask("driveline", LAYOUT | {"pinion": "3 deg", "pinion-offset": offset})
        assert found.value("front-ride") == pytest.approx(found.value("rear-ride"))
        assert found.value("residual-ride") == pytest.approx(0, abs=1e-5)
        assert found.value("phasing") == pytest.approx(0, abs=1e-6)


def test_forks_a_quarter_turn_wrong_add_up() -> None:
    found = ask("driveline", LAYOUT | {"pinion": "3 deg", "phase": "90 deg"})
    assert found.value("residual-ride") == pytest.approx(math.sqrt(2) * found.value("front-ride"))


@settings(max_examples=30, deadline=None)
@given(LAYOUTS)
def test_swapping_sides_turns_the_phasing_round_and_nothing_else(
    case: tuple[float, float, float, float, float, float],
) -> None:
    one = ask("driveline", laid_out(case))
    two = ask("driveline", laid_out((*case[:3], -case[3], case[4], -case[5])))
    for key in one.results:
        if key == "phasing":
            apart = (one.value(key) + two.value(key)) % 180
            assert min(apart, 180 - apart) == pytest.approx(0, abs=1e-6)
        else:
            assert one.value(key) == pytest.approx(two.value(key), abs=1e-4), key


def test_travel_by_hand() -> None:
    """A level shaft of 1000 with joints in line: 100 up or down is 4.9876 longer; slip follows."""
    typed = {
        "gearbox": "0 deg",
        "pinion": "0 deg",
        "drop": "0 mm",
        "shaft": "1000 mm",
        "bump": "100 mm",
        "droop": "100 mm",
        "back-droop": "-20 mm",
        "slip-in": "30 mm",
        "slip-out": "4 mm",
    }
    found = ask("driveline", typed)
    assert found.value("length-bump") == pytest.approx(math.hypot(1000, 100))
    assert found.value("length-ride") == pytest.approx(1000)
    assert found.value("length-droop") == pytest.approx(math.hypot(980, 100))
    assert found.value("slip-in-bump") == pytest.approx(30 + math.hypot(1000, 100) - 1000)
    assert found.value("slip-out-bump") == pytest.approx(4 - math.hypot(1000, 100) + 1000)
    assert found.value("slip-in-ride") == 30
    assert found.value("slip-in-droop") == pytest.approx(30 + math.hypot(980, 100) - 1000)
    assert found.value("front-bump") == found.value("rear-bump") == pytest.approx(math.degrees(math.atan(0.1)))
    assert any("SLIP comes out of its engagement at bump" in warning for warning in found.warnings)
    assert any("keep its slope" in warning for warning in found.warnings)


def test_limits_are_said() -> None:
    found = ask("driveline", LAYOUT | {"pinion": "-6 deg", "joint-limit": "5 deg"})
    assert found.value("residual-allowed") == pytest.approx(math.degrees(20 / (3000 * math.pi / 30)))
    assert found.value("excitation-ride") > 400
    assert any("over the limit of 400" in warning for warning in found.warnings)
    assert any("rear joint stands at" in warning and "limit is 5 deg" in warning for warning in found.warnings)
    straight = ask("driveline", LAYOUT | {"gearbox": "0 deg", "pinion": "0 deg", "drop": "0 mm"})
    assert any("needles" in warning for warning in straight.warnings)


def test_central_differences_agree_with_the_product_rule() -> None:
    a, b = reading("a", 3.0, 0.1), reading("b", 4.0, 0.2)
    (found,) = through(lambda v: (v[0] ** 2 * v[1] + v[0],), (a, b))
    wanted = a * a * b + a
    assert found.value == wanted.value
    assert found.terms == pytest.approx(dict(wanted.terms), rel=1e-8)


def test_uncertainty_of_a_layout_by_small_steps() -> None:
    for key, unit, half in (("gearbox", "deg", 0.2), ("drop", "mm", 1.0), ("shaft", "mm", 2.0)):
        base = float(LAYOUT[key].split()[0])
        offset = {"pinion-offset": "30 mm"}
        uncertain = ask("driveline", LAYOUT | offset | {key: f"{LAYOUT[key]} ± {half}"})
        for output in ("front-ride", "rear-ride", "residual-ride", "excitation-ride", "phasing", "fluctuation"):
            up = ask("driveline", LAYOUT | offset | {key: f"{base + 1e-4:.6f} {unit}"}).value(output)
            down = ask("driveline", LAYOUT | offset | {key: f"{base - 1e-4:.6f} {unit}"}).value(output)
            said = uncertain.results[output]
            assert isinstance(said, Quantity)
            assert said.u == pytest.approx(abs(up - down) / 2e-4 * half / math.sqrt(3), rel=1e-3, abs=1e-9), (
                key,
                output,
            )


@pytest.mark.parametrize(("key", "bad"), bad_numbers(["drop", "shaft", "pinion-offset", "bump", "slip-in"]))
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("driveline", LAYOUT | {key: bad}, key)


@pytest.mark.parametrize("bad", ["nan deg", "inf deg", "46 deg", "-1 deg", "12", "3 turns", ""])
def test_bad_angles_are_refused(bad: str) -> None:
    refused("driveline", {"angle": bad, "speed": "1500 rpm"}, "angle")


@pytest.mark.parametrize("bad", ["0 rpm", "-5 rpm", "nan rpm", "inf rpm", "1500", "1500 mph", "30000 rpm"])
def test_bad_speeds_are_refused(bad: str) -> None:
    refused("driveline", {"angle": "3 deg", "speed": bad}, "speed")


@pytest.mark.parametrize(
    ("typed", "key", "says"),
    [
        ({}, "angle", "give the angle of one joint"),
        ({"speed": "3000 rpm"}, "angle", "is missing"),
        ({"plan-angle": "3 deg"}, "angle", "is missing"),
        ({"slip-in": "20 mm"}, "angle", "is missing"),
        ({"angle": "3 deg", "slip-in": "20 mm"}, "slip-in", "not used with the angle"),
        (LAYOUT | {"angle": "3 deg"}, "angle", "say the same thing"),
        (LAYOUT | {"drop": "1200 mm"}, "drop", "-1000 mm to 1000 mm"),
        (LAYOUT | {"drop": "900 mm", "shaft": "850 mm"}, "shaft", "drop and offset alone are 35 7/16 in"),
        (LAYOUT | {"pinion-bump": "3 deg"}, "bump", "is missing"),
        (LAYOUT | {"back-droop": "3 mm"}, "droop", "is missing"),
        ({"most-fluctuation": "0 %"}, "most-fluctuation", "0.7"),
        ({"most-fluctuation": "12 deg"}, "most-fluctuation", "plain number"),
    ],
)
def test_bad_input_says_what_is_allowed(typed: dict[str, str], key: str, says: str) -> None:
    assert says in refused("driveline", typed, key)


def test_everything_that_a_layout_lacks_is_said_at_once() -> None:
    assert [key for key, _ in refusals("driveline", {"gearbox": "3 deg"})] == ["pinion", "drop", "shaft"]


SLIDING: dict[str, str] = {
    "gearbox": "0 deg", "pinion": "0 deg", "drop": "0 mm", "shaft": "1000 mm", "speed": "1000 rpm", "bump": "100 mm",
    "droop": "100 mm", "slip-in": "30 mm", "slip-out": "30 mm",
}  # fmt: skip


def test_the_path_of_the_axle_is_said_or_given() -> None:
    """Straight up and down where nobody says; a slope carries the joint to the rear as it rises."""
    upright = ask("driveline", SLIDING)
    assert sum("straight up and down" in each for each in upright.warnings) == 1
    sloped = ask("driveline", SLIDING | {"path": "5 deg"})
    assert not any("straight up and down" in each for each in sloped.warnings)
    back = 100 * math.tan(math.radians(5))
    assert sloped.value("length-bump") == pytest.approx(math.hypot(1000 + back, 100))
    assert sloped.value("length-droop") == pytest.approx(math.hypot(1000 - back, 100))
    assert "say the same thing" in refused("driveline", SLIDING | {"path": "5 deg", "back-bump": "9 mm"}, "path")


def test_slip_within_its_doubt_of_the_end_is_said() -> None:
    over = math.hypot(1000, 100) - 1000
    near = ask("driveline", SLIDING | {"slip-out": f"{over + 0.3:.3f} mm ± 1"})
    assert any("within its doubt of where it comes out" in each for each in near.warnings)
    gone = ask("driveline", SLIDING | {"slip-out": f"{over - 0.3:.3f} mm ± 1"})
    assert any(each.startswith("THE SLIP comes out") for each in gone.warnings)
    sure = ask("driveline", SLIDING | {"slip-out": f"{over + 3:.3f} mm ± 1"})
    assert not any("within its doubt" in each or each.startswith("THE SLIP") for each in sure.warnings)
