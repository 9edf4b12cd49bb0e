"""Copying a stage to another build: what has to be told apart or declared is said before anything is saved."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.app.write.copytext import Other, copied, copy_lines, read_other, save_copy
from planner.files.build.reading import read_build
from planner.files.disk.folders import read_texts
from planner.files.disk.saving import ChangedOutsideError
from planner.files.editing.spots import Spot
from planner.telling.looks import plain
from tests.app.support import write
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled

TABLE = {
    "build.yaml": "format: 1\nbuild: A bench   # mine\nsides: [left, right]\n",
    "episodes/01-top.yaml": """\
format: 1
episode: 1
title: The top
stages:
  - stage: Wood
    steps:
      - step: clamp   # not the other one
        do: Clamp the boards
""",
}


@pytest.fixture
def bench(brackets: Path) -> Path:
    """Another build beside the brackets, with sides of other names and one id in common."""
    return write(brackets.parent, "bench", TABLE)


def other_at(folder: Path) -> Other:
    """A build to copy to."""
    found = read_other(folder)
    assert isinstance(found, Other), found
    return found


def spots(folder: Path) -> tuple[dict[str, str], str]:
    """The texts of a build, and the path of its first episode."""
    texts = read_texts(folder)
    return texts, next(path for path in texts if "episodes" in path)


def test_what_is_told_apart_and_declared(brackets: Path, bench: Path) -> None:
    texts, path = spots(brackets)
    other = other_at(bench)
    made = copied(texts, Spot(path, 0), other, spots(bench)[1], 1)
    assert made.good
    assert "the copy of clamp is clamp-2" in made.edit.notes
    assert "the condition jig.true is declared" in made.edit.notes
    assert "tube.smooth holds at the start, as it did there" in made.edit.notes
    says = plain(copy_lines(made, "Jig", other, "episode 1, behind Wood"))
    assert all(note in says for note in made.edit.notes)
    assert "Jig  →  A bench" in says and "01-top.yaml, build.yaml" in says
    save_copy(other, made.edit)
    build = read_build(bench).build
    assert build is not None
    assert [step.id for step in build.episodes[0].stages[1].steps] == ["set-jig", "clamp-2", "tacks"]
    before, after = TABLE["episodes/01-top.yaml"], spots(bench)[0][spots(bench)[1]]
    assert after.startswith(before)


def test_what_cannot_be_copied_is_said(brackets: Path, bench: Path) -> None:
    """A stage that names a side, into a build with another number of them."""
    (bench / "build.yaml").write_text(TABLE["build.yaml"].replace("[left, right]", "[one]"))
    texts, path = spots(brackets)
    made = copied(texts, Spot(path, 2), other_at(bench), spots(bench)[1], 0)
    assert not made.good and "no such side" in made.refused
    assert "✗" in plain(copy_lines(made, "Last look", other_at(bench), ""))


def test_a_build_that_cannot_be_read_is_said(bench: Path) -> None:
    (bench / "build.yaml").write_text("format: [1")
    assert isinstance(read_other(bench), str)
    assert isinstance(read_other(bench / "nowhere"), str)


def test_a_build_that_changed_meanwhile_is_not_written_over(brackets: Path, bench: Path) -> None:
    texts, path = spots(brackets)
    other = other_at(bench)
    made = copied(texts, Spot(path, 0), other, spots(bench)[1], 1)
    file = bench / "episodes" / "01-top.yaml"
    file.write_text(TABLE["episodes/01-top.yaml"] + "# theirs\n")
    with pytest.raises(ChangedOutsideError):
        save_copy(other, made.edit)
    assert file.read_text().endswith("# theirs\n")
    assert (bench / "build.yaml").read_text() == TABLE["build.yaml"]


async def test_by_keys_from_the_plan(brackets: Path, bench: Path) -> None:
    before = {path: path.read_text() for path in brackets.rglob("*.yaml")}
    async with opened(brackets, keys="C") as (app, pilot):
        assert "bench" in screen_text(app) and "▸ brackets" not in screen_text(app)
        for _ in range(3):
            await pilot.press("enter")
            await settled(app, pilot)
        assert "the copy of clamp is clamp-2" in screen_text(app)
        assert (bench / "build.yaml").read_text() == TABLE["build.yaml"]  # told before it is saved
        await pilot.press("enter")
        await settled(app, pilot)
        assert "the stage is copied to A bench" in screen_text(app)
    assert "step: clamp-2" in (bench / "episodes" / "01-top.yaml").read_text()
    assert {path: path.read_text() for path in brackets.rglob("*.yaml")} == before


async def test_back_and_out_again(brackets: Path, bench: Path) -> None:
    async with opened(brackets, keys="w down C") as (app, pilot):
        for _ in range(3):
            await pilot.press("enter")
            await settled(app, pilot)
        for _ in range(4):
            await pilot.press("escape")
        await settled(app, pilot)
        assert screen_text(app).startswith(" write")
    assert (bench / "build.yaml").read_text() == TABLE["build.yaml"]


async def test_without_another_build_it_says_so(brackets: Path) -> None:
    async with opened(brackets, keys="C enter") as (app, _):
        assert "there is no other build" in screen_text(app)


async def test_a_change_meanwhile_is_said_and_read_again(brackets: Path, bench: Path) -> None:
    async with opened(brackets, keys="C enter") as (app, pilot):
        for _ in range(2):
            await pilot.press("enter")
            await settled(app, pilot)
        (bench / "build.yaml").write_text(TABLE["build.yaml"] + "# theirs\n")
        await pilot.press("enter")
        await settled(app, pilot)
        assert "Into which of its episodes?" in screen_text(app)
        for _ in range(3):
            await pilot.press("enter")
            await settled(app, pilot)
        assert "the stage is copied" in screen_text(app)
    assert "# theirs\n" in (bench / "build.yaml").read_text()


async def test_by_mouse(brackets: Path, bench: Path) -> None:
    async with opened(brackets, keys="C") as (app, pilot):
        for _ in range(4):
            await pilot.click("KeyLine", offset=(3, 0))
            await settled(app, pilot)
        assert "the stage is copied" in screen_text(app)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)], ids=lambda size: f"{size[0]}x{size[1]}")
async def test_it_looks_as_reviewed(size: tuple[int, int], brackets: Path, bench: Path) -> None:
    async with opened(brackets, size=size, keys="C") as (app, pilot):
        text = ""
        for page in ("build", "episode", "place", "comes to"):
            text += f"--- {page}\n{screen_text(app)}"
            await pilot.press("enter" if page != "comes to" else "escape")
            await settled(app, pilot)
    same_as_golden(__file__, f"copy-stage-{size[0]}x{size[1]}", text)
