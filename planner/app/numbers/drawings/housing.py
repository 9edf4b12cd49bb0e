"""The housing from behind: end plates, centre, lines, waste and keep-outs, each to its place along the tube. Pure."""

from __future__ import annotations

from collections.abc import Mapping
from typing import NamedTuple

from planner.app.numbers.drawings.canvas import Canvas, Scale, dimension, label, packed, scale, short
from planner.numbers.calculator import Result, Show
from planner.numbers.calculators.keepouts import KeepOut
from planner.numbers.shapes.housing import Half, Housing, housing_of, spans
from planner.telling.looks import Line, line

_LETTERS = "abcdefghijklmnopqrstuvwxyz"


class _Drawn(NamedTuple):
    """A sheet and the scale of what is drawn on it."""

    sheet: Canvas
    scale: Scale

    def at(self, half: Half, sign: int, inward: float) -> int:
        """The column of a place so far inward of a half's present plate face."""
        return self.scale.column(sign * (half.plate - inward))


def housing_lines(result: Result, show: Show, width: int, height: int) -> list[Line]:
    """The housing in that many cells: the present one, then as there is room its key, the finished one, the values."""
    housing = housing_of(result)
    if housing is None:
        return [line(("of these numbers no housing can be drawn", "dim"))]
    far = max(housing.first.plate, housing.second.plate)
    spread = scale(-far, far, width)
    lines, left_out = _present_lines(housing, show, width, min(height, _PRESENT), spread)
    others = (
        _key_lines(housing, width),
        _value_lines(housing, show, left_out),
        _finished_lines(housing, show, width, spread),
    )
    for more in others:
        if len(lines) + len(more) > height:
            break
        lines += more
    return lines


# The housing as it is


def _present_lines(
    housing: Housing, show: Show, width: int, height: int, spread: Scale
) -> tuple[list[Line], list[str]]:
    """The drawing, and the dimensions that found no room in it."""
    drawn = _Drawn(Canvas(width, height), spread)
    letters = _letters(housing)
    halves = ((housing.first, -1), (housing.second, 1))
    for half, sign in halves:
        _tube(drawn, half, sign)
    _centre(drawn, halves)
    left_out: dict[str, None] = {}
    for half, sign in halves:
        _marks(drawn, half, sign, letters)
        left_out |= dict.fromkeys(_dimensions(drawn, half, sign, show))
    _names(drawn.sheet, housing, spread)
    return drawn.sheet.lines(), list(left_out)


def _names(sheet: Canvas, housing: Housing, spread: Scale) -> None:
    """The sides at their ends, and the pinion line in the middle."""
    first, second = short(housing.first.side, 14), short(housing.second.side, 14)
    sheet.put(0, 0, first, "head")
    sheet.put(sheet.width - len(second), 0, second, "head")
    label(sheet, spread.column(0.0), 0, "pinion line", "head")


def _tube(drawn: _Drawn, half: Half, sign: int) -> None:
    """Tube and end plate of a side."""
    sheet = drawn.sheet
    outer, middle = drawn.at(half, sign, 0.0), drawn.scale.column(0.0)
    for y in (_TOP + 1, _TOP + 3):
        sheet.across(outer, middle, y, "─")
    thick = outer - sign  # the plate is two columns thick, so that it can be seen
    for x in (outer, thick):
        sheet.down(x, _TOP, _TOP + 4, "█", "strong")


def _centre(drawn: _Drawn, halves: tuple[tuple[Half, int], tuple[Half, int]]) -> None:
    """The part between the tubes, round the pinion line; where its width is not known, the line alone."""
    sheet, middle = drawn.sheet, drawn.scale.column(0.0)
    (first, _), (second, _) = halves
    if first.centre is not None and second.centre is not None:
        left, right = drawn.scale.column(-first.centre), drawn.scale.column(second.centre)
        for y in range(_TOP, _TOP + 5):
            sheet.across(left, right, y, " ")
            sheet.put(left, y, "│")
            sheet.put(right, y, "│")
        sheet.across(left, right, _TOP, "─")
        sheet.across(left, right, _TOP + 4, "─")
        for x, y, corner in ((left, 0, "╭"), (right, 0, "╮"), (left, 4, "╰"), (right, 4, "╯")):
            sheet.put(x, _TOP + y, corner)
        for y in (_TOP + 1, _TOP + 3):
            sheet.put(left, y, "┤")
            sheet.put(right, y, "├")
    sheet.down(middle, _TOP, _TOP + 4, "┊", "head")


