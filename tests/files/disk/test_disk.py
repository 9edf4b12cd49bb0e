"""The disk is full, read-only or in the way: said on stderr, exit 3, nothing recorded; and it works again after."""

from __future__ import annotations

import json
import os
import resource
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.files.log.ticklog import TickLog
from planner.files.machine.device import device_name, state_folder
from planner.session.onebuild import OneBuild
from tests.files.log.making import done, environment, planner, tick, ticked, write_build

ROOT = Path(__file__).resolve().parents[3]
NOW = ("--now", "2027-02-14T12:00Z")
LONG = "n" * 6000  # longer than what a disk gives out at a time


def mount(*options: str) -> None:
    """Mount something, or skip: only root may, and not everywhere."""
    if os.geteuid() != 0:
        pytest.skip("only root can mount a small disk")
    made = subprocess.run(["mount", *options], capture_output=True, text=True, check=False)
    if made.returncode != 0:
        pytest.skip(f"this system lets nobody mount: {made.stderr.strip()}")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 128 KiB."""
    home = tmp_path / "disk"
    home.mkdir()
    mount("-t", "tmpfs", "-o", "size=128k", "none", str(home))
    yield home
    subprocess.run(["umount", "--lazy", str(home)], check=False)


def fill(path: Path) -> None:
    """Take all the space there is."""
    with pytest.raises(OSError, match="No space"), path.open("wb", buffering=0) as stream:
        while True:
            stream.write(bytes(4096))


def test_a_full_disk(small_disk: Path) -> None:
    folder = write_build(small_disk / "build")
    ticked(folder, "brush@left")
    log = folder / "log" / "bench.jsonl"
    before = log.read_bytes()
    fill(small_disk / "film.mp4")

    said = tick(folder, "brush@right", "--note", LONG, *NOW)
    assert said.code == 3
    assert f"{log}: could not be written: No space left on device; nothing was recorded" in said.err
    (problem,) = said.json["problems"]
    assert set(problem) == {"path", "line", "column", "message", "near"}
    assert log.read_bytes() == before
    assert done(folder) == ["brush@left"]
    assert planner("check", str(folder)).code == 0

    (small_disk / "film.mp4").unlink()
    assert tick(folder, "brush@right", "--note", LONG, *NOW).code == 0
    assert done(folder) == ["brush@left", "brush@right"]
    assert TickLog(folder).notices == []


def test_a_disk_too_full_for_the_first_tick(small_disk: Path) -> None:
    folder = write_build(small_disk / "build")
    fill(small_disk / "film.mp4")
    assert tick(folder, "brush@left", *NOW).code == 3
    assert done(folder) == []
    (small_disk / "film.mp4").unlink()
    assert tick(folder, "brush@left", *NOW).code == 0
    assert done(folder) == ["brush@left"]


def test_the_app_goes_on_after_a_full_disk(small_disk: Path) -> None:
    """One log that stays open through it, as in the app."""
    from planner.files.log.ticklog import NotWrittenError

    folder = write_build(small_disk / "build")
    build = OneBuild(folder, "bench")
    build.tick("brush@left")
    fill(small_disk / "film.mp4")
    with pytest.raises(NotWrittenError, match="No space left"):
        build.tick("brush@right", remarks=[{"did": "note", "text": LONG}])
    assert [op.name for op, _ in build.live.done] == ["brush@left"]
    (small_disk / "film.mp4").unlink()
    build.tick("brush@right", remarks=[{"did": "note", "text": LONG}])
    assert [op.name for op, _ in build.live.done] == ["brush@left", "brush@right"]
    assert [event.raw for event in build.log.events] == [event.raw for event in TickLog(folder).events]


def test_a_file_that_may_not_grow(tmp_path: Path) -> None:
    """The same for everybody: a limit on the size of files, in a program of its own."""
    folder = write_build(tmp_path)
    ticked(folder, "brush@left")
    log = folder / "log" / "bench.jsonl"
    before = log.read_bytes()
    limit = len(before) + 20  # a part of the line fits

    said = subprocess.run(
        [sys.executable, "-B", "-m", "planner", "tick", str(folder), "brush@right", "--json", *NOW],
        cwd=ROOT,
        env={**os.environ, "PLANNER_DEVICE": "bench"},
        capture_output=True,
        text=True,
        preexec_fn=lambda: resource.setrlimit(resource.RLIMIT_FSIZE, (limit, limit)),
        check=False,
    )
    assert said.returncode == 3, said
    assert "could not be written: File too large; nothing was recorded" in said.stderr
    assert "Traceback" not in said.stderr
    assert json.loads(said.stdout)["format"] == 1
    assert log.read_bytes() == before
    assert done(folder) == ["brush@left"]
    assert tick(folder, "brush@right", *NOW).code == 0
    assert done(folder) == ["brush@left", "brush@right"]


def refused(folder: Path, device: str = "bench") -> str:
    """Ticking fails with exit code 3 and records nothing, everything else works; what was said."""
    said = tick(folder, "brush@left", *NOW, device=device)
    assert said.code == 3, said
    assert "nothing was recorded" in said.err
    assert planner("check", str(folder)).code == 0
    assert planner("steps", str(folder)).code == 0
    assert done(folder) == []
    return said.err


def test_a_disk_that_is_read_only(tmp_path: Path) -> None:
    folder = write_build(tmp_path / "build")
    mount("--bind", str(folder), str(folder))
    try:
        mount("-o", "remount,ro,bind", str(folder))
        assert "Read-only file system" in refused(folder)
    finally:
        subprocess.run(["umount", "--lazy", str(folder)], check=False)
    assert tick(folder, "brush@left", *NOW).code == 0


def test_our_log_is_a_folder(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    (folder / "log" / "bench.jsonl").mkdir(parents=True)
    assert "bench.jsonl" in refused(folder)


def test_the_log_folder_is_a_file(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    (folder / "log").write_bytes(b"")
    err = refused(folder)
    assert "log" in err
    assert "cannot be read" in planner("check", str(folder)).err
    (folder / "log").unlink()
    assert tick(folder, "brush@left", *NOW).code == 0


def test_the_log_folder_leads_where_nobody_writes(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    (folder / "log").symlink_to("/proc")
    refused(folder)


@pytest.mark.parametrize("target", ["/dev/full", "/dev/null", "bench.jsonl"])
def test_our_log_is_a_device_or_a_loop(tmp_path: Path, target: str) -> None:
    folder = write_build(tmp_path)
    (folder / "log").mkdir()
    (folder / "log" / "bench.jsonl").symlink_to(target)
    refused(folder)


def test_our_log_is_a_pipe(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    (folder / "log").mkdir()
    os.mkfifo(folder / "log" / "bench.jsonl")
    assert "is not a plain file" in refused(folder)


NO_STATE = {
    "a device in the way": "/dev/null",
    "a place that nobody can write": "/proc/nowhere",
}


@pytest.mark.parametrize("state", NO_STATE.values(), ids=NO_STATE.keys())
def test_a_device_whose_name_cannot_be_kept(tmp_path: Path, state: str) -> None:
    """A new name at every start would scatter the log, so there is none; PLANNER_DEVICE is the way out."""
    folder = write_build(tmp_path)
    with environment(XDG_STATE_HOME=state):
        said = tick(folder, "brush@left", *NOW, device=None)
        assert said.code == 3, said
        assert "PLANNER_DEVICE" in said.err
        assert not (folder / "log").exists()
        assert planner("check", str(folder), device=None).code == 0
        assert planner("where", device=None).code == 0
        assert tick(folder, "brush@left", *NOW, device="bench").code == 0


def test_a_user_without_a_home_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A name kept in whatever folder one stands in would be another one each time."""
    from planner.files.machine import device

    monkeypatch.setattr(device, "state_folder", lambda: Path("~/.local/state/planner"))
    monkeypatch.chdir(tmp_path)
    with environment(PLANNER_DEVICE=None), pytest.raises(device.DeviceError, match="set HOME or PLANNER_DEVICE"):
        device_name()
    assert list(tmp_path.iterdir()) == []


