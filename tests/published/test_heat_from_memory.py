"""Touching hot metal: values from memory, not verified."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

SOURCE = "ISO 13732-1, bare metal: 51 C 1 min, 48 C 10 min, 43 C 8 h; from memory"


@pytest.mark.parametrize(("hot", "allowed"), [("51 C", 60), ("48 C", 600), ("43 C", 28_800), ("51.1 C", 0)])
def test_touch(hot: str, allowed: float) -> None:
    assert ask("touch", {"metal": hot}).value("at-most") == allowed, SOURCE


def test_shrinkage_by_the_second_rule() -> None:
    source = "0.2 Aw / t + 0.05 d across a butt; from memory"
    found = ask("shrink", {"thickness": "10 mm", "area": "80 mm2", "gap": "3 mm"})
    assert found.value("rule-most") == pytest.approx(1.75), source
