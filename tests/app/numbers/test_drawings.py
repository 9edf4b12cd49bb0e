"""Drawings: to scale, within their cells, and of nothing that was refused."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from planner.app.numbers.drawings.canvas import Canvas, Dots, dimension, label, packed, scale, short
from planner.app.numbers.drawings.choose import DRAWN, drawing_lines
from planner.app.numbers.drawings.cradle import cradle_lines
from planner.app.numbers.drawings.housing import housing_lines
from planner.app.numbers.drawings.wheel import wheel_lines
from planner.numbers.calculator import Arriving, Result, Show
from planner.numbers.registry import CALCULATORS, figure
from planner.numbers.shapes.cradle import cradle_of
from planner.numbers.shapes.housing import housing_of
from planner.numbers.shapes.wheel import arches_of
from planner.numbers.together import Outcome
from planner.telling.looks import plain
from tests.app.numbers.support import axle, desk_of

INCH = Show(32)
NARROW: dict[str, Arriving] = {
    "flange-to-flange": "60 in", "pinion-to-flange": {"driver": "31 in", "passenger": "29 in"},
    "flange-to-plate": "3 in", "plate-to-plate": "54 in", "shaft": {"driver": "30 in", "passenger": "28 in"},
    "pads": "54 1/2 in", "hat": "1/4 in", "first-line": "8 in", "kerf": "1/8 in", "to-centre": "6 in",
    "keep-out": {"driver": "1..4 in perch", "passenger": "none"},
}  # fmt: skip
FIT: dict[str, Arriving] = {
    "lip": {"driver": "830 mm", "passenger": "840 mm"}, "frame": "500 mm", "spring": "540 mm", "section": "220 mm",
    "offset": "0 mm", "inboard": "100 mm", "outboard": "100 mm", "outer-clearance": "20 mm", "inner-clearance": "25 mm",
    "pads": "1350 mm",
}  # fmt: skip
CRADLE: dict[str, Arriving] = {
    "plates": "50 in", "differential": "12 in", "tube": "3 in", "clearance": "1/2 in", "upright-width": "2 in",
    "inset": "1/2 in", "window": "2 in", "first-line": "8 in",
}  # fmt: skip


@pytest.fixture(scope="module")
def narrow() -> Result:
    return figure("narrow", NARROW)


@pytest.fixture(scope="module")
def fit() -> Result:
    return figure("fit", FIT)


@pytest.fixture(scope="module")
def cradle() -> Result:
    return figure("cradle", CRADLE)


SIZES = st.tuples(st.integers(30, 160), st.integers(6, 50))


@given(SIZES)
def test_every_drawing_keeps_to_its_cells(size: tuple[int, int]) -> None:
    width, height = size
    for name, inputs, drawn in (
        ("narrow", NARROW, housing_lines),
        ("fit", FIT, wheel_lines),
        ("cradle", CRADLE, cradle_lines),
    ):
        lines = drawn(_result(name, inputs), INCH, width, height)
        assert len(lines) <= height
        assert max(cell_len(plain([each])) for each in lines[:6]) <= width


_KEPT: dict[str, Result] = {}


def _result(name: str, inputs: dict[str, Arriving]) -> Result:
    if name not in _KEPT:
        _KEPT[name] = figure(name, inputs)
    return _KEPT[name]


# The housing


def rows_of(result: Result, width: int, height: int) -> list[str]:
    return plain(housing_lines(result, INCH, width, height)).split("\n")


def test_the_housing_is_to_scale(narrow: Result) -> None:
    rows = rows_of(narrow, 113, 12)  # 28 in from pinion line to the driver's plate: half an inch a column
    tube = rows[2]
    middle = 28 * 2
    assert tube.index("┊") == middle
    assert tube.startswith("██")
    # Driver: the plate 28 in out, the first line 8 in inward from it, the second 3 in further; passenger: 26 in out.
    wanted = [middle - (28 - 8) * 2, middle - (28 - 8 - 3) * 2, middle + (26 - 8 - 3) * 2, middle + (26 - 8) * 2]
    assert [at for at, char in enumerate(tube) if char == "┃"] == wanted
    assert tube.rindex("█") == middle + 26 * 2


def test_each_line_stands_where_its_number_says(narrow: Result) -> None:
    housing = housing_of(narrow)
    assert housing is not None
    assert housing.first.side == "driver"
    assert housing.first.plate / 25.4 == pytest.approx(28)
    assert housing.second.plate / 25.4 == pytest.approx(26)
    for half in (housing.first, housing.second):
        assert half.first is not None and half.second is not None and half.waste is not None and half.piece is not None
        assert half.first / 25.4 == pytest.approx(8)
        assert (half.second - half.first) / 25.4 == pytest.approx(3)
        assert (half.waste[1] - half.waste[0]) / 25.4 == pytest.approx(3 - 2 / 8), "two kerfs are sawdust"
        assert half.finished / 25.4 == pytest.approx(half.plate / 25.4 - 3)


def test_the_dimensions_are_the_results(narrow: Result) -> None:
    text = "\n".join(rows_of(narrow, 118, 12))
    for said in ("first-line 8 in", "second-line 11 in", "2 3/4", "present half 28 in", "present half 26 in", "6 in"):
        assert said in text
    assert "comes off" in text
    assert "a perch" in text


def test_what_finds_no_room_in_the_drawing_is_said_in_words() -> None:
    text = "\n".join(rows_of(figure("narrow", {**NARROW, "gap": "1/16 in"}), 40, 30))
    assert re.search(r"between +driver 3 1/16 in +passenger 3 1/16 in", text)
    assert "finished, plate to plate 48 in" in text


def test_sides_swapped_are_drawn_mirrored() -> None:
    there: dict[str, Arriving] = {
        **NARROW, "pinion-to-flange": {"driver": "29 in", "passenger": "31 in"},
        "shaft": {"driver": "28 in", "passenger": "30 in"},
        "keep-out": {"driver": "none", "passenger": "1..4 in perch"},
    }  # fmt: skip
    one, other = rows_of(figure("narrow", NARROW), 113, 12)[3], rows_of(figure("narrow", there), 113, 12)[3]
    assert other.ljust(113)[::-1] == one.ljust(113)


def test_new_ends_take_all_of_the_old_end_off() -> None:
    new: dict[str, Arriving] = {**NARROW, "ends": "new", "joint-face": "5 in", "keep-out": "none"}
    housing = housing_of(figure("narrow", new))
    assert housing is not None
    assert housing.first.first is None
    assert housing.first.waste is not None and housing.first.waste[0] == 0.0
    assert housing.first.second is not None and housing.first.second / 25.4 == pytest.approx(8)
    rows = rows_of(figure("narrow", new), 113, 12)
    assert "1" not in rows[6]
    assert "2" in rows[6]


def test_a_side_with_nothing_to_cut_has_no_lines() -> None:
    alike: dict[str, Arriving] = {**NARROW, "pads": "58 1/2 in", "pinion": "centre"}
    housing = housing_of(figure("narrow", alike))
    assert housing is not None
    assert housing.second.first is None
    assert housing.second.waste is None
    assert "┃" in rows_of(figure("narrow", alike), 113, 12)[2]


# The wheel


def test_the_wheel_is_to_scale(fit: Result) -> None:
    arches = arches_of(fit)
    assert [each.side for each in arches] == ["driver", "passenger"]
    driver = arches[0]
    assert driver.pad == 675.0
    assert driver.middle == pytest.approx(675.0)
    assert driver.half == pytest.approx(110.0)
    assert driver.rim == pytest.approx((575.0, 775.0))
    rows = plain(wheel_lines(fit, Show(0), 84, 20)).split("\n")
    panel = [row[:40] for row in rows]
    mm = (840 - 500) * 1.12 / 39  # the same scale for both panels, with a margin
    lip, spring = panel[1].index("█"), panel[5].index("█")
    left, right = panel[5].index("│"), panel[5].rindex("│")
    assert (right - left) * mm == pytest.approx(220, abs=mm)
    assert (left - lip) * mm == pytest.approx(830 - 785, abs=mm)
    assert (spring - right) * mm == pytest.approx(565 - 540, abs=mm)


def test_the_clearances_are_said_beside_what_is_wanted(fit: Result) -> None:
    text = plain(wheel_lines(fit, Show(0), 120, 30))
    assert "driver outside 45.0 mm to the lip, wanted 20.0 mm: 25.0 mm to spare" in text
    assert "passenger inside 25.0 mm to the spring, wanted 25.0 mm: 0.0 mm to spare" in text
    assert "tightest" in text


def test_four_corners_are_drawn_two_by_two() -> None:
    sides = ("front-left", "front-right", "rear-left", "rear-right")
    found = figure("fit", {**FIT, "lip": "830 mm"}, sides)
    text = plain(wheel_lines(found, Show(0), 100, 60))
    for side in sides:
        assert side in text
    assert text.count("tyre") == 4


def test_one_side_alone_has_the_whole_width() -> None:
    found = figure("fit", {**FIT, "lip": "830 mm"}, ("rear",))
    rows = plain(wheel_lines(found, Show(0), 80, 20)).split("\n")
    assert rows[5].rindex("│") - rows[5].index("│") > 30


# The cradle


def test_the_cradle_is_to_scale(cradle: Result) -> None:
    found = cradle_of(cradle)
    assert found is not None
    assert found.length / 25.4 == pytest.approx(49)
    assert found.first.half / 25.4 == pytest.approx(18.5)
    assert [each / 25.4 for each in found.first.uprights] == pytest.approx([1.5, 17.0])
    rows = plain(cradle_lines(cradle, INCH, 99, 12)).split("\n")  # 50 in from plate to plate: about half an inch
    inch = 98 / 50
    iron = rows[5]
    near = 1 / inch  # a column
    assert iron.index("▀") / inch == pytest.approx(0.5, abs=near)
    # The differential fills its gap: its corners stand where the halves end.
    assert iron.index("╰") / inch == pytest.approx(19, abs=near)
    assert iron.index("╯") / inch == pytest.approx(31, abs=near)
    assert iron.index("┈") / inch == pytest.approx(8 - 1, abs=near)
    assert iron.rindex("┈") / inch == pytest.approx(50 - 7, abs=near)
    assert rows[2].index("┃") / inch == pytest.approx(8, abs=near)
    assert rows[6].index("║") / inch == pytest.approx(0.5 + 0.5, abs=near)
    assert "length 49 in" in rows[11]


def test_the_tube_in_its_v_is_round_in_dots(cradle: Result) -> None:
    rows = plain(cradle_lines(cradle, INCH, 60, 40)).split("\n")
    dots = [row for row in rows if any("\u2800" < char < "\u2900" for char in row)]
    wide = max(len(row) for row in dots) - min(len(row) - len(row.lstrip()) for row in dots)
    # A 3 in tube in a 90 deg V: 3 in wide and, from the root, r (1 + sqrt 2) high; a cell is two dots by four.
    assert (4 * len(dots)) / (2 * wide) == pytest.approx((1.5 + 1.5 * 2**0.5) / 3, rel=0.25)
    assert "centre 2 1/8 in over the root" in "\n".join(rows)


# What is drawn for which calculator


def test_nothing_is_drawn_of_what_was_refused() -> None:
    refused = {"narrow": Outcome("narrow", None, (("kerf", "“2” has no unit"),))}
    text = plain(drawing_lines("narrow", refused, INCH, 80, 20))
    assert text == "✗ narrow is refused: nothing is drawn"
    waiting = {"narrow": Outcome("narrow", None, (("kerf", "is missing: how wide"),), frozenset(["kerf"]))}
    assert "◷ narrow waits for readings" in plain(drawing_lines("narrow", waiting, INCH, 80, 20))
    assert "no inputs" in plain(drawing_lines("cradle", {}, INCH, 80, 20))


def test_every_calculator_has_a_drawing_or_says_that_it_has_none(tmp_path: Path) -> None:
    desk = desk_of(axle(tmp_path))
    for name in CALCULATORS:
        text = plain(drawing_lines(name, desk.outcomes, INCH, 80, 20))
        assert (f"{name} has no drawing" in text) == (name not in DRAWN)
    assert "no room" in plain(drawing_lines("narrow", desk.outcomes, INCH, 20, 4))


@pytest.mark.parametrize(
    "word", ["[red]x[/red]", "\x1b[31mx", "漢字", "e\u0301", "\u200b", "👩‍🔧 perch", "x" * 80, "[/"]
)
def test_nasty_words_neither_move_nor_colour_a_drawing(word: str) -> None:
    lines = housing_lines(figure("narrow", {**NARROW, "keep-out": f"1..4 in {word}"}), INCH, 90, 30)
    plainly = housing_lines(figure("narrow", {**NARROW, "keep-out": "1..4 in perch"}), INCH, 90, 30)
    assert [plain([each]) for each in lines[:10]] == [plain([each]) for each in plainly[:10]]
    assert "\x1b" not in plain(lines)


# What they are drawn with


def test_a_dimension_takes_the_longest_text_that_fits() -> None:
    sheet = Canvas(20, 2)
    assert dimension(sheet, 0, 12, 0, ("first-line 9 in", "9 in", "9"))
    assert not dimension(sheet, 0, 2, 1, ("first-line 9 in", "9 in"))
    first, second = plain(sheet.lines()).split("\n")
    assert first == "├── 9 in ───┤"
    assert second == "├─┤"


def test_dimensions_side_by_side_share_an_end() -> None:
    sheet = Canvas(20, 1)
    dimension(sheet, 0, 9, 0, ("1 in",))
    dimension(sheet, 9, 18, 0, ("2 in",))
    assert plain(sheet.lines()) == "├─ 1 in ─┼─ 2 in ─┤"


def test_labels_give_way_and_nothing_is_written_over() -> None:
    sheet = Canvas(10, 1)
    assert label(sheet, 2, 0, "abc")
    assert label(sheet, 4, 0, "de")
    assert plain(sheet.lines()).split() == ["abc", "de"]
    assert not label(sheet, 2, 0, "zzzzzzz")


def test_nothing_is_drawn_outside_the_sheet() -> None:
    sheet = Canvas(3, 1)
    sheet.put(-2, 0, "abcdef")
    sheet.put(0, 5, "x")
    sheet.down(1, -3, 9, "|")
    assert plain(sheet.lines()) == "c|e"
    assert Canvas(0, 0).lines() == []


def test_a_scale_has_both_ends_on_the_sheet() -> None:
    spread = scale(-100.0, 100.0, 41)
    assert [spread.column(at) for at in (-100.0, 0.0, 100.0)] == [0, 20, 40]


def test_dots_are_two_by_four_a_cell() -> None:
    picture = Dots(2, 1)
    for x, y in ((0, 0), (1, 3), (2, 1), (9, 9), (-1, 0)):
        picture.put(x, y)
    assert picture.rows() == [chr(0x2800 + 0x01 + 0x80) + chr(0x2800 + 0x02)]
    ring = Dots(10, 5)
    ring.circle(9.5, 9.5, 9)
    assert len([row for row in ring.rows() if row.strip()]) == 5


def test_short_names_have_one_cell_a_letter() -> None:
    assert short("perch", 10) == "perch"
    assert short("漢字\x1b", 10) == "???"
    assert len(short("a-very-long-side-name", 8)) == 8


def test_texts_are_packed_into_few_lines() -> None:
    from planner.telling.looks import line

    chunks = [line("one"), line("two"), line("three")]
    assert plain(packed(chunks, 9)) == "one   two\nthree"
    assert plain(packed(chunks, 3)) == "one\ntwo\nthree"
