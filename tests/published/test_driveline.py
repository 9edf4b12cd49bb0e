"""Driveline against published worked examples."""

from __future__ import annotations

import math

import pytest

from tests.numbers.asking import ask

KHURMI = "R. S. Khurmi & J. K. Gupta, Theory of Machines, ch. 9, worked examples on the Hooke's joint"
COMPOUND = "worked example: joint angles of 2.15 deg from the side and 2.5 deg from above are 3.30 deg in space"
AE7 = "SAE AE-7, Universal Joint and Driveshaft Design Manual, 3.1.1, as quoted: (angle x speed)^2 <= 400 rad/s2"


def test_acceleration() -> None:
    """20 deg at 1500 rpm; the book places the most by an estimate, and rounds: within 0.2 %."""
    found = ask("driveline", {"angle": "20 deg", "speed": "1500 rpm"})
    assert found.value("acceleration") == pytest.approx(3080, rel=2e-3), KHURMI


def test_angle_for_a_fluctuation() -> None:
    found = ask("driveline", {"most-fluctuation": "12 %"})
    assert found.value("angle-allowed") == pytest.approx(19.64, abs=0.005), KHURMI
    assert ask("driveline", {"angle": "19.64 deg"}).value("fluctuation") == pytest.approx(0.12, abs=1e-4), KHURMI


def test_where_both_shafts_turn_alike() -> None:
    assert ask("driveline", {"angle": "18 deg"}).value("unit-ratio") == pytest.approx(44.28, abs=0.005), KHURMI


def test_compound_angle() -> None:
    found = ask("driveline", {"angle": "2.15 deg", "plan-angle": "2.5 deg"})
    assert found.value("compound") == pytest.approx(3.30, abs=0.005), COMPOUND


@pytest.mark.parametrize(("gearbox", "pinion", "speed"), [(3.0, 1.0, 3000.0), (4.0, 4.0, 5000.0), (2.0, -5.0, 1500.0)])
def test_residual_angle_in_one_plane(gearbox: float, pinion: float, speed: float) -> None:
    typed = {"gearbox": f"{gearbox} deg", "pinion": f"{pinion} deg", "drop": "120 mm", "shaft": "1300 mm"}
    found = ask("driveline", typed | {"speed": f"{speed} rpm"})
    one, two = found.value("front-ride"), found.value("rear-ride")
    residual = math.sqrt(abs(two**2 - one**2))
    assert found.value("residual-ride") == pytest.approx(residual, abs=1e-9), AE7
    shaken = (math.radians(residual) * speed * math.pi / 30) ** 2
    assert found.value("excitation-ride") == pytest.approx(shaken, rel=1e-9), AE7
    assert any("over the limit of 400" in warning for warning in found.warnings) == (shaken > 400), AE7
