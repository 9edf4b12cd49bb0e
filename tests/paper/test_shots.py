"""The shot list: by shift, in the order of the work, with what each picture wants; and a table that runs nothing."""

from __future__ import annotations

import csv
import io
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.paper.cells import cell, table
from planner.session.onebuild import OneBuild
from tests.support.builds import write_files
from tests.support.commandline import run, run_json

NOW = ("--now", "2027-01-01T09:00:00Z")  # a Friday
HOURS = 'shop: {timezone: UTC, hours: {sat: "08:00-10:00", sun: "08:00-12:00"}}\n'
FILES = {
    "build.yaml": "format: 1\nbuild: Gate\nsides: [left, right]\nfilm: left\n"
    + HOURS
    + "conditions: {box.open: {kept: job, means: the box is open}}\nstart: [box.open]\n",
    "episodes/01-gate.yaml": """\
format: 1
episode: 1
title: Gate
stages:
  - stage: Work
    steps:
      - step: mark
        do: "=Mark, it"
        time: 30 min
        setup: bench
        shots: ["+The line", {shot: Inside, size: close, of: the gear, length: 20 s, speed: 8, needs: [box.open]}]
      - {step: saw, do: Saw it, after: [mark], time: 20 min, setup: vice, sides: once, spoils: [box.open]}
      - {step: file, do: File it, after: [saw], time: 40 min, setup: bench,
          shots: [{shot: Chips, length: 90 s, speed: 8}]}
      - step: look
        do: Look inside
        after: [file]
        sides: once
        time: 10 min
        shots: [{shot: Gears, length: 5 s}]
""",
    "episodes/02-paint.yaml": """\
format: 1
episode: 2
title: Paint
stages:
  - stage: Paint
    steps: [{step: paint, do: Paint it, after: [look], sides: once, time: 1 h}]
""",
}


@pytest.fixture
def gate(tmp_path: Path) -> Path:
    return write_files(tmp_path / "gate", FILES)


def shifts(folder: Path, *more: str) -> list[dict[str, Any]]:
    code, answer = run_json("story", str(folder), "--shots", *more, *NOW)
    assert code == 0
    found: list[dict[str, Any]] = answer["shifts"]
    return found


def test_what_is_on_camera_by_shift_and_in_the_order_of_the_work(gate: Path) -> None:
    found = shifts(gate)
    assert [[take["op"] for take in each["takes"]] for each in found] == [
        ["mark@left", "saw", "file@left"],
        ["look", "paint"],
    ]
    assert [take["start"] for take in found[0]["takes"]] == ["08:00", "09:00", "09:20"]
    assert found[0]["shift"].startswith("Sat 2027-01-02 08:00")
    assert [[take["op"] for take in each["takes"]] for each in shifts(gate, "--episode", "2")] == [["paint"]]
    OneBuild(gate, "bench").tick("mark@left", anyway=True)
    assert shifts(gate)[0]["takes"][0]["op"] == "saw", "what is done is left out"


def test_how_long_the_camera_rolls(gate: Path) -> None:
    """Length times speed where every picture has one, else the time of the work: sums by hand."""
    first, second = shifts(gate)
    assert [take["rolling_s"] for take in first["takes"]] == [1800, 1200, 720]
    assert (first["rolling_s"], second["rolling_s"]) == (3720, 5 + 3600)
    text = run("story", str(gate), "--shots", "--card", "60min", "--battery", "90 min", *NOW)[1]
    assert "rolling 1 h 2 min; 2 cards, 58 min to spare; 1 battery, 28 min to spare" in text


def test_a_picture_says_whether_what_it_wants_holds_by_then(gate: Path) -> None:
    inside = shifts(gate)[0]["takes"][0]["pictures"][1]
    assert [each["holds"] for each in inside["needs"]] == [True]
    path = gate / "episodes/01-gate.yaml"
    path.write_text(path.read_text().replace("{shot: Gears, length: 5 s}", "{shot: Gears, needs: [box.open]}"))
    (only,) = shifts(gate)  # no order keeps it: there is no calendar, and the plan's own order is walked
    (gears,) = only["takes"][3]["pictures"]
    assert [each["holds"] for each in gears["needs"]] == [False], "the saw shut it"
    text = run("story", str(gate), "--shots", *NOW)[1]
    assert "✗ NOT SO BY THEN: “the box is open”" in text


