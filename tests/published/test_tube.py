"""Round tube against published tables."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

EI = "US Army Corps of Engineers, EI 02C097 (1997), Table B-1, later UFC 3-220-01A; read in the table"
AISC = "AISC Steel Construction Manual, Pipe 3 Std, design wall 0.201 in; read in the table"


@pytest.mark.parametrize(
    ("diameter", "wall", "area", "second", "modulus", "gyration", "source"),
    [
        (12.0, 0.250, 9.23, 159, 26.6, 4.16, EI),
        (12.75, 0.375, 14.6, 279, 43.8, 4.38, EI),
    ],
)
def test_pipe_piles(
    diameter: float, wall: float, area: float, second: float, modulus: float, gyration: float, source: str
) -> None:
    """Within 0.6 %: the table is rounded to three figures."""
    found = ask("tube", {"diameter": f"{diameter} in", "wall": f"{wall} in"})
    assert found.value("area") / 25.4**2 == pytest.approx(area, rel=6e-3), source
    assert found.value("second-moment") / 25.4**4 == pytest.approx(second, rel=6e-3), source
    assert found.value("section-modulus") / 25.4**3 == pytest.approx(modulus, rel=6e-3), source
    assert found.value("gyration") / 25.4 == pytest.approx(gyration, rel=6e-3), source


def test_standard_pipe() -> None:
    """Within 4 %: tabulated values differ from the formula by that much."""
    found = ask("tube", {"diameter": "3.5 in", "wall": "0.201 in"})
    assert found.value("area") / 25.4**2 == pytest.approx(2.07, rel=4e-2), AISC
    assert found.value("second-moment") / 25.4**4 == pytest.approx(2.85, rel=4e-2), AISC
    assert found.value("section-modulus") / 25.4**3 == pytest.approx(1.63, rel=4e-2), AISC
    assert found.value("torsion-constant") / 25.4**4 == pytest.approx(5.69, rel=4e-2), AISC
