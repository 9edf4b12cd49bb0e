"""A whole filmed episode of a demo build: ticks to markers, read by others, and back to the same operations and frames.

What each label ought to be is reckoned by PyPI ``timecode`` from the label on the slate; the files are read by
OpenTimelineIO, by its reader of edit decision lists and by webvtt-py.
"""

from __future__ import annotations

import re
import shutil
from fractions import Fraction
from pathlib import Path
from typing import NamedTuple

import opentimelineio as otio
import pytest
import webvtt
from timecode.timecode import Timecode

from planner.session.onebuild import OneBuild
from tests.app.support import ROOT
from tests.paper.test_edit import START, At
from tests.support.commandline import run, run_json

EPISODE = 5
APART = 37.4  # seconds between ticks
RATES = {
    "23.976": (":", Fraction(24000, 1001)),
    "24": (":", Fraction(24)),
    "25": (":", Fraction(25)),
    "29.97": (";", Fraction(30000, 1001)),
    "59.94": (";", Fraction(60000, 1001)),
}
LABELS = {
    "left": ("20:50:10", "21:51:11", "23:59:50", "00:53:13"),
    "right": ("00:17:40", "01:17:40", "02:17:40", "03:17:40"),
}


class Reel(NamedTuple):
    """A clip as it was filmed: its camera, from when to when, when its slate was held and what was seen on it."""

    name: str
    camera: str
    start: float
    end: float
    held: float
    label: str


class Filmed(NamedTuple):
    """The build, what was ticked when, and the clips."""

    folder: Path
    ticks: dict[str, tuple[float, str]]  # operation -> when, and its stage
    reels: tuple[Reel, ...]


