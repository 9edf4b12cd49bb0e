"""Tube ends as clock faces and cooling curves: where their numbers say, within their cells, said in words too."""

from __future__ import annotations

import math
import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich.cells import cell_len

from planner.app.numbers.drawings.clockface import DONE, OPEN, REST, Face, face_lines, marks_of, rests_of, tilt_lines
from planner.app.numbers.drawings.coolcurve import cooling_lines
from planner.numbers.calculator import Result, Show
from planner.numbers.registry import figure
from planner.telling.looks import plain

INCH = Show(32)
TACKS = figure("tacks", {"diameter": "3 in", "number": "6", "length": "1/2 in", "vee": "90 deg"})
BEADS = figure("beads", {"diameter": "3 in", "length": "1 in", "joints": "2"})
COOL = {"diameter": "76 mm", "wall": "6 mm", "hot": "300 C", "air": "20 C", "target": "60 C"}


def tilt(turn: int, wide: str = "0.02 mm") -> Result:
    """A face that stands out most at so many hours."""
    hours = [(hour, 0.2 * math.cos(math.radians(30 * (hour - turn)))) for hour in (12, 3, 6, 9)]
    readings = "; ".join(f"{hour}:00 {value:.4f} mm" for hour, value in hours)
    return figure("tilt", {"readings": readings, "radius": "100 mm", "plus-minus": wide})


@given(st.integers(30, 160), st.integers(6, 50), st.integers(0, 12))
@settings(max_examples=60, deadline=None)
def test_they_keep_to_their_cells(width: int, height: int, done: int) -> None:
    cool = figure("cool", {**COOL, "readings": "10 min 220 C; 20 min 160 C", "now": "25 min"})
    for lines in (
        face_lines(TACKS, width, height, done),
        face_lines(BEADS, width, height, done),
        tilt_lines(tilt(3), INCH, width, height),
        cooling_lines(cool, width, height),
    ):
        assert len(lines) <= height
        assert max(cell_len(plain([each])) for each in lines[:5]) <= width


@pytest.mark.parametrize("size", [(56, 14), (76, 18), (110, 30)])
def test_tacks_are_numbered_where_the_clock_has_them_and_done_ones_are_filled(size: tuple[int, int]) -> None:
    """Against the positions of the calculator, turned into cells by a second formula."""
    lines = plain(face_lines(TACKS, *size, 2)).split("\n")
    rows = [row.ljust(size[0]) for row in lines]
    face = Face(size[0], size[1] - sum("twelve" in row or "to do" in row for row in rows))
    for mark in marks_of(TACKS):
        glyph = DONE if mark.number <= 2 else OPEN
        angle = math.pi / 2 - math.radians(mark.degrees)  # as mathematics turns
        x, y = face.middle_x + 2 * face.radius * math.cos(angle), face.middle_y - face.radius * math.sin(angle)
        near = "".join(rows[math.floor(y + part)][max(0, round(x) - 2) : round(x) + 3] for part in (0.0, 0.5, 0.99))
        assert glyph in near and str(mark.number) in near, (mark, near)
    assert sum(row.count(REST) for row in rows) == len(rests_of(TACKS)) + 1  # and in the key
    text = "\n".join(rows)
    assert "next 3 at 2:00" in text
    assert "twelve is up" in text
    assert "all done" in plain(face_lines(TACKS, *size, 6))


@pytest.mark.parametrize(
    ("done", "layer", "within"), [(0, range(1, 11), 0), (4, range(1, 11), 0), (13, range(11, 21), 10)]
)
def test_the_layer_in_hand_is_numbered_and_what_is_under_it_stands_within(done: int, layer: range, within: int) -> None:
    """Root, then cap round it; both are counted in words."""
    assert [mark.number for mark in marks_of(BEADS)] == list(range(1, 21))
    text = plain(face_lines(BEADS, 76, 24, done))
    face, key = text.split("next ")
    numbers = {int(each) for each in re.findall(r"\d+", face)}
    assert numbers == set(layer)
    assert face.count(DONE) == len([each for each in layer if each <= done]) + within
    assert f"root {min(done, 10)} of 10" in key and f"cap {max(0, done - 10)} of 10" in key


@pytest.mark.parametrize(("turn", "arrow"), [(12, "↑"), (3, "→"), (6, "↓"), (9, "←")])
def test_the_arrow_points_to_where_the_face_stands_out(turn: int, arrow: str) -> None:
    """Rotate the clock and the arrow turns with it."""
    text = plain(tilt_lines(tilt(turn), INCH, 60, 16))
    assert arrow in text
    assert f"toward {turn}:00" in text
    assert "░" in text


def test_a_doubt_as_large_as_the_tilt_points_nowhere() -> None:
    text = plain(tilt_lines(tilt(3, "1 mm"), INCH, 60, 16))
    assert "not known" in text
    assert not set("↑→↓←") & set(text)


def test_the_curve_has_its_goals_its_readings_and_now() -> None:
    bare = plain(cooling_lines(figure("cool", COOL), 76, 18))
    assert "┊" not in bare and "×" not in bare
    text = plain(cooling_lines(figure("cool", {**COOL, "readings": "10 min 220 C", "now": "25 min"}), 76, 18))
    for word in ("touch 43 C after", "measure 22 C after", "target 60 C after", "┊ now 25 min", "×", "300 C", "20 C"):
        assert word in text
