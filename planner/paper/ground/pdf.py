"""A document as a PDF, by the fpdf2 library: fonts inside, the same bytes for the same facts, nothing cut by a page."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import UTC, datetime
from typing import NamedTuple

from planner.paper.ground import characters
from planner.paper.ground.bands import Band, bands_of
from planner.paper.ground.drawing import DASHES, THIN, Mark, Stroke, Words, line
from planner.paper.ground.letters import Letters
from planner.paper.ground.setting import para_lines
from planner.paper.ground.sizes import Size
from planner.paper.ground.tree import Block, Caution, Document, Heading, Says, Text, say, texts

_HEAD, _FOOT = 3.2, 2.6  # mm, the letters of the page's head and foot


class Printed(NamedTuple):
    """A PDF: its bytes, how many pages, and the characters in it that are printed as boxes."""

    body: bytes
    pages: int
    missing: tuple[str, ...]


class _Placed(NamedTuple):
    y: float
    band: Band


def write(document: Document, size: Size) -> Printed:
    """The document on paper of that size. Raises TooLargeError for a drawing that no page holds."""
    letters = Letters(size)
    about = (document.title, document.build, document.aid)
    missing = characters.missing((*about, *texts(document.blocks)), letters.known)
    blocks = (Heading(document.title, 0), say(document.build), *document.blocks, *_not_printed(missing))
    pages = paged(list(bands_of(letters, blocks, size.frame)), size.frame[1])
    pdf = letters.pdf
    pdf.set_creation_date(datetime.fromtimestamp(int(document.made), UTC))
    pdf.set_title(letters.printable(f"{document.build}: {document.title}"))
    pdf.set_creator("planner")
    pdf.set_lang("en")
    for number, page in enumerate(pages, 1):
        pdf.add_page()
        for placed in page:
            _draw(letters, placed.band.marks, (size.side, size.top + placed.y))
        _draw(letters, _edges(letters, document, size, number, len(pages)), (0.0, 0.0))
    return Printed(bytes(pdf.output()), len(pages), missing)


def _not_printed(missing: Sequence[str]) -> list[Block]:
    if not missing:
        return []
    says = f"{characters.INSTEAD} stands for a character that cannot be printed here; the text and HTML files have it:"
    return [Heading("Not printed", 2), Caution(says), Says((Text("; ".join(characters.told(missing))),))]


def paged(bands: Sequence[Band], most: float) -> list[list[_Placed]]:
    """Bands on pages of a height: none cut, heads said again, what stays together together where a page holds it."""
    pages: list[list[_Placed]] = [[]]
    y = 0.0
    for start, end in _chains(bands):
        chain = bands[start:end]
        if pages[-1] and (chain[0].breaks or y + sum(each.height for each in chain) > most + 1e-6):
            pages.append([])
            y = 0.0
        for band in chain:
            if pages[-1] and y + band.height > most + 1e-6:
                if not band.marks:  # mere space
                    continue
                pages.append([])
                y = 0.0
            if not pages[-1] and band.head is not None:
                pages[-1].append(_Placed(0.0, band.head))
                y = band.head.height
            if pages[-1] or band.marks:
                pages[-1].append(_Placed(y, band))
                y += band.height
    return pages


def _chains(bands: Sequence[Band]) -> Iterable[tuple[int, int]]:
    """Runs of bands that stay on one page, as (start, end)."""
    start = 0
    for index, band in enumerate(bands):
        if not band.stays:
            yield start, index + 1
            start = index + 1
    if start < len(bands):
        yield start, len(bands)


def _edges(letters: Letters, document: Document, size: Size, number: int, count: int) -> tuple[Mark, ...]:
    """Head and foot of a page: which build, which paper, which page, of when, and that it is an aid."""
    left, right = size.side, size.width - size.side
    foot = size.height - size.bottom + 5
    half = (right - left) / 2 - 2
    edges: list[Mark] = [
        Words(left, 13, _short(letters, document.build, half), _HEAD, bold=True),
        Words(right, 13, _short(letters, document.title, half), _HEAD, at="end"),
        line((left, 15), (right, 15), THIN),
        line((left, foot - 3.5), (right, foot - 3.5), THIN),
        Words(right, foot + 3.6, f"page {number} of {count}", _FOOT, bold=True, at="end"),
        Words(left, foot + 3.6, f"made {document.made_says}", _FOOT),
    ]
    aid = para_lines(letters, (Text(document.aid),), (right - left) * 3.6 / _FOOT)[0]
    for mark in aid.marks:
        if isinstance(mark, Words):
            edges.append(mark._replace(x=left + mark.x * _FOOT / 3.6, y=foot, mm=_FOOT))
    return tuple(edges)


def _short(letters: Letters, text: str, width: float) -> str:
    if letters.width(text, _HEAD, True) <= width:
        return text
    while text and letters.width(text + "…", _HEAD, True) > width:
        text = text[:-1]
    return text.rstrip() + "…"


def _draw(letters: Letters, marks: Iterable[Mark], at: tuple[float, float]) -> None:
    for mark in marks:
        if isinstance(mark, Stroke):
            _stroke(letters, mark, at)
        else:
            _words(letters, mark, at)


def _stroke(letters: Letters, mark: Stroke, at: tuple[float, float]) -> None:
    pdf = letters.pdf
    pdf.set_line_width(mark.mm)
    dashes = DASHES[mark.dash]
    style = f"0 J 1 j [{' '.join(f'{each * pdf.k:.3f}' for each in dashes)}] 0 d"
    points = [((at[0] + x) * pdf.k, (pdf.h - at[1] - y) * pdf.k) for x, y in mark.points]
    path = " ".join(f"{x:.3f} {y:.3f} {'l' if index else 'm'}" for index, (x, y) in enumerate(points))
    paint = ("b" if mark.filled else "s") if mark.closed else "S"
    pdf._out(f"{style} {path} {paint}")  # the library's own lines reach beyond their ends


def _words(letters: Letters, mark: Words, at: tuple[float, float]) -> None:
    pdf = letters.pdf
    x, y = at[0] + mark.x, at[1] + mark.y
    text = letters.printable(mark.text)
    wide = letters.width(mark.text, mark.mm, mark.bold) if mark.at != "start" else 0.0
    shift = {"start": 0.0, "middle": wide / 2, "end": wide}[mark.at]
    letters.choose(mark.mm, mark.bold)
    if mark.angle:
        with pdf.rotation(mark.angle, x, y):
            pdf.text(x - shift, y, text)
    else:
        pdf.text(x - shift, y, text)
