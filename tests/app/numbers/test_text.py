"""What the numbers screen says: values with their exact value and ±, what they were, warnings, and refusals."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.numbers.form import Asked, form_rows, hint_lines
from planner.app.numbers.text import (
    Told,
    calculator_line,
    head_line,
    moved_elsewhere,
    result_lines,
    state_of,
    working_lines,
)
from planner.numbers.calculator import Show
from planner.numbers.registry import CALCULATORS, calculator
from planner.numbers.together import Outcome
from planner.session.numbers.draft import Draft
from planner.telling.looks import plain
from tests.app.numbers.support import SIDES, axle, desk_of

INCH = Show(32)


def told(tmp_path: Path, name: str, *changes: tuple[str, str, str, str | None]) -> tuple[Told, str]:
    """What is told of a calculator after some changes, and as text."""
    desk = desk_of(axle(tmp_path))
    for where, key, text, side in changes:
        desk.type(where, key, text, side)
        desk.keep()
    found = Told(calculator(name), desk.outcomes.get(name), desk.now.outcomes.get(name), SIDES, INCH)
    elsewhere = moved_elsewhere(name, desk.now.outcomes, desk.outcomes)
    return found, plain(result_lines(found, elsewhere, 200))


def test_a_value_has_its_fraction_its_exact_value_its_doubt_and_what_dominates_it(tmp_path: Path) -> None:
    _, text = told(tmp_path, "narrow")
    line = next(each for each in text.split("\n") if each.startswith("shorten"))
    assert line.split("  ")[0].startswith("shorten")
    assert "3 in  3.000 in, 76.20 mm" in line
    # R = (P + P - F') / 2 with the pinion kept: u of ± 1/32 in is 1/32/sqrt 3 in, in quadrature, halved (JCGM 100).
    assert "± 0.026 in (0.65 mm), mostly pinion-to-flange.driver" in line


def test_a_value_that_moved_says_what_it_was(tmp_path: Path) -> None:
    _, text = told(tmp_path, "narrow", ("narrow", "pads", "54 in", None))
    line = next(each for each in text.split("\n") if each.startswith("shorten"))
    assert "3 1/4 in  3.250 in, 82.55 mm" in line
    assert "Δ was 3 in, +1/4 in" in line
    assert "Δ also moves cradle (" in text


def test_a_move_below_the_fraction_is_said_in_millimetres(tmp_path: Path) -> None:
    _, text = told(tmp_path, "narrow", ("narrow", "pads", "54.501 in", None))
    line = next(each for each in text.split("\n") if each.startswith("shorten"))
    assert "Δ was 3 in, moved by -0.013 mm" in line


def test_sides_that_differ_are_marked_and_said_first(tmp_path: Path) -> None:
    _, text = told(tmp_path, "narrow")
    lines = text.split("\n")
    assert lines[0].startswith("! THE SIDES DIFFER")
    assert "≠ sides differ" in next(each for each in lines if each.startswith("= shaft"))
    assert "≠" not in next(each for each in lines if each.startswith("shorten"))
    assert text.count("THE SIDES DIFFER") == 2, "cut to a line at the top, in full below"


def test_planned_lengths_say_that_they_are_planned(tmp_path: Path) -> None:
    _, text = told(tmp_path, "narrow")
    assert "planned 27 in" in next(each for each in text.split("\n") if each.startswith("= shaft"))


def test_what_went_is_said(tmp_path: Path) -> None:
    _, text = told(tmp_path, "narrow", ("narrow", "pocket", "", None))
    assert "Δ no longer there: stub driver, stub passenger" in text


def test_of_refused_inputs_nothing_is_shown(tmp_path: Path) -> None:
    found, text = told(tmp_path, "narrow", ("narrow", "kerf", "1/16", None))
    assert text.startswith("✗ refused: no result is shown")
    assert "kerf  “1/16” has no unit" in text
    assert "3 in" not in text
    assert "Δ leaves without numbers: cradle, bars" in text
    assert plain(working_lines(found)) == "there is no working of what has no result"


def test_readings_that_are_still_to_be_taken_are_waited_for(tmp_path: Path) -> None:
    found, text = told(tmp_path, "narrow", ("narrow", "kerf", "", None), ("narrow", "flange-to-flange", "", None))
    assert text.startswith("◷ waits for readings")
    assert state_of(found.outcome).word == "waits"


def test_every_view_says_what_it_is_for(tmp_path: Path) -> None:
    for name in CALCULATORS:
        found, text = told(tmp_path, name)
        if found.outcome is not None:
            assert "planning aids" in text
            assert "inspection before the road" in text


def test_the_working_has_formula_and_source(tmp_path: Path) -> None:
    found, _ = told(tmp_path, "narrow")
    text = plain(working_lines(found))
    assert "shorten@driver = present half - half = 3 in (3.000 in, 76.20 mm)" in text
    assert "[by definition of the readings]" in text
    assert "planning aids" in text


def test_a_calculator_stands_by_glyph_and_word() -> None:
    waiting = Outcome("narrow", None, (("kerf", "is missing: how wide"),), frozenset(["kerf"]))
    refused = Outcome("narrow", None, (("kerf", "“2” has no unit"),))
    assert [(state.glyph, state.word) for state in map(state_of, (None, waiting, refused))] == [
        ("–", "empty"), ("◷", "waits"), ("✗", "refused"),
    ]  # fmt: skip
    assert state_of(None, busy=True).word == "at work"
    assert plain([calculator_line("narrow", state_of(refused), False, 20)]) == " ✗ narrow    refused"
    assert "moved" not in plain([calculator_line("narrow", state_of(refused), True, 20)])


def test_the_head_keeps_to_its_width(tmp_path: Path) -> None:
    found, _ = told(tmp_path, "narrow")
    for width in (20, 40, 80):
        assert len(plain([head_line(found, state_of(found.outcome), width)])) <= max(width, 19)


# The form


def rows(tmp_path: Path, name: str, *changes: tuple[str, str, str, str | None], width: int = 90) -> list[str]:
    desk = desk_of(axle(tmp_path))
    for where, key, text, side in changes:
        desk.type(where, key, text, side)
        desk.keep()
    asked = Asked(calculator(name), desk.trial, desk.outcomes.get(name), SIDES, INCH)
    return [plain([row.drawn]) for row in form_rows(asked, width)]


def the_row(found: list[str], key: str) -> str:
    return " ".join(next(each for each in found if each.strip().startswith(key)).split())


def test_a_row_a_side_with_the_value_as_typed(tmp_path: Path) -> None:
    found = rows(tmp_path, "narrow")
    at = next(i for i, each in enumerate(found) if each.strip().startswith("pinion-to-flange"))
    assert found[at].split() == ["pinion-to-flange", "driver", "31", "in", "±", "1/32"]
    assert found[at + 1].split() == ["passenger", "29", "in", "±", "1/32"]
    assert the_row(found, "hat") == "hat both 1/4 in"
    assert the_row(found, "pads") == "pads 54 1/2 in"
    assert the_row(found, "dressing") == "dressing both – not given"


def test_what_is_left_out_says_where_it_comes_from(tmp_path: Path) -> None:
    found = rows(tmp_path, "fit")
    assert the_row(found, "inboard") == "inboard both ← 4 in from wheel.inboard"
    assert the_row(rows(tmp_path / "b", "cradle"), "plates") == "plates ← 48 in from narrow.plate-to-plate"
    lost = rows(tmp_path / "c", "cradle", ("narrow", "kerf", "x", None))
    assert "✗ missing" in the_row(lost, "plates")


def test_an_error_stands_under_its_own_value(tmp_path: Path) -> None:
    found = rows(tmp_path, "narrow", ("narrow", "pinion-to-flange", "31", "driver"))
    at = next(i for i, each in enumerate(found) if each.strip().startswith("pinion-to-flange"))
    assert "✗ 31" in found[at]
    assert found[at + 1].strip().startswith("✗ “31” has no unit; write it as 54 7/8 in")
    assert "passenger" in next(each for each in found[at + 2 :] if "passenger" in each)


def test_an_error_keeps_to_the_width(tmp_path: Path) -> None:
    found = rows(tmp_path, "narrow", ("narrow", "kerf", "1/16", None), width=44)
    at = next(i for i, each in enumerate(found) if each.strip().startswith("kerf"))
    assert max(len(each) for each in found[at + 1 : at + 5]) <= 44
    assert found[at + 1].strip() == "Δ was 1/8 in", "beside the value there is no room for it"
    assert " ".join(" ".join(found[at + 2 : at + 5]).split()).startswith("✗ “1/16” has no unit; write it as")


def test_a_change_says_what_it_was(tmp_path: Path) -> None:
    found = rows(
        tmp_path,
        "narrow",
        ("narrow", "kerf", "3/32 in", None),
        ("narrow", "shaft", "27 in", "passenger"),
        ("narrow", "gap", "", None),
        ("narrow", "dressing", "1/64 in", None),
    )
    assert the_row(found, "kerf") == "kerf both 3/32 in Δ was 1/8 in"
    assert the_row(found, "gap") == "gap both – not given Δ was 1/16 in"
    assert the_row(found, "dressing") == "dressing both 1/64 in Δ was not given"
    assert "27 in  Δ was 28 in" in "\n".join(found)
    assert "Δ" not in the_row(found, "shaft"), "the driver shaft is as it was"


def test_a_file_that_says_something_else_is_shown_beside(tmp_path: Path) -> None:
    desk = desk_of(axle(tmp_path))
    desk.type("narrow", "kerf", "3/32 in", None)
    desk.keep()
    theirs = {**desk.now.sections, "narrow": {**desk.now.sections["narrow"], "kerf": "1/16 in"}}
    desk.take(desk.now._replace(sections=theirs), SIDES)
    asked = Asked(calculator("narrow"), desk.trial, desk.outcomes.get("narrow"), SIDES, INCH)
    row = the_row([plain([each.drawn]) for each in form_rows(asked, 120)], "kerf")
    assert row == "kerf both 3/32 in Δ was 1/8 in ✗ the file says 1/16 in now"


@pytest.mark.parametrize(("sides", "word"), [(("left",), "left"), (("a", "b"), "both"), (("a", "b", "c"), "all")])
def test_one_value_for_all_sides_says_for_how_many(sides: tuple[str, ...], word: str) -> None:
    asked = Asked(calculator("fit"), Draft({"fit": {"lip": "800 mm"}}), None, sides, INCH)
    assert the_row([plain([row.drawn]) for row in form_rows(asked, 90)], "lip") == f"lip {word} 800 mm"


def test_the_hint_says_what_is_allowed() -> None:
    inputs = {each.key: each for each in calculator("narrow").inputs}
    text = plain(hint_lines(inputs["kerf"], INCH))
    assert text.startswith("k, width of the saw cut\nneeded unless")
    assert "length; 1/32 in to 15/32 in; write it as 54 7/8 in" in text
    assert "write it" not in plain(hint_lines(inputs["kerf"], INCH, 90)), "a fact is whole or not there"
    assert "0.2 mm to 12.0 mm" in plain(hint_lines(inputs["kerf"], Show(0)))
    assert "else taken from fit.pads" in plain(hint_lines(inputs["pads"], INCH))
    assert "a range lo..hi may be given" in plain(hint_lines(inputs["shrinkage"], INCH))
    assert "again or new" in plain(hint_lines(inputs["ends"], INCH))
