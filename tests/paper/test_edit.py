"""From ticks to the edit, read back by other people's readers."""

from __future__ import annotations

import csv
import io
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path

import opentimelineio as otio
import pytest
import webvtt

from planner.session.onebuild import OneBuild
from tests.support.builds import write_files
from tests.support.commandline import run, run_json

START = 1_800_000_000.0  # 2027-01-15 08:00 UTC

GATE = {
    "build.yaml": 'format: 1\nbuild: "Gate"\nsides: [left, right]\n',
    "episodes/01-gate.yaml": """\
format: 1
episode: 1
title: "=Gate & <frame>"
stages:
  - stage: "Cut --> down"
    steps:
      - {step: mark, do: "=HYPERLINK(1) mark it"}
      - {step: cut, do: "Cut, then look"}
  - stage: "Weld"
    steps:
      - {step: weld, do: Weld it, sides: once}
""",
}


class At:
    """A clock that is set."""

    def __init__(self) -> None:
        self.now = START

    def __call__(self) -> float:
        return self.now


def filmed(
    home: Path, does: Sequence[tuple[float, str, Mapping[str, object]]], files: Mapping[str, str] = GATE
) -> Path:
    """A build in which these things happened: seconds after the start, where, what is recorded (none: a tick)."""
    folder = write_files(home / "gate", files)
    clock = At()
    one = OneBuild(folder, "bench", clock)
    for after, op, record in does:
        clock.now = START + after
        if record:
            one.remark(op, [record])
        else:
            one.tick(op, anyway=True)
    return folder


def slate(clip: str, label: str, rate: str, camera: str = "camera") -> dict[str, object]:
    return {"did": "slate", "clip": clip, "timecode": label, "rate": rate, "camera": camera}


ROLL, STOP = {"did": "rolling"}, {"did": "stopped"}


@pytest.mark.parametrize(
    ("rate", "label", "exact"),
    [
        ("23.976", "09:59:58:00", Fraction(24000, 1001)),
        ("24", "09:59:58:00", Fraction(24)),
        ("25", "09:59:58:00", Fraction(25)),
        ("29.97", "09:59:58;00", Fraction(30000, 1001)),
        ("59.94", "09:59:58;00", Fraction(60000, 1001)),
    ],
)
def test_the_same_operations_at_the_same_frames(tmp_path: Path, rate: str, label: str, exact: Fraction) -> None:
    """Ticks to markers to a reader of its own and back, at five frame rates."""
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", ROLL),
        (4, "mark@left", slate("A001", label, rate)),
        (64.25, "mark@left", {}),
        (130, "mark@right", {}),
        (200.5, "cut@left", {}),
        (210, "cut@left", STOP),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.otio"
    code, _, err = run("edit", str(folder), "1", "--to", str(target))
    assert (code, err) == (0, "")
    timeline = otio.adapters.read_from_file(str(target))
    clips = list(timeline.find_clips())
    assert [clip.name for clip in clips] == ["A001"]
    first = otio.opentime.from_timecode(label, float(exact))
    found = {mark.name: mark.marked_range.start_time for mark in clips[0].markers}
    for after, op in ((64.25, "mark@left"), (130, "mark@right"), (200.5, "cut@left")):
        wanted = first.value + round((after - 4) * exact)
        assert found[op].value == wanted, op
        assert found[op].rate == pytest.approx(float(exact))
        seen = otio.opentime.to_timecode(otio.opentime.RationalTime(wanted, float(exact)), float(exact))
        told = clips[0].markers[list(found).index(op)].metadata["planner"]["timecode"]
        assert told == (seen if ";" in label else seen.replace(";", ":")) or rate == "23.976"
    assert clips[0].source_range.start_time.value == first.value - round(4 * exact)


def test_an_edit_decision_list_is_read_by_its_adapter(tmp_path: Path) -> None:
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", ROLL),
        (0, "mark@left", slate("A001", "10:00:00:00", "25")),
        (10, "mark@left", {}),
        (20, "mark@left", STOP),
        (100, "cut@left", ROLL),
        (100, "cut@left", slate("A002", "11:00:00:00", "25")),
        (107, "cut@left", {}),
        (110, "cut@left", STOP),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.edl"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    timeline = otio.adapters.read_from_file(str(target), "cmx_3600", rate=25)
    clips = list(timeline.find_clips())
    assert [clip.name for clip in clips] == ["A001", "A002"]
    starts = [clip.source_range.start_time.to_timecode(25) for clip in clips]
    assert starts == ["10:00:00:00", "11:00:00:00"]
    assert [[mark.name.strip() for mark in clip.markers] for clip in clips] == [["mark@left"], ["cut@left"]]


