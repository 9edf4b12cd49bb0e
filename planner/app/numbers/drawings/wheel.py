"""Every wheel in its arch, seen from behind: body, tyre, rim and pad, and what stands inside, to one scale. Pure."""

from __future__ import annotations

from collections.abc import Sequence

from planner.app.numbers.drawings.canvas import (
    Canvas,
    Scale,
    dimension,
    label,
    packed,
    short,
)
from planner.numbers.calculator import NOTHING, Result, Show
from planner.numbers.lengths import DOWN
from planner.numbers.shapes.wheel import Arch, arches_of
from planner.telling.looks import Line, Piece, line


def wheel_lines(result: Result, show: Show, width: int, height: int) -> list[Line]:
    """The wheels two by two, then what air is left, in that many cells."""
    arches = arches_of(result)
    if not arches:
        return [line(("of these numbers no wheel can be drawn", "dim"))]
    lines: list[Line] = []
    words: list[Line] = []
    least = min(value for arch in arches for _, value in arch.inside)
    most = max(value for arch in arches for _, value in arch.body)
    room = width // 2 - 2 if len(arches) > 1 else width
    low = max(6, min(_HIGH, height - 2))
    margin = (most - least) * 0.06
    for at in range(0, len(arches), 2):
        pair = arches[at : at + 2]
        panels = []
        for number_, arch in enumerate(pair):
            outward = -1 if number_ == 0 and len(pair) > 1 else 1
            panels.append(_panel(arch, show, room, low, _outward(least - margin, most + margin, room, outward)))
        lines += _beside(panels, room, 4)
        words += [each for arch in pair for each in packed(_air(arch, show), width)]
    tight = given_words_of(result, "tightest")
    words += [line(("tightest ", "head"), tight)] if tight else []
    key = (line("┊ pad, from the centre line"), line("║ rim"), line(("from behind, widths to scale", "dim")))
    words += packed(key, width)
    return [*lines, *words[: max(0, height - len(lines))]]


def given_words_of(result: Result, key: str) -> str:
    """A result in words."""
    found = result.results.get(key)
    return found if isinstance(found, str) else ""


def _outward(least: float, most: float, width: int, outward: int) -> Scale:
    """The scale of a panel; outward is to the left on the first side."""
    mm = (most - least) / max(1, width - 1)
    return Scale(least, mm) if outward > 0 else Scale(most, -mm)


_HIGH = 11  # rows of a panel: names, eight of wheel and body, two of dimensions


def _panel(arch: Arch, show: Show, width: int, height: int, spread: Scale) -> list[Line]:
    sheet = Canvas(width, height)
    column = spread.column
    floor = height - 3  # the last row of the wheel
    tyre = column(arch.middle - arch.half), column(arch.middle + arch.half)
    left, right = min(tyre), max(tyre)
    sheet.across(left, right, 2, "─")
    for x, corner in ((left, "╭"), (right, "╮")):
        sheet.down(x, 3, floor, "│")
        sheet.put(x, 2, corner)
    label(sheet, (left + right) // 2, 1, short(arch.side, right - left), "head")
    label(sheet, (left + right) // 2, 3, "tyre", "dim")
    pad = column(arch.pad)
    if arch.rim is not None:
        for edge in arch.rim:
            sheet.down(column(edge), 5, floor, "║", "dim")
    inner = column(min(value for _, value in arch.inside))
    toward = -1 if spread.mm > 0 else 1
    sheet.across(pad + toward, inner + 2 * toward, floor - 1, "═", "dim")
    sheet.down(pad, 4, floor, "┊", "key")
    for name, value in arch.body:
        sheet.down(column(value), 1, 4, "█", "strong")
        label(sheet, column(value), 0, name, "head")
    for name, value in arch.inside:
        sheet.down(column(value), 4, floor, "█", "strong")
        top = next((row for row in (0, 1, 2) if label(sheet, column(value), row, name, "head")), 0)
        sheet.down(column(value), top + 1, 3, "┆", "dim")
    body, inside = min(value for _, value in arch.body), max(value for _, value in arch.inside)
    spans = (
        (arch.middle + arch.half, body, "caution"),
        (arch.middle - arch.half, arch.middle + arch.half, ""),
        (inside, arch.middle - arch.half, "caution"),
    )
    for start, end, look in spans:
        brief = show.brief(abs(end - start), DOWN if look else "nearest")
        if end > start:
            dimension(sheet, column(start), column(end), height - 2, (brief, brief.split(" in")[0]), look)
    half = show.brief(arch.pad)
    label(sheet, pad, height - 1, f"pad at {half}", "key")
    return sheet.lines()


def _beside(panels: Sequence[list[Line]], width: int, gap: int) -> list[Line]:
    """Panels of one width side by side."""
    lines: list[Line] = []
    for row in zip(*panels, strict=True):
        made: list[Piece] = []
        for at, each in enumerate(row):
            made += each
            used = sum(len(piece.text) for piece in each)
            if at + 1 < len(row):
                made.append(Piece(" " * (width - used + gap)))
        lines.append(tuple(made))
    return lines


def _air(arch: Arch, show: Show) -> list[Line]:
    """The air at rest, beside what is wanted with its play and travel."""
    body, inside = min(arch.body, key=lambda each: each[1]), max(arch.inside, key=lambda each: each[1])
    rows = (
        ("outside", body[0], body[1] - arch.middle - arch.half, arch.wanted[0]),
        ("inside", inside[0], arch.middle - arch.half - inside[1], arch.wanted[1]),
    )
    chunks = []
    for where, name, air, wanted in rows:
        spare = air - wanted
        said = f"{show.brief(spare, DOWN)} to spare" if spare >= -NOTHING else f"✗ {show.brief(-spare)} too little"
        chunks.append(
            line(
                (f"{arch.side} {where}", "head"),
                f" {show.brief(air, DOWN)} to the {name}, wanted {show.brief(wanted)}: ",
                (said, "" if spare >= -NOTHING else "trap"),
            )
        )
    return chunks
