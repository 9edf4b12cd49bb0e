"""Shafts against published worked examples and tables of equations."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

BEER = "F. P. Beer & E. R. Johnston, Mechanics of Materials, Example 3.01: hollow shaft 40/60 mm, 120 MPa"
GERE = "J. M. Gere, Mechanics of Materials, Example 3.1: solid bar 1.5 in, 250 lb-ft"
SPLINES = "ANSI B92.1-1970, table of equations, 30 deg flat root: 30 teeth 24/48"


def test_torque_of_a_hollow_shaft() -> None:
    found = ask("shaft", {"diameter": "60 mm", "bore": "40 mm", "allowed": "120 MPa"})
    assert found.value("torque-allowed") / 1000 == pytest.approx(4.08, abs=0.005), BEER
    assert found.value("inner-stress") == pytest.approx(80), BEER


def test_stress_of_a_solid_bar() -> None:
    found = ask("shaft", {"diameter": "1.5 in", "torque": "250 lb-ft"})
    assert found.value("stress") / 0.006894757293168 == pytest.approx(4527, rel=2e-4), GERE


def test_involute_spline() -> None:
    found = ask("shaft", {"teeth": "30", "pitch": "24/48", "pressure-angle": "30 deg"})
    assert found.value("pitch-diameter") / 25.4 == pytest.approx(1.2500, abs=5e-5), SPLINES
    assert found.value("base-diameter") / 25.4 == pytest.approx(1.0825, abs=5e-5), SPLINES
    assert found.value("major-diameter") / 25.4 == pytest.approx(1.2917, abs=5e-5), SPLINES
    assert found.value("minor-diameter") / 25.4 == pytest.approx((30 - 1.35) / 24, abs=5e-5), SPLINES


FILLETS = "ANSI B92.1-1970 as printed by Engineers Edge, Equations for Involute Spline Basic Dimensions, side fit"


@pytest.mark.parametrize(
    ("pitch", "angle", "less"), [("8/16", "30 deg", 1.8), ("24/48", "37.5 deg", 1.3), ("20/40", "45 deg", 1.0)]
)
def test_fillet_root(pitch: str, angle: str, less: float) -> None:
    found = ask("shaft", {"teeth": "30", "pitch": pitch, "pressure-angle": angle, "root": "fillet"})
    wanted = (30 - less) / float(pitch.partition("/")[0])
    assert found.value("minor-diameter") / 25.4 == pytest.approx(wanted), FILLETS
