"""Cooling: against scipy's solver of differential equations and ht's film, and by what must hold."""

from __future__ import annotations

import math

import pytest
from ht import Nu_cylinder_Churchill_Bernstein, Nu_horizontal_cylinder_Churchill_Chu
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp

from planner.numbers.calculators.cooling import Seen, Tube, capacity, film, left, seconds
from tests.numbers.asking import ask, bad_numbers, refused

BARE = {"diameter": "76 mm", "wall": "6 mm", "hot": "300 C", "air": "20 C"}
tubes = st.builds(Tube, st.floats(0.03, 0.15), st.floats(0.002, 0.012), st.floats(0.2, 1.0), st.floats(0.0, 5.0))


@settings(max_examples=25, deadline=None)
@given(tubes, st.floats(120, 500), st.floats(-10, 35), st.floats(2, 60))
def test_the_wait_is_that_of_the_differential_equation(tube: Tube, hot: float, air: float, above: float) -> None:
    """scipy.integrate.solve_ivp with an event at the target (PyPI scipy)."""
    mass = 7850.0 * math.pi * ((tube.diameter / 2) ** 2 - (tube.diameter / 2 - tube.wall) ** 2)

    def slope(_: float, t: list[float]) -> list[float]:
        return [-film(tube, t[0], air) * math.pi * tube.diameter * (t[0] - air) / (mass * capacity(t[0]))]

    def there(_: float, t: list[float]) -> float:
        return t[0] - air - above

    there.terminal = True  # type: ignore[attr-defined]  # how scipy is told to stop
    found = solve_ivp(slope, (0.0, 1e6), [hot], events=there, rtol=1e-9, atol=1e-9)
    assert seconds(tube, hot, air + above, air) == pytest.approx(found.t_events[0][0], rel=1e-4)


@pytest.mark.parametrize(("diameter", "surface", "air"), [(0.1, 165.0, 23.0), (0.076, 300.0, 20.0), (0.05, 45.0, 20.0)])
def test_the_film_is_that_of_ht(diameter: float, surface: float, air: float) -> None:
    """PyPI ht, still air and wind, on properties worked out here again; both together by fourth powers."""
    t = (surface + air) / 2 + 273.15
    mu = 1.716e-5 * (t / 273.15) ** 1.5 * 383.55 / (t + 110.4)
    k = 0.0241 * (t / 273.15) ** 1.5 * 467.15 / (t + 194)
    nu = mu * 287.05 * t / 101325
    grashof = 9.80665 * (surface - air) / t * diameter**3 / nu**2
    still = float(Nu_horizontal_cylinder_Churchill_Chu(1007 * mu / k, grashof)) * k / diameter
    assert film(Tube(diameter, 0.005, 0.0, 0.0), surface, air) == pytest.approx(still, rel=1e-9)
    moved = float(Nu_cylinder_Churchill_Bernstein(1.5 * diameter / nu, 1007 * mu / k)) * k / diameter
    both = (still**4 + moved**4) ** 0.25
    assert film(Tube(diameter, 0.005, 0.0, 1.5), surface, air) == pytest.approx(both, rel=1e-9)


@settings(max_examples=40, deadline=None)
@given(tubes, st.floats(120, 500), st.floats(-10, 35))
def test_it_cools_sooner_in_wind_and_later_with_more_wall(tube: Tube, hot: float, air: float) -> None:
    """And sooner from less heat, to a warmer target, with a duller surface."""
    base = seconds(tube, hot, air + 10, air)
    assert seconds(tube._replace(wind=tube.wind + 2), hot, air + 10, air) < base
    assert seconds(tube._replace(wall=tube.wall * 1.2), hot, air + 10, air) > base
    assert seconds(tube, hot - 20, air + 10, air) < base
    assert seconds(tube, hot, air + 20, air) < base
    assert seconds(tube._replace(emissivity=tube.emissivity * 0.8), hot, air + 10, air) > base


