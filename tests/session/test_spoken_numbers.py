"""Numbers that are spoken to viewers: filled in, kept as they were said, and a trap once they are something else."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from planner.session.onebuild import OneBuild
from tests.files.log.making import planner, steps, tick
from tests.numbers.builds import BUILD, NUMBERS, write
from tests.support.commandline import run_json

NOW = ("--now", "2027-02-14T12:00Z")
SAY = """format: 1
episode: 1
title: Lines
stages:
  - stage: Mark
    steps:
      - step: mark
        do: Mark it
        say: ["The line stands {narrow.first-line} from the face", "Twice"]
"""
LATER = (
    "format: 1\nepisode: 2\ntitle: Mend\nstages:\n  - stage: S\n    steps: [{step: tell, do: Tell it, sides: once}]\n"
)
PASSENGER, BY_MORE = "passenger: 3 1/2 in}", "passenger: 3 3/4 in}"


def told(folder: Path) -> tuple[int, list[dict[str, Any]]]:
    code, answer = run_json("story", str(folder), *NOW)
    return code, [each for each in answer["findings"] if each["rule"] == "said-otherwise"]


def test_what_is_said_has_its_number_on_its_side(tmp_path: Path) -> None:
    write(tmp_path, NUMBERS, SAY)
    rows = steps(tmp_path, *NOW)
    assert rows["mark@driver"]["say"][0].startswith("The line stands 4 in")
    assert rows["mark@passenger"]["say"][0].startswith("The line stands 3 1/2 in")
    assert rows["mark@passenger"]["say"][1] == "Twice"
    _, answer = run_json("story", str(tmp_path), *NOW)
    assert [each["op"] for each in answer["episodes"][0]["spoken"]] == ["mark@driver", "mark@passenger"]


def test_what_was_said_and_is_otherwise_now_is_a_trap_until_a_later_episode_corrects_it(tmp_path: Path) -> None:
    write(tmp_path, NUMBERS, SAY)
    (tmp_path / "episodes/02-mend.yaml").write_text(LATER)
    assert tick(tmp_path, "mark@passenger", "--anyway", *NOW).code == 0
    assert told(tmp_path) == (0, [])
    write(tmp_path, NUMBERS.replace(PASSENGER, BY_MORE), SAY)
    code, (found,) = told(tmp_path)
    assert (code, found["level"], found["at"], found["history"]) == (1, "trap", "mark@passenger", False)
    assert "3 1/2" in found["says"] and "3 3/4" in found["says"]
    assert steps(tmp_path, *NOW)["mark@passenger"]["say"][0].startswith("The line stands 3 1/2 in"), "as it was said"

    (tmp_path / "episodes/01-lines.yaml").write_text(
        SAY.replace("stages:", "corrects: [{episode: 1, says: x}]\nstages:")
    )
    assert told(tmp_path)[0] == 1, "no episode corrects itself: it is out as it is"
    write(tmp_path, NUMBERS.replace(PASSENGER, BY_MORE), SAY)
    words = LATER.replace("stages:", "corrects: [{episode: 1, says: It is 3 3/4 in}]\nstages:")
    (tmp_path / "episodes/02-mend.yaml").write_text(words)
    assert told(tmp_path) == (0, [])
    (tmp_path / "episodes/02-mend.yaml").write_text(words.replace("{episode: 1", "{episode: 2"))
    assert told(tmp_path)[0] == 1


def test_what_moves_by_less_than_its_doubt_is_said_rightly(tmp_path: Path) -> None:
    numbers = NUMBERS.replace(PASSENGER, "passenger: 3 1/2 in ± 1/16}")
    write(tmp_path, numbers, SAY)
    assert tick(tmp_path, "mark@passenger", "--anyway", *NOW).code == 0
    write(tmp_path, numbers.replace("3 1/2 in ± 1/16", "3 17/32 in ± 1/16"), SAY)
    assert told(tmp_path) == (0, [])
    write(tmp_path, numbers.replace("3 1/2 in ± 1/16", "3 5/8 in ± 1/16"), SAY)
    assert told(tmp_path)[0] == 1


def test_nothing_is_said_off_camera_nor_by_a_tick_that_was_taken_back(tmp_path: Path) -> None:
    write(tmp_path, NUMBERS, SAY, BUILD + "film: driver\n")
    assert tick(tmp_path, "mark@driver", "--anyway", *NOW).code == 0
    assert tick(tmp_path, "mark@passenger", "--anyway", *NOW).code == 0
    moved = NUMBERS.replace(PASSENGER, BY_MORE).replace("driver: 4 in", "driver: 5 in")
    write(tmp_path, moved, SAY, BUILD + "film: driver\n")
    assert [each["at"] for each in told(tmp_path)[1]] == ["mark@driver"]
    assert tick(tmp_path, "mark@driver", "--undo", "--anyway", *NOW).code == 0
    assert told(tmp_path) == (0, [])


def test_a_reading_makes_another_value_of_what_was_said(tmp_path: Path) -> None:
    read = SAY + "      - {step: read, do: Read it, sides: [driver], why: x, reads: narrow.first-line}\n"
    write(tmp_path, NUMBERS, read)
    assert tick(tmp_path, "mark@driver", "--anyway", *NOW).code == 0
    assert tick(tmp_path, "read@driver", "--reading", "4 1/4 in", "--anyway", *NOW).code == 0
    assert [each["at"] for each in told(tmp_path)[1]] == ["mark@driver"]
    one = OneBuild(tmp_path)
    assert one.spoken(one.live.by_name["mark@driver"])[0].startswith("The line stands 4 in")


@pytest.mark.parametrize(
    ("say", "column"), [('["Fine", "It is {narrow.frist-line}"]', 23), ('"It is {narrow.frist-line}"', 14)]
)
def test_an_unknown_number_is_a_problem_with_its_place(tmp_path: Path, say: str, column: int) -> None:
    write(tmp_path, NUMBERS, SAY.partition("        say:")[0] + f"        say: {say}\n")
    result = planner("check", str(tmp_path), "--json")
    (problem,) = result.json["problems"]
    assert (result.code, problem["line"], problem["column"], problem["near"]) == (2, 9, column, "narrow.first-line")
    assert problem["message"].startswith("say: there is no number {narrow.frist-line}")
