"""A whole build written from nothing through the app only: the hanging of a gate, both sides, checked at the end."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.app.write.screen import WriteScreen
from planner.commands import main
from planner.files.build.reading import read_build
from tests.app.write.support import fill, on_row, press, said, settle, to_field, to_row, type_text
from tests.support.screens import opened

TYPED = """\
Hinges
  Set the post upright with a level
  Mark the hinge on the post
  Bolt the hinge on
Hang it
  Lift the gate on
  Check that it swings free
"""


async def test_a_build_from_nothing(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    async with opened(None, tmp_path, keys="n end enter") as (app, pilot):
        await pilot.press(*"Farm gate", "enter", "enter")
        for _ in range(6):
            if app.opened is None:
                await pilot.press("enter")
                await settle(pilot)
        await settle(pilot)
        await press(pilot, "p w")
        assert isinstance(app.screen, WriteScreen)
        screen = app.screen
        # What the starter leaves goes, and two stages are typed.
        for row in [row for row in screen.rows if row.step is not None]:
            await to_row(pilot, row.name)
            await press(pilot, "minus")
        first = screen.rows[0].name
        await to_row(pilot, first)
        await press(pilot, "T")
        await type_text(pilot, TYPED)
        await press(pilot, "ctrl+t 2")
        for row in [row for row in screen.rows if row.what == "stage" and not row.steps]:
            await to_row(pilot, row.name)
            await press(pilot, "minus")
        # A condition of the job, a condition of each side, and what needs them.
        await to_row(pilot, "set-post-upright")
        await press(pilot, "e")
        await to_field(pilot, "gives")
        await press(pilot, "enter")
        await type_text(pilot, "post.upright")
        await press(pilot, "enter 1")
        await type_text(pilot, "the post stands upright both ways")
        await press(pilot, "enter enter")
        await fill(pilot, "time", "30 min")
        await press(pilot, "escape")
        await to_row(pilot, "bolt-hinge")
        await press(pilot, "e")
        await to_field(pilot, "needs")
        await press(pilot, "enter")
        await type_text(pilot, "post.up")
        await press(pilot, "space enter")
        await to_field(pilot, "gives")
        await press(pilot, "enter")
        await type_text(pilot, "hinge.on")
        await press(pilot, "enter 1")
        await type_text(pilot, "the hinge is bolted through")
        await press(pilot, "enter enter escape")
        await to_row(pilot, "lift-gate")
        await press(pilot, "e")
        await to_field(pilot, "sides")
        await press(pilot, "enter down enter")
        await to_field(pilot, "needs")
        await press(pilot, "enter")
        await type_text(pilot, "hinge")
        await press(pilot, "space enter")
        await fill(pilot, "hands", "2")
        await fill(pilot, "cautions", "Lift with the legs, and keep fingers out of the hinge", "ctrl+t")
        await press(pilot, "escape")
        # Written in a wrong order first: the finding comes at once, and goes when the step is moved.
        await press(pilot, "less_than_sign")
        assert on_row(app) == "the step lift-gate" and "traps" not in said(app)
        await to_row(pilot, "bolt-hinge")
        await press(pilot, "greater_than_sign")
        assert "traps 0 → 2" in said(app)
        await press(pilot, "f r 1")
        assert "traps 2 → 0" in said(app)
    (folder,) = tmp_path.iterdir()
    build = read_build(folder).build
    assert build is not None
    steps = [step.id for episode in build.episodes for stage in episode.stages for step in stage.steps]
    assert steps[:3] == ["set-post-upright", "mark-hinge-post", "bolt-hinge"] and len(steps) == 5
    capsys.readouterr()
    assert main(["check", str(folder), "--strict", "--json"]) == 0
    assert json.loads(capsys.readouterr().out)["counts"] == {"trap": 0, "gap": 0, "notice": 0}
