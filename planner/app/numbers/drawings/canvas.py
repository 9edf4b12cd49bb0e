"""A sheet of characters to draw on, and dimension lines on it. Pure."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from planner.telling.looks import Line, Piece


class Scale(NamedTuple):
    """From millimetres to columns: one scale for all of a drawing's widths."""

    left: float  # the length that stands at column 0
    mm: float  # of one column

    def column(self, length: float) -> int:
        """The column of a length."""
        return round((length - self.left) / self.mm)


def scale(left: float, right: float, width: int) -> Scale:
    """The scale at which left to right fills the width."""
    return Scale(left, max(right - left, 1e-9) / max(1, width - 1))


class Canvas:
    """Characters of one cell each, with their looks; what is put outside is not seen."""

    def __init__(self, width: int, height: int) -> None:
        self.width = max(0, width)
        self.height = max(0, height)
        self._cells: list[list[tuple[str, str]]] = [[(" ", "")] * self.width for _ in range(self.height)]

    def put(self, x: int, y: int, text: str, look: str = "") -> None:
        """Text from a cell on."""
        if not 0 <= y < self.height:
            return
        row = self._cells[y]
        for at, char in enumerate(text, x):
            if 0 <= at < self.width:
                row[at] = (char, look)

    def across(self, left: int, right: int, y: int, char: str, look: str = "") -> None:
        """A row of one character, both ends included."""
        left, right = min(left, right), max(left, right)
        self.put(left, y, char * (right - left + 1), look)

    def down(self, x: int, top: int, bottom: int, char: str, look: str = "") -> None:
        """A column of one character, both ends included."""
        for y in range(top, bottom + 1):
            self.put(x, y, char, look)

    def is_free(self, left: int, right: int, y: int) -> bool:
        """Whether nothing stands there yet, and all of it is on the sheet."""
        if not (0 <= y < self.height and left >= 0 and right < self.width):
            return False
        return all(char == " " for char, _ in self._cells[y][left : right + 1])

    def lines(self) -> list[Line]:
        """What was drawn, one line a row."""
        return [_pieces(row) for row in self._cells]


def _pieces(row: Sequence[tuple[str, str]]) -> Line:
    found: list[Piece] = []
    for char, look in row:
        if found and found[-1].look == look:
            found[-1] = Piece(found[-1].text + char, look)
        else:
            found.append(Piece(char, look))
    while found and not found[-1].text.strip():
        found.pop()
    if found:
        found[-1] = found[-1]._replace(text=found[-1].text.rstrip())
    return tuple(found)


class Dots:
    """A small picture in braille dots, two by four a cell: as near to square as a terminal has them."""

    def __init__(self, width: int, height: int) -> None:
        self.width = width
        self.height = height
        self._cells: dict[tuple[int, int], int] = {}

    def put(self, x: float, y: float) -> None:
        """A dot; x to the right and y down, in dots."""
        column, row = math.floor(x + 0.5), math.floor(y + 0.5)
        if 0 <= column < 2 * self.width and 0 <= row < 4 * self.height:
            bit = _BITS[row % 4][column % 2]
            where = (column // 2, row // 4)
            self._cells[where] = self._cells.get(where, 0) | bit

    def stroke(self, x0: float, y0: float, x1: float, y1: float) -> None:
        """A straight line of dots."""
        steps = max(1, math.ceil(max(abs(x1 - x0), abs(y1 - y0))))
        for step in range(steps + 1):
            part = step / steps
            self.put(x0 + (x1 - x0) * part, y0 + (y1 - y0) * part)

    def circle(self, x: float, y: float, radius: float) -> None:
        """A circle of dots."""
        steps = max(12, math.ceil(7 * radius))
        for step in range(steps):
            turn = 2 * math.pi * step / steps
            self.put(x + radius * math.cos(turn), y + radius * math.sin(turn))

    def rows(self) -> list[str]:
        """The picture, one text a row."""
        return [
            "".join(chr(0x2800 + self._cells[x, y]) if (x, y) in self._cells else " " for x in range(self.width))
            for y in range(self.height)
        ]


_BITS = ((0x01, 0x08), (0x02, 0x10), (0x04, 0x20), (0x40, 0x80))


def dimension(sheet: Canvas, left: int, right: int, y: int, texts: Sequence[str], look: str = "") -> bool:
    """A dimension line with the longest of the texts that fits; False where none does, and only the line stands."""
    left, right = min(left, right), max(left, right)
    room = right - left - 1
    if room < 1:
        sheet.put(left, y, "│", "dim")
        if right > left:
            sheet.put(right, y, "│", "dim")
        return False
    shared = [not sheet.is_free(end, end, y) for end in (left, right)]  # with the dimension beside it
    sheet.across(left, right, y, "─", "dim")
    sheet.put(left, y, "┼" if shared[0] else "├", "dim")
    sheet.put(right, y, "┼" if shared[1] else "┤", "dim")
    for text in texts:
        if len(text) <= room:
            padded = f" {text} " if len(text) + 2 <= room else text
            sheet.put(left + 1 + (room - len(padded)) // 2, y, padded, look)
            return True
    return False


def label(sheet: Canvas, x: int, y: int, text: str, look: str = "") -> bool:
    """A text centred on a column where there is room for it, moved aside a little rather than written over another."""
    middle = x - len(text) // 2
    for shift in (0, 1, -1, 2, -2, 3, -3, 4, -4):
        left = max(0, min(middle + shift, sheet.width - len(text)))
        if sheet.is_free(left - 1 if left else 0, min(left + len(text), sheet.width - 1), y):
            sheet.put(left, y, text, look)
            return True
    return False


def packed(chunks: Sequence[Line], width: int) -> list[Line]:
    """Short texts side by side, in as few lines as the width allows."""
    lines: list[list[Piece]] = []
    used = 0
    for chunk in chunks:
        size = sum(len(piece.text) for piece in chunk)
        if lines and used + 3 + size <= width:
            lines[-1] += [Piece("   "), *chunk]
            used += 3 + size
        else:
            lines.append([*chunk])
            used = size
    return [tuple(each) for each in lines]


def short(text: str, most: int) -> str:
    """A name on a drawing, where every character has one cell; the whole name stands beside the drawing."""
    plain = "".join(char if char.isascii() and char.isprintable() else "?" for char in text)
    return plain if len(plain) <= most else plain[: max(0, most - 1)] + "…"
