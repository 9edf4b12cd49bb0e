"""``narrow`` against its formulas in exact fractions, and against the metal that it stands for."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from planner.numbers.calculator import RefusedError, Result, Show
from planner.numbers.quantity import Quantity
from planner.numbers.registry import figure
from planner.numbers.showing import as_json
from tests.numbers.asking import ask
from tests.numbers.housings import PLAIN, SIDES, Housing, housings, value

SIDED = (
    "pinion-to-flange", "half", "shorten", "between", "first-line", "second-line", "saw-first", "saw-second", "waste",
    "tube-left", "stub", "shaft",
)  # fmt: skip


def narrow(housing: Housing, unit: str = "in", plus_minus: str = "") -> Result:
    """The result, or no example where sides cannot be shortened."""
    assume(min(housing.shorten(0), housing.shorten(1)) > 2 * housing.kerf + 10)
    return ask("narrow", housing.typed(unit, plus_minus))


def near(count: Fraction | int) -> object:
    """So many 64ths, to the last digits."""
    return pytest.approx(value(count), rel=1e-9, abs=1e-7)


@given(housings())
def test_formulas(housing: Housing) -> None:
    """Every output against the same formulas in fractions."""
    found = narrow(housing)
    flanges = housing.flanges - housing.removed
    assert found.value("flange-to-flange") == near(flanges)
    offset = Fraction(housing.pinion[0] - housing.pinion[1], 2)
    assert found.value("offset") == near(offset)
    assert found.value("new-offset") == near(housing.new_offset)
    assert found.value("brackets-move") == near(housing.new_offset - offset)
    plates = flanges - housing.finished_plate(0) - housing.finished_plate(1)
    assert found.value("plate-to-plate") == near(plates)
    for index, side in enumerate(SIDES):
        between, first = housing.between(index), housing.first[index]
        second = first + between
        present = housing.pinion[index] - housing.plate[index]
        wanted = {
            "pinion-to-flange": housing.new_pinion(index),
            "half": housing.new_pinion(index) - housing.finished_plate(index),
            "shorten": housing.shorten(index),
            "between": between,
            "first-line": Fraction(first),
            "second-line": second,
            "saw-first": Fraction(first + housing.dressing),
            "saw-second": second - housing.dressing,
            "waste": between - 2 * housing.dressing - 2 * housing.kerf,
            "tube-left": present - second - housing.to_centre,
            "stub": Fraction(first - housing.pocket),
            "shaft": housing.new_pinion(index) - housing.overlap[index],
        }
        for key, count in wanted.items():
            assert found.value(key, side) == near(count), key


@given(housings())
def test_rebuilding_from_the_saw_lines_gives_the_target(housing: Housing) -> None:
    """Saw at the saw edges, dress to the lines, leave the gap, let it shrink: the pads are where they were wanted."""
    found = narrow(housing)
    halves = []
    for index, side in enumerate(SIDES):
        present = value(housing.pinion[index] - housing.plate[index])
        # What stays on the end: from the plate face to the saw edge, less what is dressed off.
        end = found.value("saw-first", side) - value(housing.dressing)
        centre = present - found.value("saw-second", side) - value(housing.dressing)
        joint = value(housing.gap) - value(Fraction(sum(housing.shrinkage), 2))
        halves.append(end + joint + centre)
    pads = sum(halves)
    for index in (0, 1):
        pads += value(housing.finished_plate(index)) + value(housing.hat[index])
    assert pads == pytest.approx(value(housing.pads), rel=1e-12)
    assert sum(halves) == pytest.approx(found.value("plate-to-plate"), rel=1e-12)
    offset = (halves[0] + value(housing.finished_plate(0)) - halves[1] - value(housing.finished_plate(1))) / 2
    assert offset == pytest.approx(found.value("new-offset"), abs=1e-6)


@given(housings())
def test_the_metal_adds_up(housing: Housing) -> None:
    """End, cut, waste, cut and centre together are the present half."""
    found = narrow(housing)
    for index, side in enumerate(SIDES):
        between = 2 * value(housing.kerf) + found.value("waste", side)
        edges = found.value("saw-second", side) - found.value("saw-first", side)
        assert between == pytest.approx(edges, abs=1e-6)
        whole = found.value("second-line", side) + found.value("tube-left", side) + value(housing.to_centre)
        assert whole == pytest.approx(value(housing.pinion[index] - housing.plate[index]), rel=1e-12)


@given(housings())
def test_swapping_the_sides_swaps_the_results(housing: Housing) -> None:
    """And turns the sign of what lies toward a side."""
    found, turned = narrow(housing, plus_minus=" ± 1/32"), narrow(housing.swapped(), plus_minus=" ± 1/32")
    for key in SIDED:
        for side, other in (SIDES, SIDES[::-1]):
            assert turned.value(key, other) == pytest.approx(found.value(key, side), rel=1e-12, abs=1e-9), key
            assert _u(turned, key, other) == pytest.approx(_u(found, key, side), rel=1e-9, abs=1e-12), key
    for key in ("offset", "new-offset", "brackets-move"):
        assert turned.value(key) == pytest.approx(-found.value(key), abs=1e-9)
    for key in ("flange-to-flange", "plate-to-plate"):
        assert turned.value(key) == pytest.approx(found.value(key), rel=1e-12)


def _u(found: Result, key: str, side: str) -> float:
    each = found.results[key]
    assert not isinstance(each, (Quantity, str, tuple))
    quantity = each[side]
    assert isinstance(quantity, Quantity)
    return quantity.u


@given(housings(), st.sampled_from([8, 16, 32, 64]))
def test_inches_and_millimetres_agree(housing: Housing, below: int) -> None:
    """To 1e-9, and on the same fraction."""
    found, metric = narrow(housing), narrow(housing, "mm")
    show = Show(below)
    left, right = as_json(found, show)["results"], as_json(metric, show)["results"]
    assert left.keys() == right.keys()
    for key, cell in left.items():
        for one, other in (
            [(cell[side], right[key][side]) for side in SIDES] if "value" not in cell else [(cell, right[key])]
        ):
            assert one["value"] == pytest.approx(other["value"], rel=1e-9, abs=1e-6), key
            assert one["shown"].partition(" (")[0] == other["shown"].partition(" (")[0], key


def test_one_reading_for_both_sides_is_one_reading() -> None:
    """Unsided, a reading of e serves both sides: it cancels in R, and doubles in the distance of the plates."""
    typed = PLAIN.typed(plus_minus=" ± 1/32")
    apart = ask("narrow", typed)
    together = ask("narrow", {**typed, "flange-to-plate": "3 in ± 1/32"})
    assert "flange-to-plate" not in " ".join(_terms(together, "shorten", "driver"))
    spread = together.results["plate-to-plate"]
    both = apart.results["plate-to-plate"]
    assert isinstance(spread, Quantity) and isinstance(both, Quantity)
    assert spread.u == pytest.approx(2 * 25.4 / 32 / 3**0.5)
    assert both.u == pytest.approx(2**0.5 * 25.4 / 32 / 3**0.5)
    assert spread.dominant == "narrow.flange-to-plate"


def test_a_finished_distance_of_its_own_does_not_cancel() -> None:
    """e' typed is another reading than e, even where it is the same length."""
    typed = PLAIN.typed(plus_minus=" ± 1/32")
    found = ask("narrow", {**typed, "finished-flange-to-plate": "3 in ± 1/32"})
    names = _terms(found, "shorten", "driver")
    assert {"narrow.flange-to-plate.driver", "narrow.finished-flange-to-plate"} <= names


