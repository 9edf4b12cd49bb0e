"""Hold points: done only with a reading that is shown to lie within its limits."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from planner.plan.model import Reads
from planner.plan.ticks import READING, UNDONE
from planner.session.onebuild import OneBuild, Refusal, Ticked
from planner.session.results import Reason
from planner.telling.looks import plain
from planner.telling.step import hold_lines

BUILD = """format: 1
build: Two stubs
sides: [left, right]
conditions:
  stub.straight: {kept: side, means: the end stands square}
  stub.cold: {kept: side, means: cold all through}
start: [stub.cold]
"""
EPISODE = """format: 1
episode: 1
title: Stubs
stages:
  - stage: Straight
    steps:
      - step: straight
        do: Read it
        needs: [stub.cold]
        gives: [stub.straight]
        hold: HOLD
      - step: draw
        do: Draw it back
        rework: true
        gives: [stub.cold]
      - step: press
        do: Press the bearing in
        needs: [stub.straight]
"""


def folder_of(folder: Path, hold: str) -> Path:
    """A build with that hold."""
    (folder / "episodes").mkdir()
    (folder / "build.yaml").write_text(BUILD, encoding="utf-8")
    (folder / "episodes" / "01-stubs.yaml").write_text(EPISODE.replace("HOLD", hold), encoding="utf-8")
    return folder


LIMIT = "{limit: 0.010 in, plus-minus: 0.004 in}"


def opened(folder: Path, hold: str = LIMIT) -> OneBuild:
    """That build, open."""
    return OneBuild(folder_of(folder, hold), device="here", clock=lambda: 1_790_000_000.0)


def read_it(one: OneBuild, value: str, *, anyway: bool = False) -> Ticked | Refusal:
    """Tick the left hold with a reading."""
    return one.tick("straight@left", remarks=[{"did": READING, "value": value}], anyway=anyway)


def test_without_a_reading_it_is_not_done_whatever_is_insisted_on(tmp_path: Path) -> None:
    one = opened(tmp_path)
    for anyway in (False, True):
        found = one.tick("straight@left", anyway=anyway)
        assert isinstance(found, Refusal)
        assert found.reason is Reason.HOLD
        assert "limit" not in found.says or "0.010 in" in found.says
    assert one.log.events == [] or not list(one.log.events)


@pytest.mark.parametrize("value", ["way out, 5 in", "0.01", "0.25 N.m", "nan in", "", "0.1..0.2 in"])
def test_what_is_no_reading_of_its_number_is_refused_and_not_recorded(tmp_path: Path, value: str) -> None:
    one = opened(tmp_path)
    found = read_it(one, value)
    assert isinstance(found, Refusal)
    assert found.verdict is None
    assert not list(one.log.events)


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("0.006 in", "inside"),
        ("-0.006 in", "inside"),
        ("0.011 in", "cannot tell"),
        ("0.0061 in", "cannot tell"),
        ("0.015 in", "outside"),
        ("-0.4 mm", "outside"),
        ("0.009 in ± 0.0005", "inside"),
        ("0.011 in ± 0.0005", "outside"),
    ],
)
def test_three_answers_and_only_one_passes(tmp_path: Path, value: str, verdict: str) -> None:
    """After ISO 14253-1, with the instrument's U from the plan or with the reading."""
    one = opened(tmp_path)
    found = read_it(one, value, anyway=True)
    last = next(event for event in one.log.events if event.did == READING)
    assert (last.raw["value"], last.raw["verdict"]) == (value, verdict)
    assert "0.010 in" in last.raw["limit"]
    if verdict == "inside":
        assert isinstance(found, Ticked)
        assert "straight@left" in one.live.times
    else:
        assert isinstance(found, Refusal)
        assert (found.verdict, found.instead) == (verdict, "draw@left")
        assert "straight@left" not in one.live.times
        assert one.live.is_open(one.live.by_name["straight@left"])


def test_a_reading_that_fails_takes_back_what_an_earlier_one_gave(tmp_path: Path) -> None:
    """Its gives are spoiled, the next one finds it, another reading gives it again; read back it is all the same."""
    one = opened(tmp_path)
    assert isinstance(read_it(one, "0.001 in"), Ticked)
    press = one.live.by_name["press@left"]
    assert not one.live.missing(press)
    found = one.tick("straight@left", "again", remarks=[{"did": READING, "value": "0.020 in"}])
    assert isinstance(found, Refusal)
    assert found.verdict == "outside"
    assert one.live.missing(press) == ["stub.straight@left"]
    again = OneBuild(tmp_path, device="there", clock=lambda: 1_790_000_100.0)
    assert again.live.missing(again.live.by_name["press@left"]) == ["stub.straight@left"]
    traps = [each for each in again.findings() if each.at == "press@left"]
    assert [(each.rule, each.condition) for each in traps] == [("spoiled", "stub.straight@left")]
    assert isinstance(again.tick("draw@left"), Ticked)
    assert isinstance(again.tick("straight@left", "again", remarks=[{"did": READING, "value": "0.002 in"}]), Ticked)
    assert not again.live.missing(again.live.by_name["press@left"])
    assert isinstance(again.tick("press@left"), Ticked)
    assert not again.notices()


