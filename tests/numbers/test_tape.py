"""What is read off a tape: shown marks add up, small values are seen, digits fit the doubt."""

from __future__ import annotations

import re
from decimal import ROUND_CEILING, Decimal
from fractions import Fraction

import pytest
import uncertainties
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from planner.numbers.calculator import Result, Show
from planner.numbers.lengths import DOWN, UP, brief_length, seen, show_length
from planner.numbers.quantity import Quantity
from planner.numbers.readings import read_output
from planner.numbers.registry import calculator, figure
from planner.numbers.showing import figures, plus_minus, shown
from planner.numbers.tally import safe_tally, tally
from planner.numbers.together import all_numbers, for_steps
from tests.numbers.asking import ask
from tests.numbers.housings import Housing, housings

SIDES = ("driver", "passenger")
THIRTY_SECONDS = Show(32)


def inches(shown_length: str) -> Fraction:
    """A length as it is read off the tape: whole inches and a fraction, read by the library."""
    brief = shown_length.partition(" (")[0].removesuffix(" in").removeprefix("planned ").removeprefix("measured ")
    sign = -1 if brief.startswith("-") else 1
    return sign * sum((Fraction(part) for part in brief.lstrip("-").split()), Fraction(0))


def on_tape(result: Result, key: str, side: str | None = None, show: Show = THIRTY_SECONDS) -> Fraction:
    """An output as it is read off the tape."""
    output = next(each for each in result.calculator.outputs if each.key == key)
    found = result.results[key]
    value = found[side or ""] if not isinstance(found, (Quantity, str, tuple)) else found
    return inches(shown(value, output.unit, show, output.rounding))


@given(st.lists(st.floats(0.01, 2000), min_size=1, max_size=6), st.sampled_from([0.1, 25.4 / 32, 25.4 / 16]))
def test_parts_add_up_to_the_whole(parts: list[float], step: float) -> None:
    """On the tape; each less than one mark from what it is, the whole by half a mark at most."""
    whole, shares = tally(sum(parts), parts, step)
    assert sum(shares) == pytest.approx(whole, abs=1e-6)
    assert abs(whole - sum(parts)) <= step / 2 + 1e-3 * step
    for part, share in zip(parts, shares, strict=True):
        assert abs(part - share) < step * (1 + 1e-3)


@given(
    st.floats(50, 900), st.floats(50, 900), st.floats(1, 500), st.booleans(), st.sampled_from([0.1, 25.4 / 32]),
)  # fmt: skip
def test_pieces_on_their_safe_side_never_pass_the_whole(
    one: float, other: float, gap: float, alike: bool, step: float
) -> None:
    other = one if alike else other
    parts = safe_tally((one, gap, other), (DOWN, UP, DOWN), one + gap + other, step)
    dust = 2e-4 * step
    assert parts[0] <= one + dust
    assert parts[1] >= gap - dust
    assert parts[2] <= other + dust
    assert sum(parts) <= one + gap + other + dust
    assert sum(parts) > one + gap + other - 4 * step
    assert not alike or parts[0] == parts[2]


@settings(max_examples=60, deadline=None)
@given(housings(), st.sampled_from([8, 16, 32]))
def test_narrow_sums_as_it_is_shown(housing: Housing, below: int) -> None:
    """Halves and wholes, first line and what lies between: what is read off the tape adds up."""
    assume(min(housing.shorten(0), housing.shorten(1)) > 2 * housing.kerf + 10)
    show = Show(below)
    found = figure("narrow", housing.typed("in", ""), SIDES, show)
    total = on_tape(found, "flange-to-flange", show=show)
    assert sum(on_tape(found, "pinion-to-flange", side, show) for side in SIDES) == total
    assert sum(on_tape(found, "half", side, show) for side in SIDES) == on_tape(found, "plate-to-plate", show=show)
    for index, side in enumerate(SIDES):
        assert on_tape(found, "first-line", side, show) == Fraction(housing.first[index], 64)
        lines = on_tape(found, "first-line", side, show) + on_tape(found, "between", side, show)
        assert lines == on_tape(found, "second-line", side, show)
        for key in ("second-line", "between", "half", "pinion-to-flange"):
            assert abs(float(on_tape(found, key, side, show)) - found.value(key, side) / 25.4) < 1 / below


