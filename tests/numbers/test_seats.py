"""Seats of bearings: the verdict by what must hold, and what holds the ring."""

from __future__ import annotations

import doctest

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from planner.numbers.calculators import seats
from planner.numbers.calculators.seats import CLASSES, limits
from tests.numbers.asking import ask, bad_numbers, mm, refused, text_of


@given(st.floats(3.1, 180), st.sampled_from(CLASSES))
def test_limits_are_in_order_and_wider_for_larger_sizes(nominal: float, name: str) -> None:
    low, high = limits(nominal, name)
    assert low < high
    if nominal > 10:
        small_low, small_high = limits(nominal / 3, name)
        assert high - low >= small_high - small_low
    assert (low >= 0) == (name[0] in "kmnH")


@given(st.sampled_from(CLASSES), st.floats(-60, 60), st.floats(0.2, 8))
def test_the_verdict_is_that_of_the_rule(name: str, off: float, wide: float) -> None:
    """ISO 14253-1, worked out here from the limits: inside by U, beyond by U, else nothing is proved."""
    low, high = limits(40.0, name)
    doubt = 2 * wide / 3**0.5
    room = min(off - low, high - off)
    assume(abs(abs(room) - doubt) > 1e-3)
    found = ask(
        "seat", {"nominal": "40 mm", "class": name, "measured": f"{40 + off / 1000:.9f} mm ± {wide / 1000:.9f}"}
    )
    wanted = "inside" if room > doubt else "outside" if room < -doubt else "cannot tell"
    assert text_of(found, "verdict").startswith(wanted)
    assert any(each.startswith("THE SEAT IS NOT SHOWN") for each in found.warnings) is (wanted != "inside")


def test_what_holds_the_ring() -> None:
    shaft = ask("seat", {"nominal": "40 mm", "class": "k6", "measured": "40.010 mm ± 0.002", "bearing": "39.995 mm"})
    assert shaft.value("interference") == pytest.approx(0.015)
    worn = ask("seat", {"nominal": "40 mm", "class": "k6", "measured": "39.980 mm ± 0.002", "bearing": "39.995 mm"})
    assert any(each.startswith("THE SEAT IS LOOSE") for each in worn.warnings)
    pocket = ask("seat", {"nominal": "80 mm", "class": "H7", "measured": "80.020 mm ± 0.002", "bearing": "79.995 mm"})
    assert pocket.value("interference") == pytest.approx(-0.025)


@pytest.mark.parametrize(("key", "bad"), bad_numbers(["nominal", "measured", "bearing"]))
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("seat", {"nominal": "40 mm", "class": "k6", key: bad}, key)


def test_the_worked_examples_run() -> None:
    assert doctest.testmod(seats).failed == 0
    assert ask("seat", {"nominal": mm(40), "class": "h6"}).results