def test_chapters_are_read_by_other_readers(tmp_path: Path) -> None:
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", ROLL),
        (0, "mark@left", slate("A001", "10:00:00:00", "25")),
        (10, "mark@left", {}),
        (75, "weld", {}),
        (90, "weld", STOP),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.vtt"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    cues = [(cue.start, cue.end, cue.raw_text) for cue in webvtt.read(str(target)).captions]
    assert cues == [
        ("00:00:00.000", "00:01:15.000", "Cut --&gt; down"),
        ("00:01:15.000", "00:01:30.000", "Weld"),
    ]
    target = tmp_path / "cut.txt"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    assert target.read_text() == "0:00 Cut --> down\n1:15 Weld\n"


def test_a_spreadsheet_runs_nothing(tmp_path: Path) -> None:
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", slate("A001", "10:00:00:00", "25")),
        (10, "mark@left", {}),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.csv"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    rows = list(csv.reader(io.StringIO(target.read_text())))
    assert rows[1][:3] == ["mark@left", "Cut --> down", "'=HYPERLINK(1) mark it"]
    assert rows[1][5:] == ["A001", "10:00:10:00", "25", "900250"]
    assert not any(cell.startswith(("=", "+", "-", "@")) for row in rows for cell in row)


def test_a_clip_over_midnight_goes_on_counting(tmp_path: Path) -> None:
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", slate("A001", "23:59:50:00", "25")),
        (20, "mark@left", {}),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.csv"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    assert list(csv.reader(target.open()))[1][6] == "00:00:10:00"


def test_two_cameras_and_a_clock_that_is_wrong(tmp_path: Path) -> None:
    """Each camera is tied by its own slate: what its clock believes does not matter."""
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", ROLL),
        (1, "mark@left", slate("A001", "10:00:00:00", "25", "left")),
        (2, "mark@left", slate("B001", "03:17:40:12", "24", "right")),
        (12, "mark@left", {}),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.csv"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    rows = [row[4:7] for row in list(csv.reader(target.open()))[1:]]
    assert rows == [["left", "A001", "10:00:11:00"], ["right", "B001", "03:17:50:12"]]
    code, _, err = run("edit", str(folder), "1", "--to", str(tmp_path / "cut.edl"))
    assert code == 2
    assert "rate" in err
    assert not (tmp_path / "cut.edl").exists()


def test_a_slate_given_afterwards_ties_what_was_ticked_before_it(tmp_path: Path) -> None:
    folder = filmed(tmp_path, [(0, "mark@left", ROLL), (10, "mark@left", {}), (60, "mark@left", STOP)])
    words = ("A001 10:00:00:00 25", "--at", "2027-01-15T08:00:02Z", "--now", "2027-01-16T08:00:00Z")
    code, answer = run_json("tick", str(folder), "mark@left", "--slate", *words)
    assert (code, answer["clip"]) == (0, "A001")
    target = tmp_path / "cut.csv"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    assert list(csv.reader(target.open()))[1][6] == "10:00:08:00"


def test_what_cannot_be_placed_is_named(tmp_path: Path) -> None:
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", {}),
        (50, "mark@right", ROLL),
        (51, "mark@right", slate("A001", "10:00:00:00", "25")),
        (60, "mark@right", {}),
        (61, "mark@right", STOP),
        (100, "cut@left", {}),
        (120, "cut@left", {"did": "slate", "take": 2}),
    ]
    folder = filmed(tmp_path, does)
    code, answer = run_json("edit", str(folder), "1", "--to", str(tmp_path / "cut.otio"))
    assert code == 0
    assert {(each["what"], each["why"]) for each in answer["not_placed"]} == {
        ("mark@left", "it was ticked before the first clip"),
        ("cut@left", "no clip ran then"),
        ("slate at cut@left", "it names no clip, time code and rate"),
    }


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        ("A001 00:01:00;00 29.97", "does not exist"),
        ("A/1 10:00:00:00 25", "not a name of a clip"),
        ("<b>x</b> 10:00:00:00 25", "not a name of a clip"),
        ("..x 10:00:00:00 25", "not a name of a clip"),
        ("A001 10:00:00:00", "a slate is"),
        ("A001 10:00:00:00 26", "not a frame rate"),
        ("A001 10:00:00:25 25", "out of range"),
    ],
)
def test_bad_slates_are_one_line_and_nothing_is_recorded(tmp_path: Path, typed: str, says: str) -> None:
    folder = write_files(tmp_path / "gate", GATE)
    code, out, err = run("tick", str(folder), "mark@left", "--slate", typed)
    assert (code, out, err.count("\n")) == (2, "", 1)
    assert says in err
    assert not list(folder.glob("log/*"))


