"""The best order of an episode: found, shown, written at one key, undone by another."""

from __future__ import annotations

from pathlib import Path

from planner.app.frame.choose import Choose
from planner.session.onebuild import OneBuild
from tests.app.support import opened, screen_text
from tests.app.write.support import press


def _traps(folder: Path) -> int:
    one = OneBuild(folder)
    return sum(1 for finding in one.findings() if finding.level == "trap" and not finding.history)


def _texts(folder: Path) -> dict[str, str]:
    return {path.name: path.read_text() for path in sorted(folder.rglob("*.yaml"))}


async def test_one_key_shows_the_order_and_another_takes_it_back(brackets: Path) -> None:
    before, traps = _texts(brackets), _traps(brackets)
    assert traps
    async with opened(brackets, size=(110, 40)) as (app, pilot):
        await press(pilot, "p O")
        assert isinstance(app.screen, Choose)
        assert "A good order of episode 1" in screen_text(app)
        assert _texts(brackets) == before
        await press(pilot, "1")
        assert _traps(brackets) < traps
        assert _texts(brackets) != before
        await press(pilot, "U")
        assert _texts(brackets) == before
