"""The best order of an episode: found, shown, written at one key, undone by another."""

from __future__ import annotations

from pathlib import Path

from planner.app.frame.choose import Choose
from planner.session.offorder import off_order
from planner.session.onebuild import OneBuild
from tests.app.write.support import press
from tests.support.screens import opened, screen_text


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


async def test_the_way_back_is_shown_written_and_taken_back(brackets: Path) -> None:
    one = OneBuild(brackets, "shop")
    for name in ("set-jig", "clamp@driver", "clamp@passenger"):
        one.tick(name)
    for name in ("tacks#1@driver", "tacks#1@passenger", "tacks#2@driver", "tacks#2@passenger", "weld@driver"):
        one.tick(name, anyway=True)
    path = brackets / "episodes/01-on.yaml"
    path.write_text(path.read_text().replace("- step: roll", "# two people, mind the ends\n      - step: roll"))
    before = _texts(brackets)
    async with opened(brackets, size=(110, 40)) as (app, pilot):
        await press(pilot, "p D")
        assert isinstance(app.screen, Choose)
        assert "the way back" in screen_text(app)
        await press(pilot, "escape")
        assert _texts(brackets) == before
        await press(pilot, "D 1")
        assert _texts(brackets) != before
        assert "# two people, mind the ends\n      - step: roll" in path.read_text()
        assert off_order(OneBuild(brackets)) is None
        await press(pilot, "U")
        assert _texts(brackets) == before
