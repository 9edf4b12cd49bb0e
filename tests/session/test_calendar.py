"""``planner calendar``: the command and its JSON, on small builds as a person would write them."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest

from tests.support.builds import write_files
from tests.support.commandline import run, run_json

JOB = """format: 1
build: Gate
sides: [left, right]
shop: {timezone: Europe/Lisbon, hours: {wed: "19:00-22:00", sat: "08:00-12:00"}, desk: {sun: "20:00-22:00"}}
conditions:
  post.tacked: {kept: side, means: tacked}
  hinge.here: {kept: job, means: the hinges came}
"""
EPISODE = """format: 1
episode: 1
title: Posts
publish: 2027-01-24 21:00
edit: 1 h
stages:
  - stage: One
    steps:
      - {step: order, do: Order hinges, gives: [hinge.here], where: desk, sides: once, time: 10 min, wait: 7 days}
      - {step: tack, do: Tack, gives: [post.tacked], time: 40 min, wait: 30 min, setup: bench}
      - {step: hang, do: Hang, needs: [post.tacked, hinge.here], time: 30 min, setup: floor}
"""
NOW = "2027-01-01T09:00Z"  # a Friday


def build(tmp_path: Path, job: str = JOB, episode: str = EPISODE) -> str:
    return str(write_files(tmp_path / "gate", {"build.yaml": job, "episodes/01-posts.yaml": episode}))


def parts(found: object) -> dict[str, list[tuple[str, str]]]:
    out: dict[str, list[tuple[str, str]]] = {}
    assert isinstance(found, dict)
    for shift in found["shifts"]:
        for part in shift["parts"]:
            assert shift["start"] <= part["start"] <= part["end"] <= shift["end"]
            out.setdefault(part["op"], []).append((part["start"][:16], part["end"][:16]))
    return out


def test_json_says_when_everything_is_done(tmp_path: Path) -> None:
    code, found = run_json("calendar", build(tmp_path), "--now", NOW)
    assert code == 0
    assert found["from"] == "2027-01-01T09:00:00.000Z"
    assert parts(found) == {
        "tack@left": [("2027-01-02T08:00", "2027-01-02T08:40")],
        "tack@right": [("2027-01-02T08:40", "2027-01-02T09:20")],
        "order": [("2027-01-03T20:00", "2027-01-03T20:10")],
        "hang@left": [("2027-01-13T19:00", "2027-01-13T19:30")],
        "hang@right": [("2027-01-13T19:30", "2027-01-13T20:00")],
        "(edit 1)": [("2027-01-17T20:00", "2027-01-17T21:00")],
    }
    assert found["publish"] == [
        {"episode": 1, "due": "2027-01-24T21:00:00.000Z", "ready": "2027-01-17T21:00:00.000Z", "late_s": 0}
    ]
    assert (found["finish"], found["set_ups"]) == ("2027-01-17T21:00:00.000Z", 1)
    assert found["critical"] == ["order", "hang@left", "hang@right", "(edit 1)"]
    assert found["float_s"]["tack@left"] == (10 + 7 * 1440 - 40 - 30) * 60
    assert [len(shift["cooling"]) for shift in found["shifts"]] == [2, 1, 0, 0]
    assert found["shifts"][2]["place"] == "shop"


def test_ticks_count_and_their_waits_run_on(tmp_path: Path) -> None:
    folder = build(tmp_path)
    assert run("tick", folder, "order", "--at", "2027-01-01T10:00Z", "--now", "2027-01-01T10:00Z")[0] == 0
    _, found = run_json("calendar", folder, "--now", "2027-01-01T11:00Z")
    assert "order" not in parts(found)
    assert parts(found)["hang@left"][0][0] == "2027-01-09T08:00"
    assert {"op": "order", "until": "2027-01-08T10:00:00.000Z"} in found["shifts"][0]["cooling"]


def test_an_edit_is_ticked_like_other_work(tmp_path: Path) -> None:
    folder = build(tmp_path)
    assert run("tick", folder, "(edit 1)", "--anyway", "--now", NOW)[0] == 0
    assert "(edit 1)" not in parts(run_json("calendar", folder, "--now", NOW)[1])


def test_a_late_episode_is_late_by_so_much(tmp_path: Path) -> None:
    late = EPISODE.replace("2027-01-24 21:00", "2027-01-17 20:30")
    _, found = run_json("calendar", build(tmp_path, episode=late), "--now", NOW)
    assert found["publish"][0]["late_s"] == 1800
    assert "late by 30 min" in run("calendar", str(tmp_path / "gate"), "--now", NOW)[1]


def test_days_away_move_what_they_hit(tmp_path: Path) -> None:
    job = JOB.replace("shop: {", "shop: {away: [2027-01-13..2027-01-14, 2027-01-16], ")
    _, found = run_json("calendar", build(tmp_path, job), "--now", NOW)
    assert parts(found)["hang@left"] == [("2027-01-20T19:00", "2027-01-20T19:30")]


def test_a_trap_that_another_order_mends_is_told(tmp_path: Path) -> None:
    lines = EPISODE.splitlines()
    swapped = "\n".join([*lines[:-2], lines[-1], lines[-2], ""])
    code, out, err = run("calendar", build(tmp_path, episode=swapped), "--now", NOW)
    assert code == 0
    assert "another order" in err
    assert "hang@left" in out


@pytest.mark.parametrize(
    ("job", "episode", "says"),
    [
        (JOB.replace(', hours: {wed: "19:00-22:00", sat: "08:00-12:00"}, desk: {sun: "20:00-22:00"}', ""), EPISODE,
         "says no hours"),
        (JOB.replace('hours: {wed: "19:00-22:00", sat: "08:00-12:00"}, ', ""), EPISODE, "add hours:"),
        (JOB, EPISODE.replace("time: 40 min", "time: 5 h, kind: weld"), "give a longer one"),
        (JOB, EPISODE.replace("wait: 7 days", "wait: 9000 days"), "shorten the wait"),
        (JOB, EPISODE.replace("needs: [post.tacked", "spoils: [post.tacked], needs: [post.tacked@all"), "no order"),
        (JOB.replace("shop: {", "shop: {helper: {sat: '08:00-08:20'}, "), EPISODE.replace("40 min", "40 min, hands: 2"),
         "helper:"),
        (JOB.replace("shop: {", "shop: {away: [2026-01-01..2060-01-01], "), EPISODE, "add hours"),
    ],
)  # fmt: skip
def test_bad_input_is_one_line_that_says_what_to_change(tmp_path: Path, job: str, episode: str, says: str) -> None:
    code, out, err = run("calendar", build(tmp_path, job, episode), "--now", NOW)
    assert code in (1, 2)
    assert out == ""
    assert says in err.splitlines()[0]
    assert len(err.splitlines()) == 1


def test_publish_before_the_start_is_told_and_the_calendar_stands(tmp_path: Path) -> None:
    code, out, err = run("calendar", build(tmp_path), "--from", "2027-02-01", "--now", NOW)
    assert code == 0
    assert "write a later date" in err
    assert "late by" in out


def test_a_day_that_is_not_is_refused(tmp_path: Path) -> None:
    job = JOB.replace("Europe/Lisbon", "Pacific/Apia")
    code, _, err = run("calendar", build(tmp_path, job), "--from", "2011-12-30", "--now", NOW)
    why = "2011-12-30 does not exist in Pacific/Apia: the calendar there goes on over it; choose another day"
    assert (code, err) == (2, f"planner: --from: {why}\n")


def test_what_would_have_to_give_is_said_and_true(tmp_path: Path) -> None:
    """Half an hour late: an hour more on Sundays cannot mend it, half a day earlier would; a week later does."""
    late = EPISODE.replace("2027-01-24 21:00", "2027-01-17 20:30")
    out = run("calendar", build(tmp_path, episode=late), "--now", NOW)[1]
    assert "Late by 30 min in all" in out
    assert "episode 1 1 week later, Sun 2027-01-24 20:30" in out
    long = JOB.replace('wed: "19:00-22:00"', 'wed: "19:00-19:30"').replace(
        ', sat: "08:00-12:00"', ', sat: "08:00-08:45"'
    )
    due = EPISODE.replace("2027-01-24 21:00", "2027-01-17 21:00").replace("time: 30 min, setup", "time: 45 min, setup")
    out = run("calendar", build(tmp_path, long, due), "--now", NOW)[1]
    assert "an hour more in the shop on Wednesdays: every date is met" in out
    job = long.replace('wed: "19:00-19:30"', 'wed: "19:00-20:30"')
    assert run_json("calendar", build(tmp_path, job, due), "--now", NOW)[1]["publish"][0]["late_s"] == 0


def test_two_builds_share_one_pair_of_hands(tmp_path: Path) -> None:
    first = build(tmp_path)
    second = str(write_files(tmp_path / "shed", {"build.yaml": JOB, "episodes/01-posts.yaml": EPISODE}))
    code, found = run_json("calendar", first, second, "--now", NOW)
    assert code == 0
    booked = parts(found)
    assert {"gate:tack@left", "shed:tack@left"} <= set(booked)
    spans = sorted(span for each in booked.values() for span in each)
    assert all(earlier[1] <= later[0] for earlier, later in pairwise(spans))
    assert [(each["build"], each["episode"]) for each in found["publish"]] == [("gate", 1), ("shed", 1)]
    alone = run_json("calendar", first, "--now", NOW)[1]
    assert found["publish"][0]["late_s"] == alone["publish"][0]["late_s"]


def test_the_date_of_the_first_build_counts_first(tmp_path: Path) -> None:
    """Two edits, and one evening at the desk before the date: who is named first has it."""
    late = EPISODE.replace("edit: 1 h", "edit: 2 h").replace("2027-01-24 21:00", "2027-01-17 22:00")
    first = build(tmp_path, episode=late)
    second = str(write_files(tmp_path / "shed", {"build.yaml": JOB, "episodes/01-posts.yaml": late}))
    for order in ((first, second), (second, first)):
        publish = run_json("calendar", *order, "--now", NOW)[1]["publish"]
        assert [each["late_s"] for each in publish] == [0, 7 * 86400]


def test_the_real_pace_is_offered(tmp_path: Path) -> None:
    folder = build(tmp_path, episode=EPISODE.replace(", wait: 30 min", ""))
    for op, at in (("order", "10:00"), ("tack@left", "11:00"), ("tack@right", "12:00")):
        assert run("tick", folder, op, "--at", f"2027-01-01T{at}Z", "--now", "2027-01-01T12:30Z")[0] == 0
    assert "pace" not in run("calendar", folder, "--now", "2027-01-01T13:00Z", "--pace", "1.5")[2]


def test_what_lasts_an_hour_is_booked_right_before_what_needs_it(tmp_path: Path) -> None:
    """The posts come after a week; the bright metal that they are hung on lasts an hour."""
    bright = "      - {step: bright, do: Make it bright, sides: once, time: 10 min, lasts: 1 h, gives: [gate.bright]}"
    job = JOB.replace("conditions:", "conditions:\n  gate.bright: {kept: job, means: bright metal}")
    episode = EPISODE.replace("    steps:", f"    steps:\n{bright}").replace(
        "hinge.here], time", "hinge.here, gate.bright], time"
    )
    code, found = run_json("calendar", build(tmp_path, job, episode), "--now", NOW)
    assert code == 0
    booked = parts(found)
    assert booked["bright"] == [("2027-01-13T19:00", "2027-01-13T19:10")]
    assert booked["hang@left"] == [("2027-01-13T19:10", "2027-01-13T19:40")]
    err = run("calendar", build(tmp_path, job, episode.replace("lasts: 1 h", "lasts: 5 min")), "--now", NOW)[2]
    assert "hang@right begins when bright no longer lasts (5 min): do bright once more right before it" in err


def test_of_waits_only_those_that_matter_to_a_person_are_said(tmp_path: Path) -> None:
    short = EPISODE.replace("gives: [post.tacked], time: 40 min, wait: 30 min", "gives: [post.tacked], time: 5 min")
    steps = """      - {step: dab, do: Dab, gives: [post.tacked], time: 5 min, wait: 3 min}
      - {step: look, do: Look, needs: [post.tacked], time: 5 min}
      - {step: soak, do: Soak, gives: [hinge.here], sides: once, time: 10 min, wait: 20 min}
      - {step: hang, do: Hang, needs: [hinge.here], time: 30 min}
