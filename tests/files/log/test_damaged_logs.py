"""Torn, damaged, newer, replaced, shrunk and missing log files: what can be used is used, the rest is kept and told."""

from __future__ import annotations

import json
import os
from pathlib import Path

import pytest

from planner.files.log.line import MAX_N
from planner.files.log.ticklog import NotWrittenError, TickLog
from planner.session.onebuild import OneBuild
from tests.files.log.making import append, done, log_lines, planner, tick, ticked, write_build

NOW = ("--now", "2027-02-14T12:00Z")


def record(n: int, op: str = "brush@left", by: str = "phone", did: str = "done", **more: object) -> bytes:
    """One line as a device writes it."""
    full = {"v": 1, "n": n, "at": "2027-02-13T10:00:00.000Z", "by": by, "did": did, "op": op, **more}
    return json.dumps(full).encode()


def put(folder: Path, device: str, data: bytes) -> Path:
    """A log file with these bytes in it."""
    path = folder / "log" / f"{device}.jsonl"
    path.parent.mkdir(exist_ok=True)
    path.write_bytes(data)
    return path


def ops_of(log: TickLog) -> list[str | None]:
    """The operations of the merged records."""
    return [event.op for event in log.events]


def test_a_record_cut_at_any_byte_never_damages_the_next(tmp_path: Path) -> None:
    """Our own file, torn by the machine: everything whole stays, and the next tick stands on a line of its own."""
    folder = write_build(tmp_path)
    whole = record(1, "brush@left", "bench") + b"\n"
    torn = record(2, "brush@right", "bench", note="so-so, “wie üblich”") + b"\n"
    for cut in range(len(torn) + 1):
        path = put(folder, "bench", whole + torn[:cut])
        log = TickLog(folder, "bench")
        seen = ["brush@left", "brush@right"] if cut >= len(torn) - 1 else ["brush@left"]
        assert ops_of(log) == seen
        assert bool(log.notices) == (0 < cut < len(torn) - 1)
        with log.writing():
            log.append([{"did": "done", "op": "set@left"}], 1_800_000_000, 1_800_000_000)
        log.close()
        assert path.read_bytes().startswith(whole + torn[:cut])  # append only
        assert ops_of(log) == [*seen, "set@left"] == ops_of(TickLog(folder))


