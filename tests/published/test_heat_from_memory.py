"""Touching hot metal, what steel holds of heat: values from memory, not verified."""

from __future__ import annotations

import pytest

from planner.numbers.calculators.cooling import capacity
from tests.numbers.asking import ask

SOURCE = "ISO 13732-1, bare metal: 51 C 1 min, 48 C 10 min, 43 C 8 h; from memory"


@pytest.mark.parametrize(("hot", "allowed"), [("51 C", 60), ("48 C", 600), ("43 C", 28_800), ("51.1 C", 0)])
def test_touch(hot: str, allowed: float) -> None:
    assert ask("touch", {"metal": hot}).value("at-most") == allowed, SOURCE


def test_shrinkage_by_the_second_rule() -> None:
    source = "0.2 Aw / t + 0.05 d across a butt; from memory"
    found = ask("shrink", {"thickness": "10 mm", "area": "80 mm2", "gap": "3 mm"})
    assert found.value("rule-most") == pytest.approx(1.75), source


@pytest.mark.parametrize(("kelvin", "joules"), [(300, 434), (400, 487), (600, 559), (800, 685)])
def test_what_plain_steel_holds_of_heat(kelvin: int, joules: int) -> None:
    source = "Incropera, table A.1, plain carbon steel, J/(kg K); from memory, and another source than the formula's"
    assert capacity(kelvin - 273.15) == pytest.approx(joules, rel=0.03), source
