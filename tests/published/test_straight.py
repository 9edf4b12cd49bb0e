"""Measuring: values worked out once by hand, and the table of slopes at bearings."""

from __future__ import annotations

import math

import pytest

from tests.numbers.asking import ask

SHIGLEY = "Budynas & Nisbett, Shigley's Mechanical Engineering Design, Table 7-2, rad"


@pytest.mark.parametrize(
    ("sort", "least", "most"),
    [
        ("tapered-roller", 0.0005, 0.0012),
        ("cylindrical-roller", 0.0008, 0.0012),
        ("deep-groove-ball", 0.001, 0.003),
    ],
)
def test_slopes_at_bearings(sort: str, least: float, most: float) -> None:
    found = ask("bearing", {"bearing": sort, "radius": "50 mm"})
    assert math.radians(found.value("slope-least")) == pytest.approx(least), SHIGLEY
    assert math.radians(found.value("slope-most")) == pytest.approx(most), SHIGLEY
    assert found.value("full-most") == pytest.approx(100 * most)


def test_length_against_bend() -> None:
    """Over 600 mm, 0.5 deg shortens by .0229 mm and shifts the end 5.236 mm: geometry."""
    found = ask("sees", {"length": "600 mm", "tape": f"{600 * (1 - math.cos(math.radians(0.5))):.9f} mm"})
    assert 600 * (1 - math.cos(math.radians(0.5))) == pytest.approx(0.0229, abs=5e-4)
    assert found.value("by-tape") == pytest.approx(0.5, abs=1e-6)
    assert found.value("aside") == pytest.approx(5.236, abs=5e-4)


def test_a_tape_can_miss_three_degrees() -> None:
    """Common practice, no source."""
    assert ask("sees", {"length": "600 mm"}).value("by-tape") == pytest.approx(3.0, abs=0.1)
