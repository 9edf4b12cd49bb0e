"""The description of an episode: all words from the build, and none of them markup."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import assume, example, given
from hypothesis import strategies as st
from markdown_it import MarkdownIt

from planner.paper.description import Description, Section, escaped, markdown, plain
from planner.session.onebuild import OneBuild
from planner.telling.looks import literal
from tests.numbers.builds import BUILD, NUMBERS
from tests.paper.test_edit import START, At, slate
from tests.support.builds import write_files
from tests.support.commandline import run, run_json

FILES = {
    "build.yaml": BUILD + "film: driver\n",
    "numbers.yaml": NUMBERS,
    "episodes/01-lines.yaml": """\
format: 1
episode: 1
title: "*Lines* <script>"
sponsors: [{who: A mill, says: The steel was given, from: steel}]
stages:
  - stage: "# Mark"
    steps:
      - step: mark
        do: Mark {narrow.first-line} from the face, then {narrow.second-line}
        cautions: ["Eyes [covered](http://x.example)", Gloves off]
      - {step: read, do: Read it, sides: [driver], why: x, reads: narrow.first-line}
  - stage: Saw
    steps:
      - {step: saw, do: "=Saw | it", sides: once, cautions: [Gloves off]}
""",
    "episodes/02-mend.yaml": """\
format: 1
episode: 2
title: Mend
refers-to: [{episode: 1, says: where the lines come from}, {build: hay-trailer, episode: 3}]
corrects: [{episode: 1, says: The saw is 14 teeth}, {episode: 1, says: Gloves OFF at the saw, safety: true}]
stages:
  - stage: S
    steps: [{step: tell, do: Tell it, sides: once}]
