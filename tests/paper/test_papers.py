"""``planner paper``: the command, its files and its refusals."""

from __future__ import annotations

import shutil
from pathlib import Path

import pytest

from planner.paper.registry import PAPERS
from tests.paper.sample import pages
from tests.support.commandline import run, run_json

DEMOS = Path(__file__).resolve().parents[2] / "projects"
NOW = "2027-02-13T19:30Z"


@pytest.fixture
def demo(tmp_path: Path) -> str:
    """The axle demo in a folder of its own."""
    return str(shutil.copytree(DEMOS / "dunlin-pickup", tmp_path / "dunlin-pickup"))


def test_papers_are_listed(demo: str) -> None:
    code, out, _ = run("paper", demo)
    assert code == 0
    assert [line.split()[0] for line in out.splitlines()] == [paper.name for paper in PAPERS]
    code, found = run_json("paper", demo)
    assert [each["paper"] for each in found["papers"]] == [paper.name for paper in PAPERS]


@pytest.mark.parametrize("ending", [".pdf", ".html", ".txt"])
def test_a_paper_is_written_and_never_over_a_file(demo: str, tmp_path: Path, ending: str) -> None:
    to = tmp_path / f"it{ending}"
    said = run("paper", demo, "torque", "--to", str(to), "--now", NOW)
    assert said[0] == 0 and str(to) in said[1]
    first = to.read_bytes()
    to.write_bytes(b"mine")
    code, _, err = run("paper", demo, "torque", "--to", str(to), "--now", NOW)
    assert code == 3 and "--replace" in err and to.read_bytes() == b"mine"
    assert run("paper", demo, "torque", "--to", str(to), "--replace", "--now", NOW)[0] == 0
    assert to.read_bytes() == first
    if ending == ".pdf":
        assert "wheel nuts" in " ".join(pages(first))


@pytest.mark.parametrize(
    ("argv", "code", "says"),
    [
        (["torqe"], 2, "did you mean torque"),
        (["torque", "--to", "{}/a.doc"], 2, "must end in one of .pdf, .html, .txt"),
        (["torque", "--to", "{}/none/a.pdf"], 3, "not a folder"),
        (["torque", "--episode", "99", "--to", "{}/a.pdf"], 2, "no episode 99"),
        (["torque", "--side", "left", "--to", "{}/a.pdf"], 2, "no side left"),
        (["torque", "--episode", "1", "--to", "{}/a.pdf"], 2, "no step"),
        (["--to", "{}/a.pdf"], 2, "which paper"),
        (["torque", "--size", "a3"], 2, "--size"),
    ],
)
def test_what_cannot_be_is_one_line_and_nothing_is_written(
    demo: str, tmp_path: Path, argv: list[str], code: int, says: str
) -> None:
    found, out, err = run("paper", demo, *(each.format(tmp_path) for each in argv))
    assert (found, out) == (code, "") and says in err
    assert len([line for line in err.splitlines() if line.startswith("planner: ")]) == 1
    assert [each.name for each in tmp_path.iterdir()] == ["dunlin-pickup"]


def test_without_a_file_the_paper_is_shown_as_text_and_as_facts(demo: str) -> None:
    code, out, _ = run("paper", demo, "torque", "--now", NOW)
    assert code == 0 and "Torque table" in out
    code, found = run_json("paper", demo, "torque", "--now", NOW)
    assert (code, found["paper"], found["file"], found["pages"]) == (0, "torque", None, None)
    assert any("wheel nuts" in str(block) for block in found["blocks"])
