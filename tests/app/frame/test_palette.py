"""Everything can be reached by name and from the help; colours are kept; nothing of that can stop the app."""

from __future__ import annotations

import os
from pathlib import Path
from typing import Any

import pytest
from textual.binding import Binding
from textual.screen import Screen
from textual.widget import Widget

from planner.app.draw.linelist import ids_of
from planner.app.draw.palettes import DARK, LIGHT, PALETTES, TERMINAL, first_palette, keep_palette
from planner.app.frame.choose import Choose
from planner.app.frame.help import Actions
from planner.app.frame.over import Over
from planner.app.frame.page import Page
from planner.app.keys.actions import LEAVING, all_entries, matching
from planner.app.keys.table import BY_ID, EVERYWHERE, KEYS, LISTS, OVER, SCREENS, keys_of
from planner.app.screens import MAKERS
from planner.app.shell import PlannerApp
from planner.files.machine.device import state_folder
from planner.files.machine.kept import keep, kept
from tests.app.support import logged
from tests.support.screens import opened, screen_text, settled


def all_classes(base: type) -> set[type]:
    """A class and all that are made of it."""
    below: list[type] = base.__subclasses__()
    return {base}.union(*(all_classes(child) for child in below))


def ours(base: type[Widget]) -> list[type[Widget]]:
    """Our own screens or widgets."""
    import planner.app.builds.newbuild
    import planner.app.frame.help
    import planner.app.papers.screen
    import planner.app.plan.find
    import planner.app.write.copy
    import planner.app.write.form
    import planner.app.write.names
    import planner.app.write.paste  # noqa: F401  # each must be there to be walked

    for maker in MAKERS.values():
        maker()
    return sorted((c for c in all_classes(base) if c.__module__.startswith("planner.")), key=lambda c: c.__name__)


def test_every_binding_of_every_screen_and_widget_is_in_the_table_of_keys() -> None:
    """No key is bound beside the table, so that help, palette and the map of keys know all of them."""
    for each in ours(Widget):
        for binding in each.__dict__.get("BINDINGS", []):
            assert isinstance(binding, Binding), each
            assert binding.id in BY_ID, (each, binding)
            assert BY_ID[binding.id].action == binding.action


def test_every_screen_is_known_to_the_table() -> None:
    names = {page.TITLE_WORD for page in ours(Page) if issubclass(page, Page) and page.TITLE_WORD}
    assert names <= set(SCREENS)
    over = {page.TITLE_WORD for page in ours(Over) if issubclass(page, Over) and page.TITLE_WORD}
    assert over == set(OVER)


def test_every_action_of_the_table_can_be_done() -> None:
    """Each key of a page has its action there, by the name that the table gives it."""
    pages = {p.TITLE_WORD: p for p in ours(Page) if issubclass(p, Page) and p.TITLE_WORD}
    assert set(pages) == set(SCREENS)
    for screen, page in pages.items():
        for key in keys_of(screen):
            if key.where in (*LISTS, "app"):
                continue
            name = key.action.removeprefix("app.").partition("(")[0]
            assert hasattr(PlannerApp if key.action.startswith("app.") else page, f"action_{name}") or hasattr(
                PlannerApp, f"action_{name}"
            ), key


