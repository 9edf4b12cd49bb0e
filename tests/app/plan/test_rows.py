"""The plan as rows and cells, and how the width is shared out."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.plan.cells import cell_state
from planner.app.plan.columns import (
    Columns,
    cell_texts,
    fitting_text,
    share_out,
    stage_line,
)
from planner.session.opened import Opened, open_build
from planner.telling.looks import plain
from planner.telling.rows import CellState, cell_of, plan_rows
from planner.telling.times import clock_words
from tests.support.clock import Clock


def read(folder: Path, clock: Clock | None = None) -> Opened:
    found = open_build(folder, clock or Clock())
    assert isinstance(found, Opened)
    return found


def said(opened: Opened, step: str, column: int, width: int = 22) -> str:
    assert opened.one is not None
    row = next(row for row in plan_rows(opened.one.plan) if row.step is not None and row.step.id == step)
    state = cell_state(opened, cell_of(row, column))
    return "–" if state is None else plain([fitting_text(cell_texts(state), width)])


def test_rows_follow_the_plan(brackets: Path) -> None:
    opened = read(brackets)
    assert opened.one is not None
    assert [(row.what, row.text if row.step is None else row.step.id) for row in plan_rows(opened.one.plan)] == [
        ("episode", "1  Brackets on"),
        ("stage", "Jig"),
        ("step", "set-jig"),
        ("step", "clamp"),
        ("step", "tacks"),
        ("stage", "Round"),
        ("step", "weld"),
        ("step", "roll"),
        ("step", "dress"),
        ("stage", "Last look"),
        ("step", "photo"),
        ("step", "grind-back"),
    ]


def test_cells_say_state_rounds_waits_and_findings(brackets: Path) -> None:
    clock = Clock()
    opened = read(brackets, clock)
    one = opened.one
    assert one is not None
    assert said(opened, "set-jig", 1) == "▸ ready"
    assert said(opened, "clamp", 0) == "· not yet"
    assert said(opened, "roll", 0) == "▹ ahead  ▲ trap"
    assert said(opened, "roll", 0, 12) == "▲ trap"
    assert said(opened, "photo", 1) == "–"
    assert said(opened, "grind-back", 0) == "– if needed"
    for name in ("set-jig", "clamp@driver", "clamp@passenger", "tacks#1@driver", "tacks#1@passenger"):
        one.tick(name)
    assert said(opened, "clamp", 0) == "✓ done"
    assert said(opened, "tacks", 0) == "◷ 1/2 waiting 3:00"
    assert said(opened, "tacks", 0, 14) == "◷ wait 3:00"
    clock.now += 181
    assert said(opened, "tacks", 0) == "▸ 1/2 ready"


def test_history_follows_the_state(brackets: Path) -> None:
    opened = read(brackets)
    assert opened.one is not None
    opened.one.tick("clamp@driver", anyway=True)
    assert said(opened, "clamp", 0) == "✓ done  ▲ was trap"
    assert said(opened, "clamp", 0, 9) == "✓ done ▲"


@pytest.mark.parametrize("width", range(1, 200, 7))
@pytest.mark.parametrize("sides", [("a",), ("driver", "passenger"), tuple(f"side-{n}" for n in range(8))])
def test_columns_never_take_more_than_there_is(width: int, sides: tuple[str, ...]) -> None:
    for column in range(len(sides)):
        shared = share_out(width, sides, column)
        assert shared.first <= column < shared.first + shared.shown
        assert shared.first + shared.shown <= len(sides)
        if width >= 34:
            assert shared.text + shared.cell * shared.shown <= width


def test_the_first_side_in_sight_stays_until_the_cursor_leaves() -> None:
    sides = tuple(f"side-{n}" for n in range(8))
    first = share_out(60, sides, 0)
    assert (first.first, first.shown) == (0, 3)
    assert share_out(60, sides, 3).first == 1
    assert share_out(60, sides, 2, first=1).first == 1
    assert share_out(60, sides, 0, first=1).first == 0


def test_at_eighty_the_words_of_the_steps_get_the_room() -> None:
    assert share_out(80, ("driver", "passenger"), 0) == Columns(52, 14, 0, 2)


@pytest.mark.parametrize(
    ("title", "done", "total", "width", "says"),
    [
        ("Strip", 2, 28, 34, "  ◐ Strip          2/28 begun    "),
        ("Strip", 0, 4, 34, "  · Strip           0/4 not begun"),
        ("Strip", 4, 4, 34, "  ✓ Strip           4/4 done     "),
        ("Up", 0, 0, 34, "  – Up                 empty    "),
        ("Brackets and calipers", 3, 21, 34, "  ◐ Brackets and calipers   3/21"),
        ("Brackets and", 3, 21, 30, "  ◐ Brackets and  3/21 begun"),
        ("Under the truck and over", 0, 12, 24, "  · Under the tru… 0/12"),
    ],
)
def test_a_stage_says_its_state_by_glyph_and_where_there_is_room_by_word(
    title: str, done: int, total: int, width: int, says: str
) -> None:
    text = "".join(piece.text for piece in stage_line(title, done, total, width))
    assert text.split() == says.split()
    assert len(text) == width - 1


def test_a_cell_falls_back_on_less_until_it_fits() -> None:
    cell = CellState("ready", 1, 6, "", "trap", False)
    assert plain([fitting_text(cell_texts(cell), 40)]) == "▸ 1/6 ready  ▲ trap"
    assert plain([fitting_text(cell_texts(cell), 12)]) == "▲ 1/6 trap"
    quiet = CellState("ready", 0, 1, "", "notice", False)
    assert plain([fitting_text(cell_texts(quiet), 10)]) == "▸ ready •"


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(0, "0:00"), (0.2, "0:01"), (59.5, "1:00"), (245, "4:05"), (3845, "1:04:05"), (-3, "0:00")],
)
def test_time_left(seconds: float, shown: str) -> None:
    assert clock_words(seconds) == shown
