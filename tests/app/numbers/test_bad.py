"""Bad input on the numbers screen: every one is named where it stands, says what is allowed, and leaves no result."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner.app.numbers.drawings.choose import drawing_lines
from planner.app.numbers.form import Asked, form_rows
from planner.app.numbers.text import Told, moved_elsewhere, result_lines
from planner.numbers.calculator import Show
from planner.numbers.registry import calculator
from planner.session.numbers.draft import unreadable
from planner.telling.looks import plain
from tests.app.numbers.support import HASH, NUMBERS, SIDES, axle, desk_of, screen_of, typed
from tests.support.screens import opened, screen_text, settled

INCH = Show(32)

#: calculator, input, side, what is typed, what must be said
BAD = [
    ("narrow", "kerf", None, "1/8", "has no unit"),
    ("narrow", "flange-to-flange", None, "60", "write it as 54 7/8 in"),
    ("narrow", "kerf", None, "0 in", "0.2 mm to 12 mm"),
    ("narrow", "flange-to-flange", None, "0 in", "outside what is allowed, 400 mm to 2600 mm"),
    ("narrow", "gap", None, "-1/16 in", "outside what is allowed, 0 mm to 12 mm"),
    ("narrow", "pinion-to-flange", "driver", "-31 in", "outside what is allowed"),
    ("narrow", "plate-to-plate", None, "nan in", "is not a length"),
    ("narrow", "plate-to-plate", None, "inf mm", "is not a length"),
    ("narrow", "first-line", None, "4 3/7 in", "is on no tape"),
    ("narrow", "first-line", None, "4 9/8 in", "carry it into the number"),
    ("narrow", "first-line", None, "4 1/0 in", "divides by nothing"),
    ("narrow", "flange-to-flange", None, "60 mm", "was in meant, and not mm?"),
    ("narrow", "kerf", None, "3 in", "was mm meant, and not in?"),
    ("narrow", "flange-to-flange", None, "1524 in", "was mm meant, and not in?"),
    ("narrow", "pinion-to-flange", "driver", "31 1/2 in", "measure pinion-to-flange again on both sides"),
    ("narrow", "plate-to-plate", None, "55 in", "measure plate-to-plate and flange-to-plate again"),
    ("narrow", "flange-to-plate", None, "3 in ± 2 in", "half of itself"),
    ("narrow", "shrinkage", None, "0.080..0.020 in", "larger end first"),
    ("narrow", "kerf", None, "1/8..1/4 in", "is a range; give one value"),
    ("narrow", "keep-out", "driver", "perch", "is not a keep-out"),
    ("narrow", "keep-out", "driver", "3..5 in perch", "the first line lies in the keep-out perch"),
    ("narrow", "pads", None, "70 in", "would have to grow"),
    ("narrow", "pinion", None, "left", "must be keep, centre, equal-shafts, or a length"),
    ("narrow", "ends", None, "old", "is not one of again, new"),
    ("wheel", "width", None, "7", "has no unit"),
    ("wheel", "backspacing", None, "12 in", "puts the pad outside the rim"),
    ("cradle", "differential", None, "40 in", "leaves a half of"),
    ("cradle", "uprights", None, "2.5", "not a whole number"),
    ("cradle", "vee", None, "90", "has no unit"),
    ("cradle", "first-line", None, "2 in", "at least"),
    ("bars", "stock", None, "10 in", "bar"),
    ("tube", "load", None, "100 stone", "not a unit that is known"),
    ("shaft", "teeth", None, "many", "cannot be read"),
    ("driveline", "angle", None, "1e400 deg", ""),
]


@pytest.mark.parametrize(("name", "key", "side", "text", "said"), BAD, ids=[f"{b[0]}.{b[1]}={b[3]}" for b in BAD])
def test_bad_input_is_said_in_its_place_and_leaves_no_result(
    tmp_path: Path, name: str, key: str, side: str | None, text: str, said: str
) -> None:
    desk = desk_of(axle(tmp_path))
    desk.type(name, key, text, side)
    outcome = desk.outcomes[name]
    assert outcome.result is None
    told = Told(calculator(name), outcome, desk.now.outcomes.get(name), SIDES, INCH)
    results = plain(result_lines(told, moved_elsewhere(name, desk.now.outcomes, desk.outcomes), 300))
    assert results.startswith("✗ refused: no result is shown")
    assert said in results
    outputs = {each.key for each in calculator(name).outputs} - {each.key for each in calculator(name).inputs}
    shown = {line.split()[0] for line in results.split("\n") if line.split()}
    assert not outputs & shown
    asked = Asked(calculator(name), desk.trial, outcome, SIDES, INCH)
    rows = form_rows(asked, 300)
    under = [plain([row.drawn]).strip() for row in rows if not row.rests]
    named = {key.partition(".")[0] for key, _ in outcome.problems}
    assert named <= {row.key for row in rows}
    assert any(said in each for each in under)
    drawn = plain(drawing_lines(name, desk.outcomes, INCH, 100, 30))
    assert not re.search("[█┃╱]", drawn) or name in ("wheel", "tyre")


@pytest.mark.parametrize("text", ["1/8", "nan in", "2 furlongs", "4 3/7 in"])
async def test_what_no_file_can_hold_is_never_written(tmp_path: Path, text: str) -> None:
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "gap", "1/8 in")
        await typed(app, pilot, "kerf", text)
        screen_of(app).show_calculator("cradle")
        await pilot.press("s")
        await settled(app, pilot)
        said = " ".join(screen_text(app).split())
        assert "NOT SAVED, because a file of numbers cannot hold it: narrow.kerf" in said
        row = screen_of(app).form.row
        assert row is not None
        assert (screen_of(app).chosen, row.key) == ("narrow", "kerf")
        assert (folder / "numbers.yaml").read_text("utf-8") == NUMBERS


async def test_what_a_calculator_refuses_may_be_what_was_measured(tmp_path: Path) -> None:
    """Contradictory readings are kept: they are what the tape said, and the next one has to be taken beside them."""
    folder = axle(tmp_path)
    async with opened(folder, keys=HASH) as (app, pilot):
        await typed(app, pilot, "plate-to-plate", "55 in ± 1/32")
        assert "✗ narrow    refused" in screen_text(app)
        assert "◷ cradle    waits" in screen_text(app)
        await pilot.press("s")
        await settled(app, pilot)
        assert '"55 in ± 1/32"' in (folder / "numbers.yaml").read_text("utf-8")
        assert app.opened is not None and app.opened.one is not None
        assert app.opened.one.plan.build.numbers["narrow.second-line"] == {}, "no step shows a number that is refused"


def test_a_good_text_is_readable_however_absurd(tmp_path: Path) -> None:
    desk = desk_of(axle(tmp_path))
    for name, key, side, text, _ in BAD:
        desk.type(name, key, text, side)
        desk.keep()
        if unreadable(desk.draft):
            desk.put_back((name, key))
    assert not unreadable(desk.draft)
