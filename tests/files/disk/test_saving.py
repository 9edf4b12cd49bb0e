"""Saving: all of it or nothing, never over somebody else's work, and said when the disk refuses."""

from __future__ import annotations

import errno
import os
import stat
import subprocess
import sys
import textwrap
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from planner.files.disk import saving
from planner.files.disk.folders import read_text, read_texts
from planner.files.disk.saving import (
    Change,
    ChangedOutsideError,
    NotSavedError,
    changes_of,
    save,
)

POSIX = pytest.mark.skipif(os.name == "nt", reason="modes and links as POSIX has them")


def _files(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.is_file()}


@pytest.fixture
def three(tmp_path: Path) -> tuple[str, str, str]:
    """Three files of a build."""
    paths = [tmp_path / name for name in ("a.yaml", "b.yaml", "c.yaml")]
    for path in paths[:2]:
        path.write_bytes(b"old " + path.name.encode())
    return str(paths[0]), str(paths[1]), str(paths[2])


def test_change_make_and_take_out(three: tuple[str, str, str], tmp_path: Path) -> None:
    """Nothing else is left in the folder."""
    a, b, c = three
    save({a: Change(b"old a.yaml", b"new"), b: Change(b"old b.yaml", None), c: Change(None, b"made")})
    assert _files(tmp_path) == {"a.yaml": b"new", "c.yaml": b"made"}
    save({a: Change(b"new", b"new")})
    save({})
    deep = tmp_path / "episodes" / "01-a.yaml"
    save({str(deep): Change(None, b"deep")})
    assert deep.read_bytes() == b"deep"


def test_texts_as_they_are(tmp_path: Path) -> None:
    """Byte-order mark, line breaks and a missing last one go to the disk as they came."""
    path = tmp_path / "build.yaml"
    raw = b"\xef\xbb\xbfa: 1\r\nb: \xc3\xa9\nc: 3"
    path.write_bytes(raw)
    text, read = read_text(str(path))
    assert read == raw
    save(changes_of({str(path): text}, {str(path): text + "!"}))
    assert path.read_bytes() == raw + b"!"
    (tmp_path / "episodes").mkdir()
    (tmp_path / "episodes" / ".01-a.yaml").write_text("hidden")
    (tmp_path / "episodes" / "01-a.yaml").write_text("one")
    assert list(read_texts(tmp_path)) == [str(path), str(tmp_path / "episodes" / "01-a.yaml")]


@POSIX
def test_mode_and_link_stay(tmp_path: Path) -> None:
    """The file behind a link is changed, and the link still leads there."""
    real = tmp_path / "real.yaml"
    real.write_bytes(b"old")
    real.chmod(0o640)
    link = tmp_path / "link.yaml"
    link.symlink_to(real)
    save({str(link): Change(b"old", b"new")})
    assert link.is_symlink()
    assert real.read_bytes() == b"new"
    assert stat.S_IMODE(real.stat().st_mode) == 0o640


@POSIX
@pytest.mark.parametrize("mode", [0o600, 0o664, 0o666])
def test_the_mode_stays_whatever_the_mask(tmp_path: Path, mode: int) -> None:
    """A mask takes rights away from new files; what stood there keeps its own, and is never opened wider."""
    path = tmp_path / "plan.yaml"
    path.write_bytes(b"old")
    path.chmod(mode)
    before = os.umask(0o077)
    try:
        save({str(path): Change(b"old", b"new")})
    finally:
        os.umask(before)
    assert stat.S_IMODE(path.stat().st_mode) == mode


