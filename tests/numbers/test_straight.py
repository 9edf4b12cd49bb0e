"""Tilt, run-out, what instruments see, and verdicts: against numpy's least squares and by what must hold."""

from __future__ import annotations

import math
import re

import numpy as np
import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from planner.numbers.clock import At, clock_text, parse_clock, wave
from planner.numbers.quantity import Quantity
from planner.numbers.verdict import CANNOT_TELL, INSIDE, OUTSIDE, settles, verdict
from tests.numbers.asking import Typed, ask, refused, text_of

HOURS = ("12:00", "1:30", "3:00", "4:30", "6:00", "7:30", "9:00", "10:30")
some = st.lists(st.integers(-300, 300), min_size=4, max_size=8)


def typed(values: list[int], turned: int = 0) -> str:
    """Micrometres at the clock positions, the clock turned by so many of them."""
    return "; ".join(f"{HOURS[(i + turned) % 8]} {value / 1000:.3f} mm" for i, value in enumerate(values))


@settings(max_examples=80, deadline=None)
@given(some)
def test_the_plane_is_that_of_least_squares(values: list[int]) -> None:
    """numpy.linalg.lstsq on the same readings (PyPI numpy)."""
    found = ask("tilt", {"readings": typed(values), "radius": "50 mm"})
    turns = np.radians([45.0 * i for i in range(len(values))])
    matrix = np.column_stack([np.ones(len(values)), np.cos(turns), np.sin(turns)])
    best = np.linalg.lstsq(matrix, np.array(values) / 1000.0, rcond=None)[0]
    assert math.radians(found.value("camber")) == pytest.approx(math.atan(best[1] / 50), abs=1e-9)
    assert math.radians(found.value("toe")) == pytest.approx(math.atan(best[2] / 50), abs=1e-9)
    if len(values) > 3:
        off = np.array(values) / 1000.0 - matrix @ best
        assert found.value("residual") == pytest.approx(math.sqrt(float(off @ off) / (len(values) - 3)), abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(some, st.integers(1, 7))
def test_turning_the_clock_turns_the_tilt_with_it(values: list[int], turned: int) -> None:
    """The same size, so many positions further on."""
    one = ask("tilt", {"readings": typed(values), "radius": "50 mm"})
    other = ask("tilt", {"readings": typed(values, turned), "radius": "50 mm"})
    assert other.value("tilt") == pytest.approx(one.value("tilt"), abs=1e-9)
    first, second = one.results["toward"], other.results["toward"]
    assert isinstance(first, str)
    assert isinstance(second, str)
    if one.value("tilt") > 1e-6:
        moved = (parse_clock(second) - parse_clock(first) - 45 * turned + 180) % 360 - 180
        assert abs(moved) <= 1.0


def test_the_doubt_of_four_readings() -> None:
    """Four readings of u: a and b are half a difference each, so u / sqrt 2, over the radius."""
    found = ask("tilt", {"readings": typed([100, 50, 0, 50]), "radius": "50 mm"})
    assert any("no ±" in each for each in found.warnings)
    text = "12:00 0.1 mm; 3:00 0.05 mm; 6:00 0 mm; 9:00 0.05 mm"
    found = ask("tilt", {"readings": text, "radius": "50 mm", "plus-minus": "0.01 mm"})
    cell = found.results["tilt"]
    assert isinstance(cell, Quantity)
    assert math.radians(cell.u) == pytest.approx(0.01 / math.sqrt(3) / math.sqrt(2) / 50, rel=1e-4)


def test_three_readings_cannot_show_a_bad_one_and_four_can() -> None:
    """A slip of half a millimetre passes among three and is refused among four."""
    slip = "12:00 0.5 mm; 4:00 0 mm; 8:00 0 mm"
    found = ask("tilt", {"readings": slip, "radius": "50 mm", "plus-minus": "0.01 mm"})
    assert any("three readings" in each for each in found.warnings)
    assert "residual" not in found.results
    four = "12:00 0.5 mm; 3:00 0 mm; 6:00 0 mm; 9:00 0 mm"
    assert "read it again" in refused(
        "tilt", {"readings": four, "radius": "50 mm", "plus-minus": "0.01 mm"}, "readings"
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("12:00 0 mm; 3:00 0 mm", "three settle"),
        ("13:00 0 mm; 3:00 0 mm; 6:00 0 mm", "not a clock position"),
        ("12:00 0; 3:00 0 mm; 6:00 0 mm", "no unit"),
        ("12:00 nan mm; 3:00 0 mm; 6:00 0 mm", "not a length"),
        ("12:00 0 mm; 12:00 0 mm; 6:00 0 mm", "read twice"),
        ("", "is missing"),
    ],
)
def test_readings_that_cannot_be(text: str, says: str) -> None:
    """Told by name, with how they are written."""
    assert says in refused("tilt", {"readings": text, "radius": "50 mm"}, "readings")