def test_a_reading_added_to_a_hold_that_is_done_is_judged_as_well(tmp_path: Path) -> None:
    """One that is outside spoils what was given; one that is none is not kept."""
    one = opened(tmp_path)
    assert isinstance(read_it(one, "0.001 in"), Ticked)
    assert isinstance(read_it(one, "way out, 5 in"), Refusal)
    assert isinstance(read_it(one, "0.002 in"), Ticked)
    assert not one.live.missing(one.live.by_name["press@left"])
    found = read_it(one, "0.020 in")
    assert isinstance(found, Refusal)
    assert found.verdict == "outside"
    assert one.live.missing(one.live.by_name["press@left"]) == ["stub.straight@left"]


def test_undoing_is_no_reading(tmp_path: Path) -> None:
    one = opened(tmp_path)
    read_it(one, "0.001 in")
    assert isinstance(one.tick("straight@left", UNDONE, anyway=True), Ticked)
    assert one.live.is_open(one.live.by_name["straight@left"])


@pytest.mark.parametrize(
    ("hold", "value", "verdict"),
    [
        ("{most: 45 C}", "44.5 C", "inside"),
        ("{most: 45 C}", "45 C", "cannot tell"),
        ("{most: 45 C}", "114 F", "outside"),
        ("{most: 45 C, plus-minus: 2 C}", "44 C", "cannot tell"),
        ("{least: 90 N.m, most: 110 N.m}", "100 N.m", "inside"),
        ("{least: 90 N.m, most: 110 N.m}", "60 lb-ft", "outside"),
        ("{least: 54 7/8 in}", "54 15/16 in", "inside"),
        ("{least: 54 7/8 in}", "54 29/32 in", "inside"),
        ("{least: 54 7/8 in}", "54 7/8 in", "cannot tell"),
        ("{least: 2}", "3", "inside"),
    ],
)
def test_whatever_is_read(tmp_path: Path, hold: str, value: str, verdict: str) -> None:
    """Without a stated U half the last digit, or half the fraction, counts."""
    one = opened(tmp_path, hold)
    read_it(one, value)
    assert [event.raw["verdict"] for event in one.log.events if event.did == READING] == [verdict]


@pytest.mark.parametrize(
    ("hold", "says"),
    [
        ("{}", "has no limit"),
        ("0.010 in", "keys and values"),
        ("{limit: soon}", "cannot be read"),
        ("{limit: 0.01 in, most: 0.02 in}", "give it alone"),
        ("{least: 2 in, most: 1 in}", "nothing lies within"),
        ("{limit: -1 in}", "nothing lies within"),
        ("{least: 2 in, most: 5 C}", "is not a length"),
        ("{limit: 0.01 in, plus-minus: 1 C}", "is not a length"),
        ("{limit: 0.01 in, plus-minus: -0.01 in}", "above 0"),
        ("{limit: 0.01 in, wanted: 0 in}", "wanted"),
    ],
)
def test_a_hold_that_cannot_be_is_a_located_problem(tmp_path: Path, hold: str, says: str) -> None:
    found = read_build(folder_of(tmp_path, hold))
    assert found.build is None
    (problem,) = found.problems
    assert says in problem.message
    assert problem.line == 11


