"""Ticking: what is recorded, what is refused, what is offered instead, and what the state is after it."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.session.onebuild import OneBuild
from tests.files.log.making import append, done, log_lines, planner, steps, tick, ticked, write_build

SET_UP = ("brush@left", "brush@right", "set@left", "set@right")
TACKS = tuple(f"tacks#{number}@{side}" for number in range(1, 9) for side in ("left", "right"))
LATER = "2027-02-14T12:00Z"


def test_a_tick_answers_as_promised_and_is_one_line_of_the_log(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    said = tick(folder, "brush@left", "--now", "2027-02-13T10:00:00Z")
    assert said.json == {
        "format": 1,
        "op": "brush@left",
        "did": "done",
        "at": "2027-02-13T10:00:00.000Z",
        "accepted": [],
        "next": "brush@right",
    }
    (line,) = log_lines(folder)
    assert json.loads(line) == {
        "v": 1,
        "n": 1802512800000,
        "at": "2027-02-13T10:00:00.000Z",
        "by": "bench",
        "did": "done",
        "op": "brush@left",
    }
    assert planner("log", str(folder), "--json").json == {"format": 1, "events": [json.loads(line)], "notices": []}


def test_at_is_when_it_happened_and_n_orders_the_record(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, "brush@left")
    assert tick(folder, "brush@right", "--now", "2027-02-13T12:00Z", "--at", "2027-02-13T09:00Z").code == 0
    first, second = (json.loads(line) for line in log_lines(folder))
    assert second["at"] < first["at"] and second["n"] > first["n"]
    assert done(folder) == ["brush@left", "brush@right"]


def test_undo_of_one_round_of_eight(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, *SET_UP, *TACKS)
    assert steps(folder, "--now", LATER)["square"]["ready"]
    assert tick(folder, "tacks#8@right", "--undo", "--now", LATER).json["did"] == "undone"
    now = steps(folder, "--now", LATER)
    assert not now["tacks#8@right"]["done"] and now["tacks#8@right"]["ready"]
    assert all(now[f"tacks#{number}@left"]["done"] for number in range(1, 9))
    assert now["square"]["missing"] == ["post.tacked@right"]

    assert tick(folder, "tacks#8@right", "--undo", "--now", LATER).code == 1  # there is nothing left to take back
    assert tick(folder, "tacks#8@right", "--now", LATER).json["did"] == "done"
    assert steps(folder, "--now", "2027-02-14T13:00Z")["square"]["ready"]


def test_undo_in_the_middle_leaves_the_later_rounds_and_says_what_that_means(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, *SET_UP, *TACKS)
    said = tick(folder, "tacks#3@left", "--undo", "--now", LATER)
    assert said.code == 1 and said.json["instead"] is None
    assert {(each["rule"], each["at"]) for each in said.json["findings"]} == {("turn-broken", "tacks#4@left")}
    assert tick(folder, "tacks#3@left", "--undo", "--anyway", "--now", LATER).code == 0
    now = steps(folder, "--now", LATER)
    assert not now["tacks#3@left"]["done"] and now["tacks#4@left"]["done"]
    assert now["square"]["missing"] == ["post.tacked@left"]
    found = planner("check", str(folder), "--json", "--no-repairs").json["findings"]
    history = {(each["rule"], each["at"]) for each in found if each["history"]}
    assert ("turn-broken", "tacks#4@left") in history  # round 4 stands in the log before every side has round 3


CHECKED = """\
  - stage: One
    steps:
      - {step: check, do: Check it, sides: once, gives: [frame.square]}
      - {step: heat, do: Heat it, spoils: [frame.square], one-way: true}
      - {step: bolt, do: Bolt it up, needs: [frame.square]}
"""


def test_check_spoil_check_again(tmp_path: Path) -> None:
    """The plan itself has the trap; the shop gets out of it with one more check."""
    folder = write_build(tmp_path, CHECKED)
    ticked(folder, "check", "heat@left", "heat@right")
    said = tick(folder, "bolt@left", "--now", LATER)
    assert said.code == 1
    assert said.json["refused"] is True
    (finding,) = said.json["findings"]
    assert (finding["rule"], finding["at"], finding["condition"]) == ("spoiled", "bolt@left", "frame.square")

    said = tick(folder, "check", "--now", LATER)  # done already: --again is the way
    assert said.code == 1 and said.json["findings"] == [] and "--again" in said.err
    assert tick(folder, "check", "--again", "--now", LATER).json["did"] == "again"
    assert tick(folder, "bolt@left", "--now", "2027-02-14T12:01Z").code == 0
    assert tick(folder, "bolt@right", "--now", "2027-02-14T12:02Z").code == 0
    assert done(folder) == ["check", "heat@left", "heat@right", "check", "bolt@left", "bolt@right"]
    assert planner("check", str(folder)).code == 0

    assert tick(folder, "check", "--undo", "--now", LATER).code == 1  # what was bolted on relied on it
    assert tick(folder, "check", "--undo", "--anyway", "--now", LATER).code == 0  # the latest goes, the first stays
    assert done(folder)[0] == "check" and done(folder).count("check") == 1
    found = planner("check", str(folder), "--json").json["findings"]
    spoiled = [(each["at"], each["also"], each["history"]) for each in found if each["rule"] == "spoiled"]
    assert spoiled == [("bolt@left", ["bolt@right"], True)]


ROUNDS = """\
  - stage: One
    steps:
      - {step: tack, do: Tack it, rounds: 2, turns: side-first, gives: [post.tacked]}
      - {step: rest, do: Look at it, sides: once, after: [tack]}
      - {step: weld, do: Weld it, needs: [post.tacked], one-way: true}
      - {step: check, do: Check it, gives: [frame.square]}
      - {step: roll, do: Roll it, sides: once, needs: [frame.square]}
