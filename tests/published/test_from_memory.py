"""Values from memory: not verified against the source that is named."""

from __future__ import annotations

import math

import pytest

from tests.numbers.asking import ask

PITCHES = "ANSI B92.1-1970, list of pitches: from memory"
TURNED = "residual of joints in turned planes, from memory: |b1^2 - b2^2 e^(2 i turn)|"


@pytest.mark.parametrize("pitch", ["2.5/5", "3/6", "4/8", "5/10", "6/12", "8/16", "10/20", "12/24", "16/32", "20/40"])
def test_standard_pitches(pitch: str) -> None:
    found = ask("shaft", {"teeth": "30", "pitch": pitch, "pressure-angle": "30 deg"})
    assert not any("not one of the pitches" in warning for warning in found.warnings), PITCHES


def test_residual_of_turned_planes() -> None:
    typed = {"gearbox": "3 deg", "pinion": "1 deg", "drop": "120 mm", "shaft": "1300 mm", "pinion-offset": "40 mm"}
    found = ask("driveline", typed)
    one, two, turn = (found.value(key) for key in ("front-ride", "rear-ride", "phasing"))
    turn = math.radians(turn)
    across = complex(one**2 - two**2 * math.cos(2 * turn), two**2 * math.sin(2 * turn))
    assert found.value("residual-ride") == pytest.approx(math.sqrt(abs(across))), TURNED


def test_fillet_root_of_the_fine_pitches() -> None:
    """(N - 2) / P from 16/32, as a handbook has it; another printed copy has (N - 1.2) / P, which is shallower."""
    found = ask("shaft", {"teeth": "30", "pitch": "24/48", "pressure-angle": "30 deg", "root": "fillet"})
    assert found.value("minor-diameter") / 25.4 == pytest.approx(28 / 24)
