"""Marking round a tube against published geometry."""

from __future__ import annotations

import math

import pytest

from tests.numbers.asking import ask, rows_of

CLOSES = "geometry: a flat wrap closes after pi D; laid a degrees off square, its ends miss each other by pi D tan a"
UNFOLDED = "A. Bogomolny, Cut-the-Knot, Q&A on unfolding a pipe cut at 45 deg: the curve is R + R cos a; read there"


@pytest.mark.parametrize(("diameter", "degrees"), [(76.2, 0.5), (76.2, 1.0), (101.6, 0.25), (300.0, 2.0)])
def test_a_wrap_closes(diameter: float, degrees: float) -> None:
    found = ask("wrap", {"diameter": f"{diameter} mm", "squareness": f"{degrees} deg"})
    assert found.value("circumference") == pytest.approx(math.pi * diameter, rel=1e-12), CLOSES
    wanted = math.pi * diameter * math.tan(math.radians(degrees))
    assert found.value("mismatch") == pytest.approx(wanted, rel=1e-12), CLOSES


def test_a_pipe_cut_at_45_degrees() -> None:
    found = ask("wrap", {"diameter": "200 mm", "cut": "mitre", "angle": "45 deg", "positions": "36"})
    for i, (_, back) in enumerate(rows_of(found, "curve")):
        assert back == pytest.approx(200 - (100 + 100 * math.cos(math.radians(10 * i))), abs=1e-9), UNFOLDED
    assert found.value("deepest") == pytest.approx(200), UNFOLDED
