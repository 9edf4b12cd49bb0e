"""The ground of all papers: nothing lost, nothing cut, true to size, literal, the same bytes again."""

from __future__ import annotations

import io
import math
import re
import shutil
import subprocess
from html.parser import HTMLParser
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pypdf import PdfReader

from planner.paper.ground import pdf, plaintext, webpage
from planner.paper.ground.characters import FONTS
from planner.paper.ground.drawing import Drawing, arc, hatch
from planner.paper.ground.sizes import SIZES, Size
from planner.paper.ground.tree import Column, Document, Figure, Table, row, say
from tests.paper.sample import CAUTIONS, NUMBERS, document, pages, strokes

BOTH = pytest.mark.parametrize("size", SIZES.values(), ids=list(SIZES))


@BOTH
def test_every_word_is_printed_and_no_number_or_caution_is_cut(size: Size) -> None:
    made = pdf.write(document(size), size)
    found = pages(made.body)
    assert len(found) == made.pages > 4
    for text in (*NUMBERS, *CAUTIONS):
        assert sum(text in page for page in found) == 1, text
    for count, page in enumerate(found, 1):
        assert f"page {count} of {made.pages}" in page
        assert "planning aid" in page and "Kestrel" in page
    assert all("What" in page for page in found if any(number in page for number in NUMBERS))
    reader = PdfReader(io.BytesIO(made.body))
    for each in reader.pages:
        assert float(each.mediabox.width) * 25.4 / 72 == pytest.approx(size.width, abs=0.01)
        assert float(each.mediabox.height) * 25.4 / 72 == pytest.approx(size.height, abs=0.01)


@BOTH
def test_nothing_is_drawn_outside_the_margins(size: Size) -> None:
    made = pdf.write(document(size), size)
    for page in range(made.pages):
        for x, y in (point for stroke in strokes(made.body, page) for point in stroke):
            assert size.side - 0.01 <= x <= size.width - size.side + 0.01
            assert 5 <= y <= size.height - 5


def test_the_same_facts_make_the_same_bytes() -> None:
    size = SIZES["a4"]
    assert pdf.write(document(size), size).body == pdf.write(document(size), size).body


@BOTH
def test_a_bar_of_100_mm_is_one_by_the_vectors_of_the_page(size: Size) -> None:
    made = pdf.write(document(size), size)
    wide = [
        abs(stroke[1][0] - stroke[0][0])
        for stroke in strokes(made.body, made.pages - 1)
        if len(stroke) == 2 and abs(stroke[0][1] - stroke[1][1]) < 1e-6
    ]
    assert min(abs(each - 100) for each in wide) < 0.002


@pytest.mark.skipif(shutil.which("pdftoppm") is None, reason="poppler is not here")
@BOTH
def test_a_bar_of_100_mm_is_one_when_the_page_is_printed(size: Size, tmp_path: Path) -> None:
    """Rendered by poppler at 600 dots an inch and measured in dots; 0.2 mm over 200 mm is asked for."""
    from PIL import Image

    made = pdf.write(document(size), size)
    (tmp_path / "it.pdf").write_bytes(made.body)
    where = [str(tmp_path / "it.pdf"), str(tmp_path / "it")]
    last = str(made.pages)
    subprocess.run(["pdftoppm", "-f", last, "-l", last, "-r", "600", "-gray", *where], check=True)
    image = Image.open(next(tmp_path.glob("it*.pgm")))
    per_mm = 600 / 25.4
    ink = image.point(lambda value: 255 if value < 128 else 0)
    at = round((size.top + 20) * per_mm)
    bar = ink.crop((0, at - 2, image.width, at + 2)).getbbox()
    assert bar is not None and abs((bar[2] - bar[0]) / per_mm - 100.2) < 0.1  # the ticks at its ends are 0.2 mm wide
    x = round((size.side + 10) * per_mm)
    side = ink.crop((x - 2, round((size.top + 35) * per_mm), x + 2, image.height - 500)).getbbox()
    assert side is not None and abs((side[3] - side[1]) / per_mm - 100.5) < 0.1


