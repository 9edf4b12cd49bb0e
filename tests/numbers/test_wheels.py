"""Tyres and wheels: identities, refusals and what is said."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.numbers.quantity import Quantity
from tests.numbers.asking import ask, mm, refused


@given(st.floats(150, 300), st.floats(-60, 60), st.floats(10, 40))
def test_offset_and_backspacing_are_two_ways_of_saying_one_thing(width: float, offset: float, lips: float) -> None:
    """From one to the other and back."""
    typed = {"width": mm(width), "overall": mm(width + lips)}
    found = ask("wheel", {**typed, "offset": mm(offset)})
    back = ask("wheel", {**typed, "backspacing": mm(found.value("backspacing"))})
    assert back.value("offset") == pytest.approx(offset, abs=1e-6)
    for key in ("inboard", "outboard"):
        assert back.value(key) == pytest.approx(found.value(key), abs=1e-6)
    assert found.value("inboard") + found.value("outboard") == pytest.approx(width + lips)


def test_a_measured_backspacing_is_trusted() -> None:
    """Over a computed one; a little apart is said, far apart is a contradiction."""
    assert any("to be trusted" in each for each in ask("wheel", {"width": "7 in", "offset": "35 mm"}).warnings)
    found = ask("wheel", {"width": "7 in", "offset": "35 mm", "backspacing": "138 mm"})
    assert found.value("backspacing") == 138
    assert any("measured one is used" in each for each in found.warnings)
    says = refused("wheel", {"width": "7 in", "offset": "35 mm", "backspacing": "160 mm"}, "backspacing")
    assert "measure it again" in says


def test_doubt_of_a_wheel() -> None:
    """The width counts half, the offset whole; a measured backspacing has its own doubt only."""
    found = ask("wheel", {"width": "7 in ± 1/16", "overall": "8 in", "offset": "35 mm ± 0.5"})
    guessed = ask("wheel", {"width": "7 in ± 1/16", "offset": "35 mm ± 0.5"}).results["backspacing"]
    back, out = found.results["backspacing"], found.results["outboard"]
    assert isinstance(back, Quantity) and isinstance(out, Quantity)
    offset, eighth = 0.5 / 3**0.5, 25.4 / 8 / 3**0.5
    assert back.terms == pytest.approx({"wheel.offset": offset})
    assert out.terms == pytest.approx({"wheel.offset": -offset})
    assert isinstance(guessed, Quantity)
    half = 25.4 / 32 / 3**0.5
    assert guessed.terms == pytest.approx(
        {"wheel.width": half, "wheel.offset": offset, "wheel.overall, a guess": eighth / 2}
    )


@pytest.mark.parametrize(
    ("typed", "key", "words"),
    [
        ({"width": "7 in"}, "offset", "give the offset or, better, the backspacing"),
        ({"offset": "0 mm"}, "width", "missing"),
        ({"width": "7 mm", "offset": "0 mm"}, "width", "was in meant"),
        ({"width": "7", "offset": "0 mm"}, "width", "no unit"),
        ({"width": "7 in", "offset": "6 in"}, "offset", "outside the rim"),
        ({"width": "7 in", "backspacing": "11 in"}, "backspacing", "outside the rim"),
        ({"width": "7 in", "offset": "0 mm", "overall": "6 1/2 in"}, "overall", "not more than"),
    ],
)
def test_wheels_that_are_refused(typed: dict[str, str], key: str, words: str) -> None:
    """By name, with what to do."""
    assert words in refused("wheel", typed, key)


def test_a_measured_tyre_is_used() -> None:
    """And it is said which width was used; a computed one says that real tyres may be wider."""
    found = ask("tyre", {"size": "205/55R16", "rim": "6.5 in", "measured": "219 mm ± 1"})
    assert found.value("section") == 219
    assert any("measured on the mounted tyre" in each for each in found.warnings)
    computed = ask("tyre", {"size": "205/55R16", "rim": "6.5 in"})
    assert any("may be wider" in each for each in computed.warnings)


@pytest.mark.parametrize(
    ("size", "diameter"),
    [
        ("P205/55R16", 631.9), ("205/55ZR16", 631.9), ("205/55 R 16 91V", 631.9), ("lt245/75r16", 773.9),
        ("31x10.50R15", 787.4), ("31X10.50-15LT", 787.4), ("29.5x11.5-15", 749.3),
    ],
)  # fmt: skip
def test_designations(size: str, diameter: float) -> None:
    """As they stand on sidewalls."""
    assert ask("tyre", {"size": size, "rim": "8 in"}).value("diameter") == pytest.approx(diameter)


@pytest.mark.parametrize(
    "size", ["205", "205/55", "55/205R16", "905/55R16", "205/05R16", "205/55R99", "big", "15x10.5R15"]
)
def test_no_designations(size: str) -> None:
    """Refused with an example of what is one."""
    assert "tyre that is made" in refused("tyre", {"size": size, "rim": "8 in"}, "size") or "write" in refused(
        "tyre", {"size": size, "rim": "8 in"}, "size"
    )


def test_a_size_in_inches_is_nominal() -> None:
    """Its measuring rim is not known, and that is said."""
    found = ask("tyre", {"size": "31x10.50R15", "rim": "8 in"})
    assert found.value("section") == pytest.approx(10.5 * 25.4)
    assert any("nominal" in each for each in found.warnings)


def test_far_rims_and_low_aspects_are_said() -> None:
    """Where the rule is less sure."""
    assert any("far from" in each for each in ask("tyre", {"size": "205/55R16", "rim": "10 in"}).warnings)
    assert any("outside 50 to 95" in each for each in ask("tyre", {"size": "255/35R19", "rim": "9 in"}).warnings)
