"""Text from files and logs, made harmless, cut and folded."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len

from planner.app.draw.big import big
from planner.app.draw.drawing import cut, fold, look_of, shortened
from planner.app.draw.palettes import BACKGROUNDS, LOOKS, TERMINAL, first_palette, themes
from planner.telling.looks import Piece, bar, level_words, line, literal, plain, progress_words

TEXTS = st.text(st.characters(codec="utf-8"), max_size=60)


def test_nothing_that_a_terminal_obeys_is_left() -> None:
    assert literal("a\x1b[2Jb\x9bc\x07d") == "a�[2Jb�c�d"
    assert literal("up\u202edown\u2066") == "up�down�"
    assert literal("zero\u200bwidth\ufe0f") == "zerowidth"
    assert literal("two\nlines\tand a tab") == "two lines and a tab"


@given(TEXTS)
def test_literal_text_holds_no_control_character(text: str) -> None:
    assert not any(ord(char) < 32 or 127 <= ord(char) < 160 for char in literal(text))


@given(TEXTS, st.integers(0, 40))
def test_a_cut_text_fills_its_cells_exactly(text: str, width: int) -> None:
    assert cell_len(cut(literal(text), width)) == width


@pytest.mark.parametrize(
    ("text", "width", "cut_to"),
    [
        ("abcdef", 6, "abcdef"),
        ("abcdef", 4, "abc…"),
        ("ab", 4, "ab  "),
        ("界界界", 4, "界… "),
        ("abc", 1, "…"),
        ("x", 0, ""),
    ],
)
def test_cutting(text: str, width: int, cut_to: str) -> None:
    assert cut(text, width) == cut_to


@given(st.lists(st.tuples(TEXTS, st.sampled_from(["", "head", "dim"])), max_size=4), st.integers(2, 50))
def test_folded_lines_fit_and_lose_only_spaces(parts: list[tuple[str, str]], width: int) -> None:
    whole = line(*parts)
    folded = fold([whole], width)
    # A character wider than the line cannot fit anywhere; the narrowest width here holds every one of them.
    assert all(sum(cell_len(piece.text) for piece in each) <= width for each in folded)
    assert "".join(plain(folded).split()) == "".join(plain([whole]).split())


def test_a_folded_line_hangs_behind_its_heading() -> None:
    folded = fold([line(("needs  ", "head"), "one two three four")], 24)
    assert plain(folded) == "needs  one two three\n       four"


def test_a_shortened_line_ends_with_dots() -> None:
    assert plain([shortened(line("abc", ("defghi", "dim")), 6)]) == "abcde…"


def test_progress_is_said_in_words() -> None:
    words = [progress_words(done, 4).text for done in (0, 1, 4)]
    assert words == ["· not begun 0/4", "◐ under way 1/4", "✓ complete 4/4"]
    assert plain([level_words({"trap": 1, "gap": 0, "notice": 2})]) == "▲ 1 trap  • 2 notices"
    assert plain([level_words({})]) == "✓ no findings"


def test_the_bar_shows_the_first_and_the_last_step() -> None:
    assert plain([bar(1, 1000, 10)]) == "━─────────"
    assert plain([bar(999, 1000, 10)]) == "━━━━━━━━━─"
    assert plain([bar(5, 5, 10)]) == "━" * 10
    assert bar(1, 2, 0) == ()


def test_big_letters_are_of_one_height_and_width() -> None:
    for char in "abcdefghijklmnopqrstuvwxyz0123456789-/:.,+ '\"°±":
        drawn = big(char)
        assert drawn is not None
        assert len({len(row) for row in drawn}) == 1
    assert big("4:05") is not None
    assert big("§") is None


def _luminance(colour: str) -> float:
    parts = [int(colour[index : index + 2], 16) / 255 for index in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


@pytest.mark.parametrize("palette", BACKGROUNDS)
def test_every_look_can_be_read(palette: str) -> None:
    """WCAG 2.2, success criterion 1.4.3: a contrast of 4.5 to 1 at least. The formula is theirs."""
    foreground = themes()[palette].foreground
    for look, style in LOOKS[palette].items():
        words = style.split()
        if look == "rule":
            continue  # a line between parts says nothing
        on = words.index("on") if "on" in words else len(words)
        back = words[on + 1] if "on" in words else BACKGROUNDS[palette]
        front = next((word for word in words[:on] if word[0] == "#"), foreground)
        light, dark = sorted((_luminance(str(front)), _luminance(back)), reverse=True)
        assert (light + 0.05) / (dark + 0.05) >= 4.5, (palette, look, style)


def test_every_palette_has_every_look(monkeypatch: pytest.MonkeyPatch) -> None:
    assert len({frozenset(looks) for looks in LOOKS.values()}) == 1
    assert look_of("unknown", "trap") == look_of("shop-dark", "trap")
    monkeypatch.setenv("PLANNER_PALETTE", "light")
    assert first_palette() == "shop-light"
    monkeypatch.setenv("NO_COLOR", "1")
    assert first_palette() == TERMINAL


def test_pieces_are_literal_from_the_start() -> None:
    assert line("[bold]x[/]", ("\x1b]0;title\x07", "dim")) == (Piece("[bold]x[/]", ""), Piece("�]0;title�", "dim"))
