"""Logs under the names that file syncs give to copies, logs too big to read, and the lines that notices name."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from planner.files.log import ticklog
from planner.files.log.ticklog import NotWrittenError, TickLog
from planner.session.onebuild import OneBuild, Ticked
from tests.files.log.making import write_build


def record(n: int, op: str, by: str = "phone") -> bytes:
    """One line of a log, with its end."""
    return (
        json.dumps({"v": 1, "n": n, "at": "2026-01-01T10:00:00Z", "by": by, "op": op, "did": "done"}).encode() + b"\n"
    )


# Common practice, no source: what file syncs, mail programs and desktops call a second copy of `phone.jsonl`.
NAMES = (
    "phone (conflicted copy).jsonl",
    "phone.jsonl (conflicted copy)",
    "phone.sync-conflict-20270101-101500-ABCDEFG.jsonl",
    "phone.jsonl.orig",
    "PHONE.JSONL",
    "phone (1).jsonl",
    "Copy of phone.jsonl",
    "phone.jsonl~",
)


@pytest.mark.parametrize("name", NAMES)
def test_ticks_in_a_copy_of_a_log_count_once(tmp_path: Path, name: str) -> None:
    folder = write_build(tmp_path)
    home = folder / "log"
    home.mkdir()
    (home / "phone.jsonl").write_bytes(record(1, "brush@left") + record(2, "brush@right"))
    (home / name).write_bytes(record(1, "brush@left") + record(3, "set@left"))
    log = TickLog(folder, "bench")
    assert [event.op for event in log.events] == ["brush@left", "brush@right", "set@left"]
    assert log.notices == []
    one = OneBuild(folder, "bench")
    assert isinstance(one.tick("set@right"), Ticked)


def test_a_log_too_big_to_read_is_named_and_own_ticks_are_refused(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    folder = write_build(tmp_path)
    home = folder / "log"
    home.mkdir()
    (home / "phone.jsonl").write_bytes(record(1, "brush@left"))
    (home / "huge.jsonl").write_bytes(b"x" * 5000)
    monkeypatch.setattr(ticklog, "MAX_LOG", 4096)
    log = TickLog(folder, "bench")
    assert [event.op for event in log.events] == ["brush@left"]
    (notice,) = log.notices
    assert notice.path == str(home / "huge.jsonl") and "larger than" in notice.says and "missing" in notice.says
    own = TickLog(folder, "huge")
    before = (home / "huge.jsonl").read_bytes()
    with pytest.raises(NotWrittenError, match="nothing was recorded"), own.writing():
        raise AssertionError("nothing may be written behind what was not read")
    assert (home / "huge.jsonl").read_bytes() == before


PIECES = st.lists(
    st.sampled_from([b"\n", b"damaged\n", b"  \n", b"[1]\n", record(7, "brush@left"), record(8, "set@left"), b"{"]),
    max_size=12,
)


@settings(max_examples=120, deadline=None)
@given(PIECES, st.lists(st.integers(0, 400), max_size=6))
def test_notices_name_the_line_however_the_file_arrived(
    tmp_path_factory: pytest.TempPathFactory, pieces: list[bytes], cuts: list[int]
) -> None:
    """A file that grows bit by bit is read like one that came whole, line by line."""
    folder = tmp_path_factory.mktemp("grows")
    home = folder / "log"
    home.mkdir()
    data = b"".join(pieces) + b"the end\n"
    path = home / "phone.jsonl"
    path.write_bytes(b"")
    log = TickLog(folder)
    for cut in sorted({cut for cut in cuts if cut < len(data)}):
        path.write_bytes(data[:cut])
        log.refresh()
    path.write_bytes(data)
    log.refresh()
    lines = data.split(b"\n")
    wanted = []
    for number, line in enumerate(lines, 1):  # the second meaning: a record is what JSON reads as an object
        try:
            usable = not line.strip() or isinstance(json.loads(line), dict)
        except ValueError:
            usable = False
        if not usable:
            wanted.append(number)
    assert [notice.line for notice in log.notices] == wanted
    for event in log.events:
        place, _, at = log.place_of(event).rpartition(":")
        assert place == str(path) and json.loads(lines[int(at) - 1])["n"] == event.n


def test_a_tick_without_an_operation_names_its_line(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    home = folder / "log"
    home.mkdir()
    (home / "phone.jsonl").write_bytes(record(1, "brush@left") + record(2, "gone@left"))
    (notice,) = OneBuild(folder, "bench").notices()
    assert notice.where == f"{home / 'phone.jsonl'}:2"
    assert notice.says.startswith("gone@left is ticked, but")
