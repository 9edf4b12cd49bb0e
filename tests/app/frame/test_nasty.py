"""Hostile text from files and from other people's logs, on every screen, is shown as it is and harms nothing."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from planner.files.log.ticklog import TickLog
from tests.app.support import write
from tests.support.clock import NOON
from tests.support.screens import detail, opened, screen_text, settled

NASTY = [
    "weld [A] to [B]",
    "[/oops",
    "[bold red]not bold[/]",
    "[@click=app.quit]leave[/]",
    "$error {narrow.x} %s {0}",
    "界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界界",
    "zero\u200bwidth\u2060joined\u00adsoft",
    "e\u0301\u0301\u0301\u0301 a\u0300 combining",
    "👩‍🔧 🏳️‍🌈 🔧",
    "x" * 400,
    "verylongword " * 40,
    "\u202eright to left\u202c",
    "back\\slash \\[esc] \\n",
]


def hostile(text: str, home: Path) -> Path:
    """A build in which a person's every text is this one."""
    quoted = json.dumps(text, ensure_ascii=False)
    return write(
        home,
        "hostile",
        {
            "build.yaml": (
                f"format: 1\nbuild: {quoted}\nsides: [left, right]\nconditions:\n"
                f"  tube.smooth: {{on: side, means: {quoted}}}\n  never: {{on: job, means: {quoted}}}\n"
                "start: [tube.smooth]\n"
            ),
            "episodes/01-x.yaml": (
                f"format: 1\nepisode: 1\ntitle: {quoted}\nstages:\n  - stage: {quoted}\n    steps:\n"
                f"      - step: weld\n        do: {quoted}\n        needs: [never]\n        spoils: [tube.smooth]\n"
                f"        cautions: [{quoted}]\n        shots: [{quoted}]\n        say: [{quoted}]\n"
                f"        note: {quoted}\n        one-way: true\n"
                f"      - step: roll\n        do: {quoted}\n        sides: [left]\n        why: {quoted}\n"
                "        needs: [tube.smooth@all]\n"
            ),
        },
    )


@pytest.mark.parametrize("text", NASTY, ids=range(len(NASTY)))
async def test_text_from_plan_files(text: str, tmp_path: Path) -> None:
    if any(char in text for char in "\u2060"):
        text = text.replace("\u2060", "")
    folder = hostile(text, tmp_path)
    async with opened(folder, size=(80, 24)) as (app, pilot):
        for key in (
            "p",
            "f",
            "t",
            "down",
            "c",
            "b",
            "exclamation_mark",
            "p",
            "question_mark",
            "escape",
            "quotation_mark",
        ):
            await pilot.press(key)
            await settled(app, pilot)
            lines = screen_text(app)
            assert "\x1b" not in lines
        await pilot.press("c", "space")
        await settled(app, pilot)
        assert "Stop: this would be wrong now" in screen_text(app)
        await pilot.press("escape", "s")
        await settled(app, pilot)
        await pilot.press("x")
        if len(text) < 40 and text.isascii():
            assert text in screen_text(app)
            assert text in detail(app)


@pytest.mark.parametrize(
    "text", ["\x1b[2J\x1b]0;owned\x07", "[/oops", "\x9b31m", "line\none\ttab", "\u202eevil", "x" * 3000]
)
async def test_notes_of_another_device(text: str, brackets: Path) -> None:
    log = brackets / "log"
    log.mkdir()
    said: list[dict[str, object]] = [
        {"did": "note", "text": text},
        {"did": "reading", "value": text},
        {"did": "slate", "take": [text]},
        {"did": "note", "text": {"not": text}, "for": 7},
        {"did": "done"},
        {"did": text},
        {"did": "note"},
        {"did": "done", "op": text},
        {"did": "rolling"},
        {"did": "accepted", "findings": text},
    ]
    common = {"v": 1, "at": "2026-12-15T11:00:00Z", "by": "other", "op": "set-jig"}
    records = [{**common, "n": int(NOON * 1000) + n, **more} for n, more in enumerate(said)]
    (log / "other.jsonl").write_text("".join(json.dumps(record) + "\n" for record in records))
    async with opened(brackets, keys="up") as (app, pilot):
        for key in ("p", "c", "up", "t", "b", "exclamation_mark"):
            await pilot.press(key)
            await settled(app, pilot)
            shown = screen_text(app)
            assert not any(ord(char) < 32 and char != "\n" for char in shown)
            assert "\u202e" not in shown
    log_now = TickLog(brackets)
    assert len(log_now.events) + len(log_now.notices) == len(records)


@pytest.mark.parametrize("text", ["[/oops", "[@click=app.quit]x", "\x1b[2Jx", "界" * 30])
async def test_typed_text_is_literal_too(text: str, brackets: Path) -> None:
    async with opened(brackets, keys="c e") as (app, pilot):
        from textual.widgets import Input

        app.screen.query_one(Input).value = text
        await pilot.press("enter")
        await settled(app, pilot)
        assert "✓ kept with set-jig" in screen_text(app)
    assert TickLog(brackets).events[0].raw["text"] == text.strip()


async def test_problems_that_quote_hostile_text(tmp_path: Path) -> None:
    folder = write(tmp_path, "broken", {"build.yaml": 'format: 1\n"[/oops": [bold]\n"[red]x": 1\n'})
    async with opened(folder) as (app, _):
        assert "[/oops" in screen_text(app)


async def test_a_folder_with_a_hostile_name(tmp_path: Path) -> None:
    write(tmp_path, "[bold]x[end", {"build.yaml": "format: [\n"})
    async with opened(None, tmp_path, keys="enter") as (app, _):
        assert "[bold]x[end" in screen_text(app).replace("\n", "") or "…" in screen_text(app)
