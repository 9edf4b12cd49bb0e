"""The cradle against published geometry and limits."""

from __future__ import annotations

import math

import pytest

from planner.numbers.calculators.bearingslopes import BEARINGS
from tests.numbers.asking import ask

VEE = "geometry of a circle in a 90 deg V: centre height r sqrt 2 over the root, contacts at 45 deg"
BEND = "geometry: over 600 mm, 0.5 deg shifts the end 5.236 mm sideways (sin) and shortens it by 0.0229 mm"
SHIGLEY = "Budynas & Nisbett, Shigley's Mechanical Engineering Design, Table 7-2, allowed slope in rad"
PLAIN = {"plates": "1500 mm", "differential": "300 mm", "clearance": "0 mm"}


@pytest.mark.parametrize("tube", [60.0, 76.2, 88.9])
def test_a_tube_in_a_right_angled_v(tube: float) -> None:
    found = ask("cradle", PLAIN | {"tube": f"{tube} mm"})
    assert found.value("centre-height") == pytest.approx(tube / 2 * math.sqrt(2)), VEE
    assert found.value("contact-angle") == pytest.approx(45), VEE
    assert found.value("contact") == pytest.approx(tube / 2), VEE


def test_half_a_degree_over_600_mm() -> None:
    """Halves of 600 mm; a straight edge reads the shift, 5.236 mm: tangent and sine differ by 0.004 %."""
    found = ask("cradle", PLAIN | {"tube": "76.2 mm", "out-of-line": "5.236 mm"})
    assert found.value("half", "driver") == 600
    assert found.value("tilt") == pytest.approx(0.5, rel=1e-4), BEND
    assert 600 * (1 - math.cos(math.radians(found.value("tilt")))) == pytest.approx(0.0229, abs=1e-4), BEND


def test_slopes_that_bearings_take() -> None:
    assert BEARINGS["tapered-roller"] == (0.0005, 0.0012), SHIGLEY
    assert BEARINGS["cylindrical-roller"] == (0.0008, 0.0012), SHIGLEY
    assert BEARINGS["deep-groove-ball"] == (0.001, 0.003), SHIGLEY
    for bearing, (low, high) in BEARINGS.items():
        for slope, said in ((low * 0.99, ""), (low * 1.01, "doubtful"), (high * 1.01, "MORE TILT")):
            typed = PLAIN | {"tube": "76.2 mm", "bearing": bearing, "out-of-line": f"{600 * slope:.6f} mm"}
            words = " ".join(w for w in ask("cradle", typed).warnings if "tilt" in w.lower())
            assert (said in words) if said else not words, SHIGLEY
