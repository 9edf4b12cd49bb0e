"""The widths of the plan: what a cell and a stage say in the room they have, and how the room is shared out. Pure."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from rich.cells import cell_len

from planner.app.draw.drawing import cut
from planner.plan.model import NOTICE
from planner.telling.looks import BEGUN, LEVEL_GLYPHS, STATE_GLYPHS, Line, Piece, line, literal
from planner.telling.rows import NOT_FILMED, CellState

_STATE_LOOKS = {"done": "done", "ready": "ready", "ahead": "not-yet", "waiting": "waits", "not yet": "not-yet"}


def cell_texts(cell: CellState) -> list[Line]:
    """Everything a cell may show, the fullest first; the widest that fits is taken.

    A trap or gap that stands outranks the state, which the detail says too; any other mark only follows it.
    """
    count = f"{cell.done}/{cell.total} " if cell.total > 1 else ""
    glyph = STATE_GLYPHS.get(cell.state, "–")
    look = _STATE_LOOKS.get(cell.state, "dim")
    tail = f" {cell.detail}" if cell.detail else ""
    state = Piece(f"{glyph} {count}{cell.state}", look)
    bare = Piece(f"{glyph} {cell.state}", look)  # the count is in the detail too
    if cell.detail == NOT_FILMED:
        state = bare = Piece(f"{glyph} {NOT_FILMED}", "trap")
        tail = ""
    if not cell.mark:
        short = [line((f"{glyph} wait{tail}", look))] if cell.state == "waiting" and tail else []
        return [line(state, (tail, look)), *short, (state,), (bare,)]
    mark_glyph = LEVEL_GLYPHS[cell.mark]
    word = f"was {cell.mark}" if cell.history else cell.mark
    mark = (f"{mark_glyph} {word}", cell.mark)
    full, both = line(state, (tail, look), "  ", mark), line(state, "  ", mark)
    if cell.history or cell.mark == NOTICE:
        return [full, both, line(state, " ", (mark_glyph, cell.mark)), line(bare, " ", (mark_glyph, cell.mark))]
    return [full, both, line((f"{mark_glyph} {count}{word}", cell.mark)), line((f"{mark_glyph} {word}", cell.mark))]


def fitting_text(texts: Sequence[Line], width: int) -> Line:
    """The fullest text that fits; the last when none does."""
    for text in texts:
        if sum(len(piece.text) for piece in text) <= width:
            return text
    return texts[-1]


def stage_line(title: str, done: int, total: int, width: int) -> Line:
    """A stage of the outline: by glyph, title and count, and by word too where the whole title leaves room."""
    if not total:
        glyph, look, count, word = "–", "dim", "", "empty"
    elif done >= total:
        glyph, look, count, word = "✓", "done", f"{done}/{total}", "done"
    else:
        glyph, look = (BEGUN if done else "·"), ""
        count, word = f"{done}/{total}", "begun" if done else "not begun"
    text = f"  {glyph} {literal(title)}"
    # Words of one width stand under each other; where they do not fit, the word by itself may.
    tails = (f" {count} {word:<9}", f" {count} {word}", f" {count}") if count else (f" {word:<9}", f" {word}")
    tail = next((each for each in tails if cell_len(text) + len(each) + 1 <= width), tails[-1])
    return line((cut(text, width - len(tail) - 1), look), (tail, "dim"))


class Columns(NamedTuple):
    """How the width of the plan is shared out: the step's text, and the sides that can be seen."""

    text: int
    cell: int
    first: int  # the first side that is seen
    shown: int  # how many are


def share_out(width: int, sides: Sequence[str], column: int, first: int = 0) -> Columns:
    """Columns for that width: as wide as is useful, never too narrow to read, around the cursor's column."""
    count = len(sides)
    longest = max(9, *(len(side) for side in sides))
    text_least = 20 if width < 76 else 22
    # The words of the steps get the room: a wide cell only where they have plenty.
    for cell, words in ((22, 76), (16, 60), (14, text_least), (11, text_least)):
        if cell > longest and width - count * cell >= words:
            return Columns(width - count * cell, cell, 0, count)
    cell = max(11, min(longest + 1, 14))
    shown = max(1, min(count, (width - text_least) // cell))
    first = max(0, min(first, count - shown))
    first = min(max(first, column - shown + 1), column)
    return Columns(max(0, width - shown * cell), cell, first, shown)
