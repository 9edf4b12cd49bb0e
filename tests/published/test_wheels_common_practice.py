"""Facts of the trade about wheels that have no source: common practice, no source."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

PRACTICE = "common practice, no source"


def test_backspacing_of_an_offset() -> None:
    """A rim measures about 1 in more over its edges than its nominal width: 7 in, offset 35 mm -> 136.6 mm."""
    found = ask("wheel", {"width": "7 in", "offset": "35 mm"})
    assert found.value("backspacing") == pytest.approx(136.6, abs=0.05), PRACTICE


def test_no_offset_is_half_way() -> None:
    """An 8 in rim without offset has 4 1/2 in of backspacing."""
    found = ask("wheel", {"width": "8 in", "offset": "0 in"})
    assert found.value("backspacing") == pytest.approx(4.5 * 25.4), PRACTICE
