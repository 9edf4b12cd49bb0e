"""The outside of a tube laid flat: against planes and tubes in space, and by what must not change."""

from __future__ import annotations

import math

import pytest
import sympy
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.numbers.calculator import Result
from planner.numbers.registry import figure
from planner.numbers.shapes.unrolled import NoTemplateError, along_curve, of_narrow, of_wrap
from tests.numbers.asking import mm

NARROW: dict[str, str | dict[str, str]] = {
    "flange-to-flange": "60 in",
    "pinion-to-flange": {"driver": "31 in", "passenger": "29 in"},
    "flange-to-plate": "3 in",
    "plate-to-plate": "54 in",
    "pads": "54 in",
    "first-line": {"driver": "4 in", "passenger": "5 in"},
    "kerf": "1/8 in",
    "dressing": "1/32 in",
    "tube-first": "3 in",
    "tube-second": "3 in",
}


def narrow(**more: str | dict[str, str]) -> Result:
    return figure("narrow", {**NARROW, **more})


@settings(max_examples=40, deadline=None)
@given(st.floats(10, 400), st.floats(0, 0.3))
def test_a_square_cut_is_a_straight_line_and_paper_makes_the_round_longer(diameter: float, paper: float) -> None:
    found = of_wrap(figure("wrap", {"diameter": mm(diameter), "cut": "straight"}), paper=paper)
    assert {y for _, y in found.lines[0].points} == {0.0}
    assert found.around == pytest.approx(math.pi * diameter + math.pi * paper)
    assert found.lines[0].points[-1][0] == pytest.approx(found.around)
    assert found.at(90) == pytest.approx(found.around / 4) and found.at(360) == 0


@settings(max_examples=30, deadline=None)
@given(st.floats(10, 400), st.floats(1, 75))
def test_a_mitre_cut_closes_is_symmetric_and_meets_its_plane(diameter: float, angle: float) -> None:
    """Bent round its tube every point lies in the plane through the longest one, leaning by the angle."""
    found = of_wrap(figure("wrap", {"diameter": mm(diameter), "cut": "mitre", "angle": f"{angle:.12f} deg"}))
    points = found.lines[0].points
    lean = math.radians(angle)
    for x, z in points[::24]:
        turn = x / ((diameter + found.paper) / 2)
        y = diameter / 2 * math.cos(turn)
        assert (y - diameter / 2) * math.sin(lean) + z * math.cos(lean) == pytest.approx(0, abs=1e-6 * diameter)
    assert points[0][1] == pytest.approx(points[-1][1], abs=1e-9)
    for (_, there), (_, back) in zip(points, reversed(points), strict=True):
        assert there == pytest.approx(back, abs=1e-6)


def test_the_mitre_is_the_sine_curve_of_the_textbooks() -> None:
    """The development of a cylinder cut by a plane is a sine curve of amplitude r tan(angle), one period round.

    French, Vierck & Foster, Engineering Drawing, development of a truncated cylinder (from memory: the construction);
    the curve itself is derived here by sympy from the plane and the cylinder.
    """
    t, r, lean, z = sympy.symbols("t r lean z", positive=True)
    plane = sympy.Eq((r * sympy.cos(t) - r) * sympy.sin(lean) + z * sympy.cos(lean), 0)
    (along,) = sympy.solve(plane, z)
    found = of_wrap(figure("wrap", {"diameter": "60 mm", "cut": "mitre", "angle": "30 deg"}), paper=0.0)
    for index in range(0, 721, 40):
        exact = along.subs({t: 2 * sympy.pi * index / 720, r: 30, lean: sympy.pi / 6})
        assert found.lines[0].points[index][1] == pytest.approx(float(exact), abs=1e-9)


@settings(max_examples=20, deadline=None)
@given(st.floats(0, 2 * math.pi), st.integers(0, 719))
def test_a_turned_clock_shifts_the_curve(turn: float, index: int) -> None:
    shifted = along_curve(360.0, lambda at: math.cos(at - turn))
    assert shifted[index][1] == pytest.approx(math.cos(math.radians(shifted[index][0]) - turn), abs=1e-9)