def test_positions_that_settle_nothing() -> None:
    """Readings at one place settle no plane."""
    with pytest.raises(ValueError, match="settle"):
        wave([At(10.0, Quantity(0.0))] * 4)


def test_run_out_and_its_verdicts() -> None:
    """Full reading is twice the eccentricity; the limit less and plus U is where the answer changes."""
    for reading, answer in (("0.08 mm ± 0.01", INSIDE), ("0.099 mm ± 0.01", CANNOT_TELL), ("0.12 mm ± 0.01", OUTSIDE)):
        found = ask("runout", {"reading": reading, "limit": "0.1 mm"})
        assert found.results["verdict"] == answer
    bare = ask("runout", {"reading": "12 thou", "limit": "12 thou"})
    assert any("no ± is stated" in each for each in bare.warnings)
    dial = ask("runout", {"reading": "12 thou", "limit": "12 thou", "plus-minus": "1 thou"})
    assert dial.results["verdict"] == CANNOT_TELL
    round_about = ask("runout", {"readings": typed([100, 71, 0, -71, -100, -71, 0, 71])})
    assert round_about.value("full") == pytest.approx(0.2, abs=1e-3)


@given(st.floats(-10, 10), st.floats(0, 3), st.floats(-5, 5), st.floats(0, 6))
def test_verdicts_answer_for_every_value_that_it_may_be(value: float, doubt: float, least: float, wide: float) -> None:
    """Inside only if all that it may be is inside; outside only if none of it is."""
    most = least + wide
    found = verdict(value, doubt, least, most)
    worst_in = least - 1e-8 <= value - doubt and value + doubt <= most + 1e-8
    none_in = value - doubt > most or value + doubt < least
    if found.answer == INSIDE:
        assert worst_in
    elif found.answer == OUTSIDE:
        assert none_in
    else:
        assert not none_in or abs(value - most) - doubt < 1e-6 or abs(value - least) - doubt < 1e-6
    finer = settles(found, {"finer": abs(found.room) / 2, "same": abs(found.room)})
    assert finer == ("finer" if abs(found.room) > 1e-8 else finer)


@given(st.integers(0, 719))
def test_clock_positions_read_back(half_minutes: int) -> None:
    """Every minute of the clock."""
    assert parse_clock(clock_text(half_minutes / 2)) == half_minutes / 2


def test_what_is_said_of_heat() -> None:
    """Draws where it stands out; refuses what is no plain steel."""
    assert ask("pull", {"toward": "4:30", "metal": "mild-steel"}).results["never-at"] == "10:30"
    assert "not plain mild steel" in refused("pull", {"toward": "4:30", "metal": "cast"}, "metal")


def test_finer_instruments_see_smaller_bends() -> None:
    """In this order: lengths, straight edge, dial."""
    found = ask("sees", {"length": "600 mm", "radius": "60 mm"})
    assert found.value("by-tape") > found.value("by-straight-edge") > 0
    assert found.value("by-dial") > found.value("by-four-readings") * 0.5 > 0


@settings(max_examples=60, deadline=None)
@given(st.floats(0, 0.5), st.floats(0, 360), st.floats(0.005, 0.1), st.floats(0.05, 0.4))
def test_a_limit_has_three_answers(out: float, toward: float, wide: float, limit: float) -> None:
    """The answer of the rule (ISO 14253-1) on a plane that is known; the dial that is asked for would settle it."""
    turn = math.radians(toward)
    spots = [("12:00", 0), ("3:00", 90), ("6:00", 180), ("9:00", 270)]
    said = "; ".join(f"{name} {out * math.cos(math.radians(at) - turn):.6f} mm" for name, at in spots)
    asked: dict[str, Typed] = {
        "readings": said, "radius": "50 mm", "plus-minus": f"{wide:.6f} mm", "limit": f"{limit:.6f} mm",
    }  # fmt: skip
    found = ask("tilt", asked)
    told = text_of(found, "against-limit")
    doubt = 2 * wide / math.sqrt(3) / math.sqrt(2)  # four readings, each rectangular; least squares halves the variance
    room = limit - out
    assume(abs(abs(room) - doubt) > 1e-4)
    answer = "INSIDE" if room > doubt else "OUTSIDE" if room < -doubt else "CANNOT TELL"
    assert answer in told
    finer = re.search(r"good to ± .*?([0-9.]+) mm", told)
    if finer is not None:
        again = ask("tilt", {**asked, "plus-minus": f"{float(finer.group(1)) * 0.99:.6f} mm"})
        assert "CANNOT TELL" not in text_of(again, "against-limit")
    elif answer == "CANNOT TELL":
        assert "no dial would settle it" in told
