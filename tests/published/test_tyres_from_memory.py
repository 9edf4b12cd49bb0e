"""Values about tyres from memory, not verified: which rim a maker measures on."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

MEMORY = "from memory: measuring rim 0.7 of the section for aspects 50 to 95, 0.85 below (UN Regulation No. 30)"


@pytest.mark.parametrize(
    ("size", "measuring"),
    [("205/55R16", 0.7 * 205), ("275/60R15", 0.7 * 275), ("255/40R18", 0.85 * 255), ("295/30R19", 0.85 * 295)],
)
def test_measuring_rim(size: str, measuring: float) -> None:
    """On that rim, the section is the one in the designation."""
    found = ask("tyre", {"size": size, "rim": f"{measuring} mm"})
    assert found.value("section") == pytest.approx(float(size.partition("/")[0])), MEMORY