def _terms(found: Result, key: str, side: str) -> set[str]:
    each = found.results[key]
    assert not isinstance(each, (Quantity, str, tuple))
    quantity = each[side]
    assert isinstance(quantity, Quantity)
    return {name for name, part in quantity.terms.items() if abs(part) > 1e-12}


def test_an_offset_as_stated() -> None:
    """A length toward the second side."""
    found = ask("narrow", {**PLAIN.typed(), "pinion": "1/2 in"})
    assert found.value("new-offset") == pytest.approx(12.7)
    driver, passenger = (found.value("pinion-to-flange", side) for side in SIDES)
    assert driver - passenger == pytest.approx(25.4)
    away = ask("narrow", {**PLAIN.typed(), "pinion": "-1/2 in"})
    assert away.value("new-offset") == pytest.approx(-12.7)


def test_equal_shafts_are_equal() -> None:
    """Whatever the differential does."""
    housing = PLAIN._replace(overlap=(50, 90), choice="equal-shafts", removed=500)
    found = ask("narrow", housing.typed())
    assert found.value("shaft", "driver") == pytest.approx(found.value("shaft", "passenger"))


def test_the_sides_own_names() -> None:
    """The first of the build's two sides is d, the second p."""
    renamed = {
        key: {"left": each["driver"], "right": each["passenger"]} if isinstance(each, dict) else each
        for key, each in PLAIN.typed().items()
    }
    found = figure("narrow", renamed, ("left", "right"))
    assert found.value("second-line", "left") == ask("narrow", PLAIN.typed()).value("second-line", "driver")
    with pytest.raises(RefusedError, match="2 sides"):
        figure("narrow", renamed, ("left", "right", "middle"))


def test_an_order_for_shafts() -> None:
    """Planned lengths say so; an order is made from the half measured cold: L' = h' + e' - c."""
    planned = ask("narrow", PLAIN.typed())
    assert as_json(planned, Show())["results"]["shaft"]["driver"]["shown"].startswith("planned ")
    assert any("planned" in each and "cold" in each for each in planned.warnings)
    halves = {side: f"{planned.value('half', side) + 1:.9f} mm" for side in SIDES}
    found = ask("narrow", {**PLAIN.typed(), "measured-half": halves})
    for side in SIDES:
        assert found.value("shaft-order", side) == pytest.approx(planned.value("shaft", side) + 1)


def test_sides_that_differ_are_said_loudly() -> None:
    """By name and number; sides that are alike are not."""
    found = ask("narrow", PLAIN.typed())
    loud = [each for each in found.warnings if each.startswith("THE SIDES DIFFER")]
    assert len(loud) == 1
    assert "second-line driver" in loud[0]
    assert "Never carry" in loud[0]
    alike = PLAIN._replace(pinion=(1920, 1920), first=(256, 256))
    assert not [each for each in ask("narrow", alike.typed()).warnings if "DIFFER" in each]
