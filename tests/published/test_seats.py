"""Limits of bearing seats against the published table."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

ISO = "ISO 286-2, limit deviations over 30 to 50 mm, in micrometres"


@pytest.mark.parametrize(("name", "low", "high"), [("k5", 2, 13), ("k6", 2, 18), ("n6", 17, 33), ("h6", -16, 0)])
@pytest.mark.parametrize("nominal", [30.001, 35.0, 40.0, 50.0])
def test_limits_of_a_shaft(nominal: float, name: str, low: int, high: int) -> None:
    found = ask("seat", {"nominal": f"{nominal} mm", "class": name})
    assert (found.value("least") - nominal) * 1000 == pytest.approx(low), ISO
    assert (found.value("most") - nominal) * 1000 == pytest.approx(high), ISO
