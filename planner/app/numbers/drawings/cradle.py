"""The cradle from behind with the finished housing in it, and how the tube lies in its V. Pure."""

from __future__ import annotations

import math

from planner.app.numbers.drawings.canvas import (
    Canvas,
    Dots,
    Scale,
    dimension,
    packed,
    scale,
    short,
)
from planner.numbers.calculator import Result, Show
from planner.numbers.shapes.cradle import Cradle, Stand, cradle_of
from planner.telling.looks import Line, Piece, line

_HIGH = 12
_VEE = 26  # columns of the picture of the V
_BESIDE = 36  # columns that it takes beside the cradle, with what is said under it


def cradle_lines(result: Result, show: Show, width: int, height: int) -> list[Line]:
    """The cradle in that many cells, with the V beside it where there is room, else below."""
    cradle = cradle_of(result)
    if cradle is None:
        return [line(("of these numbers no cradle can be drawn", "dim"))]
    beside = width >= 100
    room = width - _BESIDE if beside else width
    high = max(6, min(_HIGH, height))
    lines, left_out = _standing(cradle, show, room, high)
    vee = _vee_lines(result, show, high - 1)
    if beside:
        lines = [
            (*each, Piece(" " * (room + 2 - sum(len(piece.text) for piece in each))), *other)
            for each, other in zip(lines, [*vee, *[()] * len(lines)], strict=False)
        ]
    key = packed(
        [
            line(("▀", "key"), " cradle"),
            line("║ upright"),
            line(("┃", "notice"), " joint over its window"),
            line(("from behind, widths to scale", "dim")),
        ],
        width,
    )
    lines += [*key, *_value_lines(result, show, left_out)]
    if not beside and len(lines) + len(vee) + 1 <= height:
        lines += [(), *vee]
    return lines[:height]


def _standing(cradle: Cradle, show: Show, width: int, height: int) -> tuple[list[Line], list[str]]:
    """The drawing, and the dimensions that found no room in it."""
    sheet = Canvas(width, height)
    far = cradle.length + 2 * cradle.clearance
    spread = scale(0.0, far, width)
    start = cradle.clearance
    for sign, stand in ((1, cradle.first), (-1, cradle.second)):
        end = start if sign > 0 else start + cradle.length
        _half(sheet, spread, cradle, stand, end, sign)
    _housing(sheet, spread, cradle, far)
    for x, name in ((0, short(cradle.first.side, 14)), (width, short(cradle.second.side, 14))):
        sheet.put(x - (len(name) if x else 0), 0, name, "head")
    left_out = _lengths(sheet, spread, cradle, show)
    return sheet.lines(), left_out