def filmed(home: Path, rate: str, cameras: int) -> Filmed:
    """The episode, filmed in four clips a camera; the second slate was written down at the end of the day.

    The first camera's time code goes over midnight in its third clip, and its clock is hours off; the second's is
    another, as wrong.
    """
    folder = home / "dunlin-pickup"
    shutil.copytree(ROOT / "projects" / "dunlin-pickup", folder)
    clock = At()
    one = OneBuild(folder, "bench", clock)
    ops = [op for op in one.plan.operations if one.plan.stages[op.stage][0].number == EPISODE]
    mark = RATES[rate][0]
    quarter = -(-len(ops) // 4)
    reels: list[Reel] = []
    ticks: dict[str, tuple[float, str]] = {}
    later: list[tuple[float, dict[str, object]]] = []
    for part in range(4):
        begin = START + part * 3000
        mine = ops[part * quarter : (part + 1) * quarter]
        end = begin + 20 + APART * len(mine)
        records: list[tuple[float, dict[str, object]]] = [(begin, {"did": "rolling", "op": mine[0].name})]
        for camera, labels in [*LABELS.items()][:cameras]:
            label = f"{labels[part]}{mark}0{part + 2}"
            held = begin + 2.5 + (camera == "right") * 3.25
            name = f"{camera[0].upper()}00{part}"
            reels.append(Reel(name, camera, begin, end, held, label))
            slate: dict[str, object] = {
                "did": "slate",
                "op": mine[0].name,
                "clip": name,
                "timecode": label,
                "rate": rate,
                "camera": camera,
            }
            (later if part == 1 else records).append((held, slate))
        for index, op in enumerate(mine):
            at = begin + 12 + APART * index
            ticks[op.name] = (at, one.plan.stages[op.stage][1].title)
            records.append((at, {"did": "done", "op": op.name}))
        records.append((end, {"did": "stopped", "op": mine[-1].name}))
        for at, record in records:
            clock.now = at
            with one.log.writing():
                one.log.append([record], at, at)
    for at, record in later:
        with one.log.writing():
            one.log.append([record], at, clock.now + 3600)
    return Filmed(folder, ticks, tuple(reels))


def wanted_label(reel: Reel, rate: str, at: float) -> str:
    """What the camera showed at that time, by the other library; its labels begin again at midnight."""
    seen = Timecode(rate, reel.label)
    day = Timecode(rate, f"23:59:59{RATES[rate][0]}{int(rate.partition('.')[0]) - (0 if '.' in rate else 1):02}").frames
    frames = seen.frames + round((at - reel.held) * RATES[rate][1])
    return str(Timecode(rate, frames=(frames - 1) % day + 1))


@pytest.mark.parametrize("rate", RATES)
def test_every_operation_at_its_frame_in_a_timeline_of_two_cameras(tmp_path: Path, rate: str) -> None:
    film = filmed(tmp_path, rate, 2)
    target = tmp_path / "cut.otio"
    code, answer = run_json("edit", str(film.folder), str(EPISODE), "--to", str(target))
    assert (code, answer["not_placed"]) == (0, [])
    timeline = otio.adapters.read_from_file(str(target))
    assert [track.name for track in timeline.tracks] == ["left", "right"]
    reels = {reel.name: reel for reel in film.reels}
    fps = float(RATES[rate][1])
    for track in timeline.tracks:
        seen: list[str] = []
        for clip in track.find_clips():
            reel = reels[clip.name]
            assert reel.camera == track.name
            slate_frame = Timecode(rate, reel.label).frames - 1
            first = slate_frame + round((reel.start - reel.held) * RATES[rate][1])
            assert clip.source_range.start_time.value == first
            assert clip.source_range.start_time.rate == pytest.approx(fps, abs=1e-9)
            assert clip.source_range.duration.value == pytest.approx((reel.end - reel.start) * fps, abs=1.5)
            for marker in clip.markers:
                at = film.ticks[marker.name][0]
                assert reel.start <= at <= reel.end
                assert marker.marked_range.start_time.value == slate_frame + round((at - reel.held) * RATES[rate][1])
                assert marker.metadata["planner"]["timecode"] == wanted_label(reel, rate, at)
                seen.append(marker.name)
        assert seen == list(film.ticks), "each once, in the order of the work"


_EVENT = re.compile(r"\d{3}  AX .* C +(\S+) (\S+) (\S+) (\S+)")
_LOC = re.compile(r"\* LOC: (\S+) GREEN   (\S+)")


@pytest.mark.parametrize("rate", RATES)
def test_every_operation_at_its_frame_in_an_edit_decision_list(tmp_path: Path, rate: str) -> None:
    """The reader takes the events at every rate; its markers it takes with colons only, so those are read here too."""
    film = filmed(tmp_path, rate, 1)
    target = tmp_path / "cut.edl"
    code, _, err = run("edit", str(film.folder), str(EPISODE), "--to", str(target))
    assert code == 0 and ("leaves the markers" in err) == (RATES[rate][0] == ";")
    found: dict[str, str] = {}
    spans: list[tuple[int, int]] = []
    source = record = 0
    text = target.read_text()
    assert f"FCM: {'' if ';' in RATES[rate][0] else 'NON-'}DROP FRAME" in text
    for line in text.splitlines():
        if event := _EVENT.match(line):
            first, last, begins, ends = (Timecode(rate, label).frames for label in event.groups())
            assert last - first == ends - begins > 0
            assert not spans or spans[-1][1] == begins, "no hole and nothing twice"
            spans.append((begins, ends))
            source, record = first, begins
        elif marker := _LOC.match(line):
            frame = Timecode(rate, marker.group(1)).frames
            assert spans[-1][0] <= frame < spans[-1][1]
            found[marker.group(2)] = str(Timecode(rate, frames=source + frame - record))
    where = {reel.start: reel for reel in film.reels}
    for op, (at, _) in film.ticks.items():
        reel = next(each for start, each in where.items() if start <= at <= each.end)
        assert found.pop(op) == wanted_label(reel, rate, at)
    assert found == {}
    timeline = otio.adapters.read_from_file(str(target), "cmx_3600", rate=float(RATES[rate][1]))
    clips = list(timeline.find_clips())
    assert [clip.name for clip in clips] == ["L000", "L001", "L002", "L002", "L003"], "the third goes over midnight"
    assert sum(clip.source_range.duration.value for clip in clips) == spans[-1][1] - spans[0][0]
    marks = [mark.name.strip() for clip in clips for mark in clip.markers]
    assert marks == (list(film.ticks) if RATES[rate][0] == ":" else [])


def test_chapters_begin_where_their_first_operation_is(tmp_path: Path) -> None:
    film = filmed(tmp_path, "29.97", 2)
    target = tmp_path / "cut.vtt"
    assert run("edit", str(film.folder), str(EPISODE), "--to", str(target))[0] == 0
    starts: dict[str, float] = {}
    for at, stage in film.ticks.values():
        gone = 0.0
        for reel in film.reels:
            if reel.camera == "left" and reel.end < at:
                gone += reel.end - reel.start
            elif reel.camera == "left" and reel.start <= at:
                starts.setdefault(stage, gone + at - reel.start)
    cues = [(cue.text, cue.start_in_seconds) for cue in webvtt.read(str(target)).captions]
    assert [title for title, _ in cues] == list(starts)
    assert cues[0][1] == 0
    assert [at for _, at in cues[1:]] == pytest.approx([*starts.values()][1:], abs=1)
    listed = run("story", str(film.folder), "--description", str(EPISODE))[1]
    for title, at in cues:
        assert f"{int(at) // 60}:{int(at) % 60:02} {title}" in listed
