"""Every text field of a build, in every file that leaves the tool: what somebody wrote is text there and no more."""

from __future__ import annotations

import csv
import json
import re
from html import unescape
from html.parser import HTMLParser
from itertools import cycle
from pathlib import Path

import icalendar
import opentimelineio as otio
import webvtt
from markdown_it import MarkdownIt
from pypdf import PdfReader

from planner.paper.registry import PAPERS
from planner.session.onebuild import OneBuild
from tests.support.builds import write_files
from tests.support.commandline import run

START = 1_800_000_000.0
NOW = ("--now", "2027-01-15T09:00Z")
NASTY = (
    "1+1)|cmd <b>b</b><script>x</script> **m** [l](http://x.example) --> 00:00:09.000 &amp; "
    "\n* LOC: 01:00:00:00 GREEN no"
)
#: What belongs to the sheets themselves.
TAGS = {"html", "head", "meta", "title", "style", "body", "h1", "h2", "h3", "p", "b", "span", "i", "table", "colgroup"}
TAGS |= {"col", "thead", "tbody", "tr", "th", "td", "div", "svg", "text", "polyline", "polygon"}
LISTS = {"heading_open", "heading_close", "bullet_list_open", "bullet_list_close", "list_item_open", "list_item_close"}
LISTS |= {"paragraph_open", "paragraph_close", "inline", "text", "text_special", "softbreak"}
PARTS = {"VCALENDAR", "VEVENT", "VTIMEZONE", "STANDARD", "DAYLIGHT"}


def build() -> dict[str, str]:
    """A build in which every text that a person may write freely is nasty, each with a word of its own."""
    starts = cycle(("=", "+", "-", "@", "# ", "1. "))

    def q(word: str) -> str:
        return json.dumps(f"{next(starts)}{NASTY} {word}")  # JSON's strings are YAML's

    step = (
        f"do: {q('do')}, note: [{q('note')}], say: [{q('say')}], cautions: [{q('caution')}],"
        f" shots: [{q('plainshot')}, {{shot: {q('shot')}, of: {q('of')}, length: 5 s}}]"
    )
    return {
        "build.yaml": f"format: 1\nbuild: {q('build')}\nsides: [left, right]\n"
        'shop: {timezone: UTC, hours: {fri: "10:00-20:00"}}\n'
        f"conditions: {{ends.true: {{kept: side, means: {q('means')}}}}}\n",
        "episodes/01-one.yaml": f"format: 1\nepisode: 1\ntitle: {q('title')}\n"
        f"promises: [{{says: {q('promise')}, by: 2}}]\n"
        f"sponsors: [{{who: {q('who')}, says: {q('sponsored')}, from: {q('from')}}}]\n"
        f"stages:\n  - stage: {q('stage')}\n    steps:\n"
        f"      - {{step: one, {step}, kind: cut, piece: tube, sides: [left], why: {q('why')}, gives: [ends.true]}}\n"
        f"      - {{step: two, {step}, kind: torque, piece: tube, sides: once, time: 20 min}}\n"
        f"      - {{step: three, {step}, kind: weld, piece: tube, needs: [ends.true@left], time: 20 min}}\n",
        "episodes/02-two.yaml": f"format: 1\nepisode: 2\ntitle: {q('second')}\nkeeps: [{q('promise')}]\n"
        f"corrects: [{{episode: 1, says: {q('corrected')}, safety: true}}]\n"
        f"refers-to: [{{episode: 1, says: {q('reference')}}}]\n"
        f"stages:\n  - stage: {q('last')}\n    steps:\n      - {{step: end, do: {q('ended')}, sides: once}}\n",
    }


class Tags(HTMLParser):
    """The tags of a page, and no more."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.seen: set[str] = set()
        self.links: list[str] = []
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.seen.add(tag)
        self.links += [name for name, _ in attrs if name in ("href", "src", "onclick", "action")]


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def filmed(folder: Path) -> str:
    """The build with a slate, ticks and a note."""
    now = [START]
    one = OneBuild(folder, "bench", lambda: now[0])
    one.remark("one@left", [{"did": "slate", "clip": "A001", "timecode": "10:00:00:00", "rate": "25"}])
    one.remark("one@left", [{"did": "rolling"}])
    for name in ("one@left", "two"):
        now[0] += 10
        one.tick(name, anyway=True)
    one.remark("two", [{"did": "note", "text": f"={NASTY} noted"}, {"did": "stopped"}])
    return str(folder)


def test_what_somebody_wrote_is_text_in_every_file(tmp_path: Path) -> None:
    folder = filmed(write_files(tmp_path / "nasty", build()))
    said = squeezed(NASTY)
    asked: list[tuple[str, ...]] = [
        ("edit", folder, "1", "--to", f"cut{end}") for end in (".otio", ".edl", ".vtt", ".csv", ".txt")
    ]
    asked += [("story", folder, "--description", "1", "--to", f"told{end}") for end in (".md", ".txt")]
    asked += [("story", folder, "--shots", "--to", f"shots{end}") for end in (".csv", ".txt")]
    asked += [("calendar", folder, "--ics", "shop.ics")]
    asked += [
        ("paper", folder, paper.name, "--to", f"{paper.name}{end}") for paper in PAPERS for end in (".html", ".pdf")
    ]
    for *words, name in asked:
        code, _, says = run(*words, str(tmp_path / name), *NOW)
        assert code in (0, 1) or "nothing was written" in says, (name, says)
    made = {each.name: each for each in tmp_path.iterdir() if each.is_file()}
    assert len(made) >= 18, sorted(made)

    for name in ("cut.csv", "shots.csv"):
        cells = [cell for row in csv.reader(made[name].read_text("utf-8").splitlines()) for cell in row]
        assert not [cell for cell in cells if cell[:1] in "=+-@\t\r" and cell]
        assert any("<script>" in cell for cell in cells)
    for name, path in made.items():
        if name.endswith(".html"):
            page = Tags(path.read_text("utf-8"))
            assert page.seen <= TAGS and page.links == [], name
        elif name.endswith(".pdf"):
            pages = PdfReader(path).pages
            assert not any("/Annots" in page or "/AA" in page for page in pages), name
            assert said in squeezed("".join(p.extract_text() for p in pages)), name
    assert squeezed("<script>x</script>") in squeezed(unescape(made["job-sheet.html"].read_text("utf-8")))

    blocks = MarkdownIt("commonmark").parse(made["told.md"].read_text("utf-8"))
    tokens = [each for token in blocks for each in (token, *(token.children or ()))]
    assert {token.type for token in tokens} <= LISTS
    read = squeezed("".join(token.content for token in tokens if token.type in ("text", "text_special")))
    assert said in read

    clips = list(otio.adapters.read_from_file(str(made["cut.otio"])).find_clips())
    assert [mark.name for mark in clips[0].markers] == ["one@left", "two"]
    (event,) = otio.adapters.read_from_file(str(made["cut.edl"]), "cmx_3600", rate=25).find_clips()
    assert [mark.name.strip() for mark in event.markers] == ["one@left", "two"]
    (chapter,) = webvtt.read(str(made["cut.vtt"])).captions
    assert chapter.start == "00:00:00.000" and "GREEN no" in chapter.text
    calendar = icalendar.Calendar.from_ical(made["shop.ics"].read_bytes())
    assert {part.name for part in calendar.walk()} <= PARTS
