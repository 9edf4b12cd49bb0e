"""From ticks to frames: which clip an operation was filmed in, and at which frame of it. Pure.

A slate ties a clip to the clock: its name, the time code that was seen, the rate, and the time. The camera's own clock
may be wrong by any amount; only differences are counted. What has no clip is named, never guessed.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import NamedTuple

from planner.paper.timecode import Rate, TimecodeError, frames_of, rate_of
from planner.plan.cards import is_clip
from planner.plan.expand import Plan
from planner.plan.fill import said
from planner.plan.series import Span, spans
from planner.plan.ticks import SLATE, Event, Ticks, under_new_names

_CAMERA = "camera"


class Slate(NamedTuple):
    """What was seen on a camera at a time of the clock."""

    clip: str
    label: str
    rate: Rate
    camera: str
    at: float


class Clip(NamedTuple):
    """A clip, tied to the clock: ``frame`` (from midnight) was seen at ``at``; it runs from start to end."""

    name: str
    camera: str
    rate: Rate
    frame: int
    at: float
    start: float
    end: float

    def frame_at(self, seconds: float) -> int:
        """The frame at a time of the clock; past midnight it goes on counting."""
        return self.frame + round((seconds - self.at) * self.rate.fps)


class Mark(NamedTuple):
    """An operation that was done, and where it is in a clip."""

    op: str
    stage: str
    says: str
    at: float
    clip: Clip
    frame: int


class Lost(NamedTuple):
    """Something that could not be placed, and why."""

    what: str
    at: float
    why: str


class Rushes(NamedTuple):
    """The clips of an episode by when they start, the marks in them, and what has no place."""

    clips: tuple[Clip, ...]
    marks: tuple[Mark, ...]
    lost: tuple[Lost, ...]


def read_slate(typed: str) -> dict[str, str]:
    """A typed slate, ``CLIP TIMECODE RATE [CAMERA]``, as the log keeps it. Raises TimecodeError.

    >>> read_slate("A003C012 10:22:33;12 29.97 left")["rate"]
    '29.97'
    """
    parts = typed.split()
    if len(parts) not in (3, 4):
        raise TimecodeError("a slate is a clip, the time code seen and the rate, such as A003 10:22:33;12 29.97")
    clip, label, rate = parts[:3]
    camera = parts[3] if len(parts) == 4 else _CAMERA
    for word, what in ((clip, "clip"), (camera, "camera")):
        if not is_clip(word):
            raise TimecodeError(
                f"“{word}” is not a name of a {what}; letters, digits, dots, hyphens and underscores only"
            )
    frames_of(label, rate_of(rate, label))
    return {"clip": clip, "timecode": label, "rate": rate, "camera": camera}


def slates(events: Iterable[Event]) -> tuple[list[Slate], list[Lost]]:
    """The slates by when they were held, whenever they were written down; and those that tie nothing."""
    found, lost = [], []
    events = list(events)
    told = {(event.op, event.at) for event in events if event.did == SLATE and "clip" in event.raw}
    for event in sorted(events, key=lambda each: each.at):
        if event.did != SLATE:
            continue
        raw = event.raw
        clip, label, rate = raw.get("clip"), raw.get("timecode"), raw.get("rate")
        if clip is None and (event.op, event.at) in told:
            continue  # what was seen on it stands in a record of its own
        if not isinstance(clip, str) or not isinstance(label, str) or not isinstance(rate, str):
            lost.append(
                Lost(f"slate at {event.op or 'no operation'}", event.at, "it names no clip, time code and rate")
            )
            continue
        camera = raw.get("camera")
        try:
            known = read_slate(f"{clip} {label} {rate} {camera if isinstance(camera, str) else _CAMERA}")
            found.append(Slate(clip, label, rate_of(rate, label), known["camera"], event.at))
        except TimecodeError as error:
            lost.append(Lost(f"slate at {event.op or 'no operation'}", event.at, str(error)))
    return found, lost


def clips_of(tied: Sequence[Slate], running: Sequence[Span], until: float) -> list[Clip]:
    """Every clip with when it ran: from the camera's start before its slate to its stop after it.

    Where nobody noted a start or a stop, it begins with its slate and ends with the next clip of the same camera, or at
    ``until``. A clip that was slated twice is one clip, tied by the first.
    """
    found: list[Clip] = []
    for index, slate in enumerate(tied):
        if any((clip.name, clip.camera) == (slate.clip, slate.camera) for clip in found):
            continue
        around = [span for span in running if span.start <= slate.at and (span.end is None or slate.at <= span.end)]
        start = around[-1].start if around else slate.at
        end = around[-1].end if around and around[-1].end is not None else None
        later = [each for each in tied[index + 1 :] if each.camera == slate.camera and each.clip != slate.clip]
        if end is None:
            end = max(slate.at, until)
        if later:
            end = min(end, max(slate.at, later[0].at))
        before = [clip.end for clip in found if clip.camera == slate.camera and clip.end <= slate.at]
        start = max([start, *before])
        frame = frames_of(slate.label, slate.rate)
        found.append(Clip(slate.clip, slate.camera, slate.rate, frame, slate.at, start, end))
    return sorted(found, key=lambda clip: (clip.start, clip.camera))


def rushes_of(plan: Plan, ticks: Ticks, events: Iterable[Event], number: int) -> Rushes:
    """Where the operations of an episode were filmed, as they were done."""
    all_events = under_new_names(list(events))
    tied, lost = slates(all_events)
    until = max((event.at for event in all_events), default=0.0)
    clips = clips_of(tied, spans(all_events), until)
    marks: list[Mark] = []
    for entry in sorted(ticks.entries, key=lambda each: each.at):
        op = plan.by_name.get(entry.op)
        if op is None or plan.stages[op.stage][0].number != number:
            continue
        says = said(plan.build, op.step, op.side)
        around = [clip for clip in clips if clip.start <= entry.at <= clip.end]
        for clip in around:
            marks.append(Mark(op.name, plan.stages[op.stage][1].title, says, entry.at, clip, clip.frame_at(entry.at)))
        if not around:
            early = not clips or entry.at < clips[0].start
            why = "it was ticked before the first clip" if early and clips else "no clip ran then"
            lost.append(Lost(op.name, entry.at, why if clips else "no slate ties a clip to the clock"))
    used = [clip for clip in clips if any(mark.clip == clip for mark in marks)]
    return Rushes(tuple(used), tuple(marks), tuple(lost))