"""


def test_doing_it_again_completes_no_step(tmp_path: Path) -> None:
    """A joint that had one round twice is half tacked, and is not welded; one side done twice is not both sides."""
    folder = write_build(tmp_path, ROUNDS)
    ticked(folder, "tack#1@left")
    for minute in range(1, 4):
        assert tick(folder, "tack#1@left", "--again", "--now", f"2027-02-14T12:0{minute}Z").code == 0
    now = steps(folder, "--now", "2027-02-15T12:00Z")
    assert now["weld@left"]["missing"] == ["post.tacked@left"]
    assert tick(folder, "weld@left", "--now", "2027-02-15T12:00Z").code == 1
    assert tick(folder, "check@left", "--anyway", "--now", "2027-02-15T12:01Z").code == 0
    assert tick(folder, "check@left", "--again", "--anyway", "--now", "2027-02-15T12:02Z").code == 0
    assert steps(folder, "--now", "2027-02-15T12:03Z")["roll"]["missing"] == ["frame.square"]


def test_again_walks_once_more_in_full(tmp_path: Path) -> None:
    """What it spoils is spoiled once more, not only what it gives."""
    folder = write_build(tmp_path, CHECKED)
    ticked(folder, "check", "heat@left", "heat@right")
    assert tick(folder, "check", "--again", "--now", LATER).code == 0
    assert steps(folder, "--now", LATER)["bolt@left"]["ready"]
    assert tick(folder, "heat@left", "--again", "--anyway", "--now", LATER).code == 0
    assert steps(folder, "--now", LATER)["bolt@left"]["missing"] == ["frame.square"]


def test_again_and_undo_want_something_that_is_done(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    assert tick(folder, "brush@left", "--again").code == 1
    assert tick(folder, "brush@left", "--undo").code == 1
    assert not (folder / "log" / "bench.jsonl").read_bytes()
    ticked(folder, "brush@left")
    said = tick(folder, "brush@left")
    assert said.code == 1
    assert said.json["refused"] is True and said.json["findings"] == [] and said.json["instead"] is None
    assert len(log_lines(folder)) == 1


def test_a_rework_done_twice(tmp_path: Path) -> None:
    """Put in by hand while the plan has no place for it: once, and once more."""
    folder = write_build(tmp_path)
    ticked(folder, *SET_UP)
    assert tick(folder, "wire@left", "--now", LATER).json["did"] == "done"
    assert tick(folder, "wire@left", "--again", "--now", LATER).json["did"] == "again"
    assert done(folder)[-2:] == ["wire@left", "wire@left"]
    assert tick(folder, "wire@left", "--undo", "--now", LATER).code == 0
    assert done(folder)[-1:] == ["wire@left"]


def test_a_rework_that_the_plan_puts_in_twice_is_ticked_as_done_each_time(tmp_path: Path) -> None:
    stages = """\
  - stage: One
    steps:
      - {step: brush, do: Brush it, gives: [post.clean], sides: once}
      - {step: set, do: Set it, needs: [post.clean], spoils: [post.clean]}
      - {step: wire, do: Brush it once more, rework: true, gives: [post.clean], sides: once}
    sequence: [brush, set@left, wire, set@right, wire]