def test_no_slate_no_ticks_no_episode_no_ending(tmp_path: Path) -> None:
    folder = write_files(tmp_path / "gate", GATE)
    target = tmp_path / "cut.otio"
    for words, says in (
        ((str(folder), "1", "--to", str(target)), "nothing of it is ticked"),
        ((str(folder), "7", "--to", str(target)), "there is no episode 7"),
        ((str(folder), "1", "--to", "cut.doc"), "must end in one of"),
    ):
        code, out, err = run("edit", *words)
        assert (code, out, err.count("\n")) == (2, "", 1)
        assert says in err
    assert not target.exists()


def test_a_file_that_is_there_stays(tmp_path: Path) -> None:
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", slate("A001", "10:00:00:00", "25")),
        (5, "mark@left", {}),
    ]
    folder = filmed(tmp_path, does)
    target = tmp_path / "cut.txt"
    target.write_text("mine")
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 3
    assert target.read_text() == "mine"
    assert run("edit", str(folder), "1", "--to", str(target), "--replace")[0] == 0
    assert target.read_text() == "0:00 Cut --> down\n"


def test_ticks_without_a_slate_are_named_and_nothing_is_written(tmp_path: Path) -> None:
    folder = filmed(tmp_path, [(0, "mark@left", ROLL), (5, "mark@left", {}), (9, "mark@left", STOP)])
    target = tmp_path / "cut.edl"
    code, out, err = run("edit", str(folder), "1", "--to", str(target))
    assert (code, out) == (2, "") and not target.exists()
    assert "not placed: mark@left" in err and "no slate ties a clip to the clock" in err


@pytest.mark.parametrize("ending", [".otio", ".edl", ".vtt", ".csv", ".txt"])
def test_markup_and_formulas_in_every_text_stay_in_their_line(tmp_path: Path, ending: str) -> None:
    """Titles, stages and words with line ends, arrows, tags and escape codes: no line of a file begins with them."""
    nasty = "X\\n* LOC: 01:00:00:00 GREEN   no\\n00:00:00.000 --> 00:00:01.000\\n=1+1 <b>&"
    words = (
        GATE["episodes/01-gate.yaml"].replace('"Cut --> down"', f'"{nasty}"').replace('"=Gate & <frame>"', f'"{nasty}"')
    )
    words = words.replace('"=HYPERLINK(1) mark it"', f'"{nasty}"')
    does: list[tuple[float, str, Mapping[str, object]]] = [
        (0, "mark@left", slate("A001", "10:00:00:00", "25")),
        (5, "mark@left", {}),
    ]
    folder = filmed(tmp_path, does, {**GATE, "episodes/01-gate.yaml": words})
    target = tmp_path / f"cut{ending}"
    assert run("edit", str(folder), "1", "--to", str(target))[0] == 0
    text = target.read_text()
    assert not any(line.startswith(("* LOC: 01:00:00:00 GREEN   no", "=1+1", "'=1+1")) for line in text.splitlines())
    if ending == ".vtt":
        assert len(webvtt.read(str(target)).captions) == 1
    elif ending == ".otio":
        assert len(list(otio.adapters.read_from_file(str(target)).find_clips())) == 1
    elif ending == ".edl":
        (clip,) = otio.adapters.read_from_file(str(target), "cmx_3600", rate=25).find_clips()
        assert [mark.name.strip() for mark in clip.markers] == ["mark@left"]
    elif ending == ".csv":
        assert len(list(csv.reader(io.StringIO(text)))) == 2
