"""What the screens draw with: literal text in pieces, each with a look; glyphs and their words.

Pure, so that everything a screen shows can be tested without one.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from planner.plan.words import counted


class Piece(NamedTuple):
    """Some text and the name of its look (a key of palettes.LOOKS)."""

    text: str
    look: str = ""


Line = tuple[Piece, ...]

STATE_GLYPHS = {"done": "✓", "ready": "▸", "ahead": "▹", "waiting": "◷", "not yet": "·"}
LEVEL_GLYPHS = {"trap": "▲", "gap": "□", "notice": "•"}
BEGUN, HERE = "◐", "▌"
#: Every sign that stands for something, each for one thing on every screen.
LEGEND_GLYPHS = {
    **STATE_GLYPHS,
    "begun": BEGUN,
    **LEVEL_GLYPHS,
    "wrong or missing": "✗",
    "caution": "!",
    "on camera": "●",
    "off camera": "○",
    "nothing here": "–",
    "no slack": "◆",
    "set-up": "↻",
    "publish": "⚑",
    "needed": "◇",
    "changed": "Δ",
    "sides differ": "≠",
    "result": "=",
    "more": "›",
    "marked": "■",
    "before it": "↑",
    "after it": "↓",
    "booked": "▮",
    "at the desk": "▪",
    "free": "▯",
    "a wait": "┄",
    "cursor": HERE,
}

# What a terminal may obey (C0, DEL, C1), marks that turn text around, and characters of no width that make two
# terminals disagree about where the next one stands.
_OBEYED = {
    **dict.fromkeys((*range(0x20), *range(0x7F, 0xA0)), "�"),
    **dict.fromkeys((0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)), "�"),
    **dict.fromkeys((0x00AD, 0x200B, 0x200C, 0x200D, 0x2060, 0xFEFF, *range(0xFE00, 0xFE10)), None),
    **dict.fromkeys((0x2028, 0x2029, 0x09, 0x0A, 0x0D), " "),
}


def literal(text: str) -> str:
    """A text on one line with nothing in it that a terminal obeys or cannot place."""
    return text.translate(_OBEYED)


def line(*parts: Piece | tuple[str, str] | str) -> Line:
    """A line of pieces; every text is made literal."""
    made = []
    for part in parts:
        text, look = (part, "") if isinstance(part, str) else part
        if text:
            made.append(Piece(literal(text), look))
    return tuple(made)


def plain(lines: Iterable[Line]) -> str:
    """Lines as text without looks, as it is copied."""
    return "\n".join("".join(piece.text for piece in each).rstrip() for each in lines)


def few_checked(checked: int, steps: int) -> str:
    """That most steps say nothing that could be checked, so that no finding is no proof."""
    return f"only {checked} of {steps} steps are checked: the others have neither needs nor a kind with a piece."


def level_words(counts: dict[str, int], checked: tuple[int, int] | None = None) -> Line:
    """How many findings stand, each level by glyph and word; the quiet ones left out.

    ``checked``: how many steps are checked at all, and of how many; said where nothing was found.
    """
    parts: list[Piece | tuple[str, str] | str] = []
    for level, glyph in LEVEL_GLYPHS.items():
        if counts.get(level):
            parts += [*(["  "] if parts else []), (f"{glyph} {counted(counts[level], level)}", level)]
    if parts:
        return line(*parts)
    if checked is not None and checked[0] < checked[1]:
        return line(("· no findings", "not-yet"), (f", {checked[0]} of {counted(checked[1], 'step')} checked", "dim"))
    return line(("✓ no findings", "done"))


def progress_words(done: int, total: int) -> Piece:
    """How far a build is, by glyph and word."""
    if total and done >= total:
        return Piece(f"✓ complete {done}/{total}", "done")
    if done:
        return Piece(f"{BEGUN} under way {done}/{total}", "ready")
    return Piece(f"· not begun {done}/{total}", "not-yet")


def bar(done: int, total: int, width: int) -> Line:
    """Progress as a rule of two weights: thick is done."""
    if width <= 0 or not total:
        return ()
    filled = min(width, done * width // total) if done < total else width
    if done and not filled:
        filled = 1
    return line(("━" * filled, "done"), ("─" * (width - filled), "dim"))
