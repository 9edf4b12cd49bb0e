"""Shafts in hand, perches and U-bolts, a skewed cut, brake lines, a donor: against the metal that they stand for."""

from __future__ import annotations

import math

import numpy as np
import pytest
import uncertainties
import uncertainties.umath as umath
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.numbers.calculator import RefusedError
from planner.numbers.calculators.bearingslopes import BEARINGS
from planner.numbers.quantity import Quantity
from planner.numbers.verdict import verdict
from tests.numbers.asking import Typed, ask, bad_numbers, mm, refusals, refused, rows_of, text_of
from tests.numbers.housings import SIDES, Housing, housings

HAND: dict[str, Typed] = {
    "pinion-to-flange": {"driver": "31 in ± 1/32", "passenger": "29 in ± 1/32"}, "flange-to-plate": "3 in ± 1/64",
    "shaft": {"driver": "30 in ± 1/32", "passenger": "28 in ± 1/32"}, "hat": "1/4 in",
    "in-hand": {"driver": "27 in ± 1/32", "passenger": "25 in ± 1/32"},
}  # fmt: skip


@settings(max_examples=80, deadline=None)
@given(housings())
def test_shafts_in_hand_are_narrow_the_other_way(housing: Housing) -> None:
    """The shafts that ``narrow`` asks for, taken as those in hand, give its width, offset and cuts back."""
    assume(min(housing.shorten(0), housing.shorten(1)) > 2 * housing.kerf + 10)
    typed = housing.typed("in", "")
    planned = ask("narrow", typed)
    keys = ("pinion-to-flange", "flange-to-plate", "shaft", "finished-flange-to-plate", "hat")
    hand = {key: typed[key] for key in keys if key in typed}
    hand["in-hand"] = {side: mm(planned.value("shaft", side)) for side in SIDES}
    back = ask("shafts", hand)
    assert back.value("pads") == pytest.approx(housing.pads * 25.4 / 64, abs=1e-6)
    assert back.value("new-offset") == pytest.approx(planned.value("new-offset"), abs=1e-6)
    for side in SIDES:
        assert back.value("shorten", side) == pytest.approx(planned.value("shorten", side), abs=1e-6)
        assert back.results["can"][side] == "can"  # type: ignore[index,call-overload]


def test_a_side_that_would_have_to_grow_says_so_and_which_shaft_would_do() -> None:
    longer = {**HAND, "in-hand": {"driver": "30 1/4 in ± 1/32", "passenger": "25 in ± 1/32"}}
    found = ask("shafts", longer)
    assert dict(found.results["can"]) == {"driver": "would have to grow", "passenger": "can"}  # type: ignore[arg-type]
    loud = [each for each in found.warnings if each.startswith("THE DRIVER SHAFT IS TOO LONG")]
    assert "at most 30 in" in loud[0]
    assert text_of(found, "swapped") == "driver can; passenger would have to grow"
    near = ask("shafts", {**HAND, "in-hand": {"driver": "30 in ± 1/32", "passenger": "25 in ± 1/32"}})
    assert dict(near.results["can"])["driver"] == "cannot tell"  # type: ignore[arg-type]


def test_shafts_that_make_the_axle_too_wide_or_narrow_say_so() -> None:
    assert any("NARROWER THAN THE LEAST" in each for each in ask("shafts", {**HAND, "pads-least": "55 in"}).warnings)
    assert any("WIDER THAN THE MOST" in each for each in ask("shafts", {**HAND, "pads-most": "54 in"}).warnings)
    assert any("within its doubt" in each for each in ask("shafts", {**HAND, "pads-most": "54.51 in"}).warnings)


@settings(max_examples=60, deadline=None)
@given(st.floats(400, 700), st.floats(400, 700), st.floats(-60, 60), st.floats(200, 390))
def test_perches_stand_under_their_springs(driver: float, passenger: float, offset: float, spring: float) -> None:
    """Laid out along the car: plate face, perch and spring from the car's middle on both sides."""
    assume(min(driver - offset, passenger + offset) > spring)
    typed: dict[str, Typed] = {
        "half": {"driver": mm(driver), "passenger": mm(passenger)}, "new-offset": mm(offset), "spring": mm(spring),
    }  # fmt: skip
    found = ask("perches", typed)
    pinion = offset  # toward the passenger, + on this axis
    plates = {"driver": pinion - driver, "passenger": pinion + passenger}
    for side, sign in (("driver", 1), ("passenger", -1)):
        assert plates[side] + sign * found.value("perch-to-plate", side) == pytest.approx(-sign * spring, abs=1e-6)


