"""Lengths as they are typed and shown."""

from __future__ import annotations

import re
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.numbers.lengths import (
    DENOMINATORS,
    DOWN,
    NEAREST,
    UP,
    TextError,
    decimals,
    fraction_text,
    marks,
    parse_length,
    show_length,
)

INCH = Fraction(254, 10)  # by definition: 25.4 mm
READ = {
    "54 7/8 in": Fraction("1393.825"),
    '54-7/8"': Fraction("1393.825"),
    "4' 6 7/8\"": Fraction("1393.825"),
    "4'6-7/8\"": Fraction("1393.825"),
    "4 ft 6 7/8 in": Fraction("1393.825"),
    "4ft 6.875 inches": Fraction("1393.825"),
    "54.875 in": Fraction("1393.825"),
    "54⅞″": Fraction("1393.825"),
    "1394 mm": Fraction(1394),
    "1394mm": Fraction(1394),
    "139.4 cm": Fraction(1394),
    "1.394 m": Fraction(1394),
    "7/8 in": Fraction("22.225"),
    "9/8 in": Fraction("28.575"),
    ".875 in": Fraction("22.225"),
    "4'": Fraction("1219.2"),
    "4.5 ft": Fraction("1371.6"),
    "4 ft 0 in": Fraction("1219.2"),
    "0 mm": Fraction(0),
    "-1 1/2 in": Fraction("-38.1"),
    "− 3 mm": Fraction(-3),
    "20 thou": Fraction("0.508"),
    "54 7/8 in.": Fraction("1393.825"),
    "54 7/8''": Fraction("1393.825"),
    "  54   7/8   IN ": Fraction("1393.825"),
}

REFUSED = {
    "54 7/8": "has no unit",
    "1394": "has no unit",
    "": "empty",
    "   ": "empty",
    "in": "not a length",
    "7/0 in": "divides by nothing",
    "3/7 in": "on no tape",
    "5/100 in": "on no tape",
    "54 9/8 in": "carry it",
    "54 8/8 in": "carry it",
    "nan mm": "not a length",
    "inf in": "not a length",
    "1e3 mm": "not a length",
    "1,394 mm": "comma",
    "1394,5 mm": "comma",
    "1/2 mm": "decimal point",
    "4' 14\"": "twelve inches",
    "4' 6 mm": "then no inches",
    "12 furlongs": "not a unit of length",
    "5 5 in": "not a length",
    "54 in in": "not a length",
    "54 - 7/8 in": "not a length",
    "- - 3 mm": "not a length",
    "54 7/8 in ±": "no plain figure",
    "54 7/8 in ± -1/32": "no plain figure",
    "54 7/8 in ± 1/7": "on no tape",
    "54 7/8 in ± 1/32 ± 1/32": "no plain figure",
    "0.080..0.020 in": "smaller end first",
    "1..2..3 in": "mixes a range",
    "1..2 in ± 1/32": "mixes a range",
    "1..2": "has no unit",
    "²/₃ in": "not a length",
    "٣ mm": "not a length",
    "1" * 90 + " mm": "longer than 80",
    "1.": "no unit",
    "1.. mm": "not a length",
}


@pytest.mark.parametrize(("text", "mm"), READ.items())
def test_what_the_trade_writes(text: str, mm: Fraction) -> None:
    """Exact, to the last digit."""
    assert parse_length(text).value == mm


@pytest.mark.parametrize(("text", "says"), REFUSED.items())
def test_what_is_no_length(text: str, says: str) -> None:
    """The message says what is wrong and, somewhere, what is allowed."""
    with pytest.raises(TextError) as caught:
        parse_length(text)
    assert says in str(caught.value)
    assert len(str(caught.value)) > 20


@pytest.mark.parametrize(
    ("text", "spread", "form"),
    [
        ("54 7/8 in ± 1/32", INCH / 32, "half"),
        ("54 7/8 in ± 1/32 in", INCH / 32, "half"),
        ("54 7/8 in +/- 0.5 mm", Fraction(1, 2), "half"),
        ("1394 mm +- 0.5", Fraction(1, 2), "half"),
        ("1394 mm ± 1/64 in", INCH / 64, "half"),
        ("4' 6 7/8\" ± 1/16", INCH / 16, "half"),
        ("54 7/8 in step 1/16", INCH / 16, "step"),
        ("1394 mm step 1 mm", Fraction(1), "step"),
        ("0.020..0.080 in", INCH * Fraction(60, 1000), "range"),
        ("0.5 mm .. 2 mm", Fraction(3, 2), "range"),
        ("1/32 in..2 mm", 2 - INCH / 32, "range"),
        ("1394 mm", Fraction(0), "exact"),
    ],
)
def test_how_far_a_reading_may_be_off(text: str, spread: Fraction, form: str) -> None:
    """The ± takes the unit of its reading unless it has one of its own."""
    found = parse_length(text)
    assert (found.spread, found.form) == (spread, form)


