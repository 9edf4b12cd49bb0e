"""A number that moves under work that was done to it: kept with the tick, told, and shown beside what it is now."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from planner.plan.fill import Kept, Number, moved
from planner.session.onebuild import OneBuild
from tests.files.log.making import log_lines, planner, steps, tick
from tests.numbers.builds import EPISODE, NUMBERS, write
from tests.plan.builds import plan_of

NOW = ("--now", "2027-02-14T12:00Z")
MOVED = NUMBERS.replace("passenger: 3 1/2 in}", "passenger: 3 3/4 in}")
MARK = EPISODE.replace("do: Mark", "one-way: true\n        do: Mark")


def found(folder: Path) -> list[dict[str, Any]]:
    rows = planner("check", str(folder), "--json", "--no-repairs").json["findings"]
    return [each for each in rows if each["rule"] == "moved-number"]


def marked(folder: Path, episode: str = MARK) -> Path:
    write(folder, NUMBERS, episode)
    assert tick(folder, "mark@passenger", "--anyway", *NOW).code == 0
    return folder


def test_a_tick_keeps_the_numbers_of_its_side(tmp_path: Path) -> None:
    marked(tmp_path)
    record = json.loads(log_lines(tmp_path)[-1])
    assert record["did"] == "done"
    (name, kept), *others = record["numbers"].items()
    assert name == "narrow.first-line@passenger" and not others
    assert kept["value"] == pytest.approx(88.9) and kept["measured"] is False
    assert set(kept) == {"value", "plus_minus", "shown", "measured"} and "3 1/2" in kept["shown"]
    assert found(tmp_path) == []


def test_a_number_that_moves_under_finished_work_is_a_trap_until_it_is_done_again(tmp_path: Path) -> None:
    marked(tmp_path)
    write(tmp_path, MOVED, MARK)
    (finding,) = found(tmp_path)
    assert finding["at"] == "mark@passenger" and finding["condition"] == "narrow.first-line@passenger"
    assert (finding["level"], finding["cause"], finding["history"], finding["one_way"]) == ("trap", None, False, True)
    assert "3 1/2" in finding["says"] and "3 3/4" in finding["says"]
    assert planner("check", str(tmp_path), "--no-repairs").code == 1
    assert planner("check", str(tmp_path), "--no-repairs", "--plan").code == 0

    done_to = steps(tmp_path, *NOW)["mark@passenger"]["do"]
    assert "3 1/2" in done_to and "(now " in done_to and "3 3/4" in done_to
    one = OneBuild(tmp_path)
    beside = one.moved_beside(one.live.by_name["mark@driver"])
    assert [(name, each.name) for name, each in beside] == [("mark@passenger", "narrow.first-line@passenger")]

    assert tick(tmp_path, "mark@passenger", "--again", "--anyway", *NOW).code == 0
    assert found(tmp_path) == [] and "(now" not in steps(tmp_path, *NOW)["mark@passenger"]["do"]


def test_taking_the_tick_back_takes_what_it_kept(tmp_path: Path) -> None:
    marked(tmp_path)
    write(tmp_path, MOVED, MARK)
    assert tick(tmp_path, "mark@passenger", "--undo", "--anyway", *NOW).code == 0
    assert found(tmp_path) == []


@pytest.mark.parametrize(
    "numbers",
    [
        None,
        "no object",
        {"narrow.first-line@passenger": 3},
        {"narrow.first-line@passenger": {"value": "x", "shown": "3"}},
        {"narrow.first-line@passenger": {"value": 1.0}},
        {"gone.away": {"value": 1.0, "shown": "1"}},
    ],
)
def test_old_and_odd_records_are_read_and_say_nothing(tmp_path: Path, numbers: object) -> None:
    marked(tmp_path)
    path = tmp_path / "log" / "bench.jsonl"
    lines = path.read_text(encoding="utf-8").splitlines()
    record = json.loads(lines[-1])
    del record["numbers"]
    if numbers is not None:
        record["numbers"] = numbers
    path.write_text("\n".join([*lines[:-1], json.dumps(record)]) + "\n", encoding="utf-8")
    write(tmp_path, MOVED, MARK)
    assert found(tmp_path) == [] and steps(tmp_path, *NOW)["mark@passenger"]["done"]


@pytest.mark.parametrize(
    ("then", "now", "moves"),
    [
        (Kept(88.9, 0.0, "a", False), (88.9 + 2e-6, "a", 0.0, False), True),  # no ± stated: a millionth
        (Kept(88.9, 0.0, "a", False), (88.9 + 5e-7, "a", 0.0, False), False),
        (Kept(88.9, 0.4, "a", False), (89.2, "b", 0.1, False), False),  # the larger ± of the two
        (Kept(88.9, 0.1, "a", False), (89.2, "b", 0.4, False), False),
        (Kept(88.9, 0.1, "a", False), (89.2, "b", 0.2, False), True),
        (Kept(88.9, 0.0, "a", False), (99.0, "b", 0.0, True), False),  # a first reading moves nothing
        (Kept(88.9, 0.0, "a", True), (99.0, "b", 0.0, True), True),
        (Kept(None, 0.0, "lip", False), (None, "frame", 0.0, False), True),  # words
        (Kept(88.9, 0.0, "a", False), (99.0, "b"), True),
    ],
)
def test_what_counts_as_moved(tmp_path: Path, then: Kept, now: Number, moves: bool) -> None:
    build = plan_of(write(tmp_path)).build._replace(numbers={"narrow.first-line": {"driver": now}})
    step = build.episodes[0].stages[0].steps[0]
    assert bool(moved(build, step, {"narrow.first-line@driver": then})) == moves