"""
    text = short.partition("      - {step: order")[0] + steps
    _, out, _ = run("calendar", build(tmp_path, episode=text), "--now", NOW)
    _, found = run_json("calendar", build(tmp_path, episode=text), "--now", NOW)
    cooling = {each["op"] for shift in found["shifts"] for each in shift["cooling"]}
    assert {"dab@left", "dab@right", "soak"} <= cooling
    said = [line.split()[1] for line in out.splitlines() if line.strip().startswith("waits:")]
    assert said == ["soak"]  # 20 minutes with nothing to do but wait


def test_a_wait_over_the_end_of_a_shift_is_said(tmp_path: Path) -> None:
    late = JOB.replace('sat: "08:00-12:00"', 'sat: "08:00-09:30"')
    _, out, _ = run("calendar", build(tmp_path, late), "--now", NOW)
    assert "waits: tack@right until Sat 2027-01-02 09:50" in out
    assert "waits: tack@left" not in out


def second(tmp_path: Path, job: str = JOB, episode: str = EPISODE) -> str:
    return str(write_files(tmp_path / "shed", {"build.yaml": job, "episodes/01-posts.yaml": episode}))


def test_of_two_builds_it_is_said_which_one_is_bad(tmp_path: Path) -> None:
    fine = build(tmp_path)
    untimed = second(tmp_path, episode=EPISODE.replace(", time: 40 min", ""))
    code, _, err = run("calendar", fine, untimed, "--now", NOW)
    assert (code, err.splitlines()[0].partition(": ")[0]) == (0, "shed")
    assert "without a time: tack" in err
    never = second(
        tmp_path, episode=EPISODE.replace("needs: [post.tacked", "spoils: [post.tacked], needs: [post.tacked@all")
    )
    code, out, err = run("calendar", fine, never, "--now", NOW)
    assert (code, out, len(err.splitlines())) == (1, "", 1)
    assert "shed: no order of what remains is good" in err
    broken = second(tmp_path, job="format: 1\nbuild: [x\n")
    code, out, err = run("calendar", fine, broken, "--now", NOW)
    assert (code, out) == (2, "")
    assert "shed/build.yaml" in err
    assert "Traceback" not in err


def test_a_build_named_twice_is_refused(tmp_path: Path) -> None:
    code, out, err = run("calendar", build(tmp_path), build(tmp_path), "--now", NOW)
    assert (code, out) == (2, "")
    assert "gate is named twice; name each build once" in err
    assert len(err.splitlines()) == 1


WATCHED = """format: 1
episode: 1
title: Posts
stages:
  - stage: One
    steps:
      - {step: cap, do: Cut the stub off, kind: cut-off, piece: post, sides: once, time: 30 min}
      - {step: drill, do: Drill on the far side, sides: once, time: 150 min, gives: [hinge.here], wait: 2 h}
      - {step: fit, do: Fit, sides: once, time: 2 h, needs: [hinge.here]}
      - {step: watch, do: Keep the watch, kind: fire-watch, piece: post, sides: once, time: 1 h, after: [fit]}
