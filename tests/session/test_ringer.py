"""The bell rings when a wait is over, for a while, and not for what was over before."""

from __future__ import annotations

from planner.plan.live import Wait
from planner.session.bell import RINGS, Ringer


def test_it_rings_when_a_wait_is_over_and_stops_by_itself() -> None:
    ringer = Ringer()
    assert not ringer.look([Wait(100.0, "tacks#1@driver", None)], 40)
    assert ringer.look([], 100)
    assert list(ringer.over) == ["tacks#1@driver"]
    rings = 1 + sum(ringer.look([], 101 + n) for n in range(200))
    assert rings == RINGS
    assert ringer.over


def test_it_can_be_silenced_and_still_says_what_is_over() -> None:
    ringer = Ringer()
    ringer.look([Wait(100.0, "cool", None)], 99)
    ringer.look([], 101)
    assert ringer.silence()
    assert not ringer.look([], 102)
    assert ringer.over
    assert not ringer.silence()


def test_turned_off_it_shows_what_is_over_and_is_not_heard() -> None:
    ringer = Ringer(off=True)
    ringer.look([Wait(100.0, "cool", None)], 99)
    assert not ringer.look([], 101)
    assert ringer.over
    ringer.off = False
    assert ringer.look([], 102)
    ringer.off = True
    assert not ringer.silence()  # z turns it on again instead


def test_a_wait_that_was_over_before_is_not_rung() -> None:
    assert not Ringer().look([], 100)


def test_a_wait_that_was_taken_back_does_not_ring() -> None:
    ringer = Ringer()
    ringer.look([Wait(100.0, "cool", None)], 40)
    assert not ringer.look([], 50)
    assert not ringer.over


def test_the_wait_of_something_done_again_runs_anew() -> None:
    ringer = Ringer()
    ringer.look([Wait(100.0, "cool", None)], 40)
    ringer.look([], 101)
    assert not ringer.look([Wait(220.0, "cool", None)], 120)
    assert not ringer.over


def test_a_tick_shows_that_it_was_seen() -> None:
    ringer = Ringer()
    ringer.look([Wait(100.0, "cool", None)], 40)
    ringer.look([], 101)
    ringer.attend()
    assert not ringer.over
    assert not ringer.look([], 102)
