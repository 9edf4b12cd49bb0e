"""Whatever a file, a folder or a person calls things: the pages over the plan show it to the letter and go on."""

from __future__ import annotations

from pathlib import Path

import pytest
from textual.events import Paste

from planner.app.frame.over import Over
from tests.app.support import write
from tests.support.screens import opened, screen_text, settled

NASTY = [
    "[/oops", "[bold]x[/bold]", "weld [A] to [B]", "a\u202eb\u2066c", "zero\u200bwidth\u00ad", "狭い車軸🚗",
    "w" * 300, "{braces} % $ \\ '\"", "🏁" * 60,
]  # fmt: skip


def quoted(text: str) -> str:
    """A text as YAML takes any: escaped in double quotes."""
    plain = {c for c in text if c.isascii() and c.isprintable() and c not in '"\\'}
    return '"' + "".join(c if c in plain else f"\\U{ord(c):08x}" for c in text) + '"'


def nasty_build(home: Path, name: str) -> Path:
    """A build in which everything that is free text says such things: an episode for each."""
    whole = quoted(" ".join(NASTY))
    files = {"build.yaml": f"format: 1\nbuild: {whole}\nsides: [left, right]\nconditions:\n"
             f"  a.b: {{on: side, means: {whole}}}\nstart: [a.b]\n"}  # fmt: skip
    for number, text in enumerate(NASTY, 1):
        said = quoted(text)
        files[f"episodes/{number:02d}-x.yaml"] = (
            f"format: 1\nepisode: {number}\ntitle: {said}\nstages:\n  - stage: {said}\n    steps:\n"
            f"      - {{step: one-{number}, do: {said}, needs: [a.b], note: {said}, cautions: [{said}]}}\n"
            f"      - {{step: two-{number}, do: {said}, after: [one-{number}]}}\n"
        )
    return write(home, name, files)


@pytest.mark.parametrize("size", [(60, 20), (120, 36)], ids=["narrow", "wide"])
async def test_no_text_harms_a_page(size: tuple[int, int], tmp_path: Path) -> None:
    folder = nasty_build(tmp_path, "one")
    nasty_build(tmp_path, "two")
    async with opened(folder, size=size) as (app, pilot):
        for keys in (
            "slash end",
            "slash x end",
            "J o",
            "N end",
            "N enter z",
            "E 4",
            "C",
            "C enter",
            "C enter end enter enter",
        ):
            for key in keys.split():
                await pilot.press(key)
                await settled(app, pilot)
            assert isinstance(app.screen, Over)
            check(screen_text(app))
            await pilot.press(*(["escape"] * 4))
            await settled(app, pilot)
        await pilot.press("V")
        app.post_message(Paste("\n".join([*NASTY, "\x1b[31mred"])))
        await settled(app, pilot)
        assert isinstance(app.screen, Over)
        assert "10 steps" in screen_text(app)
        await pilot.press("ctrl+l", "escape", "b", "n", "enter")
        await settled(app, pilot)
        assert "What is the build called?" in screen_text(app)


def check(shown: str) -> None:
    """Nothing that a terminal obeys, and nothing of no width."""
    for char in ("\x1b", "\u202e", "\u2066", "\u200b"):
        assert char not in shown


async def test_what_looks_like_markup_is_shown_to_the_letter(tmp_path: Path) -> None:
    async with opened(nasty_build(tmp_path, "one"), size=(120, 36), keys="slash") as (app, pilot):
        for text in NASTY[:3]:
            assert text in screen_text(app)
        await pilot.press("escape", "N")
        await settled(app, pilot)
        for text in NASTY[:3]:
            assert text in screen_text(app)
