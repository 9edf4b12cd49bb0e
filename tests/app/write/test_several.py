"""Several steps that are marked: one edit of all, one undo."""

from __future__ import annotations

from pathlib import Path

from planner.app.write.screen import WriteScreen
from planner.files.build.reading import read_build
from tests.app.write.support import (
    FIRST,
    SECOND,
    make,
    on_row,
    press,
    readable,
    said,
    text_of,
    to_row,
    type_text,
    writing,
)
from tests.support.screens import screen_text


def steps(folder: Path) -> dict[str, list[str]]:
    """The steps of each stage, as the reader finds them."""
    build = read_build(folder).build
    assert build is not None
    return {stage.title: [step.id for step in stage.steps] for each in build.episodes for stage in each.stages}


async def test_marked_steps_are_moved_duplicated_and_deleted_together(tmp_path: Path) -> None:
    folder = make(tmp_path)
    before = text_of(folder), text_of(folder, SECOND)
    async with writing(folder) as (app, pilot):
        await to_row(pilot, "clean-ends")
        await press(pilot, "space space")
        assert "■ clean-ends" in screen_text(app)
        assert "2 steps marked" in screen_text(app)
        await press(pilot, "m")
        await type_text(pilot, "Colour")
        await press(pilot, "enter")
        assert steps(folder) == {"Make ready": [], "Join": ["tack-it"], "Colour": ["paint-it", "clean-ends", "fit"]}
        assert "# Twice, since the camera shows it once." in text_of(folder, SECOND)
        assert "moved 2 steps" in said(app)
        await press(pilot, "U")
        assert (text_of(folder), text_of(folder, SECOND)) == before
        await press(pilot, "d")
        copies = ["clean-ends", "clean-ends-2", "fit", "fit-2"]
        assert steps(folder)["Make ready"] == copies
        assert isinstance(app.screen, WriteScreen)
        assert app.screen.picked == {"clean-ends-2", "fit-2"}
        assert on_row(app) == "the step clean-ends-2"
        await press(pilot, "minus 2")
        assert (text_of(folder), text_of(folder, SECOND)) == before
        assert app.screen.picked == set()


async def test_marked_steps_are_given_a_kind_a_piece_and_sides(tmp_path: Path) -> None:
    folder = make(tmp_path)
    async with writing(folder) as (app, pilot):
        await to_row(pilot, "the stage “Make ready”")
        await press(pilot, "space A 1")
        await type_text(pilot, "clean")
        await press(pilot, "enter")
        assert text_of(folder).count("kind: clean") == 2
        await press(pilot, "A 2")
        await type_text(pilot, "housing")
        await press(pilot, "enter")
        assert text_of(folder).count("piece: housing") == 2
        await press(pilot, "A 3 space enter")
        await type_text(pilot, "the other is new")
        await press(pilot, "enter")
        build = read_build(folder).build
        assert build is not None and readable(folder)
        stage = build.episodes[0].stages[0]
        assert [(step.kind, step.piece, step.why) for step in stage.steps] == [
            ("clean", "housing", "the other is new")
        ] * 2
        assert text_of(folder, FIRST).count("sides: [driver]") == 2
        await press(pilot, "escape")
        assert "marked" not in screen_text(app)
