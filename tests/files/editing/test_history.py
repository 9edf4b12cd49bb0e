"""Undo and redo across files, as a value."""

from __future__ import annotations

from random import Random

import pytest

from planner.files.editing import history
from planner.files.editing.history import ChangedSinceError, Entry, History
from planner.files.editing.spots import Edit, applied


def test_back_and_forth_over_several_files() -> None:
    """A file that comes, one that goes, one that changes: all of it back, and all of it again."""
    texts = {"a": "1", "b": "2"}
    edit = Edit({"a": "one", "b": None, "c": "3"})
    kept = history.record(History(), "the first", texts, edit)
    after = applied(texts, edit.changes)
    assert after == {"a": "one", "c": "3"}
    back, undone = history.undo(kept, after)
    assert undone == Edit({"a": "1", "b": "2", "c": None}, ("the first",))
    assert applied(after, undone.changes) == texts
    again, redone = history.redo(back, texts)
    assert applied(texts, redone.changes) == after
    assert again == kept


def test_many_levels() -> None:
    """Two hundred edits, back to the beginning and forth to the end, every text as it was."""
    random = Random("history")
    texts: dict[str, str] = {"a": "0"}
    states = [texts]
    kept = History()
    for number in range(200):
        changes = {name: random.choice((None, f"{number} {name}")) for name in random.sample("abcde", 2)}
        kept = history.record(kept, str(number), texts, Edit(changes))
        texts = applied(texts, changes)
        if texts != states[-1]:
            states.append(texts)
    for state in reversed(states[:-1]):
        kept, edit = history.undo(kept, texts)
        texts = applied(texts, edit.changes)
        assert texts == state
    assert history.undo(kept, texts) == (kept, Edit({}))
    for state in states[1:]:
        kept, edit = history.redo(kept, texts)
        texts = applied(texts, edit.changes)
        assert texts == state
    assert history.redo(kept, texts) == (kept, Edit({}))


def test_a_new_edit_ends_what_could_be_redone() -> None:
    """And an edit that changes nothing leaves no trace."""
    kept = history.record(History(), "one", {"a": "1"}, Edit({"a": "2"}))
    back, _ = history.undo(kept, {"a": "2"})
    assert history.record(back, "nothing", {"a": "1"}, Edit({"a": "1"})) is back
    other = history.record(back, "two", {"a": "1"}, Edit({"a": "3"}))
    assert other.future == ()
    assert [entry.says for entry in other.past] == ["two"]


def test_typing_is_one_edit() -> None:
    """Edits with one mark go back together; another mark, or an undo between, begins a new one."""
    kept = History()
    texts = {"a": ""}
    for text in ("d", "do", "do ", "do it"):
        kept = history.record(kept, "do", texts, Edit({"a": text}), join="a.do")
        texts = {"a": text}
    assert kept.past == (Entry("do", {"a": ("", "do it")}, "a.do"),)
    kept = history.record(kept, "note", texts, Edit({"a": "do it!", "b": "x"}), join="a.note")
    assert len(kept.past) == 2
    back, edit = history.undo(kept, {"a": "do it!", "b": "x"})
    assert edit.changes == {"a": "do it", "b": None}
    assert len(history.record(back, "do", texts, Edit({"a": "x"}), join="a.do").past) == 2
    assert history.record(History(kept.past[:1]), "do", texts, Edit({"a": ""}), join="a.do").past == ()


def test_a_file_that_changed_since() -> None:
    """Nothing is taken back over somebody else's work."""
    kept = history.record(History(), "one", {"a": "1", "b": "1"}, Edit({"a": "2", "b": "2"}))
    with pytest.raises(ChangedSinceError) as raised:
        history.undo(kept, {"a": "2", "b": "other"})
    assert raised.value.paths == ("b",)
    back, _ = history.undo(kept, {"a": "2", "b": "2"})
    with pytest.raises(ChangedSinceError):
        history.redo(back, {"b": "1"})


def test_the_oldest_go_first(monkeypatch: pytest.MonkeyPatch) -> None:
    """By number and by size; the newest edit can always be taken back."""
    monkeypatch.setattr(history, "MAX_ENTRIES", 3)
    monkeypatch.setattr(history, "MAX_CHARACTERS", 30)
    kept = History()
    for number in range(6):
        kept = history.record(kept, str(number), {"a": str(number)}, Edit({"a": str(number + 1)}))
    assert [entry.says for entry in kept.past] == ["3", "4", "5"]
    kept = history.record(kept, "long", {"a": "6"}, Edit({"a": "x" * 26}))
    assert [entry.says for entry in kept.past] == ["5", "long"]
    kept = history.record(kept, "longer", {"a": "x" * 26}, Edit({"a": "y" * 100}))
    assert [entry.says for entry in kept.past] == ["longer"]