def test_a_torn_line_of_our_own_was_never_acknowledged(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    put(folder, "bench", record(1, by="bench") + b"\n" + record(2, "brush@right", "bench")[:50])
    said = planner("steps", str(folder), device="bench")
    assert said.code == 0
    assert tick(folder, "brush@right", *NOW).code == 0
    assert done(folder) == ["brush@left", "brush@right"]
    lines = log_lines(folder)
    assert len(lines) == 3 and lines[1] == record(2, "brush@right", "bench")[:50]
    notice = TickLog(folder, "bench").notices[0]
    assert notice.line == 2 and "damaged" in notice.says


def test_a_torn_line_of_another_device_is_pending_until_the_rest_comes(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    rest = record(2, "brush@right") + b"\n"
    path = put(folder, "phone", record(1) + b"\n" + rest[:40])
    log = TickLog(folder, "bench")
    assert ops_of(log) == ["brush@left"]
    (notice,) = log.notices
    assert notice.line == 2 and "pending" in notice.says and str(notice).startswith(f"{path}:2: ")
    assert "pending" in planner("log", str(folder)).err

    assert tick(folder, "set@left", "--anyway", *NOW).code == 0  # and it keeps nobody from ticking
    with path.open("ab") as stream:
        stream.write(rest[40:])
    assert log.refresh()
    assert ops_of(log) == ["brush@left", "brush@right", "set@left"]
    assert log.notices == []
    assert not log.refresh()


def test_a_whole_record_that_lacks_only_its_end_counts(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    path = put(folder, "phone", record(1))
    log = TickLog(folder, "bench")
    assert ops_of(log) == ["brush@left"] and log.notices == []
    with path.open("ab") as stream:
        stream.write(b"\n" + record(2, "brush@right"))
    assert log.refresh()
    assert ops_of(log) == ["brush@left", "brush@right"] and log.notices == []
    assert ops_of(TickLog(folder)) == ops_of(log)

    own = put(folder, "bench", record(3, "set@left", "bench"))
    assert tick(folder, "set@right", *NOW).code == 0
    assert own.read_bytes().startswith(record(3, "set@left", "bench") + b"\n{")
    assert done(folder) == ["brush@left", "brush@right", "set@left", "set@right"]


DAMAGED = {
    "not JSON": b"hello",
    "half of it": b'{"v": 1, "n": 5, "at"',
    "not a record": b"[1, 2]",
    "a number": b"17",
    "no v": b'{"n": 5, "at": "2027-02-13T10:00:00Z", "by": "phone", "did": "done", "op": "brush@left"}',
    "v is true": record(5).replace(b'"v": 1', b'"v": true'),
    "v is a text": record(5).replace(b'"v": 1', b'"v": "1"'),
    "v is 0": record(5).replace(b'"v": 1', b'"v": 0'),
    "n is a text": record(5).replace(b'"n": 5', b'"n": "5"'),
    "n is negative": record(-5),
    "n is a fraction": record(5).replace(b'"n": 5', b'"n": 5.5'),
    "n is far too large": record(MAX_N),
    "n has 5,000 digits": record(5).replace(b'"n": 5', b'"n": ' + b"9" * 5000),
    "no by": record(5).replace(b'"by"', b'"bye"'),
    "did is a list": record(5).replace(b'"did": "done"', b'"did": ["done"]'),
    "op is a number": record(5).replace(b'"brush@left"', b"7"),
    "at is not a time": record(5).replace(b"2027-02-13T10:00:00.000Z", b"yesterday"),
    "at is a number": record(5).replace(b'"2027-02-13T10:00:00.000Z"', b"1800000000"),
    "at is far away": record(5).replace(b"2027-02-13T10", b"9999-12-31T23"),
    "not a number": record(5, value=float("nan")),
    "infinity": record(5, value=float("inf")),
    "infinite digits": record(5, value=1).replace(b'"value": 1', b'"value": 1e999'),
    "nested deeply": record(5, value=0).replace(b'"value": 0', b'"value": ' + b"[" * 100_000 + b"]" * 100_000),
    "nested somewhat": record(5, value=0).replace(b'"value": 0', b'"value": ' + b"[" * 500 + b"]" * 500),
    "not UTF-8": record(5).replace(b"brush", b"br\xfcsh"),
    "zeros, as after a power cut": bytes(200),
    "UTF-16": record(5).decode().encode("utf-16"),
}


@pytest.mark.parametrize("line", DAMAGED.values(), ids=DAMAGED.keys())
def test_a_damaged_line_is_skipped_kept_and_told(tmp_path: Path, line: bytes) -> None:
    """Other lines of the file count, nothing is rewritten, and every command works and prints JSON."""
    line = line.replace(b"\n", b" ")
    folder = write_build(tmp_path)
    path = put(folder, "phone", record(4) + b"\n" + line + b"\n" + record(6, "brush@right") + b"\n")
    before = path.read_bytes()
    for command in ("log", "check", "steps"):
        said = planner(command, str(folder), "--json")
        assert said.code == 0, said
        assert f"{path}:2: this line" in said.err
        assert said.json["format"] == 1
    answer = planner("log", str(folder), "--json").json
    assert [event["n"] for event in answer["events"]] == [4, 6]
    assert len(answer["notices"]) == 1
    assert tick(folder, "set@left", *NOW).code == 0
    assert done(folder) == ["brush@left", "brush@right", "set@left"]
    assert path.read_bytes() == before


def test_blank_lines_windows_ends_and_a_byte_order_mark_do_no_harm(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    put(folder, "phone", b"\xef\xbb\xbf" + record(1) + b"\r\n\r\n\n" + record(2, "brush@right") + b"\r\n")
    log = TickLog(folder)
    assert ops_of(log) == ["brush@left", "brush@right"] and log.notices == []


def test_lines_of_a_newer_planner_are_kept_and_reported(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    newer = record(5).replace(b'"v": 1', b'"v": 2').replace(b'"n": 5', b'"n": {"new": true}')
    path = put(folder, "phone", record(4) + b"\n" + newer + b"\n")
    said = planner("check", str(folder))
    assert said.code == 0
    assert f"{path}:2: this line was written by a newer planner (v 2); it is kept and not used" in said.err
    assert tick(folder, "brush@right", *NOW).code == 0
    assert newer in path.read_bytes()


def test_counting_goes_on_from_the_largest_number_seen(tmp_path: Path) -> None:
    """A clock that stands far ahead on one device does not make the others lose their order."""
    folder = write_build(tmp_path)
    put(folder, "phone", record(1 << 50) + b"\n")
    assert tick(folder, "brush@right", *NOW).code == 0
    assert json.loads(log_lines(folder)[0])["n"] == (1 << 50) + 1


def test_a_number_that_leaves_no_room_stops_nobody(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    put(folder, "phone", record(MAX_N - 1) + b"\n")
    assert tick(folder, "brush@right", *NOW).code == 0
    assert ops_of(TickLog(folder, "bench")).count("brush@right") == 1


def test_an_absurd_number_is_named_with_its_line_and_left_out(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    path = put(folder, "phone", record(1) + b"\n" + record(1 << 61, "set@left") + b"\n")
    assert tick(folder, "brush@right", *NOW).code == 0
    log = TickLog(folder, "bench")
    assert ops_of(log) == ["brush@left", "brush@right"]
    assert [str(notice).split(": ")[0] for notice in log.notices] == [f"{path}:2"]
    assert "larger than any clock" in log.notices[0].says


def test_a_file_replaced_under_us_is_read_anew(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    path = put(folder, "phone", record(1) + b"\n" + record(2, "brush@right") + b"\n")
    log = TickLog(folder, "bench")
    assert ops_of(log) == ["brush@left", "brush@right"]

    other = folder / "log" / "new"  # another file takes the name, as a file sync does it
    other.write_bytes(record(1) + b"\n" + record(3, "set@left") + b"\n" + record(4, "set@right") + b"\n")
    other.replace(path)
    assert log.refresh()
    assert ops_of(log) == ["brush@left", "set@left", "set@right"]

    path.write_bytes(record(1) + b"\n")  # shrunk in place
    assert log.refresh()
    assert ops_of(log) == ["brush@left"]

    path.write_bytes(record(7, "brush@right") + b"\n" + record(8, "set@right") + b"\n")  # other and longer, in place
    assert log.refresh()
    assert ops_of(log) == ["brush@right", "set@right"]

    path.write_bytes(path.read_bytes().replace(b"brush@right", b"brush@leftt", 1))  # a hand at it, its size as before
    os.utime(path, ns=(1, 1))
    assert log.refresh()
    assert ops_of(log) == ["brush@leftt", "set@right"]
    os.utime(path, ns=(2, 2))  # touched, and still the same
    log.refresh()
    assert ops_of(log) == ["brush@leftt", "set@right"]

    path.unlink()
    assert log.refresh()
    assert ops_of(log) == []
    assert not log.refresh()


def test_our_own_file_replaced_under_us_is_the_one_that_is_written(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    build = OneBuild(folder, "bench")
    build.tick("brush@left")
    path = folder / "log" / "bench.jsonl"
    older = path.read_bytes()
    build.tick("brush@right")
    other = folder / "log" / "restored"
    other.write_bytes(older)
    other.replace(path)  # a backup is put back
    build.tick("set@left")
    assert ops_of(TickLog(folder)) == ["brush@left", "set@left"] == [op.name for op, _ in build.live.done]

    path.unlink()
    assert build.refresh()
    build.tick("brush@left")
    assert ops_of(TickLog(folder)) == ["brush@left"]


def test_a_file_replaced_while_we_wait_for_its_lock(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The lock is on the old file then; the tick goes to the one that carries the name."""
    from planner.files.log import ticklog

    folder = write_build(tmp_path)
    path = put(folder, "bench", record(1, by="bench") + b"\n")
    swaps = iter([b"", record(1, by="bench") + b"\n"])

    def swap(fd: int) -> None:
        data = next(swaps, None)
        if data is not None:
            other = folder / "log" / "new"
            other.write_bytes(data)
            other.replace(path)

    monkeypatch.setattr(ticklog, "lock", swap)
    monkeypatch.setattr(ticklog, "unlock", lambda fd: None)
    append(folder, "bench", [{"did": "done", "op": "brush@right"}], 1_800_000_000)
    assert ops_of(TickLog(folder)) == ["brush@left", "brush@right"]


def test_a_file_taken_away_while_it_is_written_is_no_tick(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from planner.files.log import ticklog

    folder = write_build(tmp_path)
    build = OneBuild(folder, "bench")
    build.tick("brush@left")
    path = folder / "log" / "bench.jsonl"
    with monkeypatch.context() as patch:
        patch.setattr(ticklog, "to_disk", lambda fd: path.unlink())
        with pytest.raises(NotWrittenError, match="nothing was recorded"):
            build.tick("brush@right")
    build.refresh()
    assert build.live.done == []
    build.tick("brush@left")
    assert ops_of(TickLog(folder)) == ["brush@left"]


def test_the_log_folder_is_gone(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    build = OneBuild(folder, "bench")
    build.tick("brush@left")
    (folder / "log" / "bench.jsonl").unlink()
    (folder / "log").rmdir()
    assert build.refresh()
    assert build.live.done == [] and build.notices() == []
    build.tick("brush@left")
    assert ops_of(TickLog(folder)) == ["brush@left"]


def test_the_whole_build_is_gone(tmp_path: Path) -> None:
    folder = write_build(tmp_path / "here")
    build = OneBuild(folder, "bench")
    folder.rename(tmp_path / "there")
    with pytest.raises(NotWrittenError, match="the build is gone"):
        build.tick("brush@left")
    assert not folder.exists()


def test_files_that_are_no_logs_are_named_and_left_alone(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, "brush@left")
    home = folder / "log"
    (home / "._phone.jsonl").write_bytes(b"\0\5\26\7")  # what some systems put beside a file on foreign disks
    (home / "notes.txt").write_text("hello\n", encoding="utf-8")
    log = TickLog(folder)
    assert ops_of(log) == ["brush@left"]
    assert [Path(notice.path).name for notice in log.notices] == ["notes.txt"]
    assert "is not a log" in log.notices[0].says
    (home / "notes.txt").unlink()
    log.refresh()
    assert log.notices == []


def test_what_is_no_plain_file_is_told_and_nothing_hangs(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    ticked(folder, "brush@left")
    home = folder / "log"
    os.mkfifo(home / "pipe.jsonl")
    (home / "folder.jsonl").mkdir()
    (home / "loop.jsonl").symlink_to("loop.jsonl")
    (home / "device.jsonl").symlink_to("/dev/zero")
    said = planner("check", str(folder))
    assert said.code == 0
    for name in ("pipe", "folder", "device"):
        assert f"{home / name}.jsonl:1: cannot be read: it is not a plain file" in said.err
    assert f"{home / 'loop.jsonl'}:1: cannot be read" in said.err
    assert tick(folder, "brush@right", *NOW).code == 0
    assert done(folder) == ["brush@left", "brush@right"]

    (home / "pipe.jsonl").unlink()
    (home / "pipe.jsonl").write_bytes(record(5, "set@left") + b"\n")
    assert done(folder)[0] == "set@left"


def test_letters_that_are_none_can_be_noted(tmp_path: Path) -> None:
    """A shell hands bytes that are no text on as half a pair; the line stays UTF-8 and readable."""
    folder = write_build(tmp_path)
    assert tick(folder, "brush@left", "--note", "caf\udce9 \ud83d", *NOW).code == 0
    (folder / "log" / "bench.jsonl").read_text(encoding="utf-8")
    assert planner("log", str(folder), "--json").json["events"][0]["text"] == "caf\udce9 \ud83d"