class Reader(HTMLParser):
    """What is in a page: its tags in order and its text."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []
        self.open: list[str] = []
        self.data: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))
        if tag not in ("meta", "col"):
            self.open.append(tag)

    def handle_startendtag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append((tag, dict(attrs)))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open[-1:] not in (["style"],):
            self.data.append(data)


def test_the_web_page_stands_alone_and_holds_the_same_facts() -> None:
    read = Reader(webpage.write(document(SIZES["a4"]), SIZES["a4"]))
    assert read.open == []
    assert not {"script", "link", "img", "iframe", "object", "base", "form"} & {tag for tag, _ in read.tags}
    for _, attributes in read.tags:
        assert not {key for key in attributes if key.startswith("on") or key in ("src", "href", "action")}
    text = " ".join("".join(read.data).split())
    assert all(each in text for each in (*NUMBERS, *CAUTIONS))
    drawn = next(attributes for tag, attributes in read.tags if tag == "svg")
    assert drawn["width"] == "186mm" and (drawn.get("viewbox") or "").startswith("0 0 186 ")


def test_the_text_holds_the_same_facts() -> None:
    text = " ".join(plaintext.write(document(SIZES["a4"])).split())
    assert all(each in text for each in (*NUMBERS, *CAUTIONS))
    assert "[x] 1 [ ] 2" in text and "a bar of 100 mm" in text


NASTY = [
    "<script>alert(1)</script> & 'x' \"y\"",
    "=1+1",
    "**b** __u__ --s--",
    "(paren\\) Tj ET",
    "{x}",
    "%PDF \\n",
    "[x](y)",
]


@pytest.mark.parametrize("nasty", NASTY)
def test_markup_comes_out_as_text(nasty: str) -> None:
    size = SIZES["a4"]
    made = document(size, title=nasty, build=nasty, words=nasty + " ")
    assert nasty in pages(pdf.write(made, size).body)[0]
    read = Reader(webpage.write(made, SIZES["a4"]))
    assert nasty in "".join(read.data) and "script" not in {tag for tag, _ in read.tags}
    assert nasty in plaintext.write(made)
    assert PdfReader(io.BytesIO(pdf.write(made, size).body)).metadata.title == f"{nasty}: {nasty}"  # type: ignore[union-attr]


@pytest.mark.parametrize("char", ["\x1b[31m", "\x07", "\x9b", "\u202e", "\u2066"])
def test_what_a_terminal_obeys_is_in_no_file(char: str) -> None:
    made = document(SIZES["a4"], title=f"a{char}b", words=f"c{char}d ")
    assert char not in plaintext.write(made) and char not in webpage.write(made, SIZES["a4"])
    assert char not in "".join(pages(pdf.write(made, SIZES["a4"]).body))


def test_other_scripts_are_printed_and_what_cannot_be_is_named() -> None:
    size = SIZES["a4"]
    made = pdf.write(document(size, words="Привет Καλημέρα Łódź 日本 שלום "), size)
    text = " ".join(pages(made.body))
    assert "Привет Καλημέρα Łódź" in text and "日" not in text
    assert set(made.missing) == set("日本שלום")
    assert "U+65E5 CJK UNIFIED IDEOGRAPH-65E5" in text and "\u25af\u25af" in text
    assert "日本" in plaintext.write(document(size, words="日本 ")) and "日本" in webpage.write(
        document(size, words="日本 "), size
    )


def test_the_fonts_are_here_with_their_licence() -> None:
    assert "Bitstream" in (FONTS / "LICENCE.txt").read_text(encoding="utf-8")


@settings(max_examples=4)
@given(st.text(max_size=400))
def test_any_text_at_all_makes_a_page(text: str) -> None:
    assert pdf.write(Document("x", "t", "b", 0, "then", (say(text),)), SIZES["a4"]).pages >= 1


@settings(max_examples=8)
@given(st.text(st.characters(min_codepoint=33, max_codepoint=0x17F, categories=["L", "N", "P", "S"]), min_size=150))
def test_no_text_is_lost(text: str) -> None:
    """Letters, figures and signs that the fonts have, in long words: a reader of PDF finds all, in order."""
    made = pdf.write(Document("x", "t", "b", 0, "then", (say(f"A{text}Z"),)), SIZES["a4"])
    assert made.missing == ()
    assert f"A{text}Z" in re.sub(r"\s+", "", "".join(pages(made.body)))


def test_a_paragraph_longer_than_a_page_goes_on() -> None:
    size = SIZES["letter"]
    words = [f"w{count}" for count in range(3000)]
    made = pdf.write(Document("x", "t", "b", 0, "then", (say(" ".join(words)),)), size)
    text = " ".join(pages(made.body))
    assert made.pages > 3 and all(f" {word} " in text for word in words[:-1])


def test_a_drawing_larger_than_its_page_is_refused() -> None:
    size = SIZES["a4"]
    made = Document("x", "t", "b", 0, "then", (Figure(Drawing(300, 20, ()), ("x",)),))
    with pytest.raises(ValueError, match="does not fit"):
        pdf.write(made, size)


def test_hatching_of_a_ring_sector_covers_its_area() -> None:
    """Length of the lines times their distance is the area, by the formula of a circle's sector."""
    outline = [*arc((0, 0), 40, 0, 90).points, *reversed(arc((0, 0), 20, 0, 90).points)]
    lines = hatch(outline, 0.05, 30)
    area = 0.05 * sum(math.dist(*stroke.points) for stroke in lines)
    assert area == pytest.approx(math.pi * (40**2 - 20**2) / 4, rel=2e-3)
    assert all(20 - 0.01 <= math.hypot(*point) <= 40 + 0.01 for stroke in lines for point in stroke.points)


def test_what_should_stay_together_and_is_longer_than_a_page_is_parted_and_not_cut() -> None:
    size = SIZES["a4"]
    rows = tuple(row(f"title number {count}", strong=True) for count in range(120))
    made = pdf.write(Document("x", "t", "b", 0, "then", (Table((Column("All"),), rows),)), size)
    found = pages(made.body)
    assert all(sum(f"title number {count} " in page for page in found) == 1 for count in range(120))
    for page in range(made.pages):
        assert min(y for stroke in strokes(made.body, page) for _, y in stroke) > 5
