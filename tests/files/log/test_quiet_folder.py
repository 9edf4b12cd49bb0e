"""A log folder is listed again until it has been quiet for longer than the clock of its file system is coarse."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from planner.session.onebuild import OneBuild
from tests.files.log.making import write_build


def test_a_file_put_in_within_one_tick_of_the_folders_clock_is_seen(tmp_path: Path) -> None:
    """The folder's time is the same before and after: a coarse clock cannot tell the two."""
    folder = write_build(tmp_path / "posts")
    OneBuild(folder, "bench").tick("brush@left")
    one = OneBuild(folder, "bench")
    before = (folder / "log").stat()
    copy = write_build(tmp_path / "elsewhere")
    OneBuild(copy, "phone").tick("brush@right")
    (copy / "log" / "phone.jsonl").replace(folder / "log" / "phone.jsonl")
    os.utime(folder / "log", ns=(before.st_atime_ns, before.st_mtime_ns))
    assert one.refresh()
    assert one.ticked() == 2


def test_a_quiet_folder_is_not_listed_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every tick looks at every log: it must not read the folder each time."""
    folder = write_build(tmp_path / "posts")
    OneBuild(folder, "bench").tick("brush@left")
    long_ago = 1_700_000_000
    os.utime(folder / "log", (long_ago, long_ago))
    one = OneBuild(folder, "bench")
    listed: list[str] = []
    real = os.listdir

    def noted(path: str) -> list[str]:
        listed.append(path)
        return real(path)

    monkeypatch.setattr(os, "listdir", noted)
    for _ in range(3):
        one.refresh()
    assert listed == []
