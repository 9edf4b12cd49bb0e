"""The order that a repair leads to, and which lines of it change."""

from __future__ import annotations

from hypothesis import given
from hypothesis import strategies as st

from planner.plan.changes import MoveOperation, MoveStep, Pace, moved
from planner.telling.repair import changed_lines


def shown(before: str, after: str) -> str:
    marks = {"same": " ", "earlier": "↑", "later": "↓", "new": "+"}
    rows = changed_lines(before, after)
    return " ".join("…" if row.how == "gap" else marks[row.how].strip() + row.name for row in rows)


def test_one_operation_moved_is_one_line() -> None:
    assert shown("abcdefgh", "abgcdefh") == "a b ↑g c d …"
    assert shown("abcdefgh", "bcdefgah") == "… f g ↓a h"


def test_what_a_repair_says_it_moves_is_marked_and_not_what_it_passes() -> None:
    names = ["weld@driver", "roll", "dress@driver", "dress@passenger", "step@driver", "the"]
    assert moved(MoveStep("dress", 0, 1), names) == {"dress@driver", "dress@passenger"}
    assert moved(MoveOperation("roll", "dress@passenger", False), names) == {"roll"}
    assert moved(Pace(0, "side-first"), names) == set()
    names = names[:4]
    after = ["weld@driver", "dress@driver", "dress@passenger", "roll"]
    rows = changed_lines(names, after, {"dress@driver", "dress@passenger"})
    assert [row.how for row in rows] == ["same", "earlier", "earlier", "same"]
    assert [row.how for row in changed_lines(names, after)][-1] == "later"


def test_rework_put_in() -> None:
    assert shown("abcd", "abRcd") == "a b +R c d"
    assert shown("aRbcd", "aRbRcd") == "… R b +R c d"


def test_nothing_changed() -> None:
    assert shown("abc", "abc") == "…"


@given(st.permutations(list("abcdefghij")), st.permutations(list("abcdefghij")))
def test_every_moved_operation_is_among_the_changed(before: list[str], after: list[str]) -> None:
    rows = changed_lines(before, after)
    names = [row.name for row in rows if row.how != "gap"]
    assert names == [name for name in after if name in names]
    same = [row.name for row in rows if row.how == "same"]
    assert same == [name for name in before if name in same]  # what is called the same kept its order
