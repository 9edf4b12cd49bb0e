"""Sizes of paper in mm, and what of a page can be used. Pure."""

from __future__ import annotations

from typing import NamedTuple


class Size(NamedTuple):
    """A size of paper, upright, and the margins that a home printer can keep."""

    name: str
    width: float
    height: float
    side: float = 12.0
    top: float = 20.0  # the page's head is in it
    bottom: float = 18.0  # and its foot in this

    @property
    def frame(self) -> tuple[float, float]:
        """What is free for blocks on one page: width and height."""
        return self.width - 2 * self.side, self.height - self.top - self.bottom


#: ISO 216 and ANSI Y14.1 (8 1/2 x 11 in).
SIZES = {"a4": Size("a4", 210.0, 297.0), "letter": Size("letter", 215.9, 279.4)}
