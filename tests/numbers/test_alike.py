"""When two numbers are one number: only where they differ by what the machine rounds, never by metal."""

from __future__ import annotations

import pytest

from planner.numbers.together import StepNumber
from planner.plan.fill import differs, filled
from tests.numbers.asking import Typed, ask

SIDES = ("driver", "passenger")


@pytest.mark.parametrize(("apart", "expected"), [(0.0, False), (1e-7, False), (1e-5, True), (0.1, True), (0.9, True)])
def test_sides_differ_by_any_metal(apart: float, expected: bool) -> None:
    """A tenth of a millimetre on a short length is another number, and is said for each side."""
    said = "100.x mm" if expected else "100.0 mm"
    number = {"driver": StepNumber(100.0, "100.0 mm"), "passenger": StepNumber(100.0 + apart, said)}
    assert differs(number, SIDES) is expected
    text = filled("cut {n}", {"n": number}, None, SIDES)
    assert text == ("cut driver 100.0 mm, passenger 100.x mm" if expected else "cut 100.0 mm")


@pytest.mark.parametrize(("apart", "alike"), [("0", True), ("0.5", False), ("0.001", False)])
def test_narrow_says_loudly_what_differs_by_any_metal(apart: str, alike: bool) -> None:
    """Half a millimetre between the first lines is no rounding."""
    per_side = {"driver": "400 mm", "passenger": f"{400 + float(apart)} mm"}
    typed: dict[str, Typed] = {
        "flange-to-flange": "1500 mm ± 2", "pinion-to-flange": "750 mm ± 2", "flange-to-plate": "60 mm ± 1",
        "plate-to-plate": "1380 mm ± 2", "pads": "1400 mm", "first-line": per_side, "kerf": "3 mm",
    }  # fmt: skip
    loud = [each for each in ask("narrow", typed).warnings if each.startswith("THE SIDES DIFFER")]
    assert bool(loud) is not alike
    assert alike or "first-line driver" in loud[0]


def test_one_number_on_two_marks_is_said_for_each_side() -> None:
    """Two halves of an odd whole are alike, and are marked so that they add up."""
    number = {"driver": StepNumber(100.0, "3 31/32 in"), "passenger": StepNumber(100.0, "3 15/16 in")}
    assert not differs(number, SIDES)
    assert filled("cut {n}", {"n": number}, None, SIDES) == "cut driver 3 31/32 in, passenger 3 15/16 in"
