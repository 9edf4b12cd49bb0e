"""Letters for two metres: every sentence whole, in order, never wider than the screen."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.app.draw.big import HEIGHT, big, big_text

LETTERS = "abcdefghijklmnopqrstuvwxyz0123456789-:.,+°'\"±/()"
WORDS = st.lists(st.text(LETTERS, min_size=1, max_size=9), min_size=1, max_size=9)


def dots(rows: tuple[str, str, str], across: int) -> str:
    """Blocks back to dots, by what each block covers: ``across`` dots a cell."""
    cover = {" ": 0, "▘": 1, "▝": 2, "▀": 3, "▖": 4, "▌": 5, "▞": 6, "▛": 7}
    cover |= {"▗": 8, "▚": 9, "▐": 10, "▜": 11, "▄": 12, "▙": 13, "▟": 14, "█": 15}
    lines = []
    for row in rows:
        for half in (0, 2):
            bits = [(cover[cell] >> (half + side)) & 1 for cell in row for side in range(2)]
            lines.append("".join(".#"[bit] for bit in (bits if across == 2 else bits[::2])).rstrip("."))
    return "\n".join(lines)


@pytest.mark.parametrize("char", LETTERS)
def test_both_faces_draw_the_same_dots(char: str) -> None:
    broad, narrow = big(char), big(char, narrow=True)
    assert broad is not None and narrow is not None
    assert dots(broad, 1) == dots(narrow, 2)
    assert dots(broad, 1).strip("\n.")


def test_every_letter_is_drawn_otherwise() -> None:
    drawn = sorted(dots(found, 1) for char in LETTERS.replace("o", "") if (found := big(char)) is not None)
    assert all(a != b for a, b in pairwise(drawn))


@given(WORDS, st.integers(12, 120), st.integers(1, 4))
def test_a_sentence_fits_or_is_not_drawn(words: list[str], width: int, most: int) -> None:
    rows = big_text(" ".join(words), width, most)
    narrow = [found for word in words if (found := big(word, narrow=True)) is not None]
    if rows is None:
        widest = max(max(len(row.rstrip()) for row in word) for word in narrow)
        in_all = sum(len(word[0]) + 2 for word in narrow)
        assert widest > width or in_all > width  # what fits into one line of narrow letters is always drawn
        return
    assert len(rows) % HEIGHT == 0 and len(rows) <= HEIGHT * most
    assert all(len(row) <= width for row in rows)


def test_broad_letters_come_first_and_nothing_is_lost() -> None:
    rows = big_text("Tack in opposite pairs", 78, 4)
    first, second = big("tack in opposite"), big("pairs")
    assert first is not None and second is not None
    assert rows == [row.rstrip() for row in (*first, *second)]
    assert big_text("Tack in opposite pairs", 36, 2) == [
        row.rstrip() for part in ("tack in opposite", "pairs") for row in big(part, narrow=True) or ()
    ]


def test_other_letters() -> None:
    assert big("Brücke schweißen") == big("brucke schweissen")
    assert big("“ein” – 5′") == big('"ein" - 5\'')
    assert big("焊接") is None
    assert big_text("weld 焊接", 80, 4) is None
    assert big_text("", 80, 4) is None
