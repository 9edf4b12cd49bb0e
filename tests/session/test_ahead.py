"""Work ahead of whole stages: ready or merely free, asked once a stage; and turns from the first tick on."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.files.log.making import planner, steps, tick, ticked, write_build

THREE = """\
  - stage: First
    steps:
      - {step: cut, do: Cut the post}
      - {step: brush, do: Brush it, needs: [post.clean], sides: once}
  - stage: Second
    {second}
    steps:
      - {step: paint, do: Paint the post}
      - {step: oil, do: Oil the hinge}
  - stage: Third
    steps:
      - {step: watch, do: Watch for fire, sides: once}
      - {step: hose, do: Hose it once more, sides: once, rework: true, gives: [post.clean]}
"""
NOW = ("--now", "2027-02-14T12:00Z")


def stages(second: str = "pace: step-first") -> str:
    return THREE.replace("{second}", second)


def words(folder: Path) -> dict[str, tuple[bool, bool]]:
    return {name: (row["ready"], row["ahead"]) for name, row in steps(folder, *NOW).items()}


def test_what_needs_nothing_is_not_ready_before_its_stage_has_come(tmp_path: Path) -> None:
    folder = write_build(tmp_path, stages())
    now = words(folder)
    assert now["cut@left"] == now["cut@right"] == (True, False)
    assert now["brush"] == (False, False)  # it needs what does not hold
    assert now["paint@left"] == now["oil@right"] == now["watch"] == (False, True)
    text = planner("steps", str(folder), *NOW).out
    assert "▹ ahead     paint@left" in text and "▸ ready     cut@left" in text


def test_working_ahead_is_asked_once_a_stage_and_names_the_first_that_is_open(tmp_path: Path) -> None:
    folder = write_build(tmp_path, stages())
    said = tick(folder, "oil@right", *NOW)
    assert said.code == 1 and said.json["refused"]
    assert said.json["says"] == "oil@right would begin its stage ahead of open work now"  # and no word of a trap
    (finding,) = said.json["findings"]
    assert {key: finding[key] for key in ("rule", "level", "at", "cause", "condition", "history")} == {
        "rule": "ahead",
        "level": "notice",
        "at": "oil@right",
        "cause": "cut@left",
        "condition": None,
        "history": False,
    }
    assert said.json["instead"] == "cut@left"

    accepted = tick(folder, "oil@right", "--anyway", *NOW)
    assert accepted.code == 0 and accepted.json["accepted"] == [finding["id"]]
    assert words(folder)["paint@left"] == (True, False)  # its stage is begun
    assert tick(folder, "oil@left", *NOW).code == 0
    assert tick(folder, "watch", *NOW).code == 1  # another stage


@pytest.mark.parametrize("open_stage", [1, 2])
def test_a_stage_for_any_time_is_neither_ahead_nor_left_open(tmp_path: Path, open_stage: int) -> None:
    folder = write_build(tmp_path, stages("any-time: true"))
    assert words(folder)["paint@left"] == (True, False)
    if open_stage == 1:
        assert tick(folder, "paint@left", *NOW).code == 0
        return
    ticked(folder, "cut@left", "cut@right")
    assert tick(folder, "hose", *NOW).code == 0  # rework is never ahead
    assert tick(folder, "brush", *NOW).code == 0
    assert words(folder)["watch"] == (True, False)  # painting is open, and may be done any time


def test_a_trap_and_work_ahead_are_said_together(tmp_path: Path) -> None:
    later = stages().replace("do: Oil the hinge", "do: Oil the hinge, needs: [post.welded]")
    folder = write_build(tmp_path, later)
    said = tick(folder, "oil@left", *NOW)
    assert said.json["says"] == "oil@left would spring 1 gap now, and begin its stage ahead of open work"


def test_turns_hold_from_the_first_tick_on(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, "brush@left", "brush@right", "set@left", "set@right")
    said = tick(folder, "tacks#3@left", *NOW)
    assert said.code == 1
    (finding,) = said.json["findings"]
    assert (finding["rule"], finding["at"], finding["cause"]) == ("turn-broken", "tacks#3@left", "tacks#1@left")
    assert said.json["instead"] == "tacks#1@left"


def test_taking_back_what_cured_something_is_announced(tmp_path: Path) -> None:
    cure = """\
  - stage: One
    steps:
      - {step: brush, do: Brush it, sides: once, gives: [post.clean]}
      - {step: smear, do: Handle it with oily gloves, sides: once, spoils: [post.clean]}
      - {step: bolt, do: Bolt it up, sides: once, needs: [post.clean]}
      - {step: wire, do: Brush it bright again, sides: once, rework: true, gives: [post.clean]}
"""
    folder = write_build(tmp_path, cure)
    ticked(folder, "brush", "smear", "wire")
    said = tick(folder, "wire", "--undo", *NOW)
    assert said.code == 1 and said.json["says"] == "taking wire back would spring 2 traps"
    assert {(each["rule"], each["at"]) for each in said.json["findings"]} == {("spoiled", "bolt")}
    assert tick(folder, "wire", "--undo", "--anyway", *NOW).json["did"] == "undone"
    assert tick(folder, "smear", "--undo", *NOW).code == 0  # the last of the plan's order: nothing changes
