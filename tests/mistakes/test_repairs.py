"""Repairs of real mistakes that walk and that no fabricator would make, never offered again: common practice, no
source."""

from __future__ import annotations

import pytest

from tests.mistakes.changing import changed, read_plan
from tests.mistakes.judging import findings

NEVER = [
    # An episode's only watch is not kept in another episode: that one would end without.
    ("projects/hay-trailer", "move front-weld before springs-try", "the step watch-2"),
    # What is read of a hub is not read ahead of the heat, before there is a hub.
    ("projects/four-corners", "drop tab-cool", "Do float@"),
    # Chips are washed out, and the turning of the hub is not put off until the studs are in.
    ("projects/four-corners", "sides hub-wash front-left,front-right,rear-left", "hub-turn@"),
    ("planner/starters/sill-patch", "move flush after coat", "flush after wax"),
    # A hot joint cools before it is turned; the weld is not done in the other position.
    ("projects/dunlin-pickup", "drop rest-near", "root-near"),
    # Bolts that were forgotten are drawn up; they are not slackened for a wedge.
    ("projects/dunlin-pickup", "sides u-bolts driver", "wedge"),
    ("projects/hay-trailer", "sides u-bolts near", "axle-nudge"),
]


@pytest.mark.parametrize(("plan", "change", "never"), NEVER)
def test_no_fabricator_would(plan: str, change: str, never: str) -> None:
    found = findings(changed(read_plan(plan), change), repairs=True)
    assert found
    repairs = [repair for each in found for repair in (each["repair"], *each["repairs"]) if repair is not None]
    assert [repair["says"] for repair in repairs if never in repair["says"]] == []
