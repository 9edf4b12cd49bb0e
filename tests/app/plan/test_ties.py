"""What the operation under the cursor waits for, and what waits for it, drawn in the rows of the plan."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from planner.plan.expand import Operation, Plan
from planner.plan.orders import links
from planner.plan.orders.links import neighbours
from planner.session.onebuild import OneBuild
from planner.session.opened import Neighbours
from tests.support.screens import opened, screen_text, settled


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


async def test_ticks_wait_for_no_links(brackets: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What binds the operations is worked out once the ticks rest; until then what is done is left out."""
    looked: list[int] = []

    def counted(plan: Plan, done: Sequence[Operation], order: Sequence[Operation]) -> dict[str, Neighbours]:
        looked.append(len(done))
        return neighbours(plan, done, order)

    monkeypatch.setattr(links, "neighbours", counted)
    async with opened(brackets, size=(120, 36)) as (app, pilot):
        assert looked == [0]
        await pilot.press("space", "space")
        await pilot.pause()
        assert len(app.whole().one.live.done) == 2
        assert looked == [0]
        assert "↑ first" not in screen_text(app)  # all that it waits for is ticked
        assert "↓ then" in row(screen_text(app), "Weld all")
        await settled(app, pilot)
        assert looked == [0, 2]
        assert "↓ then" in row(screen_text(app), "Weld all")
