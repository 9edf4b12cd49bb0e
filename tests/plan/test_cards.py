"""When a card may be wiped."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.plan.cards import Card, cards
from planner.plan.ticks import Event
from tests.paper.test_edit import GATE
from tests.support.builds import write_files
from tests.support.commandline import run, run_json


def log(*rows: tuple[float, str, dict[str, str]]) -> list[Event]:
    return [Event(n, "bench", at, "x", did, raw) for n, (at, did, raw) in enumerate(rows)]


def slate(at: float, clip: str) -> tuple[float, str, dict[str, str]]:
    return at, "slate", {"clip": clip}


def copy(at: float, card: str, to: str) -> tuple[float, str, dict[str, str]]:
    return at, "copied", {"card": card, "to": to}


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ([copy(1, "A1", "disk"), copy(2, "A1", "tape")], [("A1", ("disk", "tape"), True)]),
        ([copy(1, "A1", "disk"), copy(2, "A1", " Disk ")], [("A1", (" Disk ",), False)]),
        ([slate(1, "A1C1"), copy(2, "A1", "disk")], [("A1", ("disk",), False)]),
        ([slate(1, "A1C1")], [("A1C1", (), False)]),
        ([copy(1, "A1", "disk"), slate(2, "A1C2"), copy(3, "A1", "tape")], [("A1", ("tape",), False)]),
        ([copy(1, "A1", "a"), copy(1, "A1", "b"), slate(2, "B1C1")], [("B1C1", (), False), ("A1", ("a", "b"), True)]),
        (
            [(1, "rolling", {}), slate(2, "A1C1"), copy(3, "A1", "a"), copy(4, "A1", "b"), (9, "stopped", {})],
            [("A1", (), False)],
        ),
        ([(1, "copied", {"card": "A1"})], []),
    ],
)
def test_copied_twice_since_it_was_filmed_on(
    rows: list[tuple[float, str, dict[str, str]]], found: list[tuple[str, tuple[str, ...], bool]]
) -> None:
    assert [(card.name, card.places, card.free) for card in cards(log(*rows))] == found


EVENTS = st.lists(st.tuples(st.integers(0, 20), st.sampled_from(["film", "a", "b", "A"])), max_size=12)


@given(EVENTS)
def test_free_is_two_places_after_the_last_clip(rows: list[tuple[int, str]]) -> None:
    """By brute force, in other words than the product's."""
    events = log(*(slate(at, "K7C1") if what == "film" else copy(at, "K7", what) for at, what in rows))
    last = max([at for at, what in rows if what == "film"], default=-1)
    after = {what.lower() for at, what in rows if what != "film" and at >= last}
    (card,) = cards(events) or [Card("K7", ())]
    assert card.free == (len(after) > 1)


@pytest.mark.parametrize("typed", ["A003", "", "A/3 disk", "<b> disk", "..x disk", "A3 " + "x" * 81, "A3 \x1b[2J"])
def test_a_bad_copy_is_one_line_and_nothing_is_recorded(tmp_path: Path, typed: str) -> None:
    folder = write_files(tmp_path / "gate", GATE)
    code, out, err = run("tick", str(folder), "mark@left", "--copied", typed)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert not list(folder.glob("log/*"))


def test_the_command_keeps_a_copy_and_ticks_nothing(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "gate", GATE)
    assert "not free" in run("tick", str(folder), "mark@left", "--copied", "A3 disk")[1]
    code, answer = run_json("tick", str(folder), "mark@left", "--copied", "A3 laptop")
    assert (code, answer["free"], answer["did"]) == (0, True, "copied")
    _, steps = run_json("steps", str(folder))
    assert not any(row["done"] for row in steps["operations"])
