"""What an edit takes: a timeline, an edit decision list, chapters, a table. Pure but for the timeline's library.

All clips of the episode are laid end to end in the order in which they were filmed, each camera on a track of its own;
every tick is a marker. Sources: OpenTimelineIO 0.18 (its library writes the timeline); CMX 3600 edit decision lists
with ``* LOC`` comments for markers, as common readers take them; W3C WebVTT; RFC 4180.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import UTC, datetime
from html import escape
from typing import NamedTuple

from planner.paper.cells import table
from planner.paper.rushes import Clip, Mark, Rushes
from planner.paper.timecode import Rate, frames_of, label_of


class CutError(ValueError):
    """What was asked for cannot hold this episode; the message says why in one line."""


class Chapter(NamedTuple):
    """A stage in the clips laid end to end: seconds from the start."""

    start: float
    end: float
    title: str


def _seconds(clip: Clip) -> float:
    return max(1 / float(clip.rate.fps), clip.end - clip.start)


def _first(clip: Clip) -> int:
    return clip.frame_at(clip.start)


def _length(clip: Clip) -> int:
    return max(1, clip.frame_at(clip.end) - _first(clip) + 1)


def _one_line(text: str) -> str:
    return " ".join("".join(char if char.isprintable() else " " for char in text).split())


def _offsets(rushes: Rushes) -> dict[Clip, float]:
    """Where each clip starts with all cameras' clips in the order of filming; a second camera lies over the first."""
    found: dict[Clip, float] = {}
    ends: dict[str, float] = {}
    for clip in rushes.clips:
        at = ends.get(clip.camera, 0.0)
        found[clip] = at
        ends[clip.camera] = at + _seconds(clip)
    return found


def chapters(rushes: Rushes) -> list[Chapter]:
    """A chapter for every stage, from its first mark on the first camera; the first begins with the film."""
    if not rushes.marks:
        return []
    offsets = _offsets(rushes)
    camera = rushes.clips[0].camera
    starts: dict[str, float] = {}
    for mark in rushes.marks:
        if mark.clip.camera == camera:
            starts.setdefault(mark.stage, offsets[mark.clip] + max(0.0, mark.at - mark.clip.start))
    whole = max(offsets[clip] + _seconds(clip) for clip in rushes.clips if clip.camera == camera)
    ordered = sorted(starts.items(), key=lambda item: item[1])
    ends = [start for _, start in ordered[1:]] + [whole]
    return [
        Chapter(0.0 if index == 0 else start, max(end, start), title)
        for index, ((title, start), end) in enumerate(zip(ordered, ends, strict=True))
    ]


def otio_text(title: str, rushes: Rushes) -> str:
    """A timeline for OpenTimelineIO."""
    import opentimelineio as otio

    timeline = otio.schema.Timeline(name=_one_line(title))
    for camera in dict.fromkeys(clip.camera for clip in rushes.clips):
        track = otio.schema.Track(name=camera, kind=otio.schema.TrackKind.Video)
        for clip in (each for each in rushes.clips if each.camera == camera):
            fps = float(clip.rate.fps)
            start = otio.opentime.RationalTime(_first(clip), fps)
            item = otio.schema.Clip(
                name=clip.name,
                media_reference=otio.schema.ExternalReference(target_url=clip.name),
                source_range=otio.opentime.TimeRange(start, otio.opentime.RationalTime(_length(clip), fps)),
                metadata={"planner": {"start": label_of(_first(clip), clip.rate), "drop": clip.rate.drop}},
            )
            for mark in (each for each in rushes.marks if each.clip == clip):
                item.markers.append(
                    otio.schema.Marker(
                        name=mark.op,
                        marked_range=otio.opentime.TimeRange(
                            otio.opentime.RationalTime(mark.frame, fps), otio.opentime.RationalTime(1, fps)
                        ),
                        metadata={
                            "planner": {
                                "says": _one_line(mark.says),
                                "stage": _one_line(mark.stage),
                                "timecode": label_of(mark.frame, clip.rate),
                            }
                        },
                    )
                )
            track.append(item)
        timeline.tracks.append(track)
    text: str = otio.adapters.write_to_string(timeline, "otio_json")
    return text + "\n"


