"""What is asked at a tick: units to choose from, the limits, what was read of the same metal before."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.numbers.lengths import parse_length
from planner.plan.ticks import READING
from planner.session.asking import Earlier, asked_of, with_unit
from planner.session.onebuild import OneBuild
from tests.session.test_holds import LIMIT, opened


def asked(one: OneBuild, name: str) -> object:
    """What is asked at an operation."""
    return asked_of(one, one.live.by_name[name])


@pytest.mark.parametrize(
    ("hold", "units", "doubt"),
    [
        (LIMIT, ("in", "mm"), "0.004 in"),
        ("{limit: 0.25 mm}", ("mm", "in"), None),
        ("{most: 113 F, plus-minus: 2 C}", ("F", "C"), "3.6 F"),
        ("{least: 90 N.m}", ("N.m", "lb-ft"), None),
        ("{least: 66 lb-ft}", ("lb-ft", "N.m"), None),
        ("{least: 2}", (), None),
    ],
)
def test_the_unit_of_the_limit_comes_first(
    tmp_path: Path, hold: str, units: tuple[str, ...], doubt: str | None
) -> None:
    found = asked_of(one := opened(tmp_path, hold), one.live.by_name["straight@left"])
    assert found is not None
    assert (found.units, found.doubt, found.must) == (units, doubt, True)


def test_nothing_is_asked_where_nothing_is_read(tmp_path: Path) -> None:
    assert asked(opened(tmp_path), "press@left") is None


def test_as_found_and_latest_stand_beside_it(tmp_path: Path) -> None:
    """Of this side alone, and each once."""
    one = opened(tmp_path)
    for side, value in (("left", "0.012 in"), ("right", "0.020 in"), ("left", "0.011 in"), ("left", "0.013 in")):
        one.tick(f"straight@{side}", remarks=[{"did": READING, "value": value}])
    found = asked_of(one, one.live.by_name["straight@left"])
    assert found is not None
    assert found.earlier == (Earlier("straight@left", "0.012 in"), Earlier("straight@left", "0.013 in"))


@given(st.integers(0, 9999), st.integers(0, 3), st.sampled_from(["in", "mm"]), st.booleans())
def test_a_unit_is_put_behind_the_value_and_read_back(digits: int, places: int, unit: str, spread: bool) -> None:
    """Against the reader of lengths: with the unit typed and with the unit put behind it, it is the same length."""
    value = f"{digits / 10**places:.{places}f}"
    written = f"{value} ± .5" if spread else value
    assert parse_length(with_unit(written, unit)) == parse_length(f"{value} {unit}{' ± .5' if spread else ''}")


@pytest.mark.parametrize("typed", ["45 C", '3 1/2"', "1394 mm", "way out", "", "up"])
def test_what_has_its_own_is_left_as_it_is(typed: str) -> None:
    assert with_unit(typed, "in") == typed
