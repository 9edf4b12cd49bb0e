"""From pieces of text to what Textual draws, in the palette of the moment."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from functools import lru_cache

from rich.cells import cell_len, set_cell_size
from rich.segment import Segment
from rich.style import Style as RichStyle
from textual.content import Content
from textual.strip import Strip
from textual.style import Style

from planner.app.draw.palettes import DARK, LOOKS
from planner.telling.looks import Line, Piece

_SPACES = re.compile("( +)")


def look_of(palette: str, look: str) -> str:
    """The Textual style of a look."""
    return LOOKS.get(palette, LOOKS[DARK])[look]


@lru_cache(maxsize=256)
def _rich(style: str) -> RichStyle:
    return Style.parse(style).rich_style if style else RichStyle.null()


def content(lines: Iterable[Line], palette: str) -> Content:
    """Lines as Textual content; nothing in them is taken as markup."""
    parts: list[str | tuple[str, str]] = []
    for number, each in enumerate(lines):
        if number:
            parts.append("\n")
        for text, look in each:
            style = look_of(palette, look)
            if "underline" in style:
                parts += [(part, style) if part.strip() else part for part in _words_alone(text)]
            else:
                parts.append((text, style) if style else text)
    return Content.assemble(*parts)


def strip(pieces: Iterable[Piece], width: int, palette: str, under: RichStyle, base: str = "") -> Strip:
    """A line as a strip of exactly that width, on the style of its widget; base is a look of the whole line."""
    if base:
        under += _rich(look_of(palette, base))
    segments = []
    used = 0
    for text, look in pieces:
        room = width - used
        if room <= 0:
            break
        shown = text if cell_len(text) <= room else cut(text, room)
        # Under a cursor that fills the line a look would fight with the cursor's own colours.
        own = look_of(palette, look)
        style = under if base == "cursor" else under + _rich(own)
        if "underline" in own and base != "cursor":
            segments += [Segment(part, style if part.strip() else under) for part in _words_alone(shown)]
        else:
            segments.append(Segment(shown, style))
        used += cell_len(shown)
    if used < width:
        segments.append(Segment(" " * (width - used), under))
    return Strip(segments, max(width, 0))


def _words_alone(text: str) -> list[str]:
    """A text without the spaces around it, and these by themselves: a rule under words is none under spaces."""
    bare = text.strip(" ")
    if not bare:
        return [text] if text else []
    start = text.index(bare)
    return [part for part in (text[:start], bare, text[start + len(bare) :]) if part]


def fold(lines: Iterable[Line], width: int) -> list[Line]:
    """Lines no wider than width, broken between words; what follows a heading or a column hangs behind it."""
    found: list[Line] = []
    for each in lines:
        hang = cell_len(each[0].text) if each and _leads(each[0]) else 0
        found += _folded(each, width, hang if hang <= width // 3 else 0)
    return found


HEADINGS = ("head", "mark")


def _leads(piece: Piece) -> bool:
    """Whether what follows a piece hangs behind it: a heading, or an hour or a word that is set off by two blanks."""
    return piece.look in HEADINGS or (piece.text.endswith("  ") and not piece.text.isspace())


def _folded(pieces: Line, width: int, hang: int) -> list[Line]:
    if width <= 0 or sum(cell_len(piece.text) for piece in pieces) <= width:
        return [pieces]
    margin = [Piece(" " * hang)] if hang else []
    lines: list[list[Piece]] = [[]]
    used = 0
    for text, look in pieces:
        for word in _words(text):
            if cell_len(word) > width - used and word.isspace():
                continue  # spaces at the end of a line are not seen
            if cell_len(word) > width - used and used > hang:
                lines.append([*margin])
                used = hang
            if word.isspace() and used == hang and len(lines) > 1:
                continue
            for part in _parts(word, width - used, width - hang):
                if part is not None:
                    lines[-1].append(Piece(part, look))
                    used += cell_len(part)
                else:
                    lines.append([*margin])
                    used = hang
    return [tuple(each) for each in lines]


def _parts(word: str, room: int, next_room: int) -> Iterator[str | None]:
    """A word in parts that fit, None where a new line begins; each part has a character at least, that it ends."""
    while cell_len(word) > room:
        part = set_cell_size(word, room).rstrip() if room > 0 else ""
        part = part if part and word.startswith(part) else word[0]
        yield part
        word = word[len(part) :]
        if not word:
            return
        yield None
        room = max(1, next_room)
    yield word


def _words(text: str) -> list[str]:
    """Words and the spaces between them, each by itself."""
    return [part for part in _SPACES.split(text) if part]


def shortened(pieces: Line, width: int) -> Line:
    """A line that fits, ended with … where it is cut."""
    made: list[Piece] = []
    room = width
    for text, look in pieces:
        size = cell_len(text)
        if size > room:
            made.append(Piece(cut(text, room), look))
            break
        made.append(Piece(text, look))
        room -= size
    return tuple(made)


def cut(text: str, width: int) -> str:
    """Text in exactly that many cells: filled with spaces, or ended with … where it is cut."""
    if cell_len(text) <= width:
        return set_cell_size(text, max(width, 0))
    if width <= 1:
        return "…" if width == 1 else ""
    kept = set_cell_size(text, width - 1).rstrip() + "…"
    return set_cell_size(kept, width)
