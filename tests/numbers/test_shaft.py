"""Shafts: twist against integration, splines by their definition, studs, re-splining and the order list."""

from __future__ import annotations

import math

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy import integrate

from planner.numbers.calculator import Show
from planner.numbers.showing import as_json
from tests.numbers.asking import Typed, ask, bad_numbers, mm, refused, rows_of

SPLINE = {"teeth": "30", "pitch": "24/48", "pressure-angle": "30 deg"}
STUD = {"stud": "1/2 in", "stud-length": "2 in", "hat": "1/4 in", "wheel-pad": "3/4 in"}


@settings(max_examples=60, deadline=None)
@given(st.floats(10, 150), st.floats(0, 0.95), st.floats(1, 50_000))
def test_the_stress_carries_the_torque(diameter: float, part: float, torque: float) -> None:
    """Shear that grows from the middle, integrated over the section (scipy), is the torque again."""
    bore = round(diameter * part, 6)
    found = ask("shaft", {"diameter": mm(diameter), "bore": mm(bore), "torque": f"{torque:.9f} N.m"})
    stress = found.value("stress")
    low, high = bore / 2, diameter / 2
    carried, _ = integrate.quad(lambda r: stress * r / high * r * 2 * math.pi * r, low, high)
    assert carried / 1000 == pytest.approx(torque, rel=1e-8)
    if bore:
        assert found.value("inner-stress") == pytest.approx(stress * bore / diameter)


@settings(max_examples=40, deadline=None)
@given(st.floats(10, 150), st.floats(1, 1000))
def test_the_torque_allowed_brings_the_stress_allowed(diameter: float, allowed: float) -> None:
    torque = ask("shaft", {"diameter": mm(diameter), "allowed": f"{allowed:.9f} MPa"}).value("torque-allowed")
    if 0.1 <= torque <= 100_000:
        back = ask("shaft", {"diameter": mm(diameter), "torque": f"{torque:.12f} N.m"})
        assert back.value("stress") == pytest.approx(allowed, rel=1e-9)


def test_a_solid_shaft_has_the_short_formula() -> None:
    found = ask("shaft", {"diameter": "1.5 in", "torque": "250 lb-ft"})
    assert found.value("stress") == pytest.approx(16 * 250 * 1.3558179483 * 1000 / (math.pi * 38.1**3))


@settings(max_examples=60, deadline=None)
@given(st.integers(6, 100), st.sampled_from([5, 10, 12, 16, 20, 24, 32, 48]), st.sampled_from([30.0, 37.5, 45.0]))
def test_spline_diameters_are_in_order(teeth: int, pitch: int, angle: float) -> None:
    typed = {"teeth": str(teeth), "pitch": f"{pitch}/{2 * pitch}", "pressure-angle": f"{angle} deg"}
    found = ask("shaft", typed)
    assert found.value("pitch-diameter") == pytest.approx(25.4 * teeth / pitch)
    assert found.value("base-diameter") == pytest.approx(found.value("pitch-diameter") * math.cos(math.radians(angle)))
    assert found.value("base-diameter") < found.value("pitch-diameter") < found.value("major-diameter")
    if "minor-diameter" in found.results:  # the finest and the coarsest have no root form of their angle
        assert found.value("minor-diameter") < found.value("pitch-diameter")
    short = ask("shaft", typed | {"pitch": str(pitch)})
    assert short.value("major-diameter") == found.value("major-diameter")


def test_stress_under_the_teeth_is_worked_out_without_a_diameter() -> None:
    found = ask("shaft", SPLINE | {"torque": "1000 N.m"})
    minor = found.value("minor-diameter")
    assert found.value("root-stress") == pytest.approx(16e6 / (math.pi * minor**3))