def test_a_perch_over_the_pocket_is_refused_with_what_would_do() -> None:
    typed: dict[str, Typed] = {
        "half": "600 mm", "new-offset": "0 mm", "spring": "560 mm", "perch-length": "60 mm", "pocket": "50 mm",
    }  # fmt: skip
    assert {key for key, _ in refusals("perches", typed)} == {"spring"}
    assert ask("perches", {**typed, "spring": "520 mm"}).results


def test_u_bolts_are_bent_from_as_much_bar_as_their_middle_line_is_long() -> None:
    """The middle line of the bar, walked in small steps."""
    tube, bolt, stack = 76.0, 12.0, 60.0 + 10.0 + 11.0 + 3 * 1.75
    typed: dict[str, Typed] = {
        "half": "600 mm", "new-offset": "0 mm", "spring": "400 mm", "tube": mm(tube), "pack": "60 mm", "plate": "10 mm",
        "nut": "11 mm", "pitch": "1.75 mm", "bolt": mm(bolt),
    }  # fmt: skip
    found = ask("perches", typed)
    assert found.value("bolt-length") == pytest.approx(tube + stack)
    turn = np.linspace(0, math.pi, 20_001)
    radius = (tube + bolt) / 2
    bend = np.column_stack([radius * np.cos(turn), radius * np.sin(turn)])
    along = float(np.hypot(*np.diff(bend, axis=0).T).sum()) + 2 * (tube + stack - tube / 2)
    assert found.value("bar") == pytest.approx(along, rel=1e-6)
    assert "U-bolts need" in refused("perches", {key: each for key, each in typed.items() if key != "nut"}, "nut")


@settings(max_examples=60, deadline=None)
@given(st.floats(0.01, 3), st.floats(40, 120), st.integers(0, 11), st.floats(500, 900))
def test_a_skewed_cut_agrees_with_a_plane_through_its_face(out: float, diameter: float, hour: int, tyre: float) -> None:
    """The face as points on a plane, fitted by the library (numpy); the tyre sees that plane over its size."""
    clock = f"{hour or 12}:00"
    found = ask("skew", {"out": mm(out), "diameter": mm(diameter), "long-point": clock, "tyre": mm(tyre)})
    t = math.radians(30 * hour)
    angles = np.linspace(0, 2 * math.pi, 12, endpoint=False)
    points = np.column_stack([diameter / 2 * np.cos(angles), diameter / 2 * np.sin(angles)])
    stands = out / 2 * np.cos(angles - t)
    (up, aside), *_ = np.linalg.lstsq(points, stands, rcond=None)
    assert found.value("camber-at-tyre") == pytest.approx(tyre * up, abs=1e-9)
    assert found.value("toe-at-tyre") == pytest.approx(tyre * aside, abs=1e-9)
    assert math.tan(math.radians(found.value("lean"))) == pytest.approx(out / diameter)
    turned = ask("skew", {"out": mm(out), "diameter": mm(diameter), "long-point": f"{(hour + 3) % 12 or 12}:00"})
    assert turned.value("toe") == pytest.approx(found.value("camber"), abs=1e-9)


def test_a_skew_has_the_doubt_of_its_readings() -> None:
    found = ask("skew", {"out": "0.4 mm ± 0.1", "diameter": "76 mm ± 0.5", "long-point": "1:30", "tyre": "700 mm ± 2"})
    out, across, tyre = (
        uncertainties.ufloat(value, wide / math.sqrt(3)) for value, wide in ((0.4, 0.1), (76, 0.5), (700, 2))
    )
    theirs = tyre * out / across * umath.cos(math.radians(45))
    ours = found.results["camber-at-tyre"]
    assert isinstance(ours, Quantity)
    assert ours.value == pytest.approx(theirs.nominal_value)
    assert ours.u == pytest.approx(theirs.std_dev)


@pytest.mark.parametrize("sort", sorted(BEARINGS))
def test_a_skew_is_judged_for_its_bearing(sort: str) -> None:
    low, high = BEARINGS[sort]
    for slope, words in ((low * 0.9, "inside"), ((low + high) / 2, "in the doubtful range"), (high * 1.1, "outside")):
        found = ask("skew", {"out": mm(100 * slope), "diameter": "100 mm", "long-point": "12:00", "bearing": sort})
        assert text_of(found, "verdict").startswith(words)
        assert verdict(slope, 0.0, most=low).answer == ("inside" if words == "inside" else "outside")


@settings(max_examples=60, deadline=None)
@given(st.floats(500, 3000), st.integers(0, 6), st.floats(10, 40), st.floats(0, 200))
def test_a_bent_pipe_runs_from_union_to_union(run: float, bends: int, radius: float, shorten: float) -> None:
    """A staircase of equal straights with its corners rounded, walked as arcs and straights."""
    straight = (run - shorten) / (bends + 1)
    assume(straight > 2 * radius)
    walked = (bends + 1) * straight - bends * 2 * radius + bends * math.pi / 2 * radius
    typed: dict[str, Typed] = {"run": mm(run), "shorten": mm(shorten), "bends": str(bends), "radius": mm(radius)}
    found = ask("pipes", typed)
    for side in SIDES:
        assert found.value("pipe", side) == pytest.approx(walked, abs=1e-6)
    more = ask("pipes", {**typed, "flare": "3 mm", "spare": "10 mm"})
    assert more.value("pipe", "driver") == pytest.approx(walked + 16, abs=1e-6)


