"""How wide texts are on paper, and which characters there are letters for; by the fpdf2 library."""

from __future__ import annotations

from fpdf import FPDF
from fpdf.fonts import TTFFont

from planner.paper.ground import characters
from planner.paper.ground.sizes import Size

_FAMILY = "sans"
_PT = 72 / 25.4
_AT = 100.0  # points, at which widths are taken: they grow with the size


class Letters:
    """The two fonts, in a PDF that is being made."""

    def __init__(self, size: Size) -> None:
        self.pdf = FPDF(unit="mm", format=(size.width, size.height))
        self.pdf.set_auto_page_break(False)
        self.pdf.add_font(_FAMILY, "", characters.REGULAR)
        self.pdf.add_font(_FAMILY, "B", characters.BOLD)
        fonts = [font for font in self.pdf.fonts.values() if isinstance(font, TTFFont)]
        self.known = frozenset.intersection(*(frozenset(font.cmap) for font in fonts))
        self._widths: dict[tuple[str, bool], float] = {}

    def printable(self, text: str) -> str:
        """The text with a box for every character that there is no letter for."""
        return characters.printable(text, self.known)

    def width(self, text: str, mm: float, bold: bool) -> float:
        """How wide a text is, in mm, in letters of that size."""
        found = self._widths.get((text, bold))
        if found is None:
            self.choose(_AT / _PT, bold)
            found = self.pdf.get_string_width(self.printable(text), normalized=True) / (_AT / _PT)
            self._widths[text, bold] = found
        return found * mm

    def choose(self, mm: float, bold: bool) -> None:
        """Take letters of that size for what is written next."""
        self.pdf.set_font(_FAMILY, "B" if bold else "", mm * _PT)
