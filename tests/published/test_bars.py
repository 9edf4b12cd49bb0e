"""Cutting plans against the usual worked example of the cutting-stock problem."""

from __future__ import annotations

from tests.numbers.asking import ask

SOURCE = "the usual worked example of cutting stock: thirteen lengths, 219 pieces; best plan 73 bars, waste 0.40 %"
PIECES = (
    "1380x22, 1520x25, 1560x12, 1710x14, 1820x18, 1880x18, 1930x20,"
    " 2000x10, 2050x12, 2100x14, 2140x16, 2150x18, 2200x20"
)


def test_seventy_three_bars() -> None:
    found = ask("bars", {"stock": "5600 mm", "kerf": "0 mm", "pieces": PIECES})
    assert found.value("bars") == 73, SOURCE
    assert found.value("fewest-possible") == 73, SOURCE
    assert found.value("waste") == 73 * 5600 - 407_160, SOURCE
    assert round(100 * (1 - found.value("used")), 2) == 0.40, SOURCE
