"""Facts of the trade that no source could be found for: each is common practice, no source."""

from __future__ import annotations

import pytest

from tests.numbers.asking import ask, refused

PRACTICE = "common practice, no source"


def test_splines_engage_by_about_one_pitch_diameter() -> None:
    found = ask("shaft", {"teeth": "30", "pitch": "24", "pressure-angle": "30 deg"})
    assert found.value("engagement-wanted") == found.value("pitch-diameter"), PRACTICE


def test_a_nut_holds_by_at_least_one_stud_diameter() -> None:
    typed = {"stud": "1/2 in", "stud-length": "1 3/8 in", "wheel-pad": "1 in"}
    assert PRACTICE in refused("shaft", typed, "stud-length")
    assert ask("shaft", typed | {"stud-length": "1 1/2 in"}).value("stud-engagement") == pytest.approx(12.7), PRACTICE


def test_the_cradle_is_at_most_the_finished_plate_distance_less_clearance() -> None:
    found = ask("cradle", {"plates": "48 in", "differential": "12 in", "tube": "3 in", "clearance": "1/4 in"})
    assert found.value("length") / 25.4 == pytest.approx(47.5), PRACTICE
    assert found.value("gap") / 25.4 == pytest.approx(12), PRACTICE


def test_uprights_stand_just_inside_the_ends_of_each_half_two_a_side() -> None:
    typed = {"plates": "48 in", "differential": "12 in", "tube": "3 in", "clearance": "0 in", "upright-width": "2 in"}
    found = ask("cradle", typed)
    for side in ("driver", "passenger"):
        assert found.value("upright-outer", side) / 25.4 == pytest.approx(1), PRACTICE
        assert found.value("upright-inner", side) / 25.4 == pytest.approx(17), PRACTICE


def test_a_loose_end_rests_on_at_least_one_tube_diameter() -> None:
    typed = {"plates": "48 in", "differential": "12 in", "tube": "3 in", "clearance": "1/4 in"}
    with_line = refused("cradle", typed | {"first-line": {"driver": "3 in", "passenger": "4 in"}}, "first-line.driver")
    assert PRACTICE in with_line
    assert "at least 3 1/4 in" in with_line
