"""The numbers screen as it was reviewed, at three sizes: as it opens, while something is tried, and drawn large."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.app.numbers.support import HASH, axle, screen_of, typed
from tests.support.golden import same_as_golden
from tests.support.screens import opened, screen_text, settled

SIZES = [(60, 20), (80, 24), (120, 36)]


@pytest.mark.parametrize("size", SIZES)
async def test_it_looks_as_reviewed(tmp_path: Path, size: tuple[int, int]) -> None:
    name = f"{size[0]}x{size[1]}"
    async with opened(axle(tmp_path), size=size, keys=HASH) as (app, pilot):
        same_as_golden(__file__, f"numbers-{name}", screen_text(app))
        await typed(app, pilot, "pads", "54 in", end="")
        same_as_golden(__file__, f"numbers-tried-{name}", screen_text(app))
        await pilot.press("enter")
        await typed(app, pilot, "kerf", "1/8")
        same_as_golden(__file__, f"numbers-refused-{name}", screen_text(app))
        await pilot.press("u", "d")
        await settled(app, pilot)
        same_as_golden(__file__, f"numbers-drawn-{name}", screen_text(app))
        assert screen_of(app).has_class("-drawn")
