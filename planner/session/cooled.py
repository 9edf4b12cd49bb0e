"""A thermometer's reading while something cools: the wait that runs is corrected, and the log keeps by how much."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from planner.files.build.reading import read_build
from planner.files.build.waits import cooled_seconds
from planner.numbers.lengths import TextError
from planner.numbers.units import parse_value
from planner.plan.expand import Operation
from planner.plan.live import Live
from planner.plan.ticks import READING, Event
from planner.session.refusing import Remarks, is_cooling
from planner.session.results import Reason, Refusal

WAIT = "wait_s"  # with a reading in the log: how long the wait is since its tick


def corrected(
    folder: Path, live: Live, op: Operation, before: Sequence[Event], remarks: Remarks, when: float, now: float
) -> Refusal | Remarks:
    """The remarks with what each reading makes of the wait, or why it cannot be; then nothing is to be recorded.

    ``before``: what was remarked of the operation so far.

    All readings since the tick count, in the order in which they were taken. The wait may get shorter as well, a hot
    joint in a cold tube cools sooner than it was worked out, but never shorter than the last reading allows. One that
    is hotter than those before it begins anew: it was heated again, or they were read wrongly.
    """
    began = live.times[op.name]
    if when > now:
        return _no(op, "the thermometer was read later than now; check --at")
    if when < began:
        return _no(op, "the thermometer was read before the wait began; read it again")
    cool_to = op.step.cool_to
    numbers = read_build(folder).numbers
    if cool_to is None or numbers is None:
        return _no(op, "numbers.yaml cannot be read now, so nothing says what the reading makes of the wait")
    seen = {
        event.at - began: str(event.raw["value"])
        for event in before
        if event.did == READING and WAIT in event.raw and event.at >= began
    }
    found: list[Mapping[str, Any]] = []
    for each in remarks:
        if each["did"] == READING:
            typed = str(each["value"])
            try:
                now_read = celsius(typed)
            except TextError as error:
                return _no(op, f"while it cools a reading is a temperature: {error}; keep anything else as a note")
            seen = {at: text for at, text in seen.items() if at > when - began or celsius(text) >= now_read}
            seen[when - began] = typed
            written = "; ".join(f"{at:.3f} s {text}" for at, text in sorted(seen.items()))
            wait = cooled_seconds(numbers.sections, live.plan.build.sides, cool_to, written)
            if isinstance(wait, str):
                return _no(op, wait)
            found.append({**each, WAIT: wait})
        else:
            found.append(each)
    return found


def celsius(typed: str) -> float:
    """A temperature as typed, in degrees C; raises TextError."""
    return parse_value("temperature", typed).number


def _no(op: Operation, why: str) -> Refusal:
    return Refusal(op.name, f"{op.name}: {why}", (), None, Reason.NO_READING)


def cooling(live: Live, op: Operation, now: float) -> Operation | None:
    """Whose temperature is read at an operation: its own where it was done, else what it waits for."""
    if op.name in live.times and is_cooling(op):
        return op
    if not live.is_open(op):
        return None
    waits = sorted(live.waits(op, now), reverse=True)
    return next((cause for wait in waits if is_cooling(cause := live.by_name[wait.cause])), None)


__all__ = ["WAIT", "cooling", "corrected"]