def test_a_taper_thinner_than_the_spline_is_refused_with_what_would_do() -> None:
    says = refused("shaft", SPLINE | {"taper": "1.29 in"}, "taper")
    assert "at least 1 5/16 in" in says  # 1.2917 in, up to the next thirty-second
    assert ask("shaft", SPLINE | {"taper": "1.292 in"}).warnings == ()
    doubtful = ask("shaft", SPLINE | {"taper": "1.295 in ± 0.005"})
    assert any("may be thinner" in warning for warning in doubtful.warnings)


def test_a_taper_is_judged_on_each_side() -> None:
    both = SPLINE | {"taper": {"driver": "1 3/8 in", "passenger": "1 1/4 in"}}
    assert "do not re-spline" in refused("shaft", both, "taper.passenger")


def test_engagement_of_less_than_one_diameter_is_said() -> None:
    assert ask("shaft", SPLINE | {"engagement": "1 1/4 in"}).warnings == ()
    for short in ("1 7/32 in", "1 1/4 in ± 1/64"):
        found = ask("shaft", SPLINE | {"engagement": short})
        assert any("one pitch diameter" in warning for warning in found.warnings)


def test_studs_may_be_measured_each_at_its_own_side() -> None:
    """A length a side leaves a thread a side."""
    found = ask("shaft", STUD | {"stud-length": {"driver": "2 in", "passenger": "1 3/4 in"}})
    held = [found.value("stud-engagement", side) for side in ("driver", "passenger")]
    assert held == pytest.approx([25.4, 19.05])


def test_a_stud_holds_by_at_least_one_diameter() -> None:
    assert ask("shaft", STUD).value("stud-engagement") == pytest.approx(25.4)
    assert ask("shaft", STUD | {"stud-length": "1 1/2 in"}).value("stud-engagement") == pytest.approx(12.7)
    says = refused("shaft", STUD | {"stud-length": "1 15/32 in"}, "stud-length")
    assert "at least 1 1/2 in" in says
    sided = {"driver": "1/4 in", "passenger": "3/4 in"}
    found = ask("shaft", STUD | {"hat": sided})
    held = [found.value("stud-engagement", side) for side in ("driver", "passenger")]
    assert held == pytest.approx([25.4, 12.7])
    says = refused("shaft", STUD | {"hat": {"driver": "1/4 in", "passenger": "13/16 in"}}, "stud-length.passenger")
    assert "at least 2 1/16 in" in says
    doubtful = ask("shaft", STUD | {"stud-length": "1 1/2 in ± 1/32"})
    assert any("may hold by less" in warning for warning in doubtful.warnings)


def test_the_order_says_planned_sides_splines_and_what_to_measure() -> None:
    lengths = {"driver": "30 in", "passenger": "28 in"}
    typed: dict[str, Typed] = {**SPLINE, "length": lengths, "retention": "clip"}
    found = ask("shaft", typed)
    rows = rows_of(found, "order")
    assert rows[0][:2] == ["driver: no length to order by yet; planned", 762.0]
    assert rows[1][:2] == ["passenger: no length to order by yet; planned", pytest.approx(711.2)]
    half = ask("shaft", {**typed, "measured-length": {"driver": "29 7/8 in ± 1/64"}})
    assert rows_of(half, "order")[0][:2] == ["driver: order by, measured", pytest.approx(29.875 * 25.4)]
    assert rows_of(half, "order")[1][:2] == rows[1][:2]
    assert any("no length to order by yet" in each for each in half.warnings)
    both = ask("shaft", {**typed, "measured-length": {"driver": "29 7/8 in", "passenger": "28 in"}})
    assert not any("no length to order by yet" in each for each in both.warnings)
    words = "\n".join(str(row[0]) for row in rows)
    assert "30 teeth, pitch 24, 30 deg" in words
    assert "clip in a groove at the inner end" in words
    assert "measure" in words
    said = "\n".join(found.warnings)
    assert "DIFFER IN LENGTH" in said
    assert "cold, after the last cut, heat or force" in said
    assert "never weld" in said
    plate = "\n".join(str(row[0]) for row in rows_of(ask("shaft", typed | {"retention": "plate"}), "order"))
    assert "plate over the bearing at the outer end" in plate
    assert plate != words