def test_standard_uncertainty() -> None:
    """JCGM 100:2008, 4.3.7 (a half width a: a/√3) and F.2.2.1 (a step a: a/√12)."""
    assert parse_length("10 mm ± 0.5").deviation == pytest.approx(0.5 / 3**0.5)
    assert parse_length("10 mm step 1").deviation == pytest.approx(1 / 12**0.5)
    assert parse_length("1..3 mm").deviation == pytest.approx(2 / 12**0.5)
    assert parse_length("1..3 mm").value == 2
    assert parse_length("10 mm").deviation == 0


@st.composite
def fractions_of_an_inch(draw: st.DrawFn) -> tuple[int, int]:
    """A count of fractions of an inch, and the fraction."""
    below = draw(st.sampled_from(DENOMINATORS))
    return draw(st.integers(-20_000, 20_000)), below


@given(fractions_of_an_inch())
def test_what_is_shown_reads_back(case: tuple[int, int]) -> None:
    """A whole count of fractions is shown as itself, however it is rounded, and read back as itself."""
    count, below = case
    mm = float(Fraction(count, below) * INCH)
    for rounding in (NEAREST, UP, DOWN):
        assert marks(mm, 25.4 / below, rounding) == count
    shown = show_length(mm, below).partition(" (")[0]
    assert parse_length(shown).value == Fraction(count, below) * INCH


@given(fractions_of_an_inch(), st.integers(-3, 3))
def test_no_surprise_at_a_mark(case: tuple[int, int], ulps: int) -> None:
    """The last binary digits never move a limit by a whole step."""
    count, below = case
    mm = float(Fraction(count, below) * INCH)
    near = mm * (1 + ulps * 2.0**-52)
    assert [marks(near, 25.4 / below, rounding) for rounding in (NEAREST, UP, DOWN)] == [count] * 3
    via_millimetres = float(f"{mm:.9f}")
    assert marks(via_millimetres, 25.4 / below, UP) == count


@given(st.floats(-5000, 5000), st.sampled_from((0, *DENOMINATORS)))
def test_a_limit_goes_to_the_safe_side(mm: float, below: int) -> None:
    """Up is never below, down never above, and neither by a whole step, but for a ten-thousandth of one."""
    step = 25.4 / below if below else 0.1
    up, down, near = (marks(mm, step, rounding) * step for rounding in (UP, DOWN, NEAREST))
    slack = step * 1.01e-4
    assert down - slack <= mm <= up + slack
    assert up - step - slack < mm < down + step + slack
    assert abs(near - mm) <= step / 2 + slack


@given(st.floats(-5000, 5000), st.sampled_from((0, *DENOMINATORS)))
def test_signs_are_shown_alike(mm: float, below: int) -> None:
    """Swapping the sign of a length swaps nothing but the sign, so that swapped sides read alike."""
    assert show_length(-mm, below).replace("-", "") == show_length(mm, below).replace("-", "")


@given(st.integers(0, 500), st.integers(0, 127), st.sampled_from(DENOMINATORS))
def test_inches_and_millimetres_agree(whole: int, above: int, below: int) -> None:
    """The same length typed either way is the same number to 1e-9 and shows the same fraction."""
    above %= below
    exact = (whole + Fraction(above, below)) * INCH
    inches = float(parse_length(f"{whole} {above}/{below} in").value)
    typed = f"{float(exact):.12f} mm"
    millimetres = float(parse_length(typed).value)
    assert inches == pytest.approx(millimetres, rel=1e-9)
    for rounding in (NEAREST, UP, DOWN):
        assert (
            show_length(inches, below, rounding).partition(" (")[0]
            == (show_length(millimetres, below, rounding).partition(" (")[0])
        )


@given(st.text(max_size=30))
def test_anything_typed_is_a_length_or_an_error(text: str) -> None:
    """Never another exception."""
    try:
        found = parse_length(text)
    except TextError:
        return
    assert re.search(r"\d", text)
    assert found.deviation >= 0


@given(st.text(alphabet="0123456789/-. '\"±infmt+steptou", max_size=20))
def test_anything_like_a_length_is_one_or_an_error(text: str) -> None:
    """The same with the letters of lengths only."""
    try:
        parse_length(text)
    except TextError as error:
        assert str(error)


def test_shown() -> None:
    """The fraction, the exact value and the other system."""
    assert show_length(140.711) == "5 17/32 in (5.5398 in, 140.711 mm)"
    assert show_length(-6.35, 16) == "-1/4 in (-0.2500 in, -6.350 mm)"
    assert show_length(0.0) == "0 in (0.0000 in, 0.000 mm)"
    assert show_length(-0.0) == "0 in (0.0000 in, 0.000 mm)"
    assert show_length(140.711, 0, DOWN) == "140.7 mm (140.711 mm, 5.5398 in)"
    assert show_length(140.711, 0, UP) == "140.8 mm (140.711 mm, 5.5398 in)"
    assert fraction_text(0, 32) == "0"
    assert decimals(0.1 + 0.2, 1) == "0.3"
