"""A document as plain text: the same words in the same order, drawings said in words. Pure."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence

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
    Para,
    Row,
    Says,
    Table,
    Text,
    Tick,
)
from planner.telling.looks import literal

WIDTH = 96


def write(document: Document, width: int = WIDTH) -> str:
    """The document in lines of at most width, but for words that are longer."""
    head = literal(f"{document.build}: {document.title}")
    lines = [*_wrapped(head, width), "=" * min(width, len(head)), *_wrapped(literal(document.aid), width)]
    lines += [f"made {document.made_says}", ""]
    for block in document.blocks:
        lines += _block(block, width)
    return "\n".join(line.rstrip() for line in lines).rstrip() + "\n"


def said(para: Para) -> str:
    """A paragraph in one line: boxes as [x] and [ ], blanks as a line to write on."""
    return " ".join("".join(_inline(part) for part in para).split())


def _inline(part: Text | Tick | Blank) -> str:
    if isinstance(part, Text):
        return literal(part.text)
    if isinstance(part, Tick):
        return f" [{'x' if part.done else ' '}]\N{NO-BREAK SPACE}{literal(part.says)} ".replace("[ ]", "[\0]")
    return f" {literal(part.says)} ________ {literal(part.unit)} "


def _block(block: Block, width: int) -> list[str]:
    match block:
        case Heading(text=text, level=level):
            mark = "-" if level <= 1 else "."
            return ["", *_wrapped(literal(text), width), mark * min(width, len(literal(text)))]
        case Says(para=para):
            return [*_wrapped(said(para), width), ""]
        case Caution(text=text):
            return [*_wrapped(f"! {literal(text)}", width, "  "), ""]
        case Table():
            return [*_table(block, width), ""]
        case Cards(cards=cards):
            return [
                line for card in cards for line in ["- " * (width // 4), literal(card.title), *_cell(card.cell, width)]
            ]
        case Figure(words=words, caption=caption):
            says = [*([literal(caption)] if caption else []), *(literal(each) for each in words)]
            return [line for each in says for line in _wrapped(each, width)] + [""]
        case NewPage():
            return [""]


def _cell(cell: Cell, width: int, indent: str = "") -> list[str]:
    return [line for para in cell for line in _wrapped(said(para), width, indent, indent)]


def _table(table: Table, width: int) -> list[str]:
    titles = [literal(column.title) for column in table.columns]
    columns = _widths(table, titles, width)
    if columns is not None:
        rows = [[said(cell[0]) if cell else "" for cell in row.cells] for row in table.rows]
        lines = [titles, ["-" * wide for wide in columns], *rows] if any(titles) else rows
        return [
            _unhidden("  ".join(each.ljust(wide) for each, wide in zip(row, columns, strict=False))) for row in lines
        ]
    return list(_listed(table.rows, titles, width))


def _listed(rows: Sequence[Row], titles: Sequence[str], width: int) -> Iterator[str]:
    """A table whose rows do not fit in lines: the first cell, then the others behind their titles."""
    for row in rows:
        if len(row.cells) == 1:
            yield ""
            yield from _cell(row.cells[0], width)
            continue
        yield from _cell(row.cells[0], width, "  ")
        last = len(row.cells) - 1
        names = [*titles[1:last], ", ".join(titles[last:])]  # the last cell goes across what is left
        for title, cell in zip(names, row.cells[1:], strict=False):
            lines = _cell(cell, width, "      ")
            if lines and title:
                lines = _wrapped(f"{title}: {lines[0].strip()}", width, "      ", "    ") + lines[1:]
            yield from lines


def _widths(table: Table, titles: Sequence[str], width: int) -> list[int] | None:
    """How wide each column is where every row fits in one line, else None."""
    found = [len(title) for title in titles]
    for row in table.rows:
        if len(row.cells) != len(titles) or any(len(cell) > 1 for cell in row.cells):
            return None
        found = [max(wide, len(said(cell[0])) if cell else 0) for wide, cell in zip(found, row.cells, strict=True)]
    return found if sum(found) + 2 * (len(found) - 1) <= width else None


def _wrapped(text: str, width: int, indent: str = "", first: str | None = None) -> list[str]:
    start = indent if first is None else first
    if indent and first is None:
        start = ""
    lines = textwrap.wrap(
        text,
        max(20, width),
        initial_indent=start,
        subsequent_indent=indent,
        break_long_words=False,
        break_on_hyphens=False,
    )
    return [_unhidden(line) for line in lines] or [""]


def _unhidden(line: str) -> str:
    """A box that was kept whole while lines were broken, as it is read."""
    return line.replace("\0", " ").replace("\N{NO-BREAK SPACE}", " ")