def test_an_order_without_retention_asks_for_it() -> None:
    found = ask("shaft", {"length": "30 in"})
    assert any("retention" in warning for warning in found.warnings)
    assert not any("DIFFER" in warning for warning in found.warnings)


def test_assumptions_are_said() -> None:
    assert any("30 deg is taken" in w for w in ask("shaft", {"teeth": "30", "pitch": "24"}).warnings)
    assert any("30, 37.5 and 45" in w for w in ask("shaft", SPLINE | {"pressure-angle": "20 deg"}).warnings)
    assert any("not one of the pitches" in w for w in ask("shaft", SPLINE | {"pitch": "23"}).warnings)
    over = ask("shaft", {"diameter": "30 mm", "torque": "2000 N.m", "allowed": "100 MPa"})
    assert any(w.startswith("THE BODY IS OVER THE ALLOWED STRESS") for w in over.warnings)


@pytest.mark.parametrize(
    ("key", "bad"), bad_numbers(["diameter", "bore", "taper", "engagement", "stud", "stud-length", "hat", "length"])
)
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("shaft", SPLINE | STUD | {"diameter": "1.5 in", "torque": "250 lb-ft", key: bad}, key)


@pytest.mark.parametrize(
    ("typed", "key", "says"),
    [
        ({}, "diameter", "give a diameter"),
        ({"torque": "5 N.m"}, "diameter", "is missing"),
        ({"diameter": "0 mm", "torque": "5 N.m"}, "diameter", "5 mm to 200 mm"),
        ({"diameter": "30 mm", "torque": "0 N.m"}, "torque", "100000 N.m"),
        ({"diameter": "30 mm", "torque": "-5 N.m"}, "torque", "100000 N.m"),
        ({"diameter": "30 mm", "torque": "nan N.m"}, "torque", "340 N.m"),
        ({"diameter": "30 mm", "torque": "5"}, "torque", "no unit"),
        ({"diameter": "30 mm", "torque": "5 N.m", "bore": "30 mm"}, "bore", "less than 1 5/32 in"),
        ({"diameter": "30 mm", "torque": "5 N.m", "allowed": "inf MPa"}, "allowed", "250 MPa"),
        ({"diameter": "30 mm", "retention": "glue"}, "retention", "clip, plate"),
        ({"teeth": "30"}, "pitch", "is missing"),
        ({"teeth": "30", "pitch": "24/47"}, "pitch", "did you mean 24/48"),
        ({"teeth": "30", "pitch": "nan"}, "pitch", "24/48"),
        ({"teeth": "30", "pitch": "0"}, "pitch", "1 to 128"),
        ({"teeth": "30", "pitch": "-24"}, "pitch", "24/48"),
        ({"teeth": "30", "pitch": "24/0"}, "pitch", "twice the first"),
        ({"teeth": "0", "pitch": "24"}, "teeth", "6 to 100"),
        ({"teeth": "29.5", "pitch": "24"}, "teeth", "whole number"),
        ({"teeth": "30", "pitch": "24", "pressure-angle": "90 deg"}, "pressure-angle", "14 deg to 46 deg"),
        ({"diameter": "30 mm", "pitch": "24"}, "teeth", "count the teeth"),
        ({"diameter": "30 mm", "taper": "30 mm"}, "teeth", "count the teeth"),
        ({"stud": "1/2 in"}, "stud-length", "needed together"),
        ({"stud": "1/2 in", "stud-length": "2 in"}, "wheel-pad", "needed together"),
        ({"diameter": "30 mm", "stud-length": "2 in", "wheel-pad": "1/2 in"}, "stud", "needed together"),
        ({"diameter": "30 mm", "hat": "1/2 in"}, "stud", "is missing"),
    ],
)
def test_bad_input_says_what_is_allowed(typed: dict[str, str], key: str, says: str) -> None:
    assert says in refused("shaft", typed, key)


