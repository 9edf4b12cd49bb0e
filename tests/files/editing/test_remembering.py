"""Undo across restarts: what comes back does what the history before did, and never writes over other work."""

from __future__ import annotations

import json
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from planner.files.editing.history import ChangedSinceError, History, record, redo, undo
from planner.files.editing.remembering import pack, unpack
from planner.files.editing.spots import Edit, applied
from planner.files.machine.histories import keep_history, kept_history

HOME = "/shop/build/"
FILES = ["build.yaml", "numbers.yaml", "episodes/01-a.yaml", "episodes/02-b.yaml"]
TEXTS = st.one_of(st.none(), st.text("ab\n\ud800é", max_size=8))
EDITS = st.lists(st.dictionaries(st.sampled_from(FILES), TEXTS, min_size=1, max_size=3), max_size=8)


def short(path: str) -> str:
    return path.removeprefix(HOME)


def full(name: str) -> str:
    return HOME + name


def made(edits: list[dict[str, str | None]], undone: int) -> tuple[History, dict[str, str]]:
    """A history of edits, some of them undone, and the texts it has led to."""
    history, texts = History(), {full("build.yaml"): "first\n"}
    for index, edit in enumerate(edits):
        change = Edit({full(name): text for name, text in edit.items()})
        history = record(history, f"edit {index}", texts, change, renamed={f"s{index}": "t"} if index % 2 else {})
        texts = applied(texts, change.changes)
    for _ in range(undone):
        history, back = undo(history, texts)
        texts = applied(texts, back.changes)
    return history, texts


@given(EDITS, st.integers(0, 4))
def test_what_comes_back_undoes_and_redoes_the_same(edits: list[dict[str, str | None]], undone: int) -> None:
    history, texts = made(edits, undone)
    _, data = pack(history, short, {})
    again = unpack(json.loads(json.dumps(data)), texts, full)
    assert again == History(
        tuple(entry._replace(join=None) for entry in history.past),
        tuple(entry._replace(join=None) for entry in history.future),
    )
    known, _ = pack(history, short, {})
    assert pack(history, short, known) == (known, data)


@given(EDITS, st.integers(0, 4), st.sampled_from(FILES), st.text("xy", min_size=1, max_size=3))
def test_work_from_outside_is_never_written_over(
    edits: list[dict[str, str | None]], undone: int, name: str, other: str
) -> None:
    history, texts = made(edits, undone)
    _, data = pack(history, short, {})
    outside = {**texts, full(name): texts.get(full(name), "") + other}
    again = unpack(json.loads(json.dumps(data)), outside, full)
    for step in (undo, redo):
        walk, now = again, outside
        for _ in range(20):
            try:
                walk, edit = step(walk, now)
            except ChangedSinceError:
                break
            if not edit.changes:
                break
            assert full(name) not in edit.changes
            now = applied(now, edit.changes)


@given(
    st.recursive(
        st.none() | st.booleans() | st.integers() | st.text(max_size=4),
        lambda inner: (
            st.lists(inner, max_size=3)
            | st.dictionaries(
                st.sampled_from(
                    ["format", "past", "future", "says", "files", "at", "old", "new", "is", "was", "build.yaml"]
                ),
                inner,
                max_size=5,
            )
        ),
        max_leaves=20,
    )
)
def test_data_that_are_no_history_come_to_none(data: object) -> None:
    found = unpack({"format": 1, "past": data, "future": data}, {full("build.yaml"): "x"}, full)
    assert isinstance(found, History)
    assert isinstance(unpack(data, {}, full), History)


def test_nothing_outside_the_plan_comes_back() -> None:
    change = {"at": 0, "old": "evil", "new": None, "was": "", "is": ""}
    for name in ("../x.yaml", "episodes/../../x.yaml", "/etc/x", "log/a.jsonl"):
        assert unpack({"format": 1, "past": [{"says": "x", "files": {name: change}}]}, {}, full) == History()


def test_it_is_kept_by_build_and_a_damaged_one_is_forgotten(tmp_path: Path) -> None:
    one, two = tmp_path / "one", tmp_path / "two"
    keep_history(one, {"format": 1, "past": [], "future": ["\ud800"]})
    assert kept_history(one) == {"format": 1, "past": [], "future": ["\ud800"]}
    assert kept_history(two) is None
    from planner.files.machine import histories

    histories._place(one).write_bytes(b"\xff{")
    assert kept_history(one) is None
