"""A document as plain data, for programs. Pure."""

from __future__ import annotations

from typing import Any

from planner.paper.ground.plaintext import said
from planner.paper.ground.tree import (
    Blank,
    Block,
    Cards,
    Caution,
    Cell,
    Document,
    Figure,
    Heading,
    NewPage,
    Says,
    Table,
    Text,
    Tick,
)


def facts_of(document: Document) -> dict[str, Any]:
    """Everything that the document says, with nothing about how it is set but the order."""
    blocks = [_block(block) for block in document.blocks if not isinstance(block, NewPage)]
    return {
        "paper": document.paper,
        "title": document.title,
        "build": document.build,
        "made": document.made_says,
        "aid": document.aid,
        "blocks": blocks,
    }


def _block(block: Block) -> dict[str, Any]:
    match block:
        case Heading(text=text, level=level):
            return {"heading": text, "level": level}
        case Says(para=para):
            return {"says": said(para)}
        case Caution(text=text):
            return {"caution": text}
        case Table(columns=columns, rows=rows):
            return {
                "columns": [column.title for column in columns],
                "rows": [[_cell(cell) for cell in row.cells] for row in rows],
            }
        case Cards(cards=cards):
            return {"cards": [{"title": card.title, "says": _cell(card.cell)} for card in cards]}
        case Figure(drawing=drawing, words=words, caption=caption):
            return {"figure": caption, "words": list(words), "mm": [drawing.width, drawing.height]}
        case NewPage():
            return {}


def _cell(cell: Cell) -> list[dict[str, Any]]:
    return [_part(part) for para in cell for part in para]


def _part(part: Text | Tick | Blank) -> dict[str, Any]:
    if isinstance(part, Text):
        return {"text": part.text}
    if isinstance(part, Blank):
        return {"blank": part.says, "unit": part.unit}
    return {"done": part.done, "text": part.says}