@settings(max_examples=25, deadline=None)
@given(st.floats(-0.9, 0.9))
def test_the_other_hand_is_the_mirror_image(part: float) -> None:
    def made(sideways: float) -> list[float]:
        typed = {"diameter": "40 mm", "cut": "saddle", "onto": "60 mm", "sideways": mm(sideways), "angle": "60 deg"}
        return [y for _, y in of_wrap(figure("wrap", typed)).lines[0].points]

    assert made(10 * part) == pytest.approx(made(-10 * part)[::-1], abs=1e-6)


def test_narrow_has_two_lines_a_side_and_what_comes_off_between_the_saw_cuts() -> None:
    result = narrow()
    for side in ("driver", "passenger"):
        found = of_narrow(result, side)
        first, second = found.lines
        assert {y for _, y in first.points} == {result.value("first-line", side)}
        assert {y for _, y in second.points} == {result.value("second-line", side)}
        assert (first.waste, second.waste) == (1, -1)
        along = sorted({round(y, 6) for _, y in found.waste})
        assert along == [round(result.value(key, side), 6) for key in ("saw-first", "saw-second")]
        kerfs = [each.beyond(each.proud + each.kerf)[0][1] for each in found.lines]
        assert kerfs[1] - kerfs[0] == pytest.approx(result.value("waste", side))
        assert found.near < first.points[0][1] and second.points[0][1] < found.far


def test_a_new_end_has_one_line_and_all_outward_of_it_comes_off() -> None:
    result = narrow(ends="new", **{"joint-face": "4 in"})
    found = of_narrow(result, "driver")
    assert [each.name for each in found.lines] == ["second-line"]
    assert min(y for _, y in found.waste) == found.near


@pytest.mark.parametrize("side", ["driver", "passenger"])
def test_keep_outs_lie_where_they_stand(side: str) -> None:
    keep_out = {"driver": "2..3 1/2 in perch; 20..21 in vent", "passenger": "none"}
    found = of_narrow(narrow(**{"keep-out": keep_out}), side)
    assert [each.what for each in found.keep_outs] == (["perch"] if side == "driver" else [])


def test_paper_that_would_reach_past_the_plate_face_says_so() -> None:
    """Both margins are as wide as ever, so that no word about a line slips over to its other side."""
    found = of_narrow(narrow(**{"first-line": "12 mm"}), "driver")
    assert found.lines[0].points[0][1] - found.near == pytest.approx(found.far - found.lines[1].points[0][1])
    assert (found.keep_outs[0].low, found.keep_outs[0].high) == (found.near, 0.0)


def test_tacks_and_beads_lie_at_their_clock_positions() -> None:
    tacks = figure("tacks", {"diameter": "3 in", "number": "6", "length": "1/2 in", "vee": "90 deg"})
    beads = figure("beads", {"diameter": "3 in"})
    found = of_narrow(narrow(), "driver", tacks, beads)
    order = tacks.results["order"]
    assert isinstance(order, str) and [each.clock for each in found.tacks] == order.split(", ")
    for each in found.tacks:
        hour, minute = map(int, each.clock.split(":"))
        assert each.round == pytest.approx(found.around * (hour % 12 + minute / 60) / 12)
        assert each.half == pytest.approx(6.35)
    assert len(found.beads) == beads.value("number") and found.beads[0].number == "1"


def test_tacks_of_another_tube_are_not_placed() -> None:
    found = of_narrow(narrow(), "driver", figure("tacks", {"diameter": "2 1/2 in", "vee": "90 deg"}))
    assert found.tacks == () and found.notes == (("tacks", "other-tube"),)


def test_what_is_missing_is_one_line() -> None:
    without = {key: value for key, value in NARROW.items() if key != "tube-first"}
    with pytest.raises(NoTemplateError, match="add tube-first: to narrow"):
        of_narrow(figure("narrow", without), "driver")
    with pytest.raises(NoTemplateError, match="add cut"):
        of_wrap(figure("wrap", {"diameter": "3 in"}))