SHAFT = {"diameter": "1 5/16 in", "torque": "1200 lb-ft", "allowed": "60 ksi", "teeth": "28", "pitch": "24/48"}


@settings(max_examples=60, deadline=None)
@given(st.floats(20, 60), st.integers(20, 40), st.sampled_from(["flat", "fillet"]), st.floats(50, 900))
def test_what_is_allowed_is_the_least_of_body_and_root(diameter: float, teeth: int, root: str, allowed: float) -> None:
    """Each of the two by integration of the shear that it carries (scipy); the lesser is allowed, and named."""
    typed = {"diameter": mm(diameter), "teeth": str(teeth), "pitch": "24/48", "pressure-angle": "30 deg", "root": root}
    found = ask("shaft", typed | {"allowed": f"{allowed:.6f} MPa"})
    carries = {}
    for name, across in (("body", diameter), ("spline root", found.value("minor-diameter"))):
        stress = allowed / (across / 2)
        carries[name], _ = integrate.quad(lambda r, stress=stress: stress * r * 2 * math.pi * r * r, 0, across / 2)
    weaker = min(carries, key=lambda name: carries[name])
    assert found.value("torque-allowed") == pytest.approx(carries[weaker] / 1000, rel=1e-6)
    assert found.results["weakest"] == weaker


def test_a_root_over_the_allowed_stress_is_said_in_capitals() -> None:
    loud = ask("shaft", SHAFT | {"torque": "1300 lb-ft", "root": "fillet", "pressure-angle": "30 deg"}).warnings
    assert any(each.startswith("THE SPLINE ROOT IS OVER THE ALLOWED STRESS") for each in loud)
    assert not any("THE BODY IS OVER" in each for each in loud)
    quiet = ask("shaft", SHAFT | {"torque": "1100 lb-ft", "root": "fillet", "pressure-angle": "30 deg"}).warnings
    assert not any("IS OVER" in each for each in quiet)


def test_a_stress_within_its_doubt_of_the_allowed_one_is_said() -> None:
    near = ask("shaft", SHAFT | {"torque": "1240 lb-ft ± 30", "root": "fillet", "pressure-angle": "30 deg"})
    assert any("within its doubt of the allowed stress" in each for each in near.warnings)


def test_a_fillet_root_is_deeper_than_a_flat_one() -> None:
    for pitch in ("8/16", "24/48"):
        typed = {"teeth": "28", "pitch": pitch, "pressure-angle": "30 deg"}
        flat, fillet = (ask("shaft", typed | {"root": root}).value("minor-diameter") for root in ("flat", "fillet"))
        assert fillet < flat


@pytest.mark.parametrize(
    ("torque", "allowed"),
    [("250 lb-ft", "60 ksi"), ("250 ft-lbs", "60000 psi"), ("3000 lb-in", "400 N/mm^2"), ("1.2 kN.m", "0.4 GPa")],
)
def test_results_answer_in_the_units_that_were_typed(torque: str, allowed: str) -> None:
    """SI beside; the library (pint) turns one into the other."""
    units: pint.UnitRegistry[float] = pint.UnitRegistry()
    found = ask("shaft", {"diameter": "1.5 in", "torque": torque, "allowed": allowed})
    spelled = {
        "lb-ft": "foot_pound",
        "lb-in": "inch*force_pound",
        "kN.m": "kN*m",
        "ksi": "ksi",
        "psi": "psi",
        "GPa": "GPa",
    }
    for key, base in (("torque-allowed", "N*m"), ("stress", "MPa")):
        cell = as_json(found, Show())["results"][key]
        amount, name, *beside = cell["shown"].split()
        if beside:
            assert units.Quantity(float(amount), spelled[name]).m_as(base) == pytest.approx(cell["value"], rel=5e-4)
            assert float(beside[0].removeprefix("(")) == pytest.approx(cell["value"], rel=5e-4)
        else:
            assert "N/mm" in allowed
            assert float(amount) == pytest.approx(cell["value"], rel=5e-4)