def test_the_command_says_it_and_exits_with_one(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from planner.commands.tick import run

    folder_of(tmp_path, LIMIT)
    assert run([str(tmp_path), "straight@left", "--json"]) == 1
    assert json.loads(capsys.readouterr().out)["refused"] is True
    assert run([str(tmp_path), "straight@left", "--reading", "0.02 in", "--json"]) == 1
    said = json.loads(capsys.readouterr().out)
    assert {key: said[key] for key in ("op", "did", "verdict", "instead")} == {
        "op": "straight@left", "did": "reading", "verdict": "outside", "instead": "draw@left",
    }  # fmt: skip
    assert run([str(tmp_path), "straight@left", "--reading", "0.002 in", "--json"]) == 0


@pytest.mark.parametrize(
    ("value", "verdict"),
    [
        ("up 0.003 in, fore 0.005 in", "inside"),
        ("up .003, fore .005 in", "inside"),
        ("up .003 in; fore -.011 in; ± .0005", "outside"),
        ("12:00 .003 in, 3:00 .011 in", "cannot tell"),
        ("up .011 in, fore .020 in", "outside"),
    ],
)
def test_several_places_are_judged_by_the_worst(tmp_path: Path, value: str, verdict: str) -> None:
    """As many readings as the metal needs, in one go."""
    one = opened(tmp_path)
    read_it(one, value)
    assert [event.raw["verdict"] for event in one.log.events if event.did == READING] == [verdict]


@pytest.mark.parametrize(
    "value",
    ["up, fore .011 in", "up .006 in, .011 in", "0,006 in", "way out .006 in", "up .006 in, up .001 in", "up 5"],
)
def test_half_a_reading_of_several_is_none(tmp_path: Path, value: str) -> None:
    """Nothing is recorded of it, and it is said in one line."""
    one = opened(tmp_path)
    found = read_it(one, value)
    assert isinstance(found, Refusal)
    assert found.verdict is None
    assert "\n" not in found.says
    assert not list(one.log.events)


def test_the_verdict_names_what_would_settle_it(tmp_path: Path) -> None:
    """The coarsest instrument whose U is less than what is left to the limit; none where nothing is left."""
    one = opened(tmp_path)
    found = read_it(one, "up .006, fore .011 in")
    assert isinstance(found, Refusal)
    assert found.says == (
        "straight@left: up .006 in, fore .011 in; ± 0.004 in; limit 0.010 in: CANNOT TELL,"
        " read again with a dial indicator (± 0.0004 in)"
    )
    none = read_it(one, "0.010 in")
    assert isinstance(none, Refusal)
    assert "no instrument of a small shop would settle it" in none.says
    feeler = read_it(one, "0.013 in")
    assert isinstance(feeler, Refusal)
    assert "read again with a straight edge and feelers" in feeler.says


def test_every_reading_of_a_tick_counts(tmp_path: Path) -> None:
    """One that is outside among several refuses it, whichever comes first."""
    one = opened(tmp_path)
    remarks = [{"did": READING, "value": "0.001 in"}, {"did": READING, "value": "0.020 in"}]
    found = one.tick("straight@left", remarks=remarks)
    assert isinstance(found, Refusal)
    assert found.verdict == "outside"
    assert [each.raw["verdict"] for each in one.log.events] == ["inside", "outside"]


def test_a_reading_that_failed_is_told_in_words(tmp_path: Path) -> None:
    """What relied on it says so; no mark of the program's own is shown, and it is no operation to tick."""
    one = opened(tmp_path)
    read_it(one, "0.001 in")
    one.tick("straight@left", "again", remarks=[{"did": READING, "value": "0.020 in"}])
    (trap,) = [each for each in one.findings() if each.at == "press@left"]
    assert "but the reading at straight@left did not pass." in trap.says
    assert "Do the rework draw@left, then read straight@left again." in trap.says
    assert "!" not in trap.says


def test_what_came_of_a_reading_is_not_ticked(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    from planner.commands import main

    folder_of(tmp_path, LIMIT)
    assert main(["tick", str(tmp_path), "straight@left!"]) == 2
    assert "did you mean straight@left?" in capsys.readouterr().err


def test_the_number_of_a_hold_is_that_of_its_step(tmp_path: Path) -> None:
    """reads: in the hold is reads: of the step; two that differ are a located problem."""
    cases = {
        "one": ("{reads: fit.pads, limit: 0.010 in}", "there is no number fit.pads in numbers.yaml"),
        "two": ("{reads: narrow.measured-half, least: 20 in}", None),
        "three": ("{reads: narrow.half, least: 20 in}\n        reads: narrow.measured-half", "write it once"),
    }
    for name, (hold, says) in cases.items():
        folder = tmp_path / name
        folder.mkdir()
        folder_of(folder, hold)
        (folder / "numbers.yaml").write_text("format: 1\nnarrow:\n  kerf: 1/16 in\n", encoding="utf-8")
        found = read_build(folder)
        if says is not None:
            assert [says in each.message for each in found.problems] == [True]
            continue
        assert found.build is not None
        step = found.build.episodes[0].stages[0].steps[0]
        assert (step.reads, step.hold and step.hold.reads) == (Reads("narrow.measured-half"), "narrow.measured-half")


def test_a_sign_off_lists_the_holds(tmp_path: Path) -> None:
    """Those that are not passed by name and limit, the others counted."""
    folder_of(tmp_path, LIMIT)
    file = tmp_path / "episodes" / "01-stubs.yaml"
    sign = "      - step: sign\n        do: Sign\n        kind: sign-off\n        sides: once\n"
    file.write_text(file.read_text("utf-8") + sign, encoding="utf-8")
    one = OneBuild(tmp_path, "here", lambda: 1_790_000_000.0)
    assert isinstance(read_it(one, "0.001 in"), Ticked)
    text = plain(hold_lines(one, one.live.by_name["sign"]))
    assert "✗ open     straight@right, limit 0.010 in" in text
    assert "✓ 1 hold passed" in text
    assert "straight@left" not in text
    assert not hold_lines(one, one.live.by_name["press@left"])