"""


def test_a_debt_that_stands_open_already_is_booked_in_the_first_shift(tmp_path: Path) -> None:
    folder = build(tmp_path, JOB + "pieces: {post: {}}\n", WATCHED)
    assert run("tick", folder, "cap", "--now", "2027-01-01T10:00Z")[0] == 0
    _, found = run_json("calendar", folder, "--now", "2027-01-01T18:00Z")
    booked = parts(found)
    assert booked["(watch)"] == [("2027-01-02T10:30", "2027-01-02T11:30")]  # the rest of that day is too short to fit
    assert booked["drill"] == [("2027-01-02T08:00", "2027-01-02T10:30")]
    _, out, _ = run("calendar", folder, "--now", "2027-01-01T18:00Z")
    assert "(watch)  before leaving; planned again later" in out
    short = JOB.replace('sat: "08:00-12:00"', 'sat: "08:00-08:40"') + "pieces: {post: {}}\n"
    (Path(folder) / "build.yaml").write_text(short)
    code, _, err = run("calendar", folder, "--now", "2027-01-01T18:00Z")
    assert code == 0
    assert "watch is owed from what was done, and the first shift is too short for it" in err


def test_planned_work_of_the_first_shift_closes_what_stands_open(tmp_path: Path) -> None:
    first = WATCHED.replace(", after: [fit]", "").splitlines()
    steps = "\n".join([*first[:7], first[-1], *first[7:-1], ""])
    folder = build(tmp_path, JOB + "pieces: {post: {}}\n", steps)
    assert run("tick", folder, "cap", "--now", "2027-01-01T10:00Z")[0] == 0
    _, found = run_json("calendar", folder, "--now", "2027-01-01T18:00Z")
    booked = parts(found)
    assert booked["watch"] == [("2027-01-02T08:00", "2027-01-02T09:00")]
    assert "(watch)" not in booked