@POSIX
def test_the_owner_stays(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the system lets us: a plan that belongs to somebody else still does after we saved it."""
    path = tmp_path / "plan.yaml"
    path.write_bytes(b"old")
    given: list[tuple[int, int]] = []
    real = Path.stat

    def stat_of(self: Path, *, follow_symlinks: bool = True) -> os.stat_result:
        found = real(self, follow_symlinks=follow_symlinks)
        if self.name != "plan.yaml":
            return found
        parts = list(found)
        parts[stat.ST_UID], parts[stat.ST_GID] = 4321, 1234
        return os.stat_result(parts)

    monkeypatch.setattr(Path, "stat", stat_of)
    monkeypatch.setattr(os, "chown", lambda path, uid, gid: given.append((uid, gid)))
    save({str(path): Change(b"old", b"new")})
    assert given == [(4321, 1234)]


@pytest.mark.parametrize("theirs", [b"theirs", None])
def test_changed_outside(three: tuple[str, str, str], tmp_path: Path, theirs: bytes | None) -> None:
    """Neither file is saved; both texts are handed over."""
    a, b, _ = three
    if theirs is None:
        Path(b).unlink()
    else:
        Path(b).write_bytes(theirs)
    before = _files(tmp_path)
    with pytest.raises(ChangedOutsideError) as raised:
        save({a: Change(b"old a.yaml", b"new"), b: Change(b"old b.yaml", b"mine")})
    assert (raised.value.path, raised.value.mine, raised.value.theirs, raised.value.before) == (
        b,
        b"mine",
        theirs,
        b"old b.yaml",
    )
    assert _files(tmp_path) == before


def test_made_outside_meanwhile(three: tuple[str, str, str], tmp_path: Path) -> None:
    """A new file does not take the place of one that has come."""
    _, _, c = three
    Path(c).write_bytes(b"theirs")
    with pytest.raises(ChangedOutsideError):
        save({c: Change(None, b"mine")})
    assert Path(c).read_bytes() == b"theirs"


@pytest.mark.parametrize("moment", ["link", "replace"])
def test_changed_in_the_last_moment(
    three: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, moment: str
) -> None:
    """Between the first look and the move: seen all the same, and theirs stands."""
    a, b, _ = three
    real: Callable[..., Any] = os.link if moment == "link" else Path.replace

    def meddling(source: Any, target: Any, **rest: Any) -> Any:
        if Path(b).read_bytes() == b"old b.yaml" and str(target) != a:
            with Path(b).open("r+b") as stream:  # in place, as some editors do
                stream.write(b"their")
        return real(source, target, **rest)

    if moment == "link":
        monkeypatch.setattr(os, "link", meddling)
    else:
        monkeypatch.setattr(Path, "replace", meddling)
    with pytest.raises(ChangedOutsideError) as raised:
        save({a: Change(b"old a.yaml", b"new"), b: Change(b"old b.yaml", b"mine")})
    assert raised.value.theirs == b"their.yaml"
    monkeypatch.undo()
    assert _files(tmp_path) == {"a.yaml": b"old a.yaml", "b.yaml": b"their.yaml"}


def test_replaced_while_the_new_texts_were_written(
    three: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """By another program that saves as we do, with a file in the place of the file."""
    a, b, _ = three
    real: Callable[..., Any] = saving._prepare

    def meddling(draft: Any) -> None:
        real(draft)
        if draft.path == b:
            fresh = tmp_path / "fresh"
            fresh.write_bytes(b"theirs")
            fresh.replace(b)

    monkeypatch.setattr(saving, "_prepare", meddling)
    with pytest.raises(ChangedOutsideError) as raised:
        save({a: Change(b"old a.yaml", b"new"), b: Change(b"old b.yaml", b"mine")})
    assert raised.value.theirs == b"theirs"
    assert _files(tmp_path) == {"a.yaml": b"old a.yaml", "b.yaml": b"theirs"}


@pytest.mark.parametrize("fails", [1, 2, 3])
def test_a_move_that_fails(
    three: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, fails: int
) -> None:
    """The files before it are put back."""
    a, b, c = three
    Path(c).write_bytes(b"old c.yaml")
    before = _files(tmp_path)
    count = 0
    real = Path.replace

    def failing(self: Path, target: Path) -> Path:
        nonlocal count
        count += self.suffix == ".new"
        if self.suffix == ".new" and count == fails:
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return real(self, target)

    monkeypatch.setattr(Path, "replace", failing)
    with pytest.raises(NotSavedError, match=r"could not be saved: .*; every file is as it was"):
        save({path: Change(before[Path(path).name], b"new") for path in (a, b, c)})
    assert _files(tmp_path) == before


@pytest.mark.parametrize("step", ["_write", "_place", "to_disk"])
def test_stopped_in_the_middle(
    three: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str
) -> None:
    """By a key or anything else: nothing is half done."""
    a, b, _ = three
    before = _files(tmp_path)
    real: Callable[..., Any] = getattr(saving, step)
    count = 0

    def stopping(*values: Any) -> Any:
        nonlocal count
        count += 1
        if count == 2:
            raise KeyboardInterrupt
        return real(*values)

    monkeypatch.setattr(saving, step, stopping)
    with pytest.raises(KeyboardInterrupt):
        save({a: Change(b"old a.yaml", b"new"), b: Change(b"old b.yaml", b"new")})
    assert _files(tmp_path) == before


def test_a_disk_without_links(three: tuple[str, str, str], tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The old text is copied aside instead."""
    a, b, c = three

    def refusing(*_: Any, **__: Any) -> None:
        raise OSError(errno.EPERM, "no links here")

    monkeypatch.setattr(os, "link", refusing)
    save({a: Change(b"old a.yaml", b"new"), c: Change(None, b"made")})
    assert _files(tmp_path) == {"a.yaml": b"new", "b.yaml": b"old b.yaml", "c.yaml": b"made"}
    monkeypatch.setattr(saving, "folder_to_disk", lambda _: (_ for _ in ()).throw(OSError("late")))
    with pytest.raises(NotSavedError):
        save({a: Change(b"new", b"newer"), b: Change(b"old b.yaml", None)})
    assert _files(tmp_path) == {"a.yaml": b"new", "b.yaml": b"old b.yaml", "c.yaml": b"made"}


def test_read_only(three: tuple[str, str, str], tmp_path: Path) -> None:
    """A file that was locked on purpose is not replaced by way of its folder."""
    a, b, _ = three
    Path(b).chmod(0o444)
    with pytest.raises(NotSavedError, match="read-only"):
        save({a: Change(b"old a.yaml", b"new"), b: Change(b"old b.yaml", b"new")})
    assert _files(tmp_path) == {"a.yaml": b"old a.yaml", "b.yaml": b"old b.yaml"}
    Path(b).chmod(0o644)


def test_no_plain_file(tmp_path: Path) -> None:
    """A folder, or a pipe, which must not hang us."""
    with pytest.raises(NotSavedError, match="not a plain file"):
        save({str(tmp_path): Change(b"x", b"y")})
    if hasattr(os, "mkfifo"):
        os.mkfifo(tmp_path / "pipe")
        with pytest.raises(NotSavedError, match="not a plain file"):
            save({str(tmp_path / "pipe"): Change(b"x", b"y")})


@POSIX
def test_a_full_disk(tmp_path: Path) -> None:
    """With a limit on the size of files, as a full disk has it: said, and both files are whole."""
    big, small = tmp_path / "big.yaml", tmp_path / "small.yaml"
    for path in (big, small):
        path.write_bytes(b"old")
    code = f"""
        import resource, signal
        signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (4096, 4096))
        from planner.files.disk.saving import Change, NotSavedError, save
        try:
            save({{{str(small)!r}: Change(b"old", b"new"), {str(big)!r}: Change(b"old", b"x" * 100_000)}})
        except NotSavedError as error:
            print(error)
    """
    told = subprocess.run(
        [sys.executable, "-c", textwrap.dedent(code)], capture_output=True, text=True, check=True, timeout=60
    ).stdout
    assert "big.yaml: could not be saved: File too large; every file is as it was" in told
    assert _files(tmp_path) == {"big.yaml": b"old", "small.yaml": b"old"}


@POSIX
def test_killed_while_saving(tmp_path: Path) -> None:
    """At any moment a file is wholly the old one or wholly a new one."""
    path = tmp_path / "build.yaml"
    path.write_bytes(b"0" * 50_000)
    code = f"""
        from planner.files.disk.saving import Change, save
        texts = [str(digit).encode() * 50_000 for digit in range(10)]
        for number in range(10**6):
            save({{{str(path)!r}: Change(texts[number % 10], texts[(number + 1) % 10])}})
    """
    for wait in (0.05, 0.15, 0.25, 0.3, 0.35):
        path.write_bytes(b"0" * 50_000)
        with subprocess.Popen([sys.executable, "-c", textwrap.dedent(code)]) as process:
            try:
                process.wait(wait)
            except subprocess.TimeoutExpired:
                process.kill()
        raw = path.read_bytes()
        assert len(raw) == 50_000
        assert len(set(raw)) == 1