def _marks(drawn: _Drawn, half: Half, sign: int, letters: Mapping[KeepOut, str]) -> None:
    """Keep-outs, waste and lines on the tube of a side."""
    sheet = drawn.sheet
    for each in half.keep_outs:
        low, high = drawn.at(half, sign, each.low), drawn.at(half, sign, each.high)
        for y in range(_TOP + 1, _TOP + 4):
            sheet.across(low, high, y, "▒", "notice")
        label(sheet, (low + high) // 2, _TOP, letters[each], "notice")
    if half.waste is not None:
        low, high = drawn.at(half, sign, half.waste[0]), drawn.at(half, sign, half.waste[1])
        for y in range(_TOP + 1, _TOP + 4):
            sheet.across(low, high, y, "╱", "caution")
    for inward, mark in ((half.first, "1"), (half.second, "2")):
        if inward:
            column = drawn.at(half, sign, inward)
            sheet.down(column, _TOP, _TOP + 4, "┃", "key")
            label(sheet, column, _TOP + 5, mark, "key")


def _dimensions(drawn: _Drawn, half: Half, sign: int, show: Show) -> list[str]:
    """From the plate face to the lines and on to the pinion line, row under row; returns those without room."""
    left_out = []
    for y, row in enumerate(spans(half), _TOP + 6):
        for name, start, end in row:
            brief = show.brief(end - start)
            texts = (f"{name} {brief}", brief, brief.removesuffix(" in").removesuffix(" mm"))
            ends = drawn.at(half, sign, start), drawn.at(half, sign, end)
            if not dimension(drawn.sheet, *ends, y, texts, "caution" if name == "waste" else ""):
                left_out.append(name)
    return left_out


_TOP = 1
_PRESENT = 11  # rows: names, five of housing, the numbers of the lines, four of dimensions


# The key, the finished housing, the values


def _letters(housing: Housing) -> dict[KeepOut, str]:
    """A letter for everything that stands on the tube; the same thing on both sides has the same one."""
    found: dict[KeepOut, str] = {}
    by_name: dict[str, str] = {}
    for half in (housing.first, housing.second):
        for each in half.keep_outs:
            letter = by_name.setdefault(each.what, _LETTERS[len(by_name) % len(_LETTERS)])
            found[each] = letter
    return found


def _key_lines(housing: Housing, width: int) -> list[Line]:
    """What the marks mean, in as few lines as the width allows."""
    letters = _letters(housing)
    names = {letters[each]: each.what for half in (housing.first, housing.second) for each in half.keep_outs}
    said = ", ".join(f"{letter} {what}" for letter, what in names.items())
    chunks = [line(("┃ 1 2", "key"), " lines"), line(("╱", "caution"), " comes off")]
    chunks += [line(("▒", "notice"), f" keep-out {said}")] if names else []
    return packed([*chunks, line(("from behind, widths to scale", "dim"))], width)


def _finished_lines(housing: Housing, show: Show, width: int, spread: Scale) -> list[Line]:
    """The housing as it will be: where the joints lie, what it is wide."""
    sheet = Canvas(width, 6)
    middle = spread.column(0.0)
    outer = []
    for half, sign in ((housing.first, -1), (housing.second, 1)):
        plate = spread.column(sign * half.finished)
        outer.append(plate)
        for y in (1, 3):
            sheet.across(plate, middle, y, "─")
        for x in (plate, plate - sign):
            sheet.down(x, 1, 3, "█", "strong")
        if half.first:
            joint = spread.column(sign * (half.finished - half.first))
            sheet.down(joint, 1, 3, "╳", "key")
        dimension(sheet, plate, middle, 4, [f"half {show.brief(half.finished)}", show.brief(half.finished)])
    sheet.down(middle, 1, 3, "┊", "head")
    wide = show.brief(housing.plates)
    dimension(sheet, outer[0], outer[1], 5, [f"finished, plate to plate {wide}", wide], "strong")
    sheet.put(max(0, outer[0]), 0, "finished", "head")
    sheet.put(max(0, outer[0]) + 9, 0, "╳", "key")
    sheet.put(max(0, outer[0]) + 11, 0, "joint", "")
    return [(), *sheet.lines()]


def _value_lines(housing: Housing, show: Show, keys: list[str]) -> list[Line]:
    """In words what found no room in the drawing."""
    halves = (housing.first, housing.second)
    measured = {half.side: {name: (start, end) for row in spans(half) for name, start, end in row} for half in halves}
    found: list[Line] = []
    for key in keys:
        ends = [(half.side, measured[half.side][key]) for half in halves if key in measured[half.side]]
        texts = [f"{side} {show.brief(end - start)}" for side, (start, end) in ends]
        found.append(line((f"{key:<13}", "head"), "   ".join(f"{text:<22}" for text in texts)))
    return found