def test_a_hose_that_is_too_short_is_said() -> None:
    typed: dict[str, Typed] = {"run": "900 mm", "shorten": "0 mm", "reach": "300 mm", "droop": "400 mm"}
    assert any(each.startswith("THE HOSE IS TOO SHORT") for each in ask("pipes", {**typed, "hose": "480 mm"}).warnings)
    assert any("nearly tight" in each for each in ask("pipes", {**typed, "hose": "510 mm"}).warnings)
    ample = ask("pipes", {**typed, "hose": "600 mm"})
    assert ample.value("hose-slack") == pytest.approx(100)
    assert "give reach and droop" in refused("pipes", {**typed, "hose": "600 mm", "droop": ""}, "droop")


@pytest.mark.parametrize(
    ("theirs", "ours", "answer"),
    [
        ("5 x 4 1/2 in", "5 x 114.3 mm", "the same"), ("5 x 115 mm", "5 x 114.3 mm", "not the same"),
        ("6 x 114.3 mm", "5 x 114.3 mm", "not the same"), ("5 x 114.5 mm ± 0.5", "5 x 114.3 mm", "cannot tell"),
    ],
)  # fmt: skip
def test_stud_circles(theirs: str, ours: str, answer: str) -> None:
    found = ask("donor", {"donor-studs": theirs, "studs": ours})
    assert text_of(found, "studs") == answer
    assert any("STUD CIRCLE IS NOT SHOWN" in each for each in found.warnings) is (answer != "the same")


@given(st.integers(3, 12), st.floats(80, 200))
def test_studs_are_as_far_apart_as_on_the_circle(count: int, circle: float) -> None:
    """The farthest of all pairs, point by point."""
    found = ask("donor", {"donor-studs": f"{count} x {circle:.6f} mm", "studs": "5 x 114.3 mm"})
    turn = np.arange(count) * 2 * np.pi / count
    points = np.column_stack([np.cos(turn), np.sin(turn)]) * round(circle, 6) / 2
    farthest = np.linalg.norm(points[:, None] - points[None], axis=2).max()
    assert found.value("across") == pytest.approx(float(farthest))


def test_a_donor_is_compared_pair_by_pair() -> None:
    typed: dict[str, Typed] = {
        "donor-studs": "5 x 4 1/2 in", "studs": "5 x 4 1/2 in", "donor-bore": "70.5 mm", "wheel-bore": "71 mm",
        "donor-width": "1500 mm ± 1", "width": "1400 mm ± 1", "donor-brake": "300 mm", "rim-inside": "340 mm",
    }  # fmt: skip
    found = ask("donor", typed)
    assert [row[:2] for row in rows_of(found, "compared")] == [
        ["stud circle:", "the same"], ["hub bore:", "goes over, does not centre"], ["width:", "narrow it"],
        ["brake:", "clears"],
    ]  # fmt: skip
    assert found.value("brake-room") == 20
    hair = ask("donor", {"donor-bore": "2.7795 in", "wheel-bore": "2.7756 in"})
    assert any("it lacks 0.0039 in" in each for each in hair.warnings)  # no 32nd of it
    small = ask("donor", {**typed, "wheel-bore": "70 mm", "width": "1550 mm", "rim-inside": "304 mm"})
    assert [row[1] for row in rows_of(small, "compared")][1:] == ["DOES NOT GO OVER", "TOO NARROW", "TOO NEAR"]
    assert "compared with each other" in refused("donor", {"donor-bore": "70 mm"}, "wheel-bore")
    assert refused("donor", {"donor-studs": "5 by 114", "studs": "5 x 114 mm"}, "donor-studs")


BAD = [("shafts", HAND, "in-hand"), ("perches", {"half": "600 mm"}, "spring"), ("pipes", {}, "run"),
       ("donor", {}, "donor-bore"), ("skew", {"diameter": "76 mm", "long-point": "3:00"}, "out")]  # fmt: skip


@pytest.mark.parametrize(("name", "typed", "key"), BAD)
def test_nonsense_is_refused_in_one_line(name: str, typed: dict[str, Typed], key: str) -> None:
    for _, bad in bad_numbers([key]):
        with pytest.raises(RefusedError) as caught:
            ask(name, {**typed, key: bad})
        assert any(row == key for row, _ in caught.value.problems)
        assert all("\n" not in says for _, says in caught.value.problems)