"""
    folder = write_build(tmp_path, stages)
    ticked(folder, "brush", "set@left", "wire", "set@right", "wire")
    assert done(folder) == ["brush", "set@left", "wire", "set@right", "wire"]
    answer = planner("check", str(folder), "--json").json
    assert answer["ticked"] == answer["operations"] == 5
    assert tick(folder, "wire").code == 1  # a third time was not planned


def test_readings_and_notes_are_kept_with_the_tick_and_without(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    said = tick(folder, "brush@left", "--reading", "0.010 in", "--note", "wire wheel, “fine”", "--now", LATER)
    assert said.json["did"] == "done"
    assert tick(folder, "brush@left", "--note", "looked twice", "--now", LATER).code == 0
    stored = [json.loads(line) for line in log_lines(folder)]
    assert [event["did"] for event in stored] == ["reading", "note", "done", "note"]
    assert stored[0]["value"] == "0.010 in" and stored[1]["text"] == "wire wheel, “fine”"
    assert len({event["n"] for event in stored}) == 4
    remarks = OneBuild(folder).ticks.remarks["brush@left"]
    assert [event.did for event in remarks] == ["reading", "note", "note"]
    assert done(folder) == ["brush@left"]
    assert "0.010 in" in planner("log", str(folder)).out


def test_the_next_round_waits_and_says_until_when(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, *SET_UP)
    assert tick(folder, "tacks#1@left", "--now", "2027-02-13T11:00:00Z").code == 0
    assert tick(folder, "tacks#1@right", "--now", "2027-02-13T11:00:30Z").code == 0
    row = steps(folder, "--now", "2027-02-13T11:01:00Z")["tacks#2@left"]
    assert row["waiting_until"] == "2027-02-13T11:03:00.000Z" and row["ready"] is False
    assert steps(folder, "--now", "2027-02-13T11:03:00Z")["tacks#2@left"]["waiting_until"] is None
    assert steps(folder, "--now", "2027-02-13T11:03:00Z")["tacks#2@left"]["ready"] is True

    said = tick(folder, "tacks#2@left", "--now", "2027-02-13T11:02:59Z")
    assert said.code == 1
    (finding,) = said.json["findings"]
    assert (finding["rule"], finding["level"], finding["cause"]) == ("too-soon", "trap", "tacks#1@left")
    assert finding["condition"] is None

    said = tick(folder, "tacks#2@left", "--anyway", "--now", "2027-02-13T11:02:59Z")
    assert said.json["accepted"] == [finding["id"]]
    stored = [json.loads(line) for line in log_lines(folder)]
    assert [event["did"] for event in stored[-2:]] == ["accepted", "done"]
    assert stored[-2]["findings"] == [finding["id"]]
    answer = planner("check", str(folder), "--json", "--no-repairs")
    assert answer.code == 0  # it is history
    assert ("too-soon", "tacks#2@left", True) in {(f["rule"], f["at"], f["history"]) for f in answer.json["findings"]}


def test_what_waits_gives_only_when_the_wait_is_over(tmp_path: Path) -> None:
    stages = """\
  - stage: One
    steps:
      - {step: glue, do: Glue it, gives: [post.set], wait: 2 h}
      - {step: load, do: Load it, needs: [post.set]}
"""
    folder = write_build(tmp_path, stages)
    assert tick(folder, "glue@left", "--now", "2027-02-13T11:00Z").code == 0
    assert tick(folder, "glue@right", "--now", "2027-02-13T11:30Z").code == 0
    rows = steps(folder, "--now", "2027-02-13T12:00Z")
    assert rows["load@left"]["waiting_until"] == "2027-02-13T13:00:00.000Z"
    assert rows["load@right"]["waiting_until"] == "2027-02-13T13:30:00.000Z"
    assert rows["load@left"]["missing"] == []
    said = tick(folder, "load@left", "--now", "2027-02-13T12:00Z")
    assert said.code == 1
    assert [(f["rule"], f["condition"], f["cause"]) for f in said.json["findings"]] == [("too-soon", None, "glue@left")]
    assert said.json["instead"] is None  # everything else waits too
    assert tick(folder, "load@left", "--now", "2027-02-13T13:00Z").code == 0
    # Ticked late, but done in time: --at counts for the wait.
    assert tick(folder, "load@right", "--at", "2027-02-13T13:29Z", "--now", "2027-02-13T15:00Z").code == 1
    assert tick(folder, "load@right", "--at", "2027-02-13T13:30Z", "--now", "2027-02-13T15:00Z").code == 0


def test_a_side_that_is_left_behind_is_noticed(tmp_path: Path) -> None:
    stages = """\
  - stage: First
    steps:
      - {step: one, do: Do one}
      - {step: two, do: Do two}
  - stage: Second
    steps:
      - {step: three, do: Do three}
"""
    folder = write_build(tmp_path, stages)
    ticked(folder, "one@left", "one@right", "two@left")

    def behind() -> list[tuple[str, str]]:
        found = planner("check", str(folder), "--json").json["findings"]
        return [(each["at"], each["level"]) for each in found if each["rule"] == "left-behind"]

    assert behind() == []
    assert tick(folder, "three@left", "--anyway", "--now", "2027-02-13T12:00Z").code == 0  # ahead: asked once
    assert behind() == [("two@right", "notice")]
    ticked(folder, "two@right", at="2027-02-13T13:{:02d}:00Z")
    assert behind() == []


FOR_LATER = """\
  - stage: One
    steps:
      - {step: brush, do: Brush it, gives: [post.clean]}
      - {step: set, do: Set it, needs: [post.clean], gives: [post.set]}
      - {step: paint, do: Paint it, needs: [post.set], spoils: [post.clean], one-way: true}
