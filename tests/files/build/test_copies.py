"""Copies of plan files that a file sync leaves: named, left out, and no reason to stop ticking."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.build.copies import copies_in
from planner.files.build.reading import read_build
from tests.files.log.making import planner, tick, write_build

# Common practice, no source: what file syncs, desktops and mail programs call a second copy.
NAMES = (
    "01-posts-up (1).yaml",
    "01-posts-up (conflicted copy 2027-01-01 101500).yaml",
    "01-posts-up (Anna's conflicted copy).yaml",
    "01-posts-up.sync-conflict-20270101-101500-ABCDEFG.yaml",
    "01-posts-up_conf(1).yaml",
    "01-posts-up-LAPTOP.yaml",
    "01-posts-up - Copy.yaml",
    "01-posts-up~1.yaml",
    "01-posts-up [conflict].yml",
    "Copy of 01-posts-up.yaml",
    "01-Posts-Up.yaml",
)


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("holds", ["episode: 1\n", "\0\xff not: [text", ""])
def test_a_copy_of_an_episode_is_named_and_left_out(tmp_path: Path, name: str, holds: str) -> None:
    folder = write_build(tmp_path)
    plain = read_build(folder)
    copy = folder / "episodes" / name
    copy.write_text(holds, encoding="utf-8")
    assert read_build(folder).build == plain.build is not None
    assert [(each.path, each.of.name) for each in copies_in(folder)] == [(copy, "01-posts-up.yaml")]
    said = planner("check", str(folder))
    assert said.code == 0
    assert f"{copy}:1: looks like a copy of 01-posts-up.yaml" in said.err
    assert tick(folder, "brush@left").code == 0
    assert copy.read_text(encoding="utf-8") == holds


def test_copies_of_the_build_and_its_numbers_are_named(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    (folder / "build (1).yaml").write_text("x", encoding="utf-8")
    (folder / "numbers.sync-conflict-1.yaml").write_text("x", encoding="utf-8")
    assert [each.of.name for each in copies_in(folder)] == ["build.yaml"]
    (folder / "numbers.yaml").write_text("format: 1\n", encoding="utf-8")
    assert [each.of.name for each in copies_in(folder)] == ["build.yaml", "numbers.yaml"]


def test_another_episode_is_no_copy(tmp_path: Path) -> None:
    """A well-named file with a number twice is the person's own plan, and is told as a problem."""
    folder = write_build(tmp_path)
    text = (folder / "episodes/01-posts-up.yaml").read_text(encoding="utf-8")
    (folder / "episodes/01-posts-up-2.yaml").write_text(text, encoding="utf-8")
    assert copies_in(folder) == []
    assert read_build(folder).problems
    (folder / "episodes/01-posts-up-2.yaml").rename(folder / "episodes/notes.yaml")
    assert "not named as an episode" in read_build(folder).problems[0].message