def test_a_state_folder_on_a_read_only_disk(tmp_path: Path) -> None:
    folder = write_build(tmp_path / "build")
    state = tmp_path / "state"
    state.mkdir()
    mount("--bind", str(state), str(state))
    try:
        mount("-o", "remount,ro,bind", str(state))
        with environment(XDG_STATE_HOME=str(state)):
            said = tick(folder, "brush@left", *NOW, device=None)
        assert said.code == 3 and "PLANNER_DEVICE" in said.err
    finally:
        subprocess.run(["umount", "--lazy", str(state)], check=False)


def test_the_name_is_made_once_and_kept(tmp_path: Path) -> None:
    folder = write_build(tmp_path / "build")
    with environment(XDG_STATE_HOME=str(tmp_path / "state"), PLANNER_DEVICE=None):
        assert tick(folder, "brush@left", *NOW, device=None).code == 0
        assert tick(folder, "brush@right", *NOW, device=None).code == 0
        (file,) = (folder / "log").iterdir()
        assert file.stem == device_name()
        assert [path.name for path in state_folder().iterdir()] == ["device"]

        (state_folder() / "device").write_bytes(b"\0\0\0 damaged \xff\n")  # after a power cut
        name = device_name()
        assert name == device_name() != file.stem

        (state_folder() / "device").unlink()
        os.mkfifo(state_folder() / "device")  # and nothing hangs
        assert tick(folder, "set@left", *NOW, device=None).code == 3


@pytest.mark.parametrize("name", ["../up", "UP", "a b", "-x", "x" * 64, "\x1b[31m", "é", "a/b"])
def test_a_device_name_that_is_none(tmp_path: Path, name: str) -> None:
    folder = write_build(tmp_path)
    said = tick(folder, "brush@left", *NOW, device=name)
    assert said.code == 3 and "PLANNER_DEVICE is not a device name" in said.err
    assert not (folder / "log").exists()
    assert "\x1b" not in said.err + said.out