@pytest.mark.parametrize("mode", sorted(MAKERS))
async def test_every_key_of_a_screen_is_among_its_actions_and_in_its_help(mode: str, brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        if mode == "problems":
            app.switch_mode(mode)
        else:
            app.go(mode)
        await settled(app, pilot)
        assert app.page is not None
        assert mode == app.page.TITLE_WORD
        _check_actions(app.screen, mode)
        app.page.action_help()
        await settled(app, pilot)
        text = screen_text(app)
        assert f"keys of {mode}" in text


@pytest.mark.parametrize("over", OVER)
async def test_every_key_of_a_page_over_is_among_its_actions_and_in_its_help(over: str, brackets: Path) -> None:
    keys = {
        "new-build": "b n",
        "find": "slash",
        "rename": "N",
        "renumber": "E",
        "paste": "V",
        "copy-stage": "C",
        "papers": "P",
    }
    async with opened(brackets, keys=keys[over]) as (app, pilot):
        assert isinstance(app.screen, Over)
        assert over == app.screen.TITLE_WORD
        _check_actions(app.screen, over)
        await pilot.press("f4")
        await settled(app, pilot)
        assert f"keys of {over}" in screen_text(app)


def _check_actions(screen: Screen[Any], name: str) -> None:
    entries = all_entries(name, ids_of(type(screen)), {}, PALETTES)
    said = {each.says for each in entries}
    for key in keys_of(name):
        if key.where not in LISTS and key.id not in ("app.actions", "everywhere.help", "over.help"):
            assert key.says in said or "quit" in key.says, key
    assert set(PALETTES.values()) <= said
    leaves = [each for each in entries if each.group == LEAVING]
    assert [entries[-1]] == leaves and "Ctrl+Q" in leaves[0].keys  # last, and once
    assert not [each.says for each in entries if each.says.startswith("quit")][1:]


def test_every_key_has_a_help_line_somewhere() -> None:
    shown = {key.id for screen in SCREENS for key in keys_of(screen)}
    left = {key.where for key in KEYS if key.id not in shown}
    assert EVERYWHERE not in left
    assert not left & {*SCREENS, "over", "list", "grid", "app"}


async def test_a_question_has_its_answers_among_the_actions(brackets: Path) -> None:
    async with opened(brackets, keys="down space ctrl+p") as (app, pilot):
        await pilot.press(*"answer nothing")
        await pilot.press("enter")
        await settled(app, pilot)
        assert not isinstance(app.screen, Choose) and screen_text(app).startswith(" plan")


async def test_an_action_is_done_by_its_name(brackets: Path) -> None:
    async with opened(brackets, keys="ctrl+p") as (app, pilot):
        await pilot.press(*"step find")
        await pilot.press("enter")
        await settled(app, pilot)
        assert "find in all episodes" in screen_text(app)


async def test_nothing_is_done_by_enter_alone(brackets: Path) -> None:
    async with opened(brackets, keys="ctrl+p enter enter") as (app, pilot):
        assert isinstance(app.screen, Actions)
        assert "type a word" in screen_text(app)
        await pilot.press("ctrl+p", *"no such words", "enter")
        assert isinstance(app.screen, Actions)
        assert "no action has these words" in screen_text(app)
        await pilot.press("escape")
        assert logged(brackets) == []
        assert app.is_running and not isinstance(app.screen, Actions)


async def test_an_action_of_another_screen_is_done_there(brackets: Path) -> None:
    async with opened(brackets, keys="ctrl+p") as (app, pilot):
        await pilot.press(*"camera slate", "enter")
        await settled(app, pilot)
        assert app.page is not None and app.page.TITLE_WORD == "camera"
        assert [did for did, _ in logged(brackets)] == ["slate"]


@pytest.mark.parametrize("size", [(40, 4), (20, 3), (60, 20), (120, 36)])
async def test_every_action_stands_in_a_window_of_any_size(size: tuple[int, int], brackets: Path) -> None:
    async with opened(brackets, size=size, keys="ctrl+p down pagedown up") as (app, pilot):
        await pilot.press("ctrl+p", *"camera", "pageup", "backspace", "down", "escape")
        await settled(app, pilot)
        assert app.page is not None and app.page.TITLE_WORD == "plan"


def test_words_find_actions_by_name_group_and_key() -> None:
    entries = all_entries("plan", (), {}, PALETTES)
    assert matching(entries, "") == entries
    assert [each.id for each in matching(entries, "slate")] == ["camera.slate"]
    assert {"camera.slate"} <= {each.id for each in matching(entries, "CAMERA take")}
    assert matching(entries, "q")[-1].group == LEAVING
    groups = [each.group for each in entries]
    assert groups[0] == "plan" and groups == sorted(groups, key=groups.index)  # each group in one piece


# --- colours ------------------------------------------------------------------------------------


async def test_colours_are_kept_for_the_next_time(brackets: Path) -> None:
    async with opened(brackets) as (app, pilot):
        assert app.theme == DARK
        app.choose_palette(LIGHT)
        await settled(app, pilot)
    async with opened(brackets) as (app, _):
        assert app.theme == LIGHT
        app.choose_palette(DARK)
    assert first_palette() == DARK


def test_what_was_asked_for_goes_before_what_was_kept(monkeypatch: pytest.MonkeyPatch) -> None:
    assert not keep_palette(LIGHT)
    assert first_palette() == LIGHT
    monkeypatch.setenv("PLANNER_PALETTE", "terminal")
    assert first_palette() == TERMINAL
    monkeypatch.setenv("PLANNER_PALETTE", "purple")
    assert first_palette() == LIGHT
    monkeypatch.setenv("NO_COLOR", "")
    assert first_palette() == TERMINAL


@pytest.mark.parametrize("what", ["folder", "rubbish", "long", "empty", "pipe"])
def test_what_stands_in_the_place_of_the_choice_stops_nothing(what: str) -> None:
    path = state_folder() / "palette"
    path.parent.mkdir(parents=True)
    if what == "folder":
        path.mkdir()
    elif what == "pipe":
        os.mkfifo(path)
    else:
        path.write_bytes({"rubbish": b"\xff\x00\x1b[31m", "long": b"x" * 5000, "empty": b""}[what])
    assert first_palette() == DARK


async def test_a_place_that_cannot_be_written_is_said_and_no_more(
    brackets: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    file = tmp_path / "state"
    file.write_text("a file")
    monkeypatch.setenv("XDG_STATE_HOME", str(file))
    async with opened(brackets) as (app, pilot):
        app.choose_palette(LIGHT)
        await settled(app, pilot)
        assert app.theme == LIGHT
        assert "these colours are for now only" in " ".join(screen_text(app).split())
    assert first_palette() == DARK


def test_small_choices_are_kept_whole(monkeypatch: pytest.MonkeyPatch) -> None:
    assert kept("colour") == ""
    assert keep("colour", "ünïque") == ""
    assert kept("colour") == "ünïque"
    monkeypatch.setenv("XDG_STATE_HOME", "relative")
    monkeypatch.setattr("planner.files.machine.device.state_folder", lambda: Path("relative"))
    assert kept("colour") == "" and keep("colour", "x")
