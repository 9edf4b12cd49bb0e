"""The table of keys, and the user's map of them."""

from __future__ import annotations

from collections import Counter
from pathlib import Path

import pytest
from textual.app import App
from textual.binding import Binding
from textual.keys import Keys

from planner.app.keys.actions import all_entries, matching
from planner.app.keys.table import BY_ID, KEYS, SCREENS, check_keys, keys_of, shown_key, spelt_key
from planner.files.machine.keyfile import key_file, read_key_file


def test_every_id_is_there_once() -> None:
    assert max(Counter(key.id for key in KEYS).values()) == 1


@pytest.mark.parametrize("screen", SCREENS)
def test_no_key_means_two_things_on_a_screen(screen: str) -> None:
    counts = Counter(key.key for key in keys_of(screen))
    assert not [key for key, count in counts.items() if count > 1]


@pytest.mark.parametrize("key", KEYS, ids=lambda key: key.id)
def test_every_key_is_one_that_arrives(key: object) -> None:
    assert isinstance(key, type(KEYS[0]))
    if not key.id.startswith("app."):  # ctrl+c is there for those whose fingers know it
        assert spelt_key(key.key) == key.key
    assert shown_key(key.key)
    assert key.says
    assert key.short


def test_names_that_textual_knows() -> None:
    known = {key.value for key in Keys}
    for name in ("up", "pagedown", "escape", "space", "enter", "tab", "f12", "home"):
        assert spelt_key(name) == name
        assert name in known or name in ("space",)
    for char in "!\"#$%&'()*+,-./:;<=>?@[\\]^_`{|}~":
        spelt = spelt_key(char)
        assert spelt is not None
        if char not in "{}":
            assert App().get_key_display(_binding(spelt)) in (char, spelt)


def _binding(key: str) -> Binding:
    return Binding(key, "x", "x")


@pytest.mark.parametrize(
    "typed", ["ctrl+m", "ctrl+i", "ctrl+h", "ctrl+j", "meta+x", "spacebar", "", "ctrl+enter", "f25", "ab"]
)
def test_keys_that_do_not_arrive_are_refused(typed: str) -> None:
    good, problems = check_keys({"camera.tick": typed})
    assert not good
    assert len(problems) == 1
    assert "camera.tick" in problems[0].says


def test_unknown_ids_are_told_with_the_nearest() -> None:
    good, problems = check_keys({"camera.tik": "f5", "camera.undo": "f6"})
    assert good == {"camera.undo": "f6"}
    assert "did you mean camera.tick?" in problems[0].says


def test_clashes_are_told_and_both_keep_what_they_had() -> None:
    good, problems = check_keys({"camera.tick": "u"})
    assert not good
    assert "u already means camera.undo" in problems[0].says
    good, problems = check_keys({"everywhere.help": "space"})
    assert not good
    assert "camera.tick" in problems[0].says or "plan.tick" in problems[0].says


def test_keys_may_be_exchanged() -> None:
    good, problems = check_keys({"camera.tick": "u", "camera.undo": "space"})
    assert good == {"camera.tick": "u", "camera.undo": "space"}
    assert not problems


def test_two_changes_that_clash_are_both_dropped() -> None:
    good, problems = check_keys({"camera.tick": "f5", "camera.undo": "f5", "camera.note": "f6"})
    assert good == {"camera.note": "f6"}
    assert len(problems) == 1


def test_the_map_of_keys_is_read_with_places(tmp_path: Path) -> None:
    path = tmp_path / "keys.yaml"
    assert read_key_file(path) == ({}, ())
    path.write_text("format: 1\nkeys:\n  camera.tick: 5\n  camera.undo: [x]\n  camera.note:\ncolour: red\n")
    found, problems = read_key_file(path)
    assert found == {"camera.tick": ("5", 3)}
    assert [str(problem).removeprefix(f"{path}:").partition(":")[0] for problem in problems] == ["4", "5", "6"]
    path.write_text("keys: {}\n")
    assert "lacks the key format" in str(read_key_file(path)[1][0])
    path.write_text("format: [1\n")
    assert read_key_file(path)[1]
    path.unlink()
    path.mkdir()
    assert "cannot be read" in str(read_key_file(path)[1][0])


def test_the_map_lives_in_the_configuration_folder() -> None:
    assert key_file().name == "keys.yaml"
    assert key_file().parent.name == "planner"


def test_the_words_of_the_app_are_the_words_of_the_job() -> None:
    for key in KEYS:
        for word in ("task", "todo", "checkbox", "item", "project"):
            assert word not in key.says.split()
    assert BY_ID["camera.tick"].full_action() == "screen.tick"
    assert BY_ID["list.choose"].full_action() == "focused.choose"


def test_typed_words_find_what_begins_with_them_before_what_only_has_them() -> None:
    entries = all_entries("series", (), {}, {})
    assert [each.id for each in matching(entries, "roll")] == ["camera.rolling"]
    assert {each.id for each in matching(entries, "croll")} == {"camera.page-up", "camera.page-down"}
    assert matching(entries, "camera roll") == matching(entries, "roll camera") != []
