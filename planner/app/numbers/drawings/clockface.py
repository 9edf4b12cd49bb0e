"""A tube's end as a clock face: tacks and beads by their numbers, where it rests, and how a face tilts. Pure."""

from __future__ import annotations

import math
import re
from collections.abc import Sequence
from typing import NamedTuple

from planner.app.numbers.drawings.canvas import Canvas, Dots, packed
from planner.numbers.calculator import Result, Show
from planner.numbers.clock import clock_text, parse_clock
from planner.numbers.quantity import Quantity
from planner.telling.looks import Line, line

_CLOCK = re.compile(r"\d{1,2}:\d{2}")
DONE, OPEN, REST = "▮", "▯", "╩"
_RINGS = 4.0  # rows of radius from which a ring within is told from the circle
_HIGHEST = 21  # rows of the face: a larger one says no more


class Mark(NamedTuple):
    """Something on the face: its number in the order of work, and where, in degrees clockwise from twelve; of beads
    the layer, such as root or cap."""

    number: int
    degrees: float
    layer: str = ""


def marks_of(result: Result) -> list[Mark]:
    """The places of tacks, or of the beads of every layer, in the order of work."""
    rows = result.results.get("places", ())
    found: list[Mark] = []
    for row in rows if isinstance(rows, tuple) else ():
        texts = [item for item in row[1:] if isinstance(item, str)]
        place = next((item for item in texts if _CLOCK.fullmatch(item)), None)
        layer = next((item for item in texts if not _CLOCK.fullmatch(item) and "pair" not in item), "")
        if place is not None:
            found.append(Mark(int(str(row[0])), parse_clock(place), layer))
    return found


def rests_of(result: Result) -> list[float]:
    """Where the tube rests, in degrees clockwise from twelve."""
    text = result.results.get("contacts", "")
    return [parse_clock(each) for each in _CLOCK.findall(text)] if isinstance(text, str) else []


class Face:
    """A circle in cells, twice as high as wide, and places on it and beside it."""

    def __init__(self, width: int, height: int) -> None:
        self.height = max(5, min(_HIGHEST, height))
        self.radius = max(1.5, min((self.height - 3) / 2, (width - 8) / 4))  # in rows
        self.middle_x, self.middle_y = width // 2, self.height // 2
        self.sheet = Canvas(width, self.height)
        dots = Dots(width, self.height)
        dots.circle(2 * self.middle_x + 0.5, 4 * self.middle_y + 1.5, 4 * self.radius)
        for y, row in enumerate(dots.rows()):
            for x, char in enumerate(row):
                if char != " ":
                    self.sheet.put(x, y, char, "dim")

    def cell(self, degrees: float, part: float = 1.0) -> tuple[int, int]:
        """The cell at a clock position, ``part`` of the radius from the middle."""
        turn = math.radians(degrees)
        x = self.middle_x + 2 * self.radius * part * math.sin(turn)
        y = self.middle_y - self.radius * part * math.cos(turn)
        return round(x), round(y)

    def put(self, degrees: float, text: str, look: str, part: float = 1.0) -> None:
        """A text with its first character at a place; on the left half it ends there."""
        x, y = self.cell(degrees, part)
        left = degrees % 360.0 > 180.5
        self.sheet.put(x - len(text) + 1 if left else x, y, text, look)


def face_lines(result: Result, width: int, height: int, done: int = 0) -> list[Line]:
    """Tacks or beads on the end of the tube; the first ``done`` of them are filled.

    Of beads the layer in hand stands round the outside, by its numbers, and the layers under it in a ring within.
    """
    marks, rests = marks_of(result), rests_of(result)
    if not marks:
        return [line(("of these numbers no clock face can be drawn", "dim"))]
    first = next((mark for mark in marks if mark.number > done), None)
    layer = (first or marks[-1]).layer
    says = f"next {first.number} at {clock_text(first.degrees)}" if first is not None else "all done"
    layers = list(dict.fromkeys(mark.layer for mark in marks))
    told = [line((f"{each} ", "head"), _share(marks, each, done)) for each in layers if each]
    words = [line((says, "head")), *told, line((f"{DONE} done", "done")), line((f"{OPEN} to do, by number", "strong"))]
    if rests:
        words.append(line((f"{REST} where it rests", "caution")))
    words.append(line(("facing the end, twelve is up", "dim")))
    rows = packed(words, width)
    face = Face(width, height - len(rows))
    for place in rests:
        face.put(place, REST, "caution", 0.8)
    for mark in marks if face.radius >= _RINGS else ():
        if layers.index(mark.layer) < layers.index(layer):
            x, y = face.cell(mark.degrees, 0.6)
            face.sheet.put(x, y, DONE if mark.number <= done else OPEN, "dim")
    for mark in marks:
        if mark.layer != layer:
            continue
        made = mark.number <= done
        x, y = face.cell(mark.degrees)
        text = f"{DONE if made else OPEN}{mark.number}"
        if mark.degrees % 360.0 > 180.5:
            text = f"{mark.number}{DONE if made else OPEN}"
            x -= len(text) - 1
        face.sheet.put(x, y, text, "done" if made else "strong")
    return [*face.sheet.lines(), *rows][: max(0, height)]


def _share(marks: Sequence[Mark], layer: str, done: int) -> str:
    mine = [mark for mark in marks if mark.layer == layer]
    return f"{sum(mark.number <= done for mark in mine)} of {len(mine)}"


def tilt_lines(result: Result, show: Show, width: int, height: int) -> list[Line]:
    """The tilt as an arrow toward where the face stands out most, and its doubt as the arc it may point to."""
    tilt, toward = result.results.get("tilt"), result.results.get("toward")
    if not isinstance(tilt, Quantity):
        return [line(("of these numbers no tilt can be drawn", "dim"))]
    known = isinstance(toward, str) and _CLOCK.search(toward) is not None and tilt.value > tilt.plus_minus
    words = [
        line(("tilt ", "head"), f"{tilt.value:.3g} deg ± {tilt.plus_minus:.2g}"),
        line(("toward ", "head"), str(toward) if known else "not known: the doubt is as large as the tilt"),
        line(("░ where it may point", "dim")),
        line(("facing the end, twelve is up", "dim")),
    ]
    rows = packed(words, width)
    face = Face(width, height - len(rows))
    for hour, text in ((0, "12"), (90, "3"), (180, "6"), (270, "9")):
        x, y = face.cell(hour, 1.0)
        face.sheet.put(x - (len(text) - 1 if hour in (0, 270) else 0), y, text, "dim")
    match = _CLOCK.search(toward) if isinstance(toward, str) else None
    aim = parse_clock(match.group()) if match is not None else 0.0
    wide = math.degrees(math.asin(min(1.0, tilt.plus_minus / tilt.value))) if known else 180.0
    for step in range(-18, 19):
        x, y = face.cell(aim + wide * step / 18, 0.8)
        face.sheet.put(x, y, "░", "dim")
    if known:
        for step in range(1, 12):
            x, y = face.cell(aim, 0.66 * step / 11)
            face.sheet.put(x, y, "▪", "number")
        x, y = face.cell(aim, 0.8)
        face.sheet.put(x, y, _arrow(aim), "number")
    face.sheet.put(face.middle_x, face.middle_y, "┼", "dim")
    return [*face.sheet.lines(), *rows][: max(0, height)]


def _arrow(degrees: float) -> str:
    return "↑↗→↘↓↙←↖"[round(degrees / 45.0) % 8]
