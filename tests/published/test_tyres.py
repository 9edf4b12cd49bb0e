"""Tyre sizes against the regulation."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask

REGULATION = "UN Regulation No. 30, 6.1.1.1 and the size tables of its annex 5 (table)"


def test_a_size_of_the_table() -> None:
    """205/55R16: 214 mm on a 6.5 rim, diameter 632 mm; the table is in whole millimetres."""
    found = ask("tyre", {"size": "205/55R16", "rim": "6.5 in"})
    assert found.value("section") == pytest.approx(214, abs=0.5), REGULATION
    assert found.value("diameter") == pytest.approx(632, abs=0.5), REGULATION


@pytest.mark.parametrize("size", ["205/55R16", "225/45R17", "275/60R15", "185/70R13"])
@pytest.mark.parametrize("rim", [6.0, 7.0, 8.5])
def test_rule_of_the_rim(size: str, rim: float) -> None:
    """0.2 in of section for 0.5 in of rim is the same rule: S grows by 0.4 of the rim."""
    one = ask("tyre", {"size": size, "rim": f"{rim} in"}).value("section")
    other = ask("tyre", {"size": size, "rim": f"{rim + 0.5} in"}).value("section")
    assert (other - one) / 25.4 == pytest.approx(0.2), REGULATION
