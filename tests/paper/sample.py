"""A document with every kind of block in it, and reading PDFs back by another library."""

from __future__ import annotations

import io
import re

from pypdf import PdfReader

from planner.paper.ground.drawing import THICK, Drawing, Words, box, circle, hatch, proof_bar
from planner.paper.ground.sizes import Size
from planner.paper.ground.tree import (
    NUMBER,
    Blank,
    Block,
    Card,
    Cards,
    Caution,
    Column,
    Document,
    Figure,
    Heading,
    Row,
    Table,
    Text,
    Tick,
    cell,
    row,
    say,
)

NUMBERS = [f"{count} 1/2 in ± 0.{count:02} in" for count in range(1, 60)]
CAUTIONS = [
    f"Caution number {count}: hot metal and cold metal look alike, so quench or mark it." for count in range(25)
]


def document(size: Size, title: str = "All there is", build: str = "Kestrel", words: str = "Cut at ") -> Document:
    """A document of several pages."""
    rows = [
        Row((((Text(words), Text(number, NUMBER)), (Blank("HOLD", 24),)), cell(Tick(True, "1"), Tick(False, "2"))))
        for number in NUMBERS
    ]
    drawing = Drawing(
        size.frame[0],
        200,
        (
            *proof_bar((20, 20)),
            box(10, 40, 50, 100, THICK),
            *hatch([(10, 40), (60, 40), (60, 140), (10, 140)]),
            circle((120, 90), 30),
            Words(120, 90, words, 4, at="middle", angle=90),
        ),
    )
    blocks: tuple[Block, ...] = (
        Heading("Part"),
        say(words * 30),
        *(Caution(text) for text in CAUTIONS),
        Table((Column("What", 3), Column("driver")), (row("A stage", strong=True), *rows)),
        Cards(tuple(Card(f"card {count}", cell(words)) for count in range(9))),
        Figure(drawing, ("a bar of 100 mm",), "figure", alone=True),
    )
    return Document("all", title, build, 1.8e9, "Fri 2027-01-15 08:00", blocks)


def pages(body: bytes) -> list[str]:
    """The text of every page, with runs of spaces as one."""
    return [re.sub(r"\s+", " ", page.extract_text()) for page in PdfReader(io.BytesIO(body)).pages]


def strokes(body: bytes, page: int) -> list[list[tuple[float, float]]]:
    """The corners of every line of a page in mm from its lower left corner, from what the page itself says."""
    content = PdfReader(io.BytesIO(body)).pages[page].get_contents()
    assert content is not None
    found: list[list[tuple[float, float]]] = []
    for operands, operator in content.operations:
        if operator == b"m":
            found.append([])
        if operator in (b"m", b"l"):
            found[-1].append((float(operands[0]) * 25.4 / 72, float(operands[1]) * 25.4 / 72))
    return found
