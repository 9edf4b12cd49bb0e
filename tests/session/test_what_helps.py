"""What is offered instead of a tick, what completes a step, repairs where work has begun, ids of doubled rework."""

from __future__ import annotations

from pathlib import Path

from tests.files.log.making import JOB, planner, steps, tick, ticked, write_build

NOW = ("--now", "2027-02-14T12:00Z")

HELPS = """\
  - stage: One
    steps:
      - {step: sweep, do: Sweep, sides: once}
      - {step: brush, do: Brush, needs: [post.set], sides: once}
      - {step: film, do: Film it, sides: once, rounds: 2, film: all, gives: [post.tacked]}
      - {step: set, do: Set it, sides: once, gives: [post.set], film: none}
"""


def test_what_gives_the_missing_thing_is_offered_before_what_merely_comes_next(tmp_path: Path) -> None:
    folder = write_build(tmp_path, HELPS)
    said = tick(folder, "brush", *NOW)
    assert said.code == 1 and said.json["instead"] == "set"  # and not sweep, which is ready too and comes first


def test_what_being_on_camera_gives_comes_with_the_first_round_and_helps_too(tmp_path: Path) -> None:
    job = JOB.replace("conditions:", "on-camera: {gives: [post.set]}\nconditions:")
    other = HELPS.replace("gives: [post.set], ", "").replace("do: Sweep", "do: Sweep, film: none")
    folder = write_build(tmp_path, other.replace("do: Brush", "do: Brush, film: none"), job)
    assert tick(folder, "brush", *NOW).json["instead"] == "film#1"
    ticked(folder, "film#1")
    assert steps(folder, *NOW)["brush"]["ready"]


ROUNDS = """\
  - stage: One
    steps:
      - {step: tack, do: Tack, sides: once, rounds: 2, gives: [frame.square]}
      - {step: lift, do: Lift, sides: once, needs: [frame.square]}
"""


def test_a_round_done_again_is_no_other_round_of_its_side(tmp_path: Path) -> None:
    each = ROUNDS.replace("do: Tack, sides: once,", "do: Tack,").replace(
        "gives: [frame.square]", "gives: [post.tacked]"
    )
    folder = write_build(tmp_path, each.replace("needs: [frame.square]", "needs: [post.tacked@left]"))
    ticked(folder, "tack#1@left")
    assert tick(folder, "tack#1@left", "--again", *NOW).code == 0
    assert steps(folder, *NOW)["lift"]["missing"] == ["post.tacked@left"]


def test_a_round_done_again_is_no_other_round(tmp_path: Path) -> None:
    folder = write_build(tmp_path, ROUNDS)
    ticked(folder, "tack#1")
    assert tick(folder, "tack#1", "--again", *NOW).code == 0
    assert steps(folder, *NOW)["lift"]["missing"] == ["frame.square"]
    assert tick(folder, "tack#2", *NOW).code == 0
    assert steps(folder, *NOW)["lift"]["ready"]


BEGUN = """\
  - stage: One
    steps:
      - {step: tack, do: Tack, rounds: 2, sides: each}
      - {step: grind, do: Grind, spoils: [post.clean]}
      - {step: weld, do: Weld, needs: [post.clean], gives: [post.welded]}
"""


def test_a_repair_leaves_what_is_ticked_where_it_is(tmp_path: Path) -> None:
    folder = write_build(tmp_path, BEGUN, JOB + "start: [post.clean]\n")
    done = ["tack#1@left", "tack#1@right", "tack#2@left"]
    ticked(folder, *done)
    found = planner("check", str(folder), "--json").json["findings"]
    repaired = [each for each in found if each["repair"] is not None]
    assert {each["condition"] for each in repaired} == {"post.clean@left", "post.clean@right"}
    for each in repaired:
        for repair in (each["repair"], *each["repairs"]):
            assert repair["order"][: len(done)] == done
            assert repair["order"].index("tack#2@right") >= len(done)
            assert len(set(repair["order"])) == len(repair["order"])
            side = each["condition"].partition("@")[2]
            assert repair["order"].index(f"weld@{side}") < repair["order"].index(f"grind@{side}")


TURNED = """\
  - stage: One
    steps:
      - {step: tack, do: Tack, rounds: 2, needs: [frame.square], turns: [right, left]}
      - {step: trued, do: Set it true, sides: once, gives: [frame.square]}
"""


def test_no_other_turns_are_offered_for_a_round_that_one_side_has_begun(tmp_path: Path) -> None:
    folder = write_build(tmp_path, TURNED)
    assert tick(folder, "tack#1@right", "--anyway", *NOW).code == 0
    found = planner("check", str(folder), "--json").json["findings"]
    for each in (each for each in found if not each["history"]):
        for repair in (each["repair"], *each["repairs"]) if each["repair"] is not None else ():
            assert repair["order"][0] == "tack#1@right" and "turns: [left" not in repair["says"]


def test_rework_put_in_twice_brings_two_findings_with_ids_of_their_own(tmp_path: Path) -> None:
    twice = """\
  - stage: One
    steps:
      - {step: brush, do: Brush, sides: once, rework: true, needs: [frame.square], spoils: [post.set]}
      - {step: set, do: Set, sides: once, gives: [frame.square]}
      - {step: shake, do: Shake, sides: once, spoils: [frame.square]}
    sequence: [set, shake, brush, set, shake, brush]
"""
    twice = twice.replace("sequence: [set, shake, brush, set, shake, brush]", "sequence: [set, shake, brush, brush]")
    folder = write_build(tmp_path, twice)
    found = planner("check", str(folder), "--json", "--no-repairs").json["findings"]
    assert [each["at"] for each in found if each["rule"] == "spoiled"] == ["brush"]
    ids = [each["id"] for each in found]
    assert len(set(ids)) == len(ids)
    ticked(folder, "set", "shake")
    assert tick(folder, "brush", "--anyway", *NOW).code == 0  # now one of the two is history, and one is not
    found = planner("check", str(folder), "--json", "--no-repairs").json["findings"]
    both = [each for each in found if each["at"] == "brush"]
    assert sorted(each["history"] for each in both) == [False, True]
    assert len({each["id"] for each in both}) == 2 and len({each["group"] for each in both}) == 1
