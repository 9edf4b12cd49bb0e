"""A saving of several files that is killed at any call to the system: all of it or nothing, and nothing left over."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Mapping
from pathlib import Path

import pytest

from planner.files.disk import saving
from planner.files.disk.journal import NAME, mend
from planner.files.disk.saving import Change, NotSavedError, save

pytestmark = pytest.mark.skipif(not hasattr(os, "fork"), reason="a child that may be killed in the middle")

OLD: dict[str, bytes | None] = {
    "build.yaml": b"old build\n",
    "episodes/01-a.yaml": b"old one\n",
    "episodes/02-b.yaml": b"old two\n",
    "episodes/03-c.yaml": None,
}
NEW: dict[str, bytes | None] = {
    "build.yaml": b"new build\n",
    "episodes/01-a.yaml": b"new one\n",
    "episodes/02-b.yaml": None,
    "episodes/03-c.yaml": b"new three\n",
}
CALLS = ("open", "write", "fsync", "replace", "rename", "link", "unlink", "mkdir", "close", "chmod")


def lay_out(folder: Path, texts: Mapping[str, bytes | None] = OLD) -> Path:
    """The files as they were."""
    shutil.rmtree(folder, ignore_errors=True)
    (folder / "episodes").mkdir(parents=True)
    for name, body in texts.items():
        if body is not None:
            (folder / name).write_bytes(body)
    return folder


def on_disk(folder: Path) -> dict[str, bytes | None]:
    """The files as they are."""
    return {name: (folder / name).read_bytes() if (folder / name).exists() else None for name in OLD}


def hidden(folder: Path) -> list[str]:
    """What a person would not see."""
    return sorted(path.name for path in folder.rglob(".*"))


def killed(work: Callable[[], object], at: int) -> bool:
    """Whether the work was killed before it was over: a child that dies at a call to the system."""
    child = os.fork()
    if child == 0:
        count = [0]

        def counted(real: Callable[..., object]) -> Callable[..., object]:
            def call(*args: object, **more: object) -> object:
                count[0] += 1
                if count[0] == at:
                    os._exit(9)
                return real(*args, **more)

            return call

        for name in CALLS:
            setattr(os, name, counted(getattr(os, name)))
        try:
            work()
        except BaseException:
            os._exit(7)
        os._exit(0)
    code = os.waitstatus_to_exitcode(os.waitpid(child, 0)[1])
    assert code in (0, 9), code
    return code == 9


def saver(folder: Path, names: tuple[str, ...] = tuple(OLD)) -> Callable[[], None]:
    """What saves."""
    return lambda: save({str(folder / name): Change(OLD[name], NEW[name]) for name in names})


@pytest.mark.parametrize(
    "names",
    [tuple(OLD), ("build.yaml", "episodes/01-a.yaml"), ("episodes/02-b.yaml", "episodes/03-c.yaml"), ("build.yaml",)],
)
def test_killed_at_any_call_it_is_all_or_nothing(tmp_path: Path, names: tuple[str, ...]) -> None:
    want = {**OLD, **{name: NEW[name] for name in names}}
    seen = set()
    for at in range(1, 500):
        folder = lay_out(tmp_path / "build")
        cut_off = killed(saver(folder, names), at)
        mend(folder)
        there = on_disk(folder)
        assert there in (OLD, want), at
        assert hidden(folder) == [], at
        seen.add(there == want)
        if not cut_off:
            break
    assert there == want
    assert seen == {True, False}


def test_mending_may_be_killed_as_well(tmp_path: Path) -> None:
    for at in range(1, 500, 3):
        folder = lay_out(tmp_path / "build")
        if not killed(saver(folder), at):
            break
        if not (folder / NAME).exists():
            continue
        half = tmp_path / "half"
        for again in range(1, 100):
            shutil.rmtree(half, ignore_errors=True)
            shutil.copytree(folder, half)
            cut_off = killed(lambda: mend(half), again)  # noqa: B023
            mend(half)
            assert on_disk(half) == NEW, (at, again)
            assert hidden(half) == [], (at, again)
            if not cut_off:
                break


def test_a_saving_that_is_taken_back_may_be_killed(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The last file cannot be put in its place: what is there already goes back."""
    real = saving._place

    def fails(draft: saving._Draft) -> None:
        if draft.path.endswith("03-c.yaml"):
            raise OSError("the disk is full")
        real(draft)

    monkeypatch.setattr(saving, "_place", fails)

    def refused(folder: Path) -> None:
        with pytest.raises(NotSavedError):
            saver(folder)()

    for at in range(1, 500):
        folder = lay_out(tmp_path / "build")
        cut_off = killed(lambda: refused(folder), at)  # noqa: B023
        mend(folder)
        assert on_disk(folder) in (OLD, NEW), at
        assert hidden(folder) == [], at
        if not cut_off:
            assert on_disk(folder) == OLD
            break


def test_what_somebody_changed_since_is_never_written_over(tmp_path: Path) -> None:
    for at in range(1, 500):
        folder = lay_out(tmp_path / "build")
        if not killed(saver(folder), at):
            break
        (folder / "build.yaml").write_bytes(b"mine\n")
        mend(folder)
        assert (folder / "build.yaml").read_bytes() == b"mine\n", at
        assert not (folder / NAME).exists()


def test_it_is_said_and_nothing_is_mended_twice(tmp_path: Path) -> None:
    for at in range(1, 500):
        folder = lay_out(tmp_path / "build")
        killed(saver(folder), at)
        if (folder / NAME).exists():
            break
    said = mend(folder)
    assert len(said) == 1
    assert "finished" in said[0][1]
    assert mend(folder) == []


def test_two_programs_saving_one_file_lose_neither_edit(tmp_path: Path) -> None:
    path = tmp_path / "build.yaml"
    path.write_bytes(b"")
    children = []
    for name in (b"a", b"b"):
        child = os.fork()
        if child == 0:
            done = 0
            while done < 150:
                before = path.read_bytes()
                try:
                    save({str(path): Change(before, before + name)})
                    done += 1
                except saving.ChangedOutsideError:
                    continue
            os._exit(0)
        children.append(child)
    for child in children:
        assert os.waitpid(child, 0)[1] == 0
    assert sorted(path.read_bytes()) == sorted(b"a" * 150 + b"b" * 150)


def test_a_journal_that_names_files_elsewhere_is_left_alone(tmp_path: Path) -> None:
    folder = lay_out(tmp_path / "build")
    outside = tmp_path / "victim"
    outside.write_bytes(b"mine\n")
    (folder / NAME).write_text('{"v":1,"way":"forth","files":[["../victim",null,"../.victim.00000000.old",null,null]]}')
    said = mend(folder)
    assert "cannot be used" in said[0][1]
    assert outside.read_bytes() == b"mine\n"
