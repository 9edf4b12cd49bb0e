"""Tacks and beads: their orders against brute force, and by what must hold."""

from __future__ import annotations

import cmath
import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.numbers.calculators.opposed import opposed, worst_imbalance
from planner.numbers.calculators.tacking import apart, best_turn, clear_of
from planner.numbers.clock import parse_clock
from tests.numbers.asking import ask, bad_numbers, mm, refused, rows_of, text_of


def least_worst(places: int) -> float:
    """The least worst running imbalance of all orders, by every set of places that may have been done (2^n)."""
    turns = [cmath.exp(2j * math.pi * i / places) for i in range(places)]
    best = {0: 0.0}
    for done in range(1, 1 << places):
        parts = [i for i in range(places) if done >> i & 1]
        here = abs(sum(turns[i] for i in parts))
        best[done] = max(here, min(best[done & ~(1 << i)] for i in parts))
    return best[(1 << places) - 1]


@pytest.mark.parametrize("places", range(2, 11))
def test_no_order_of_up_to_ten_pulls_less(places: int) -> None:
    """Brute force over every set; up to seven over every order outright as well."""
    ours = worst_imbalance(opposed(places), places)
    assert sorted(opposed(places)) == list(range(places))
    assert ours == pytest.approx(least_worst(places), abs=1e-9)
    if places <= 7:
        every = min(worst_imbalance(order, places) for order in itertools.permutations(range(places)))
        assert ours == pytest.approx(every, abs=1e-9)


@pytest.mark.parametrize("places", range(4, 100))
def test_it_pulls_less_than_round_and_round(places: int) -> None:
    """At every number; and of an even one the pairs are across each other, so that it pulls least oval as well."""
    assert worst_imbalance(opposed(places), places) == pytest.approx(1.0, abs=1e-9)
    assert worst_imbalance(range(places), places) > 1.3
    if places % 2 == 0:
        order = opposed(places)
        assert all((b - a) % places == places // 2 for a, b in zip(order[::2], order[1::2], strict=True))
        assert worst_imbalance(order[::2], places, 2) == pytest.approx(1.0, abs=1e-9)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(st.integers(0, 359), min_size=1, max_size=8, unique=True),
    st.lists(st.integers(0, 359), min_size=1, max_size=3, unique=True),
)
def test_no_turn_is_better_than_the_best(tacks: list[int], rests: list[int]) -> None:
    """Every half degree tried."""
    turn, clear = best_turn(tacks, rests)
    assert clear_of([each + turn for each in tacks], rests) == pytest.approx(clear, abs=1e-6)
    tried = max(clear_of([each + half / 2 for each in tacks], rests) for half in range(720))
    assert clear == pytest.approx(tried, abs=1e-6)


