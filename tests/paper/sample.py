"""A document with every kind of block in it, and reading PDFs back by another library."""

from __future__ import annotations

import io
import re
from pathlib import Path

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


def two_shifts(folder: Path) -> str:
    """A build of two evenings: the first fills up with marking out, so the sawing falls into the second."""
    (folder / "episodes").mkdir(parents=True)
    (folder / "build.yaml").write_text(
        "format: 1\nbuild: Two evenings\nsides: [left, right]\n"
        'shop: {timezone: Europe/Lisbon, hours: {tue: "19:00-21:00", thu: "19:00-21:00"}}\n',
        encoding="utf-8",
    )
    (folder / "episodes" / "01-one.yaml").write_text(
        "format: 1\nepisode: 1\ntitle: One\nstages:\n  - stage: All\n    steps:\n"
        "      - {step: mark, do: Mark it, kind: mark, time: 55 min}\n"
        "      - {step: saw, do: Saw it, kind: cut, after: [mark], time: 30 min}\n"
        "      - {step: wipe, do: Wipe it, kind: clean, after: [saw], sides: once, time: 5 min}\n",
        encoding="utf-8",
    )
    return str(folder)