def edl_text(title: str, rushes: Rushes) -> str:
    """An edit decision list: one event a clip, one ``* LOC`` a tick. Raises CutError for clips of several rates.

    Labels begin again at midnight, and readers refuse an event whose end is a smaller label than its beginning: a clip
    over midnight is two events. No label stands for the end of a day's last frame, so that frame is left out.
    """
    rates = {clip.rate for clip in rushes.clips}
    if len(rates) > 1:
        names = ", ".join(sorted({rate.name + (" drop-frame" if rate.drop else "") for rate in rates}))
        raise CutError(f"an edit decision list holds one rate, and these clips have {names}; write .otio instead")
    if len({clip.camera for clip in rushes.clips}) > 1:
        raise CutError(
            "an edit decision list holds one camera here, and these clips are of several; write .otio instead"
        )
    rate = next(iter(rates), Rate("25", False))
    record = frames_of(f"01:00:00{';' if rate.drop else ':'}00", rate)
    lines = [f"TITLE: {_one_line(title)[:70]}", f"FCM: {'' if rate.drop else 'NON-'}DROP FRAME", ""]
    number = 0
    for clip in rushes.clips:
        marks = [mark for mark in rushes.marks if mark.clip == clip]
        for first, end in _within_days(_first(clip), _first(clip) + _length(clip), rate.day):
            number += 1
            times = [label_of(frame, rate) for frame in (first, end, record, record + end - first)]
            lines.append(f"{number:03}  {'AX':<8} V     C        {' '.join(times)}")
            lines.append(f"* FROM CLIP NAME: {clip.name}")
            for mark in marks:
                if first <= mark.frame < end or (mark.frame == end and end % rate.day == rate.day - 1):
                    at = label_of(record + min(mark.frame, end - 1) - first, rate)
                    lines.append(f"* LOC: {at} GREEN   {_one_line(mark.op)}")
            lines.append("")
            record += end - first
    return "\n".join(lines)


def _within_days(first: int, end: int, day: int) -> list[tuple[int, int]]:
    """A stretch of frames in parts that stay within a day of labels; the last frame of each day but the end is lost."""
    found = []
    while first < end:
        midnight = (first // day + 1) * day
        found.append((first, min(end, midnight - 1)))
        first = midnight
    return [(start, stop) for start, stop in found if start < stop]


def vtt_text(_: str, rushes: Rushes) -> str:
    """Chapters as WebVTT."""
    lines = ["WEBVTT", ""]
    for number, chapter in enumerate(chapters(rushes), 1):
        title = escape(_one_line(chapter.title), quote=False)  # an arrow in it would be read as times
        lines += [
            str(number),
            f"{_stamp(chapter.start)} --> {_stamp(max(chapter.end, chapter.start + 0.001))}",
            title,
            "",
        ]
    return "\n".join(lines)


def _stamp(seconds: float) -> str:
    thousandths = round(seconds * 1000)
    return (
        f"{thousandths // 3_600_000:02}:{thousandths // 60_000 % 60:02}:{thousandths // 1000 % 60:02}"
        f".{thousandths % 1000:03}"
    )


def list_text(_: str, rushes: Rushes) -> str:
    """Chapters as a description takes them: a time and a title a line, the first at nought."""
    lines = []
    for chapter in chapters(rushes):
        whole = int(chapter.start)
        clock = f"{whole // 3600}:{whole // 60 % 60:02}" if whole >= 3600 else f"{whole // 60}"
        lines.append(f"{clock}:{whole % 60:02} {_one_line(chapter.title)}")
    return "\n".join(lines) + "\n"


def csv_text(_: str, rushes: Rushes) -> str:
    """A table of ticks. A text that a spreadsheet would run as a formula is kept from it by an apostrophe."""
    head = ("operation", "stage", "what", "done at (UTC)", "camera", "clip", "time code", "rate", "frame")
    lost = [(each.what, "", f"not placed: {each.why}", _iso(each.at), "", "", "", "", "") for each in rushes.lost]
    return table([head, *(_row(mark) for mark in rushes.marks), *lost])


def _row(mark: Mark) -> tuple[object, ...]:
    clip = mark.clip
    rate = clip.rate.name + (" drop-frame" if clip.rate.drop else "")
    label = label_of(mark.frame, clip.rate)
    return (mark.op, mark.stage, mark.says, _iso(mark.at), clip.camera, clip.name, label, rate, mark.frame)


def _iso(seconds: float) -> str:
    return datetime.fromtimestamp(seconds, UTC).isoformat(timespec="seconds").replace("+00:00", "Z")


#: What writes a file of each ending, from a title and the rushes.
WRITERS: Mapping[str, Callable[[str, Rushes], str]] = {
    ".otio": otio_text,
    ".edl": edl_text,
    ".vtt": vtt_text,
    ".csv": csv_text,
    ".txt": list_text,
}