@settings(max_examples=60, deadline=None)
@given(st.floats(30, 300), st.sampled_from([4, 6, 8, 10, 12]), st.floats(60, 170), st.floats(2, 12))
def test_tacks_are_what_they_say(diameter: float, number: int, vee: float, length: float) -> None:
    """Distances sum round, opposite ones are half way, and what is clear is clear."""
    if number * length >= math.pi * diameter:
        return
    typed = {"diameter": mm(diameter), "number": f"{number}", "vee": f"{vee:.6f} deg", "length": mm(length)}
    found = ask("tacks", typed)
    at = [float(str(row[2])) for row in rows_of(found, "places")]
    around = math.pi * diameter
    assert sorted(at)[-1] < around
    gaps = [b - a for a, b in itertools.pairwise(sorted(at))]
    assert gaps == pytest.approx([around / number] * (number - 1))
    assert [abs(b - a) for a, b in zip(at[::2], at[1::2], strict=True)] == pytest.approx([around / 2] * (number // 2))
    rests = [90 + vee / 2, 270 - vee / 2]
    nearest = min(apart(360 * each / around, rest) for each in at for rest in rests)
    assert found.value("clear") == pytest.approx(around * nearest / 360 - length / 2, abs=1e-4)
    tried = max(min(apart(360 * each / around + t / 4, rest) for each in at for rest in rests) for t in range(1440))
    bad = around * tried / 360 < length / 2
    assert text_of(found, "beds-down").startswith("none") or not bad


def test_eight_tacks_in_a_right_vee_are_turned_half_a_step() -> None:
    """Checks: contacts at 45 degrees, where four and eight o'clock-and-a-half tacks would lie."""
    found = ask("tacks", {"diameter": "3 in", "vee": "90 deg", "length": "10 mm"})
    assert text_of(found, "contacts") == "4:30, 7:30"
    assert found.value("turn") == 22.5
    assert found.value("clear") == pytest.approx(math.pi * 76.2 / 16 - 5)
    six = ask("tacks", {"diameter": "3 in", "vee": "90 deg", "length": "10 mm", "number": "4"})
    assert six.value("turn") == 0.0


def test_long_tacks_end_the_bedding_down() -> None:
    """Twelve tacks of 15 mm on 76 mm leave 5 mm between them: contacts at 90 degrees meet the same part of the ring."""
    found = ask("tacks", {"diameter": "76 mm", "rests": "4:30; 8:00", "length": "15 mm", "number": "12"})
    assert text_of(found, "beds-down").startswith("none once pair")
    assert any("NO TURN" in each for each in found.warnings)
    assert not any("NO TURN" in each for each in ask("tacks", {"diameter": "76 mm", "vee": "90 deg"}).warnings)


@settings(max_examples=40, deadline=None)
@given(st.floats(20, 380), st.floats(15, 60))
def test_beads_are_what_they_say(diameter: float, length: float) -> None:
    """Even, no longer than asked (four at least), each layer whole before the next, and less pull than round."""
    if math.pi * diameter / length > 48:
        return
    found = ask("beads", {"diameter": mm(diameter), "length": mm(length)})
    number = round(found.value("number"))
    assert number % 2 == 0
    assert found.value("bead") <= length * (1 + 1e-9)
    assert number == 4 or found.value("bead") * number / (number - 2) > length
    rows = rows_of(found, "places")
    assert [row[1] for row in rows] == ["root"] * number + ["cap"] * number
    for layer in (rows[:number], rows[number:]):
        places = [parse_clock(str(row[2])) for row in layer]
        running = [abs(sum(cmath.exp(1j * math.radians(each)) for each in places[: k + 1])) for k in range(number)]
        assert max(running) == pytest.approx(1.0, abs=0.1)  # shown to the minute of a clock
    assert found.value("worst-round") == pytest.approx(worst_imbalance(range(number), number))
    assert found.value("worst") < found.value("worst-round")


def test_beads_in_the_plan() -> None:
    """The other joint's bead is part of the wait."""
    typed = {"diameter": "3 in", "wait": "3 min", "bead-time": "1 min"}
    found = ask("beads", typed)
    assert text_of(found, "write") == "rounds: 20; turns: alternate; wait: 3 min"
    assert found.value("stand") == 120.0
    assert found.value("whole") == 19 * 240 + 120
    assert ask("beads", typed, ("left",)).value("stand") == 180.0
    assert ask("beads", {**typed, "wait": "30 s"}).value("stand") == 0.0


@pytest.mark.parametrize(
    ("name", "typed", "key"),
    [
        ("tacks", {"diameter": "76 mm", "number": "7"}, "number"),
        ("tacks", {"diameter": "76 mm", "number": "8.5"}, "number"),
        ("tacks", {"diameter": "20 mm", "length": "10 mm"}, "length"),
        ("tacks", {"diameter": "76 mm", "rests": "13:00"}, "rests"),
        ("tacks", {"diameter": "76 mm", "rests": "4:30", "vee": "90 deg"}, "rests"),
        ("tacks", {"diameter": "76 mm", "first": "noon"}, "first"),
        ("tacks", {"diameter": "76 mm", "vee": "180 deg"}, "vee"),
        ("beads", {"diameter": "400 mm", "length": "6 mm"}, "length"),
        ("beads", {"diameter": "76 mm", "wait": "3 C"}, "wait"),
        ("beads", {"diameter": "76 mm", "layers": "0"}, "layers"),
        ("beads", {"diameter": "76 mm", "first": "25"}, "first"),
        *(("tacks", {"diameter": "76 mm", key: value}, key) for key, value in bad_numbers(["length", "diameter"])),
    ],
)
def test_what_cannot_be(name: str, typed: dict[str, str], key: str) -> None:
    """One line that names the input."""
    assert "\n" not in refused(name, typed, key)