def test_one_time_constant_fitted_hot_gives_a_wait_that_is_too_short() -> None:
    """The film less than halves between 300 and 60 C, and a wait by its first value would come short."""
    tube = Tube(0.076, 0.006, 0.85, 0.0)
    assert film(tube, 60, 20) < 0.55 * film(tube, 300, 20)
    tau = seconds(tube, 300, 280, 20) / math.log(280 / 260)
    assert tau * math.log(280 / 2) < 0.75 * seconds(tube, 300, 22, 20)


@settings(max_examples=40, deadline=None)
@given(tubes, st.lists(st.floats(0.3, 3.0), min_size=1, max_size=4), st.floats(0, 3))
def test_readings_never_leave_less_than_they_allow(tube: Tube, paces: list[float], doubt: float) -> None:
    """Whatever pace it seemed to have: the rest is at least what the last reading alone leaves."""
    at, hot, seen = 0.0, 250.0, [Seen(0.0, 250.0, doubt)]
    for pace in paces:
        at, hot = at + pace * seconds(tube, hot, hot - 40, 20), hot - 40
        seen.append(Seen(at, hot, doubt))
    rest = left(tube, seen, 30.0, 20.0)
    assert rest >= seconds(tube, hot, 30.0, 20.0) * (1 - 1e-9)
    assert left(tube, [seen[-1]], 30.0, 20.0) <= rest * (1 + 1e-9)
    assert left(tube, [Seen(0.0, 25.0)], 30.0, 20.0) == 0.0


def test_a_slow_tube_stretches_the_rest_and_a_fast_one_does_not_shorten_it() -> None:
    slow = ask("cool", BARE | {"readings": "0 min 300 C; 40 min 200 C"})
    assert slow.value("slower") > 1.2
    fast = ask("cool", BARE | {"readings": "0 min 300 C; 1 min 200 C"})
    assert fast.value("slower") < 1
    assert any("faster" in each for each in fast.warnings)
    assert slow.value("to-measure") > ask("cool", BARE).value("to-measure")
    assert any("far colder" in each for each in ask("cool", BARE | {"readings": "2 min 40 C"}).warnings)
    assert not any("far colder" in each for each in slow.warnings)


def test_what_is_said_of_a_joint_in_a_cold_tube() -> None:
    found = ask("cool", BARE | {"heated": "60 mm"})
    assert any("not one temperature" in each for each in found.warnings)
    assert not any("not one temperature" in each for each in ask("cool", BARE | {"heated": "3000 mm"}).warnings)


@pytest.mark.parametrize(
    ("change", "key", "says"),
    [
        ({"target": "19 C"}, "target", "not above the air"),
        ({"hot": "25 C", "air": "30 C"}, "hot", "not hotter"),
        ({"readings": "5 min 180 C; 3 min 90 C"}, "readings", "not later"),
        ({"readings": "5 min 180 C; 9 min 220 C"}, "readings", "rise"),
        ({"readings": "5 min 0 C"}, "readings", "colder than the air"),
        ({"readings": "5 min 2000 C"}, "readings", "hotter than 900 C"),
        ({"readings": "90 min 100 C", "now": "60 min"}, "readings", "later than now"),
        ({"readings": "five min 100 C"}, "readings", "cannot be read"),
        ({"wall": "39 mm"}, "wall", "more than half"),
        ({"hot": "1000 C"}, "hot", "25 C to 900 C"),
    ],
)
def test_what_cannot_be_is_refused(change: dict[str, str], key: str, says: str) -> None:
    assert says in refused("cool", BARE | change, key)


@pytest.mark.parametrize(("key", "bad"), bad_numbers(["diameter", "wall", "hot", "air"]))
def test_nonsense_is_refused_by_name(key: str, bad: str) -> None:
    refused("cool", BARE | {key: bad}, key)


def test_touching_takes_the_hot_end() -> None:
    assert ask("touch", {"metal": "47 C ± 2"}).value("at-most") == 60
    assert ask("touch", {"metal": "60 C"}).value("at-most") == 0
    assert any("35 ft" in each for each in ask("watch", {"nearest": "2 m"}).warnings)