""",
}


@pytest.fixture
def filmed(tmp_path: Path) -> Path:
    folder = write_files(tmp_path / "lines", FILES)
    clock = At()
    one = OneBuild(folder, "bench", clock)
    one.remark("mark@driver", [slate("A001", "10:00:00:00", "25")])
    for after, name, reading in ((5, "mark@driver", None), (8, "mark@passenger", None), (90, "saw", None)):
        clock.now = START + after
        assert reading is None
        one.tick(name, anyway=True)
    return folder


def test_it_says_what_was_done_in_the_order_that_counts(filmed: Path) -> None:
    code, out, err = run("story", str(filmed), "--description", "1")
    assert code == 0
    assert "1 of 4 operations of episode 1 are not done yet" in err
    wanted = [
        "*Lines* <script>",
        "Sponsors",
        "- A mill (steel): The steel was given",
        "Safety corrections",
        "- Corrected in episode 2: Gloves OFF at the saw",
        "What was done",
        "- Mark 4 in",
        "(driver)",
        "- Mark 3 1/2 in",
        "(passenger off camera)",
        "- =Saw | it",
        "Numbers",
        "- First line (from the present plate face to the first line), driver: 4 in",
        "Corrections",
        "- Corrected in episode 2: The saw is 14 teeth",
        "Chapters\n0:00 # Mark\n1:30 Saw\n",
        "Cautions",
        "- Eyes [covered](http://x.example)",
        "- Gloves off\n- Numbers and cautions",
        "local rules, licensed practice and inspection",
    ]
    at = 0
    for words in wanted:
        assert words in out[at:], words
        at = out.index(words, at) + len(words)
    assert "Read it" not in out, "it was not done"


def test_a_number_says_its_doubt_and_whether_it_was_measured(filmed: Path) -> None:
    """The ± of what narrow yields is the one that ``planner numbers`` prints."""
    _, before, _ = run("story", str(filmed), "--description", "1")
    line = next(
        each
        for each in before.splitlines()
        if each.startswith("- Second line (from the present plate face to the second line), driver")
    )
    assert line.endswith(", planned")
    doubt = line.partition("±")[2].removesuffix(", planned").strip()
    assert doubt and f"± {doubt}" in run("numbers", str(filmed))[1]
    one = OneBuild(filmed, "bench", At())
    one.tick("read@driver", remarks=[{"did": "reading", "value": "4 1/16 in ± 1/32"}], anyway=True)
    _, after, _ = run("story", str(filmed), "--description", "1")
    line = next(
        each
        for each in after.splitlines()
        if each.startswith("- First line (from the present plate face to the first line), driver")
    )
    assert "4 1/16 in" in line and "±" in line and line.endswith(", measured")


def test_what_it_corrects_and_refers_to(filmed: Path) -> None:
    _, answer = run_json("story", str(filmed), "--description", "2")
    sections = {each["title"]: each["lines"] for each in answer["sections"]}
    assert sections["Safety corrections"] == ["Episode 1 is corrected here: Gloves OFF at the saw"]
    assert sections["References"] == [
        "episode 1, *Lines* <script>: where the lines come from",
        "hay-trailer episode 3",
    ]
    assert "What is to be done" in sections and "Chapters" not in sections


def test_files_and_refusals(filmed: Path, tmp_path: Path) -> None:
    target = tmp_path / "x.md"
    assert run("story", str(filmed), "--description", "1", "--to", str(target))[0] == 0
    text = target.read_text()
    assert "\\*Lines\\* \\<script\\>" in text
    assert run("story", str(filmed), "--description", "1", "--to", str(target))[0] == 3
    assert target.read_text() == text
    assert run("story", str(filmed), "--description", "1", "--to", str(tmp_path / "x.txt"))[0] == 0
    assert (tmp_path / "x.txt").read_text() == run("story", str(filmed), "--description", "1")[1]
    for words, says in (
        (("--description", "9"), "there is no episode 9"),
        (("--description", "1", "--to", str(tmp_path / "x.doc")), "must end in one of .md, .txt"),
        (("--to", "x.md"), "belongs to --description"),
    ):
        code, out, err = run("story", str(filmed), *words)
        assert (code, out, err.count("\n")) == (2, "", 1) and says in err


def test_a_sponsor_without_words_is_named_to_whoever_publishes(tmp_path: Path) -> None:
    files = {
        **FILES,
        "episodes/01-lines.yaml": FILES["episodes/01-lines.yaml"].replace(", says: The steel was given", ""),
    }
    _, out, err = run("story", str(write_files(tmp_path / "x", files)), "--description", "1")
    assert "no words for the sponsor A mill" in err and "A mill" not in out


NASTY = st.text(
    st.sampled_from(list("ab1 .)-+*_`#=~|<>[]()!\\&:/@$^{}'\"?\tçﬀ")) | st.characters(), min_size=1, max_size=40
)


@given(NASTY, NASTY)
@example("1. a", "---")
@example("www.x.example", "http://x.example a@b.example mailto:x")
@example("<b>&amp;</b> ![x](y) [x]: y", "| a | b |")
@example("    code", "~~x~~ **y** `z`")
def test_markup_in_a_text_comes_out_as_that_text(first: str, second: str) -> None:
    """Read back by markdown-it with all that sites add to CommonMark: links without markup, tables, strike-through."""
    reader = MarkdownIt("gfm-like")
    texts = [" ".join(literal(each).split()) for each in (first, second)]
    assume(all(texts))  # the reader of plan files takes no empty text
    told = Description(first, (Section("Head", (first, second)),), ())
    tokens = reader.parse(markdown(told))
    kinds = [token.type for token in tokens if token.type.endswith("_open")]
    inline = [token for token in tokens if token.type == "inline"]
    shown = ["".join(child.content for child in token.children or ()) for token in inline]
    assert {child.type for token in inline for child in token.children or ()} <= {"text", "text_special"}
    assert shown == [texts[0], "Head", *texts]
    assert kinds == ["heading_open", "heading_open", "bullet_list_open", *(["list_item_open", "paragraph_open"] * 2)]
    for text in texts:
        assert f"- {text}" in plain(told).split("\n")


def test_an_escape_is_there_only_where_it_is_needed() -> None:
    assert (
        escaped("Cut 3 1/2 in (88.9 mm), look twice; then: stop!") == "Cut 3 1/2 in (88.9 mm), look twice; then: stop!"
    )
