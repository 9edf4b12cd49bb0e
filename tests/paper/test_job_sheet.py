"""The job sheet: every step, number, caution, hold, wait and debt of the plan, whole, in every kind of file."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from pypdf import PdfReader

from planner.paper.facts import Asked, Facts
from planner.paper.ground import pdf, plaintext, webpage
from planner.paper.ground.sizes import SIZES, Size
from planner.paper.registry import make, paper_named
from planner.session.onebuild import OneBuild
from tests.paper.sample import pages, two_shifts
from tests.support.commandline import run

DEMOS = Path(__file__).resolve().parents[2] / "projects"
HELD = """format: 1
build: Held
sides: [left, right]
conditions: {a.b: {kept: side, means: the thing}}
"""
EPISODE = """format: 1
episode: 1
title: <b>One</b>
stages:
  - stage: "=SUM(A1) stage"
    steps:
      - step: read
        do: "Read **it** & write <i>it</i> down"
        gives: [a.b]
        hold: {most: 0.010 in, plus-minus: 0.004 in}
        wait: 20 min
        cautions: ["{not a number} <script>"]
        film: left
      - step: fix
        do: Put it right
        rework: true
        needs: [a.b]
"""


def one_of(folder: Path) -> OneBuild:
    return OneBuild(folder, "bench", lambda: 1.8e9)


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


@pytest.mark.parametrize("size", SIZES.values(), ids=list(SIZES))
@pytest.mark.parametrize("name", ["dunlin-pickup", "hay-trailer", "four-corners"])
def test_every_step_of_a_demo_is_whole_on_one_page(name: str, size: Size) -> None:
    """The words, cautions and numbers come from the plan file's values, the pages from another library's reading."""
    one = one_of(DEMOS / name)
    paper = paper_named("job-sheet")
    assert paper is not None
    document = make(paper, Facts(one, 1.8e9, Asked(size=size)))
    made = pdf.write(document, size)
    found = [squeezed(page) for page in pages(made.body)]
    text, web = squeezed(plaintext.write(document)), webpage.write(document, SIZES["a4"])
    for _, stage in one.plan.stages:
        for step in stage.steps:
            assert any(step.id in page for page in found) and step.id in web and step.id in text
            for words in (*([] if "{" in step.do else [step.do]), *step.cautions):
                assert any(squeezed(words) in page for page in found), words
                assert squeezed(words) in text
    for number in (n for each in one.plan.build.numbers.values() for n in each.values()):
        assert number[1]  # every number is in words
    assert made.missing == ()


def test_numbers_stand_in_the_column_of_their_side() -> None:
    one = one_of(DEMOS / "dunlin-pickup")
    paper = paper_named("job-sheet")
    assert paper is not None
    document = make(paper, Facts(one, 1.8e9, Asked(episode=4)))
    found = squeezed(" ".join(pages(pdf.write(document, SIZES["a4"]).body)))
    for side in ("driver", "passenger"):
        shown = one.plan.build.numbers["narrow.second-line"][side][1]
        assert squeezed(f"second line: {shown}, planned") in found
    assert "OFFCAMERA" in found and "onceOFF" in found


def write(folder: Path) -> Path:
    (folder / "episodes").mkdir(parents=True)
    (folder / "build.yaml").write_text(HELD, encoding="utf-8")
    (folder / "episodes" / "01-one.yaml").write_text(EPISODE, encoding="utf-8")
    return folder


def test_holds_waits_rework_and_what_looks_like_markup(tmp_path: Path) -> None:
    folder = write(tmp_path / "held")
    code, out, err = run("paper", str(folder), "job-sheet", "--now", "2027-02-13T19:30Z")
    assert code == 0, err
    text = " ".join(out.split())
    assert "HOLD: at most 0.010 in" in text and "WAIT 20 min" in text
    assert text.count("reading ________") == text.count("until ________") == 2  # one a side
    assert "ONLY IF NEEDED: Put it right" in text
    assert "Read **it** & write <i>it</i> down" in text and "! {not a number} <script>" in text
    to = tmp_path / "a.pdf"
    assert run("paper", str(folder), "job-sheet", "--to", str(to))[0] == 0
    page = " ".join(PdfReader(to).pages[0].extract_text().split())
    assert "Read **it** & write <i>it</i> down" in page and "=SUM(A1) stage" in page
    web = tmp_path / "a.html"
    assert run("paper", str(folder), "job-sheet", "--to", str(web))[0] == 0
    assert "<script" not in web.read_text(encoding="utf-8") and "&lt;i&gt;it" in web.read_text(encoding="utf-8")


def test_what_is_ticked_is_shown_ticked_and_only_that(tmp_path: Path) -> None:
    folder = write(tmp_path / "held")
    assert run("tick", str(folder), "read@left", "--reading", "0.002 in")[0] == 0
    _, out, _ = run("paper", str(folder), "job-sheet")
    lines = [line.strip() for line in out.splitlines()]
    assert [line for line in lines if line.startswith("left")] == ["left: [x]", "left: [ ]"]
    assert [line for line in lines if line.startswith("right")] == ["right: [ ]", "right: [ ]"]


def test_a_shift_has_its_times_and_the_work_of_the_calendar(tmp_path: Path) -> None:
    folder = two_shifts(tmp_path / "two")
    now = ["--now", "2027-03-01T12:00Z"]
    spells = json.loads(run("calendar", folder, "--json", *now)[1])["shifts"]
    _, out, _ = run("paper", folder, "job-sheet", "--shift", "2", *now)
    for part in spells[1]["parts"]:
        assert part["op"].partition("@")[0] in out
    assert "Mark it" not in out
    assert re.search(r"19:00–20:00\n.*Saw it", out)
    code, _, err = run("paper", folder, "job-sheet", "--shift", "9999", *now)
    assert code == 2 and "2 shifts to come" in err


def test_a_caution_stands_on_the_page_of_the_step_that_it_is_for() -> None:
    one = one_of(DEMOS / "four-corners")
    paper = paper_named("job-sheet")
    assert paper is not None
    for size in SIZES.values():
        found = pages(pdf.write(make(paper, Facts(one, 1.8e9, Asked(episode=2, size=size))), size).body)
        page = next(each for each in found if "tab-weld" in each)
        assert page.index("Never weld an axle shaft") < page.index("Weld the tab along the tube")


def test_an_empty_place_says_that_it_is_meant() -> None:
    _, out, _ = run("paper", str(DEMOS / "four-corners"), "job-sheet", "--episode", "2")
    assert "front-left: – not on this side" in out


def test_only_a_pdf_loads_the_library_that_writes_one(tmp_path: Path) -> None:
    import subprocess
    import sys

    asks = (
        "import sys; from planner.commands import main; main(sys.argv[1:]); "
        "print('fpdf' in sys.modules, 'textual' in sys.modules)"
    )
    base = [sys.executable, "-c", asks, "paper", str(DEMOS / "hay-trailer"), "torque", "--to"]
    for name, says in (("a.html", "False False"), ("a.pdf", "True False")):
        done = subprocess.run([*base, str(tmp_path / name)], capture_output=True, text=True, check=True)
        assert done.stdout.splitlines()[-1] == says