"""


def test_a_tick_that_would_spring_a_trap_later_on_is_refused_with_something_safe(tmp_path: Path) -> None:
    """Brush the left side once more is fine; paint the left before it stands is not."""
    folder = write_build(tmp_path, FOR_LATER.replace("needs: [post.set], spoils", "spoils"))
    ticked(folder, "brush@left", "brush@right")
    said = tick(folder, "paint@left", "--now", LATER)
    assert said.code == 1
    answer = said.json
    assert answer["refused"] is True
    (finding,) = answer["findings"]
    assert (finding["rule"], finding["at"], finding["cause"]) == ("spoiled", "set@left", "paint@left")
    assert finding["condition"] == "post.clean@left" and finding["history"] is False
    assert answer["instead"] == "set@left"
    assert "safe to do instead: set@left" in said.err
    assert len(log_lines(folder)) == 2

    assert tick(folder, answer["instead"], "--now", LATER).code == 0
    assert tick(folder, "paint@left", "--now", LATER).code == 0  # now it is safe


def test_what_was_accepted_is_logged_before_the_tick(tmp_path: Path) -> None:
    folder = write_build(tmp_path, FOR_LATER)
    said = tick(folder, "set@left", "--anyway", "--now", LATER)
    assert said.code == 0 and len(said.json["accepted"]) == 1
    accepted, ticked_line = (json.loads(line) for line in log_lines(folder))
    assert accepted["did"] == "accepted" and accepted["op"] == "set@left"
    assert accepted["findings"] == said.json["accepted"]
    assert ticked_line["did"] == "done" and ticked_line["n"] == accepted["n"] + 1
    found = planner("check", str(folder), "--json").json["findings"]
    assert said.json["accepted"][0] in {each["id"] for each in found}


@pytest.mark.parametrize("options", [["--undo", "--again"], ["--reading"], ["--nonsense"]])
def test_options_that_make_no_sense_change_nothing(tmp_path: Path, options: list[str]) -> None:
    folder = write_build(tmp_path)
    assert tick(folder, "brush@left", *options).code == 2
    assert not (folder / "log").exists()


def test_an_unknown_operation_is_told_with_the_nearest(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    said = tick(folder, "tacks#1@lfet")
    assert said.code == 2
    (problem,) = said.json["problems"]
    assert problem["near"] == "tacks#1@left" and "did you mean tacks#1@left?" in problem["message"]
    assert not (folder / "log").exists()


def test_ticks_for_what_the_plan_no_longer_has_are_kept_and_reported(tmp_path: Path) -> None:
    """Steps vanish, get other rounds, lose a side: nothing is lost, everything is said."""
    folder = write_build(tmp_path)
    ticked(folder, *SET_UP, "tacks#1@left", "tacks#1@right")
    before = (folder / "log" / "bench.jsonl").read_bytes()
    stages = """\
  - stage: Ready
    steps:
      - {step: set, do: Set the post, sides: [right], why: the left one stands, gives: [post.set]}
      - {step: tacks, do: Tack it, needs: [post.set], gives: [post.tacked], sides: [right], why: the left one stands}
"""
    write_build(folder, stages)
    for command in ("check", "steps", "tick"):
        said = planner(command, str(folder), *(["tacks@right", "--now", LATER] if command == "tick" else []))
        assert said.code == 0, said
        assert "brush@left is ticked, but the plan has no step brush any more; the tick is kept" in said.err
        assert "set@left is ticked, but the step set now has other rounds or sides (set@right)" in said.err
        assert "tacks#1@left is ticked, but the step tacks now has other rounds or sides (tacks@right)" in said.err
    assert (folder / "log" / "bench.jsonl").read_bytes().startswith(before)
    assert steps(folder)["set@right"]["done"]
    write_build(folder)  # the old plan comes back, and everything with it
    assert done(folder)[:6] == [*SET_UP, "tacks#1@left", "tacks#1@right"]
    assert "set@left" not in planner("check", str(folder)).err


def test_late_means_done_and_not_filmed(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    append(folder, "phone", [{"did": "late", "op": "brush@left"}], 1_800_000_000)
    build = OneBuild(folder)
    assert build.ticks.not_filmed == {"brush@left"}
    assert steps(folder)["brush@left"]["done"]
    assert tick(folder, "brush@left", "--undo").code == 0
    assert OneBuild(folder).ticks.not_filmed == frozenset()
