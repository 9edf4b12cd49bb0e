"""Numbers that are tried and not written yet."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from planner.numbers.quantity import exact
from planner.numbers.registry import CALCULATORS
from planner.numbers.together import Outcome
from planner.session.numbers.draft import (
    Change,
    Draft,
    Sections,
    differ,
    drop,
    gone,
    in_order,
    joined,
    moved,
    put,
    put_all,
    rebase,
    settle,
    split,
    unreadable,
)
from tests.app.numbers.support import SIDES, axle, desk_of

SHAFT = {"driver": "30 in", "passenger": "28 in"}
SAVED: Sections = {"narrow": {"kerf": "1/8 in", "shaft": SHAFT}, "bars": {}}
DRAFT = Draft(SAVED)


def test_a_change_is_kept_apart_from_what_the_file_says() -> None:
    changed = put(DRAFT, "narrow", "kerf", "3/32 in", None, SIDES)
    assert changed.typed("narrow", "kerf") == "3/32 in"
    assert changed.saved["narrow"]["kerf"] == "1/8 in"
    assert changed.sections()["narrow"]["kerf"] == "3/32 in"
    assert DRAFT.changes == {}, "a draft is a value"


def test_typing_what_the_file_says_is_no_change() -> None:
    changed = put(DRAFT, "narrow", "kerf", "3/32 in", None, SIDES)
    back = put(changed, "narrow", "kerf", " 1/8 in ", None, SIDES)
    assert back.changes == {}


def test_one_side_leaves_the_other_alone() -> None:
    changed = put(DRAFT, "narrow", "shaft", "27 in", "passenger", SIDES)
    assert changed.typed("narrow", "shaft") == {"driver": "30 in", "passenger": "27 in"}
    fresh = put(DRAFT, "narrow", "hat", "1/4 in", "driver", SIDES)
    assert fresh.sections()["narrow"]["hat"] == {"driver": "1/4 in"}, "the forgotten side is for the calculator to say"


def test_taking_the_last_text_away_takes_the_input_away() -> None:
    changed = put(put(DRAFT, "narrow", "shaft", "", "driver", SIDES), "narrow", "shaft", " ", "passenger", SIDES)
    assert "shaft" not in changed.sections()["narrow"]
    assert changed.unsaved() == {("narrow", "shaft"): Change(SHAFT, {"driver": "", "passenger": " "})}


def test_splitting_and_joining_never_carries_a_number_across() -> None:
    apart = split(DRAFT, "narrow", "kerf", SIDES)
    assert apart.typed("narrow", "kerf") == {"driver": "1/8 in", "passenger": "1/8 in"}
    assert joined(apart.typed("narrow", "kerf")) == "1/8 in"
    assert joined(DRAFT.typed("narrow", "shaft")) is None
    assert put_all(apart, "narrow", "kerf", "1/8 in").changes == {}


def test_a_split_with_nothing_in_it_is_nothing_to_save() -> None:
    apart = split(DRAFT, "narrow", "hat", SIDES)
    assert apart.typed("narrow", "hat") == {"driver": "", "passenger": ""}
    assert apart.unsaved() == {}
    assert "hat" not in apart.sections()["narrow"]


def test_a_file_that_changed_elsewhere_leaves_changes_standing() -> None:
    changed = put(DRAFT, "narrow", "kerf", "3/32 in", None, SIDES)
    other = rebase(changed, {"narrow": {"kerf": "1/8 in", "gap": "1/16 in"}})
    assert other.typed("narrow", "gap") == "1/16 in"
    assert list(other.unsaved()) == [("narrow", "kerf")]
    assert other.clashes() == {}


def test_a_file_that_changed_in_the_same_place_clashes_until_somebody_chose() -> None:
    changed = put(DRAFT, "narrow", "kerf", "3/32 in", None, SIDES)
    other = rebase(changed, {"narrow": {"kerf": "1/16 in"}})
    assert list(other.clashes()) == [("narrow", "kerf")]
    assert settle(other).clashes() == {}
    assert list(settle(other).unsaved()) == [("narrow", "kerf")]
    assert drop(other, ("narrow", "kerf")).typed("narrow", "kerf") == "1/16 in"
    assert rebase(changed, {"narrow": {"kerf": "3/32 in"}}).changes == {}, "somebody else wrote the same"


def test_what_no_file_can_hold_is_known_by_its_name() -> None:
    changed = put(put(DRAFT, "narrow", "kerf", "2", None, SIDES), "narrow", "shaft", "nan in", "driver", SIDES)
    found = unreadable(changed)
    assert set(found) == {"narrow.kerf", "narrow.shaft.driver"}
    assert "no unit" in found["narrow.kerf"]
    assert unreadable(put(DRAFT, "narrow", "kerf", "300 in", None, SIDES)) == {}, "absurd, but a file can hold it"


def test_calculators_with_a_section_come_first() -> None:
    assert in_order({"shaft": {}, "wheel": {}})[:3] == ["wheel", "shaft", "tyre"]
    assert in_order({}) == list(CALCULATORS)


def test_what_moved_came_and_went_is_known(tmp_path: Path) -> None:
    desk = desk_of(axle(tmp_path))
    before = dict(desk.outcomes)
    desk.type("narrow", "gap", "1/8 in", None)
    moves = moved(before["narrow"], desk.outcomes["narrow"])
    assert ("between", "driver") in moves
    assert ("shorten", "driver") not in moves
    assert moved(before["cradle"], desk.outcomes["cradle"]) == {}
    desk.type("narrow", "pocket", "", None)
    assert ("stub", "driver") in gone(before["narrow"], desk.outcomes["narrow"])
    desk.type("narrow", "gap", "x", None)
    assert len(gone(before["narrow"], desk.outcomes["narrow"])) == len(gone(before["narrow"], None)) > 20


def test_only_the_uncertainty_moved_is_a_move(tmp_path: Path) -> None:
    desk = desk_of(axle(tmp_path))
    before = dict(desk.outcomes)
    desk.type("narrow", "flange-to-plate", "3 in ± 1/16", None)
    assert ("half", "driver") in moved(before["narrow"], desk.outcomes["narrow"])


def test_sides_differ_when_a_value_does_or_is_missing() -> None:
    assert not differ({"driver": exact(1.0), "passenger": exact(1.0)}, SIDES)
    assert differ({"driver": exact(1.0), "passenger": exact(1.1)}, SIDES)
    assert differ({"driver": exact(1.0)}, SIDES)


@pytest.mark.parametrize("text", ["54 in", "54 in ± 1/64"])
def test_the_slow_calculator_is_asked_only_when_its_question_changes(tmp_path: Path, text: str) -> None:
    desk = desk_of(axle(tmp_path))
    asked: list[int] = []

    def beside(work: Callable[[], Outcome], done: Callable[[Outcome], None]) -> None:
        asked.append(1)
        done(work())

    desk._beside = beside
    desk.type("narrow", "plate-to-plate", text, None)
    assert not asked, "the cradle is as long as before"
    assert desk.outcomes["bars"] is desk.now.outcomes["bars"]
    desk.type("cradle", "clearance", "1/8 in", None)
    desk.type("cradle", "clearance", "1/8 in ", None)
    assert len(asked) == 1
    assert desk.outcomes["bars"].result is not None
    assert desk.outcomes["bars"].result.value("waste") != desk.now.outcomes["bars"].result.value("waste")  # type: ignore[union-attr]


def test_an_answer_to_an_old_question_is_not_taken(tmp_path: Path) -> None:
    desk = desk_of(axle(tmp_path))
    waiting: list[tuple[Callable[[], Outcome], Callable[[Outcome], None]]] = []
    desk._beside = lambda work, done: waiting.append((work, done))
    desk.type("cradle", "clearance", "1/8 in", None)
    assert desk.busy
    assert "bars" not in desk.outcomes, "no result is shown that was not found"
    desk.type("cradle", "clearance", "1/16 in", None)
    (old_work, old_done), (new_work, new_done) = waiting
    new_done(new_work())
    right = desk.outcomes["bars"]
    old_done(old_work())
    assert not desk.busy
    assert desk.outcomes["bars"] is right