def _housing(sheet: Canvas, spread: Scale, cradle: Cradle, far: float) -> None:
    """Plates, tubes and the differential, over the cradle."""
    middle = cradle.clearance + cradle.first.half + cradle.gap / 2
    left, right = spread.column(middle - cradle.differential / 2), spread.column(middle + cradle.differential / 2)
    for y in (2, 4):
        sheet.across(0, sheet.width - 1, y, "─", "dim")
    for x in (0, sheet.width - 1):
        sheet.down(x, 1, 5, "█", "strong")
    for y in range(1, 6):
        sheet.across(left, right, y, " ")
        sheet.put(left, y, "│")
        sheet.put(right, y, "│")
    for x, y, corner in ((left, 1, "╭"), (right, 1, "╮"), (left, 5, "╰"), (right, 5, "╯")):
        sheet.put(x, y, corner)
    sheet.across(left + 1, right - 1, 1, "─")
    sheet.across(left + 1, right - 1, 5, "─")
    name = next((text for text in ("differential", "diff.") if len(text) <= right - left - 1), "")
    sheet.put((left + right + 1 - len(name)) // 2, 3, name, "dim")
    for sign, stand in ((1, cradle.first), (-1, cradle.second)):
        if stand.joint is not None:
            end = cradle.clearance if sign > 0 else cradle.clearance + cradle.length
            sheet.down(spread.column(end + sign * stand.joint), 2, 4, "┃", "notice")


def _half(sheet: Canvas, spread: Scale, cradle: Cradle, stand: Stand, end: float, sign: int) -> None:
    """A half of angle iron with its window, on its uprights."""
    sheet.across(spread.column(end), spread.column(end + sign * stand.half), 5, "▀", "key")
    if stand.window is not None:
        low, high = (spread.column(end + sign * each) for each in stand.window)
        sheet.across(low, high, 5, "┈", "notice")
    for place in stand.uprights:
        wide = cradle.upright_width / 2
        low, high = spread.column(end + sign * (place - wide)), spread.column(end + sign * (place + wide))
        for y in (6, 7):
            sheet.across(low, high, y, "║")


def _lengths(sheet: Canvas, spread: Scale, cradle: Cradle, show: Show) -> list[str]:
    """The dimensions, row under row; returns those without room."""
    left_out: dict[str, None] = {}

    def measure(start: float, end: float, y: int, name: str, rounding: str = "nearest") -> None:
        brief = show.brief(abs(end - start), rounding)
        texts = (f"{name} {brief}", brief, brief.removesuffix(" in").removesuffix(" mm"))
        if not dimension(sheet, spread.column(start), spread.column(end), y, texts):
            left_out[name] = None

    begin, stop = cradle.clearance, cradle.clearance + cradle.length
    for sign, stand in ((1, cradle.first), (-1, cradle.second)):
        end = begin if sign > 0 else stop
        measure(end, end + sign * stand.half, 8, "half", "down")
        if stand.window is not None:
            measure(end, end + sign * stand.window[0], 9, "loose-rests", "down")
            measure(end + sign * stand.window[0], end + sign * stand.window[1], 9, "window")
        if stand.uprights:
            measure(end, end + sign * stand.uprights[-1], 10, "upright-inner")
    measure(begin + cradle.first.half, begin + cradle.first.half + cradle.gap, 8, "gap", "up")
    measure(begin, stop, 11, "length", "down")
    return list(left_out)


def _value_lines(result: Result, show: Show, keys: list[str]) -> list[Line]:
    """In words what found no room in the drawing."""
    found: list[Line] = []
    for key in keys:
        whole = result.number(key)
        if whole is not None:
            found.append(line((f"{key:<14}", "head"), show.brief(whole)))
            continue
        values = [(side, result.number(key, side)) for side in result.sides]
        texts = [f"{side} {show.brief(value)}" for side, value in values if value is not None]
        if texts:
            found.append(line((f"{key:<14}", "head"), "   ".join(texts)))
    return found


def _vee_lines(result: Result, show: Show, height: int) -> list[Line]:
    """How the tube lies in the V, in true proportion."""
    centre, angle = result.number("centre-height"), result.number("contact-angle")
    contact = result.number("contact", result.sides[0])
    if centre is None or angle is None or contact is None or height < 6:
        return []
    half_angle = math.radians(90.0 - angle)
    radius = centre * math.sin(half_angle)
    leg = max(result.given_number("leg") or 0.0, 1.25 * contact)
    wide = 2 * max(radius, leg * math.sin(half_angle))
    tall = max(centre + radius, leg * math.cos(half_angle))
    columns, rows = _VEE, height - 2
    dot = max(wide / (2 * columns - 3), tall / (4 * rows - 3))  # millimetres of a dot
    picture = Dots(columns, rows)
    middle, root = columns - 0.5, 4 * rows - 1
    for sign in (-1, 1):
        picture.stroke(
            middle, root, middle + sign * leg * math.sin(half_angle) / dot, root - leg * math.cos(half_angle) / dot
        )
    picture.circle(middle, root - centre / dot, radius / dot)
    picture.stroke(middle - 1, root - centre / dot, middle + 1, root - centre / dot)
    picture.stroke(middle, root - centre / dot - 1, middle, root - centre / dot + 1)
    said = [f"centre {show.brief(centre)} over the root", f"contact {show.brief(contact)} up the leg"]
    return [*(line((row, "key")) for row in picture.rows()), *(line(text) for text in said)]
