"""Heat: published worked examples, and rules for safety."""

from __future__ import annotations

import math

import pytest

from planner.numbers.calculators.cooling import Tube, film
from tests.numbers.asking import ask

INCROPERA = "Incropera, Fundamentals of Heat and Mass Transfer, Example 9.4: D .1 m, 165/23 C, e .85, 763 W/m"


def test_heat_given_off_by_a_horizontal_pipe() -> None:
    found = film(Tube(0.1, 0.005, 0.85, 0.0), 165.0, 23.0) * math.pi * 0.1 * (165.0 - 23.0)
    assert found == pytest.approx(763, rel=0.02), INCROPERA


def test_fire_watch() -> None:
    found = ask("watch", {})
    assert found.value("least") == 1800, "29 CFR 1910.252(a)(2)(iii)(B): at least half an hour"
    assert found.value("wanted") == 3600, "NFPA 51B-2019: one hour (quoted second hand)"
