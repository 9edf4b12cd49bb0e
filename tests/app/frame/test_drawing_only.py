"""No drawing works anything out: it runs no check, starts no search for repairs and runs no calculator."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from shutil import copytree
from typing import Any

import pytest

from planner.app.shell import PlannerApp
from planner.numbers import running, together
from planner.plan.live import Live
from planner.plan.ticks import READING
from planner.session.opened import Opened, open_build
from planner.session.results import Refusal
from tests.app.support import ROOT
from tests.support.clock import Clock
from tests.support.screens import opened, settled

_DRAWS = ("draw_", "title_line", "detail_lines", "_finding_lines", "_calculator_lines", "render_line", "row_lines")


def _drawing() -> str | None:
    """The drawing that is at work up the stack, if any."""
    frame = sys._getframe(2)
    while frame is not None:
        home = frame.f_globals.get("__name__", "")
        if home.startswith("planner.app") and frame.f_code.co_name.lstrip("_").startswith(tuple(_DRAWS)):
            return f"{home}.{frame.f_code.co_name}"
        frame = frame.f_back  # type: ignore[assignment]
    return None


async def test_no_drawing_works_anything_out(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Through every screen of a demo with numbers and traps, with ticks, resizes and redraws: counted, and by whom."""
    work: list[tuple[str, str | None]] = []

    def watched(name: str, what: Callable[..., Any]) -> Callable[..., Any]:
        def call(*args: Any, **named: Any) -> Any:
            work.append((name, _drawing()))
            return what(*args, **named)

        return call

    monkeypatch.setattr(Live, "findings", watched("check", Live.findings))
    monkeypatch.setattr(together, "run", watched("calculator", running.run))
    monkeypatch.setattr(PlannerApp, "find_repairs", watched("repairs", PlannerApp.find_repairs))
    folder = tmp_path / "b"
    copytree(ROOT / "projects" / "dunlin-pickup", folder)
    async with opened(folder) as (app, pilot):
        for keys in ("space", "c", "t", "down", "p", "down", "space", "u", "number_sign", "down", "w", "S", "t"):
            await pilot.press(keys)
            await settled(app, pilot)
            assert app.page is not None
            before = len(work)
            app.page.draw_all()
            await pilot.pause()
            assert work[before:] == []
        await pilot.resize_terminal(60, 20)
        await settled(app, pilot)
    assert {name for name, _ in work} == {"check", "calculator", "repairs"}, "the demo is to need all three"
    assert [each for each in work if each[1] is not None] == []


def test_a_reading_works_its_numbers_out_before_anything_is_drawn(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A tick that reads a number makes others new; words are then made of them, and of nothing that is still to run."""
    folder = tmp_path / "b"
    copytree(ROOT / "projects" / "dunlin-pickup", folder)
    build = open_build(folder, Clock())
    assert isinstance(build, Opened)
    one = build.one
    before = [one.said(op) for op in one.plan.operations]
    runs: list[str] = []

    def counted(calculator: Any, *args: Any) -> Any:
        runs.append(calculator.name)
        return running.run(calculator, *args)

    monkeypatch.setattr(together, "run", counted)
    remarks = [{"did": READING, "value": "27 1/2 in"}]
    assert not isinstance(one.tick("final-length@driver", anyway=True, remarks=remarks), Refusal)
    build.prepare()
    made = len(runs)
    after = [one.said(op) for op in one.plan.operations]
    assert after != before and made and len(runs) == made