def test_set_ups_stand_over_what_is_filmed_in_them(gate: Path) -> None:
    text = run("story", str(gate), "--shots", *NOW)[1]
    order = ["set-up bench\n", "mark@left", "set-up vice", "saw", "set-up bench, again", "file@left"]
    at = 0
    for words in order:
        assert words in text[at:], words
        at = text.index(words, at) + len(words)
    assert "no picture is planned" in text


def test_the_table_is_read_by_csv_and_runs_nothing(gate: Path, tmp_path: Path) -> None:
    target = tmp_path / "shots.csv"
    assert run("story", str(gate), "--shots", "--to", str(target), *NOW)[0] == 0
    body = target.read_bytes().decode()
    assert body.endswith("\r\n") and body.count("\r\n") == body.count("\n")
    rows = list(csv.DictReader(io.StringIO(body, newline="")))
    assert [row["operation"] for row in rows] == ["mark@left", "mark@left", "saw", "file@left", "look", "paint"]
    assert (rows[0]["what"], rows[0]["picture"]) == ("'=Mark, it", "'+The line")
    assert (rows[1]["size"], rows[1]["of"], rows[1]["length s"], rows[1]["speed"]) == ("close", "the gear", "20", "8")
    assert [row["needs hold"] for row in rows] == ["", "yes", "", "", "", ""]
    assert [row["rolling s"] for row in rows] == ["1800", "", "1200", "720", "5", "3600"]


def test_without_hours_it_goes_by_the_plan_and_says_so(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "gate", {**FILES, "build.yaml": FILES["build.yaml"].replace(HOURS, "")})
    code, answer = run_json("story", str(folder), "--shots", *NOW)
    assert code == 0 and "no shifts" in answer["notices"][0]
    assert [take["op"] for take in answer["shifts"][0]["takes"]] == ["mark@left", "saw", "file@left", "look", "paint"]


@pytest.mark.parametrize(
    ("words", "says"),
    [
        (("--shots", "--to", "x.xls"), "must end in one of .csv, .txt"),
        (("--shots", "--card", "0min"), "--card: must be a length above nothing"),
        (("--shots", "--battery", "soon"), "--battery: must be a length above nothing"),
        (("--shots", "--episode", "7"), "there is no episode 7"),
        (("--card", "64min"), "--card: belongs to --shots"),
        (("--episode", "1"), "--episode: belongs to --shots"),
    ],
)
def test_what_cannot_be_is_one_line(gate: Path, words: tuple[str, ...], says: str) -> None:
    code, out, err = run("story", str(gate), *words)
    assert (code, out, err.count("\n")) == (2, "", 1) and says in err


def test_nothing_left_to_film(gate: Path) -> None:
    one = OneBuild(gate, "bench")
    for op in one.plan.operations:
        one.tick(op.name, anyway=True)
    assert run("story", str(gate), "--shots", *NOW)[1] == "Nothing is left to film.\n"


CELLS = st.text(st.sampled_from(list("=+-@\t\r\n'\",; ＝a1")) | st.characters(), max_size=12)


@given(st.lists(st.lists(CELLS, min_size=2, max_size=2), min_size=1, max_size=4))
def test_no_cell_is_a_formula_and_every_cell_comes_back(rows: list[list[str]]) -> None:
    """Read back with the separators of other countries as well: no cell begins as a spreadsheet's formula does."""
    body = table(rows)
    back = list(csv.reader(io.StringIO(body, newline=""), strict=True))
    assert back == [[cell(each) for each in row] for row in rows]
    for mark in ",;\t":
        for row in csv.reader(io.StringIO(body, newline=""), delimiter=mark):
            assert not any(each.lstrip().startswith(("=", "+", "-", "@", "＝", "＋")) for each in row)
