"""Debts that stand; work that came too soon after another step or before its full time; how much is checked at all."""

from __future__ import annotations

from pathlib import Path

from tests.files.log.making import JOB, planner, steps, tick, write_build

NOON = "2027-02-14T12:00Z"

KINDS = """\
pieces: {tank: {}}
kinds:
  drain:
    means: Let the oil out
    spoils: [filled]
    words: {filled: {kept: job, start: true, owed: build, means: there is oil in it}}
  fill: {means: Fill it up again, gives: [filled]}
  burn:
    means: Work with flame
    spoils: [watched-for]
    words: {watched-for: {kept: job, start: true, owed: shift, means: nobody left hot work alone}}
  stand-by: {means: Stand by with the bucket, gives: [watched-for], full-time: true, time: 60 min}
  sign-off: {means: Sign it}
"""
DEBTS = """\
  - stage: One
    steps:
      - {step: drain, do: Drain it, kind: drain, piece: tank, sides: once}
      - {step: hot, do: Heat it, kind: burn, piece: tank, sides: once}
      - {step: watch, do: Stand by, kind: stand-by, piece: tank, sides: once}
      - {step: sign, do: Sign it, kind: sign-off, sides: once}
      - {step: refill, do: Fill it, kind: fill, piece: tank, sides: once}
"""


BARE = "format: 1\nbuild: Gate\nsides: [left, right]\n"


def all_steps(folder: Path, now: str = NOON) -> dict[str, object]:
    said: dict[str, object] = planner("steps", str(folder), "--json", "--now", now).json
    return said


def test_a_sign_off_lists_the_debts_that_stand(tmp_path: Path) -> None:
    folder = write_build(tmp_path, DEBTS, JOB + KINDS)
    assert all_steps(folder)["debts"] == []
    assert tick(folder, "drain", "--now", NOON).code == 0
    said = all_steps(folder)
    assert said["debts"] == ["tank.filled"]
    rows = steps(folder, "--now", NOON)
    assert rows["sign"]["debts"] == ["tank.filled"] and rows["hot"]["debts"] == []
    assert "1 debt: opened, and to be closed again" in planner("steps", str(folder), "--now", NOON).out

    assert tick(folder, "hot", "--now", NOON).code == 0
    assert steps(folder, "--now", NOON)["sign"]["debts"] == ["tank.filled", "tank.watched-for"]
    assert tick(folder, "refill", "--anyway", "--now", NOON).code == 0
    assert all_steps(folder)["debts"] == ["tank.watched-for"]


def test_a_sign_off_of_another_name_is_known_by_the_word_it_gives(tmp_path: Path) -> None:
    mine = "  release-it: {means: Let it go out, gives: [signed]}\n"
    named = DEBTS.replace("kind: sign-off, sides", "kind: release-it, piece: tank, sides")
    folder = write_build(tmp_path, named, JOB + KINDS + mine)
    assert tick(folder, "drain", "--now", NOON).code == 0
    rows = steps(folder, "--now", NOON)
    assert rows["sign"]["debts"] == ["tank.filled"] and rows["watch"]["debts"] == []


def test_a_watch_takes_its_full_time_after_the_last_hot_work(tmp_path: Path) -> None:
    folder = write_build(tmp_path, DEBTS, JOB + KINDS)
    assert tick(folder, "drain", "--now", NOON).code == tick(folder, "hot", "--now", NOON).code == 0
    assert tick(folder, "hot", "--again", "--now", "2027-02-14T12:20Z").code == 0  # hot again: it counts from here
    said = tick(folder, "watch", "--now", "2027-02-14T13:10Z")
    assert said.code == 1
    (finding,) = said.json["findings"]
    assert (finding["rule"], finding["at"], finding["cause"], finding["condition"]) == (
        "too-soon",
        "watch",
        "hot",
        None,
    )
    assert "10 min too soon: it takes its full time after hot" in finding["says"]
    assert tick(folder, "watch", "--now", "2027-02-14T13:20Z").code == 0

    rushed = write_build(tmp_path / "rushed", DEBTS, JOB + KINDS)
    for op in ("drain", "hot"):
        assert tick(rushed, op, "--now", NOON).code == 0
    assert tick(rushed, "watch", "--anyway", "--now", "2027-02-14T12:10Z").code == 0
    found = planner("check", str(rushed), "--json", "--no-repairs").json["findings"]
    assert [(each["at"], each["cause"], each["history"]) for each in found if each["rule"] == "too-soon"] == [
        ("watch", "hot", True)
    ]


SET = """\
  - stage: One
    steps:
      - {step: glue, do: Glue it, wait: 30 min}
      - {step: load, do: Put weight on it, sides: once, after: [glue]}
      - {step: trim, do: Trim it, after: [glue@own]}
"""


def test_what_comes_after_a_step_that_waits_waits_too(tmp_path: Path) -> None:
    folder = write_build(tmp_path, SET)
    assert tick(folder, "glue@left", "--now", "2027-02-14T12:00Z").code == 0
    assert tick(folder, "glue@right", "--now", "2027-02-14T12:10Z").code == 0
    now = steps(folder, "--now", "2027-02-14T12:35Z")
    assert now["trim@left"]["ready"] and not now["trim@right"]["ready"] and not now["load"]["ready"]
    assert now["load"]["waiting_until"] == "2027-02-14T12:40:00.000Z"  # for the side that was glued last
    said = tick(folder, "load", "--now", "2027-02-14T12:35Z")
    assert said.code == 1
    (finding,) = said.json["findings"]
    assert (finding["rule"], finding["cause"], finding["condition"]) == ("too-soon", "glue@right", None)
    assert tick(folder, "load", "--now", "2027-02-14T12:40Z").code == 0


def test_a_wait_that_nothing_waits_for_is_noticed_with_the_cure(tmp_path: Path) -> None:
    def found(text: str, name: str) -> list[tuple[str, str]]:
        folder = write_build(tmp_path / name, text, BARE)
        rows = planner("check", str(folder), "--json").json["findings"]
        return [(each["rule"], each["says"]) for each in rows]

    alone = SET[: SET.index("      - {step: load")]
    ((rule, says),) = found(alone, "alone")
    assert rule == "no-wait" and "Write after: [glue] in the step that has to wait." in says
    assert found(alone.replace("wait: 30 min", "wait: 30 min, rounds: 2"), "rounds") == []  # its next round waits
    assert found(SET, "asked") == []


def test_a_plan_that_says_nothing_is_told_how_little_is_checked(tmp_path: Path) -> None:
    bare = "  - stage: One\n    steps:\n      - {step: one, do: One}\n      - {step: two, do: Two, after: [one]}\n"
    told = planner("check", str(write_build(tmp_path / "bare", bare, BARE)))
    assert told.code == 0 and "Only 1 of 2 steps are checked" in told.out
    sound = SET.replace("{step: glue,", "{step: glue, gives: [post.set],")
    assert "are checked" not in planner("check", str(write_build(tmp_path / "sound", sound))).out
