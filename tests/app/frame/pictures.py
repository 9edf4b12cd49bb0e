"""The pictures of the README, drawn by the app itself: python -m tests.app.frame.pictures

A demo build under way, a clock that stands still, the same size for all. What is compared in the tests is their
text: colours and frames differ a little from one version of the drawing library to the next.
"""

from __future__ import annotations

import asyncio
import os
import re
import shutil
import tempfile
from html import escape, unescape
from pathlib import Path

from rich.cells import cell_len

from planner.app import make
from planner.session.onebuild import OneBuild
from planner.session.results import Ticked
from tests.app.support import ROOT
from tests.support.clock import Clock
from tests.support.readings import passing
from tests.support.screens import CELL, settled

FOLDER = ROOT / ".pictures"
SIZE = (110, 32)
DEMO = "dunlin-pickup"
UNTIL = "scribe-first@passenger"  # what comes next in the pictures
MORNING = 1_803_636_000.0  # 2027-02-26 10:00 UTC


_LOADED = re.compile(r"@font-face\s*\{[^}]*\}\s*")
_BUTTONS = re.compile(r'<g transform="translate\(26,22\)">.*?</g>', re.DOTALL)


def own(svg: str) -> str:
    """A picture without the buttons of one desktop's windows, and with no font to be fetched from anywhere."""
    svg = re.sub(r"<!--.*?-->\s*", "", svg)
    svg = _BUTTONS.sub("", _LOADED.sub("", svg))
    return re.sub(r"font-family: ?[^;]*Fira Code[^;]*;", "font-family: monospace;", svg)


def prepare(home: Path) -> None:
    """The demo builds, one of them under way."""
    for folder in sorted(path for path in (ROOT / "projects").iterdir() if (path / "build.yaml").is_file()):
        shutil.copytree(folder, home / folder.name, ignore=shutil.ignore_patterns("log"))
    clock = Clock(MORNING - 40 * 86_400)
    one = OneBuild(home / DEMO, "shop", clock)
    while (following := one.live.next()) is not None and following.name != UNTIL:
        clock.now = min(clock.now + 7200 + following.step.wait, MORNING - 60)
        said = one.tick(following.name, remarks=passing(following), anyway=True)
        assert isinstance(said, Ticked), said


async def draw(home: Path) -> dict[str, str]:
    """Every picture as SVG, by name."""
    found = {}
    app = make(Path(home.name), home / DEMO, Clock(MORNING))
    async with app.run_test(size=SIZE) as pilot:
        await settled(app, pilot)
        await pilot.press("t")  # the gravest finding, then the cell that it is about
        await settled(app, pilot)
        await pilot.press("enter")
        await settled(app, pilot)
        found["plan"] = steady(own(app.export_screenshot(title="planner")))
        await pilot.press("c")
        await settled(app, pilot)
        found["camera"] = steady(own(app.export_screenshot(title="planner")))
        await pilot.press("b")
        await settled(app, pilot)
        found["builds"] = steady(own(app.export_screenshot(title="planner")))
    return found


def steady(svg: str) -> str:
    """Every word at its own place: some programs that draw SVG close up spaces and stretch what is left."""

    def words(match: re.Match[str]) -> str:
        before, x, after, text = match.groups()
        found = []
        for word in re.finditer(r"[^\xa0]+", unescape(text)):
            left = float(x) + cell_len(unescape(text)[: word.start()]) * CELL
            rest = re.sub(r' textLength="[^"]*"', f' textLength="{cell_len(word.group()) * CELL:.1f}"', after)
            found.append(f'{before}x="{left:.1f}"{rest}>{escape(word.group())}</text>')
        return "".join(found)

    return re.sub(r'(<text class="[^"]*" )x="([\d.]+)"([^>]*)>([^<]*)</text>', words, svg.replace("&#160;", "\xa0"))


def pictures() -> dict[str, str]:
    """Draw every picture in a home of its own."""
    with tempfile.TemporaryDirectory() as scratch:
        home = Path(scratch) / "projects"
        home.mkdir()
        before, here = dict(os.environ), Path.cwd()
        os.environ.update(HOME=scratch, XDG_CONFIG_HOME=scratch, XDG_STATE_HOME=scratch, PLANNER_DEVICE="shop")
        for name in ("NO_COLOR", "PLANNER_PALETTE"):
            os.environ.pop(name, None)
        try:
            os.chdir(scratch)  # the title says projects, wherever this runs
            prepare(home)
            return asyncio.run(draw(home))
        finally:
            os.chdir(here)
            os.environ.clear()
            os.environ.update(before)


if __name__ == "__main__":
    FOLDER.mkdir(exist_ok=True)
    for name, svg in pictures().items():
        (FOLDER / f"{name}.svg").write_text(svg, encoding="utf-8", newline="\n")
        print(FOLDER / f"{name}.svg")
