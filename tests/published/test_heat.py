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


def test_heat_input() -> None:
    source = "EN 1011-1: heat input = k U I / (1000 v), k 0.8 for 135, 0.6 for 141; 25 V, 200 A, 5 mm/s: 0.80 kJ/mm"
    typed = {"volts": "25 V", "amps": "200 A", "travel": "5 mm/s"}
    assert ask("arc", {**typed, "process": "135"}).value("heat") == pytest.approx(0.80), source
    assert ask("arc", {**typed, "process": "141"}).value("heat") == pytest.approx(0.60), source


TI = "AWS D1.1 / US Army TI 809-26, Table 3-1, low hydrogen: 3-19 mm 0 C, >19-38 10 C, >38-63.5 66 C, >63.5 107 C"


@pytest.mark.parametrize(("thick", "least"), [(3, 0), (19, 0), (20, 10), (38, 10), (39, 66), (63.5, 66), (64, 107)])
def test_preheat_by_thickness(thick: float, least: float) -> None:
    typed = {"metal": "plain-steel", "carbon": "0.1", "thickness": f"{thick} mm"}
    assert ask("preheat", typed).value("by-table") == least, TI


def test_carbon_equivalent() -> None:
    source = "US Army TI 809-26: CE = C + Mn/6 + (Cr+Mo+V)/5 + (Ni+Cu)/15"
    typed = {"metal": "plain-steel", "thickness": "6 mm", "carbon": "0.2", "manganese": "0.6", "chromium": "0.1"}
    typed |= {"molybdenum": "0.05", "vanadium": "0.05", "nickel": "0.15", "copper": "0.15"}
    assert ask("preheat", typed).value("ce") == pytest.approx(0.2 + 0.1 + 0.04 + 0.02), source


def test_shrinkage_by_the_published_rule() -> None:
    source = "0.10 Aw / t across a butt of free flat plate; copies with 5.08 as the factor are wrong by 25.4"
    found = ask("shrink", {"thickness": "10 mm", "area": "80 mm2"})
    assert found.value("rule-least") == pytest.approx(0.8), source
