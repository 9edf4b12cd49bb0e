"""Which characters can be printed, and what is said of those that cannot. Nothing is lost silently."""

from __future__ import annotations

import unicodedata
from collections.abc import Collection, Iterable
from pathlib import Path

from planner.telling.looks import literal

FONTS = Path(__file__).parents[1] / "fonts"
REGULAR, BOLD = FONTS / "DejaVuSans.ttf", FONTS / "DejaVuSans-Bold.ttf"
INSTEAD = "\u25af"  # a box, upright: printed in the place of what the fonts do not have
_TURNED = {"R", "AL", "AN"}  # written from right to left: the letters are there, the order and the joins are not
_MOST = 40


def composed(text: str) -> str:
    """A text as it is printed: literal, and letters with their accents in one."""
    return unicodedata.normalize("NFC", literal(text))


def can_print(char: str, known: Collection[int]) -> bool:
    """Whether a character comes out as it should, by the code points that a font has."""
    return char == INSTEAD or (ord(char) in known and unicodedata.bidirectional(char) not in _TURNED)


def missing(texts: Iterable[str], known: Collection[int]) -> tuple[str, ...]:
    """The characters of these texts that cannot be printed, each once, in code point order."""
    found = {char for text in texts for char in set(composed(text))}
    return tuple(sorted(char for char in found if not can_print(char, known)))


def printable(text: str, known: Collection[int]) -> str:
    """A text in which every character that cannot be printed is a box."""
    return "".join(char if can_print(char, known) else INSTEAD for char in composed(text))


def told(found: Iterable[str]) -> list[str]:
    """Characters by number and name, for a list that any font can print.

    >>> told("\u65e5")
    ['U+65E5 CJK UNIFIED IDEOGRAPH-65E5']
    """
    names = [f"U+{ord(char):04X} {unicodedata.name(char, 'without a name')}" for char in found]
    return names if len(names) <= _MOST else [*names[:_MOST], f"and {len(names) - _MOST} more"]
