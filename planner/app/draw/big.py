"""Letters three lines high, to be read from across the shop. Pure.

Two faces from the same dots: broad, a dot a half cell and a cell wide, and narrow, half as wide, so that a sentence
fits where the broad one does not.
"""

from __future__ import annotations

from functools import lru_cache
from unicodedata import combining, normalize

HEIGHT = 3  # lines of a letter

# Five dots high, as rows of text so that they can be read and mended here.
_DRAWN = {
    "a": ".##. #..# #### #..# #..#",
    "b": "###. #..# ###. #..# ###.",
    "c": ".### #... #... #... .###",
    "d": "###. #..# #..# #..# ###.",
    "e": "#### #... ###. #... ####",
    "f": "#### #... ###. #... #...",
    "g": ".### #... #.## #..# .###",
    "h": "#..# #..# #### #..# #..#",
    "i": "# # # # #",
    "j": "..## ...# ...# #..# .##.",
    "k": "#..# #.#. ##.. #.#. #..#",
    "l": "#... #... #... #... ####",
    "m": "#...# ##.## #.#.# #...# #...#",
    "n": "#..# ##.# #.## #..# #..#",
    "o": ".##. #..# #..# #..# .##.",
    "p": "###. #..# ###. #... #...",
    "q": ".##. #..# #..# #.#. .#.#",
    "r": "###. #..# ###. #.#. #..#",
    "s": ".### #... .##. ...# ###.",
    "t": "##### ..#.. ..#.. ..#.. ..#..",
    "u": "#..# #..# #..# #..# .##.",
    "v": "#...# #...# .#.#. .#.#. ..#..",
    "w": "#...# #...# #.#.# ##.## #...#",
    "x": "#..# #..# .##. #..# #..#",
    "y": "#...# .#.#. ..#.. ..#.. ..#..",
    "z": "#### ...# .##. #... ####",
    "-": "... ... ### ... ...",
    ":": ". # . # .",
    ".": ". . . . #",
    ",": ".. .. .. .# #.",
    "+": "... .#. ### .#. ...",
    "°": "### #.# ### ... ...",
    "'": "# # . . .",
    '"': "#.# #.# ... ... ...",
    "±": ".#. ### .#. ... ###",
    "/": "...# ..#. .##. .#.. #...",
    " ": ".. .. .. .. ..",
    "(": ".# #. #. #. .#",
    ")": "#. .# .# .# #.",
    ";": ".. .# .. .# #.",
    "!": "# # # . #",
    "?": "###. ...# .##. .... .#..",
    "=": "... ### ... ### ...",
    "%": "#..# ..#. .#.. #..# ....",
    "&": ".#.. #.#. .#.# #.#. .#.#",
    "#": ".#.#. ##### .#.#. ##### .#.#.",
    "<": "..# .#. #.. .#. ..#",
    ">": "#.. .#. ..# .#. #..",
    "×": "... #.# .#. #.# ...",
    "*": "#.# .#. #.# ... ...",
    "0": ".##. #..# #..# #..# .##.",
    "1": ".#. ##. .#. .#. ###",
    "2": "###. ...# .##. #... ####",
    "3": "###. ...# .##. ...# ###.",
    "4": "#..# #..# #### ...# ...#",
    "5": "#### #... ###. ...# ###.",
    "6": ".##. #... ###. #..# .##.",
    "7": "#### ...# ..#. .#.. .#..",
    "8": ".##. #..# .##. #..# .##.",
    "9": ".##. #..# .### ...# .##.",
}
#: Letters drawn like another one.
_LIKE = {"“": '"', "”": '"', "„": '"', "’": "'", "‘": "'", "–": "-", "—": "-", "·": "-", "…": ".", "′": "'", "″": '"'}
_HALVES = " ▀▄█"  # by upper + 2 * lower
_QUARTERS = " ▘▝▀▖▌▞▛▗▚▐▜▄▙▟█"  # by upper left + 2 * upper right + 4 * lower left + 8 * lower right


@lru_cache(maxsize=256)
def big(text: str, *, narrow: bool = False) -> tuple[str, str, str] | None:
    """Text in three lines of blocks; None where a letter is not drawn. An accent is left out, as on a shop sign."""
    dots = _dots(text)
    if dots is None:
        return None
    rows = []
    for row in range(HEIGHT):
        upper, lower = dots[2 * row], dots[2 * row + 1]
        if narrow:
            rows.append(
                "".join(
                    _QUARTERS[upper[x] + 2 * upper[x + 1] + 4 * lower[x] + 8 * lower[x + 1]]
                    for x in range(0, len(upper), 2)
                )
            )
        else:
            rows.append("".join(_HALVES[u + 2 * low] for u, low in zip(upper, lower, strict=True)))
    return rows[0], rows[1], rows[2]


def _dots(text: str) -> list[list[int]] | None:
    """Six rows of dots, the last one empty, as ones and noughts; an even number of them in each."""
    rows: list[list[int]] = [[] for _ in range(2 * HEIGHT)]
    for char in normalize("NFD", text.upper().lower()):
        if combining(char):
            continue
        drawn = _DRAWN.get(_LIKE.get(char, char))
        if drawn is None:
            return None
        lines = drawn.split()
        for row, line in zip(rows, [*lines, "." * len(lines[0])], strict=True):
            row += [dot == "#" for dot in line]
            row.append(0)
    if len(rows[0]) % 2:
        for row in rows:
            row.append(0)
    return rows


def big_text(text: str, width: int, most: int) -> list[str] | None:
    """A sentence in big letters, broken between words: broad ones where ``most`` lines of letters hold it, else
    narrow ones; None where neither does, or where a letter is not drawn. Three lines of text for each line of letters.
    """
    for narrow in (False, True) if text.strip() else ():
        found = _broken(text.split(), width, most, narrow=narrow)
        if found is not None:
            return found
    return None


def _broken(words: list[str], width: int, most: int, *, narrow: bool) -> list[str] | None:
    """The words in as many lines of letters as they need; None: more than ``most``, or a word is too wide."""
    rows: list[str] = []
    held: list[str] = []
    for word in words:
        longer = _fitting([*held, word], width, narrow=narrow)
        if longer is None:
            if not held:
                return None
            rows += _fitting(held, width, narrow=narrow) or ()
            held = []
            if _fitting([word], width, narrow=narrow) is None:
                return None
        held.append(word)
        if len(rows) // HEIGHT >= most:
            return None
    rows += _fitting(held, width, narrow=narrow) or ()
    return rows


def _fitting(words: list[str], width: int, *, narrow: bool) -> list[str] | None:
    """Words in one line of letters, where that is no wider than width."""
    drawn = big(" ".join(words), narrow=narrow)
    if drawn is None:
        return None
    rows = [row.rstrip() for row in drawn]
    return rows if max(len(row) for row in rows) <= width else None
