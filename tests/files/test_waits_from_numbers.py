"""Waits taken from numbers.yaml: the same time that the calculator tells, to the long end, and no time without it."""

from __future__ import annotations

import math
from pathlib import Path

import pytest

from planner.files.build.reading import Reading, read_build
from planner.numbers.quantity import Quantity
from tests.numbers.asking import ask

BUILD = "format: 1\nbuild: Two stubs\nsides: [left, right]\n"
EPISODE = """format: 1
episode: 1
title: Stubs
stages:
  - stage: Welding
    steps:
      - step: weld
        do: Weld it
        rounds: 2
        wait: {wait}
"""
TUBE = {"diameter": "76 mm", "wall": "6 mm", "hot": "250 C", "air": "20 C"}
COOL = "format: 1\ncool: {diameter: 76 mm, wall: 6 mm, hot: 250 C, air: 20 C%s}\n"


def read(folder: Path, wait: str, numbers: str | None) -> Reading:
    """A build whose one step has that wait."""
    (folder / "episodes").mkdir()
    (folder / "build.yaml").write_text(BUILD, encoding="utf-8")
    (folder / "episodes" / "01-stubs.yaml").write_text(EPISODE.replace("{wait}", wait), encoding="utf-8")
    if numbers is not None:
        (folder / "numbers.yaml").write_text(numbers, encoding="utf-8")
    return read_build(folder)


def wait_of(folder: Path, wait: str, more: str = "") -> int:
    """The wait in seconds, of a build that must have no problem."""
    found = read(folder, wait, COOL % more)
    assert found.build is not None, found.problems
    return found.build.episodes[0].stages[0].steps[0].wait


@pytest.mark.parametrize(
    ("wait", "key", "target"),
    [
        ("{cool-to: 45 C}", "to-target", "45 C"),
        ('{cool-to: "113 F"}', "to-target", "45 C"),
        ("{cool-to: touch}", "to-touch", None),
        ("{cool-to: measure}", "to-measure", None),
        ("cool.to-touch", "to-touch", None),
    ],
)
def test_it_is_the_calculators_time_at_its_long_end(tmp_path: Path, wait: str, key: str, target: str | None) -> None:
    """Up to a whole minute, and never shorter than what is worked out."""
    cell = ask("cool", {**TUBE, **({"target": target} if target else {})}).results[key]
    assert isinstance(cell, Quantity)
    seconds = wait_of(tmp_path, wait)
    assert seconds == 60 * math.ceil((cell.value + cell.plus_minus) / 60)
    assert seconds > cell.value


def test_a_reading_corrects_it_and_never_below_what_it_allows(tmp_path: Path) -> None:
    """A tube that is hotter than worked out after half an hour makes the wait longer."""
    for name in ("one", "two"):
        (tmp_path / name).mkdir()
    plain = wait_of(tmp_path / "one", "{cool-to: 45 C}")
    read_hot = wait_of(tmp_path / "two", "{cool-to: 45 C}", ", readings: 5 min 245 C; 30 min 200 C")
    assert read_hot > plain


@pytest.mark.parametrize(
    ("wait", "numbers", "says"),
    [
        ("{cool-to: 45 C}", None, "there is no numbers.yaml"),
        ("{cool-to: 45 C}", "format: 1\n", "numbers.yaml has no cool.to-target"),
        ("{cool-to: 15 C}", COOL % "", "is not above the air"),
        ("{cool-to: 45 mm}", COOL % "", "target"),
        ("{cool-to: 45}", COOL % "", "must be a temperature"),
        ("{warm-to: 45 C}", COOL % "", "must have cool-to"),
        ("{}", COOL % "", "must have cool-to"),
        ("cool.biot", COOL % "", "is not a time"),
        ("cool.to-tuch", COOL % "", "did you mean cool.to-touch"),
        ("cool.to-touch", "format: 1\ncool: {diameter: 76 mm}\n", "has no value"),
        ("1.5 min", COOL % "", "must be a duration"),
        ("[20 min]", COOL % "", "must be a duration"),
    ],
)
def test_no_wait_is_a_located_problem(tmp_path: Path, wait: str, numbers: str | None, says: str) -> None:
    """One line at the wait, never a wait of nothing."""
    found = read(tmp_path, wait, numbers)
    assert found.build is None
    (problem,) = found.problems
    assert says in problem.message
    assert (problem.line, Path(problem.path).name) == (10, "01-stubs.yaml")
    assert "\n" not in problem.message