@settings(max_examples=60, deadline=None)
@given(st.integers(40 * 64, 70 * 64), st.integers(8 * 64, 20 * 64), st.integers(-64, 64))
def test_the_cut_list_of_a_cradle_is_what_its_halves_say(plates: int, gap: int, offset: int) -> None:
    """Each half at most, the gap at least, together the cradle as shown; and bars cuts what is shown."""
    typed = {
        "plates": f"{plates / 64} in", "differential": f"{gap / 61:.6f} in", "tube": "3 in",
        "differential-offset": f"{offset / 64} in",
    }  # fmt: skip
    found = ask("cradle", typed)
    halves = {side: on_tape(found, "half", side) for side in SIDES}
    assert sum(halves.values()) + on_tape(found, "gap") == on_tape(found, "length")
    for side, half in halves.items():
        assert float(half) <= found.value("half", side) / 25.4 + 1e-6
    assert float(on_tape(found, "gap")) >= found.value("gap") / 25.4 - 1e-6
    shown_list = shown(found.results["cut-list"], "", Show(32))  # type: ignore[arg-type]
    assert [inches(row.partition("x ")[2]) for row in shown_list.split("; ")] == list(halves.values())
    pieces = str(found.results["pieces"])
    cut = [float(part.partition(" mm")[0]) for part in pieces.split(", ") for _ in range(int(part.rpartition("x")[2]))]
    assert sorted(cut) == pytest.approx(sorted(float(half) * 25.4 for half in halves.values()), abs=1e-3)


@pytest.mark.parametrize("typed", ["5 33/64 in", "5 1/64 in", "5.515625 in", "5 1/128 in"])
def test_a_typed_64th_comes_back_as_a_64th(typed: str) -> None:
    found = ask("wheel", {"width": "7 in", "backspacing": typed})
    assert float(on_tape(found, "backspacing")) == pytest.approx(found.value("backspacing") / 25.4, abs=1e-9)


@given(st.floats(3e-5, 5), st.sampled_from([0, 2, 8, 32, 64, 128]), st.sampled_from(["nearest", UP, DOWN]))
def test_a_small_value_is_never_shown_as_nothing(mm: float, below: int, way: str) -> None:
    for value in (mm, -mm):
        for text in re.split(r"[(,]", show_length(value, below, way)):
            assert re.search("[1-9]", text), (value, text)
    assert brief_length(0.0, below) in ("0 in", "0.0 mm")


@given(st.floats(1e-6, 1e6), st.floats(1e-6, 1e4))
@example(1.75, 0.996)
def test_digits_fit_the_doubt(value: float, wide: float) -> None:
    """As the library rounds them (uncertainties, two figures of the ±, which we round up), where the value is more."""
    assume(value > wide > 1e-8 * value)
    up = Decimal(wide) - Decimal(wide) / 10**8  # what the machine rounds is no more
    up = up.quantize(Decimal((0, (1,), up.adjusted() - 1)), ROUND_CEILING)
    last = Decimal((0, (1,), up.adjusted() - 1))  # again: 0.996 has become 1.0
    theirs = f"{uncertainties.ufloat(value, float(up)):.2uf}".partition("+/-")[0]
    ours = figures(value, wide)
    assert abs(Decimal(ours) - Decimal(theirs)) <= last  # a tie may go either way, and theirs keeps whole numbers whole
    if last > Decimal("1e-9"):
        assert len(ours.partition(".")[2]) == len(theirs.partition(".")[2])


def test_a_length_has_the_digits_of_its_doubt() -> None:
    found = ask("wheel", {"width": "7 in", "overall": "8 in", "offset": "35 mm ± 0.5"})
    assert shown(found.results["backspacing"], "mm", Show(32)) == "5 3/8 in (5.378 in, 136.60 mm)"  # type: ignore[arg-type]
    assert plus_minus(found.results["backspacing"], "mm", Show(32)) == "± 0.023 in (0.58 mm)"  # type: ignore[arg-type]
    assert seen(0.00002, 3) == "0.00002"


def test_the_doubt_stands_where_metal_is_cut() -> None:
    """A number that a step or the camera shows has its ± behind it; an exact one has none."""
    outcomes = all_numbers({"wheel": {"width": "7 in", "overall": "8 in", "offset": "35 mm ± 0.5"}}, SIDES, Show(32))
    steps = for_steps(["wheel"], outcomes, Show(32))
    assert steps["wheel.backspacing"][""].shown == "5 3/8 in (5.378 in, 136.60 mm) ± 0.023 in (0.58 mm)"
    sure = all_numbers({"wheel": {"width": "7 in", "overall": "8 in", "offset": "35 mm"}}, SIDES, Show(32))
    assert "±" not in for_steps(["wheel"], sure, Show(32))["wheel.backspacing"][""].shown


def test_what_is_decided_or_read_stays_on_its_mark() -> None:
    """A width decided to the 64th, and a half read to the 64th in the place of the planned one."""
    car = {
        "lip": "32 in", "frame": "19 in", "section": "9 in", "offset": "0 in", "outer-clearance": "1/2 in",
        "inner-clearance": "1/2 in", "pads": "52 33/64 in",
    }  # fmt: skip
    assert on_tape(ask("fit", car), "pads") == Fraction(52 * 64 + 33, 64)
    output = next(each for each in calculator("narrow").outputs if each.key == "half")
    read = read_output(calculator("narrow"), output, "driver", "24 17/64 in ± 1/64")
    assert read is not None
    assert inches(shown(read, "mm", Show(32))) == Fraction(24 * 64 + 17, 64)
