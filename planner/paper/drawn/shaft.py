"""An axle shaft from the side, for its maker: not to scale, with its length from the wheel face to the inner end."""

from __future__ import annotations

from typing import NamedTuple

from planner.paper.ground.drawing import CHAIN, THICK, THIN, Drawing, Mark, Stroke, Words, box, hatch, line
from planner.paper.ground.tiling import text_width

WIDTH, HEIGHT = 180.0, 74.0
_MIDDLE = 40.0  # the axis, from the top
_FACE, _INNER = 18.0, 168.0  # the wheel face, and the inner end
_FLANGE, _BEARING, _SPLINE = 6.0, 40.0, 128.0
_DIM = 66.0


class ShaftWords(NamedTuple):
    """What is written on it; empty words are left out."""

    side: str
    length: str
    spline: str
    body: str
    outer: str
    inner: str


def drawn(words: ShaftWords) -> Drawing:
    """The drawing: wheel face on the left, splines on the right, whichever side it is for."""
    marks: list[Mark] = [
        line((_FACE - 8, _MIDDLE), (_INNER + 6, _MIDDLE), dash=CHAIN),
        box(_FACE, _MIDDLE - 20, _FLANGE, 40, THICK),
        box(_FACE + _FLANGE, _MIDDLE - 7, _BEARING - _FACE - _FLANGE, 14, THICK),
        box(_BEARING, _MIDDLE - 5, _SPLINE - _BEARING, 10, THICK),
        box(_SPLINE, _MIDDLE - 6, _INNER - _SPLINE, 12, THICK),
    ]
    marks += [line((_SPLINE, _MIDDLE + y), (_INNER, _MIDDLE + y), THIN) for y in (-4.0, -2.0, 2.0, 4.0)]
    for y in (-14.0, 14.0):
        marks.append(box(_FACE - 7, _MIDDLE + y - 1.5, 7, 3, 0.35))
    marks += hatch(
        [(_FACE, _MIDDLE - 20), (_FACE + 2, _MIDDLE - 20), (_FACE + 2, _MIDDLE + 20), (_FACE, _MIDDLE + 20)], 2
    )
    marks += [Words(0.0, 7.0, words.side, 7.0, bold=True), Words(WIDTH, 7.0, "not to scale", 3.0, at="end")]
    marks += [Words(_FACE, 15.0, words.outer, 3.0), Words(_INNER, 15.0, words.inner, 3.0, at="end")]
    marks += _leader((_SPLINE + 20, _MIDDLE - 6), words.spline, "end")
    marks += _leader((_BEARING + 30, _MIDDLE - 5), words.body, "middle")
    marks += _dimension(words.length)
    return Drawing(WIDTH, HEIGHT, tuple(marks))


def _leader(at: tuple[float, float], text: str, where: str) -> list[Mark]:
    if not text:
        return []
    x, y = at
    top = 24.0 if where == "end" else 30.0
    return [line((x, y), (x, top + 1)), Words(_INNER if where == "end" else x, top, text, 3.0, at=where)]


def _dimension(text: str) -> list[Mark]:
    """From the wheel face to the inner end; its text stands above the line, in letters that fit."""
    wide = text_width(Words(0, 0, text, 1.0, bold=True))
    size = min(5.0, (_INNER - _FACE - 4) / wide)
    marks: list[Mark] = [
        line((_FACE, _MIDDLE + 21), (_FACE, _DIM + 2)),
        line((_INNER, _MIDDLE + 7), (_INNER, _DIM + 2)),
        line((_FACE, _DIM), (_INNER, _DIM), 0.35),
        Words((_FACE + _INNER) / 2, _DIM - 1.8, text, size, bold=True, at="middle"),
        Words((_FACE + _INNER) / 2, _DIM + 5.0, "wheel face of the flange to the inner end", 3.0, at="middle"),
    ]
    for x, inward in ((_FACE, 1.0), (_INNER, -1.0)):
        marks.append(
            Stroke(
                ((x, _DIM), (x + inward * 3, _DIM - 0.9), (x + inward * 3, _DIM + 0.9)), THIN, closed=True, filled=True
            )
        )
    return marks
