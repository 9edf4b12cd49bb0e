"""What the operation under the cursor waits for, and what waits for it, drawn in the rows of the plan."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.session.onebuild import OneBuild
from tests.support.screens import opened, screen_text


def row(text: str, words: str) -> str:
    return next(each for each in text.split("\n") if words in each)


@pytest.mark.parametrize("size", [(60, 20), (80, 24), (120, 36)])
async def test_the_rows_say_what_comes_first_and_what_then(brackets: Path, size: tuple[int, int]) -> None:
    async with opened(brackets, size=size) as (app, pilot):
        await pilot.press("down")
        text = screen_text(app)
        assert "↑ first" in row(text, "Set the jig")
        assert "↓ then" in row(text, "Tack in opp")
        assert text.count("↑ first") == 1
        await pilot.press("down")
        text = screen_text(app)
        assert "↑ first" not in row(text, "Set the jig")
        assert "↑ first" in row(text, "Clamp the")
        assert "↓ then" in row(text, "Weld all")


async def test_what_is_done_ties_nothing(brackets: Path) -> None:
    one = OneBuild(brackets, "shop")
    one.tick("set-jig")
    async with opened(brackets) as (app, pilot):
        await pilot.press("up")
        assert "↓ then" not in screen_text(app)
        await pilot.press("down")
        assert "↑ first" not in screen_text(app)  # the jig is set
        assert "↓ then" in row(screen_text(app), "Tack in opp")
