"""The ± of ``narrow`` and ``fit`` against drawing the readings at random, many times over.

JCGM 101:2008, propagation of distributions by a Monte Carlo method: a stated ± is drawn evenly over its width, and so
is a range. The results are linear in the readings, so the standard deviations must agree.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from planner.numbers.calculator import Result
from planner.numbers.quantity import Quantity
from tests.numbers.asking import ask
from tests.numbers.housings import PLAIN, SIDES

Floats = np.ndarray[Any, np.dtype[np.float64]]

DRAWS = 200_000
INCH = 25.4


def spread(found: Result, key: str, side: str | None = None) -> float:
    """The u of a result."""
    value = found.results[key]
    if side is not None:
        assert not isinstance(value, (Quantity, str, tuple))
        value = value[side]
    assert isinstance(value, Quantity)
    return value.u


@pytest.mark.parametrize("choice", ["keep", "centre", "equal-shafts"])
@pytest.mark.parametrize("one_plate_reading", [True, False])
def test_narrow(choice: str, one_plate_reading: bool) -> None:
    """Every output, with the plate distance read once for both sides, or once a side."""
    typed = PLAIN._replace(choice=choice).typed(plus_minus=" ± 1/32")
    if one_plate_reading:
        typed["flange-to-plate"] = "3 in ± 1/32"
    typed["kerf"] = "1/8 in ± 1/64"
    typed["gap"] = "1.6 mm ± 0.3"
    found = ask("narrow", typed)
    rng = np.random.default_rng(20_240_817)

    def read(value: float, half: float) -> Floats:
        return value + rng.uniform(-half, half, DRAWS)

    tape = INCH / 32
    pinion = [read(count / 64 * INCH, tape) for count in PLAIN.pinion]
    plate = [read(3 * INCH, tape) for _ in SIDES]
    if one_plate_reading:
        plate[1] = plate[0]
    shaft = [read((PLAIN.pinion[i] - PLAIN.overlap[i]) / 64 * INCH, tape) for i in (0, 1)]
    kerf, gap = read(INCH / 8, INCH / 64), read(1.6, 0.3)
    shrinkage = rng.uniform(1 / 64 * INCH, 5 / 64 * INCH, DRAWS)
    flanges = (PLAIN.flanges - PLAIN.removed) / 64 * INCH
    offset = (pinion[0] - pinion[1]) / 2
    overlap = [pinion[i] - shaft[i] for i in (0, 1)]
    new_offset = {"keep": offset, "centre": 0 * offset, "equal-shafts": (overlap[0] - overlap[1]) / 2}[choice]
    drawn: dict[tuple[str, str | None], Floats] = {
        ("offset", None): offset,
        ("new-offset", None): new_offset,
        ("brackets-move", None): new_offset - offset,
        ("plate-to-plate", None): flanges - plate[0] - plate[1],
    }
    for index, side in enumerate(SIDES):
        new_pinion = flanges / 2 + (new_offset if index == 0 else -new_offset)
        half = new_pinion - plate[index]
        shorten = pinion[index] - plate[index] - half
        between = shorten + gap - shrinkage
        first = PLAIN.first[index] / 64 * INCH
        drawn |= {
            ("pinion-to-flange", side): new_pinion,
            ("half", side): half,
            ("shorten", side): shorten,
            ("between", side): between,
            ("second-line", side): first + between,
            ("waste", side): between - 2 * PLAIN.dressing / 64 * INCH - 2 * kerf,
            ("tube-left", side): pinion[index] - plate[index] - first - between,
            ("shaft", side): new_pinion - overlap[index],
        }
    for (key, where), values in drawn.items():
        assert spread(found, key, where) == pytest.approx(float(values.std()), rel=0.01, abs=1e-6), (key, where)
        assert found.value(key, where) == pytest.approx(
            float(values.mean()) - (PLAIN.to_centre / 64 * INCH if key == "tube-left" else 0.0), abs=0.01
        ), (key, where)
        if values.std() > 1e-9:
            outside = np.abs(values - values.mean()) > 2 * spread(found, key, where)
            assert outside.mean() < 0.06, key  # ± 2u holds about 95 of a hundred


def test_fit() -> None:
    """Where one side decides clearly, the limits are linear too."""
    found = ask(
        "fit",
        {
            "lip": {"driver": "760 mm ± 2", "passenger": "770 mm ± 2"},
            "frame": {"driver": "450 mm ± 2", "passenger": "430 mm ± 3"},
            "section": "215 mm ± 1", "offset": "10 mm ± 0.5", "outer-clearance": "20 mm", "inner-clearance": "20 mm",
            "side-play": "3 mm ± 1", "travel-outer": "4 mm", "travel-inner": "4 mm",
        },
    )  # fmt: skip
    rng = np.random.default_rng(7)

    def read(value: float, half: float) -> Floats:
        return value + rng.uniform(-half, half, DRAWS)

    lip, frame, section = read(760, 2), read(450, 2), read(215, 1)
    offset, play = read(10, 0.5), read(3, 1)
    most = 2 * (lip - 20 - play - 4 + offset - section / 2)
    least = 2 * (frame + 20 + play + 4 + offset + section / 2)
    assert found.value("pads-most") == pytest.approx(float(most.mean()), abs=0.02)
    assert found.value("pads-least") == pytest.approx(float(least.mean()), abs=0.02)
    assert spread(found, "pads-most") == pytest.approx(float(most.std()), rel=0.01)
    assert spread(found, "pads-least") == pytest.approx(float(least.std()), rel=0.01)
    assert spread(found, "room") == pytest.approx(float((most - least).std()), rel=0.01)
    assert spread(found, "pads") == 0
