"""Folders, pipes, loops and endless files where a plan file should be; files too large, too deep, too wrong."""

from __future__ import annotations

import contextlib
import os
import tempfile
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from planner.files.layout import MAX_BYTES
from planner.files.yaml.tree import MAX_DEPTH
from tests.badinput.asking import EPISODE, loaded, problems, refused, told, with_episode, with_job, with_step
from tests.badinput.samples import SMALL, SMALL_EPISODE, write
from tests.files.log.making import planner, tick

DEEP: dict[str, Callable[[int], str]] = {
    "brackets": lambda depth: "[" * depth + "]" * depth,
    "braces": lambda depth: "{a: " * depth + "}" * depth,
    "dashes": lambda depth: "- " * depth + "x\n",
    "lines": lambda depth: "".join(" " * n + "a:\n" for n in range(min(depth, 2000))),
    "brackets on lines of their own": lambda depth: "[\n" * depth + "]\n" * depth,
    "brackets left open": lambda depth: "[" * depth,
    "keys in keys": lambda depth: "? " * depth + "x\n",
}


@pytest.mark.parametrize("depth", [MAX_DEPTH + 1, 1000, 100_000])
@pytest.mark.parametrize("shape", DEEP)
def test_nesting_stops_at_32_at_once(tmp_path: Path, shape: str, depth: int) -> None:
    folder = with_episode(tmp_path, DEEP[shape](depth))
    begun = time.process_time()
    said = told(folder)
    assert time.process_time() - begun < 2
    assert "nested more than 32 deep; make it flatter" in said[-1][3] or shape == "brackets left open"
    assert len(said) == 1 or shape == "keys in keys"


@pytest.mark.parametrize("shape", ["brackets", "braces", "dashes", "lines"])
def test_nesting_of_32_is_read(tmp_path: Path, shape: str) -> None:
    for _, _, _, message in told(with_episode(tmp_path, DEEP[shape](MAX_DEPTH))):
        assert "nested" not in message


def test_a_file_larger_than_4_mib_is_not_read(tmp_path: Path) -> None:
    padding = "# " + "x" * 997 + "\n"
    exact = SMALL_EPISODE + padding * ((MAX_BYTES - len(SMALL_EPISODE)) // 1000)
    exact += "#" * (MAX_BYTES - len(exact))
    assert len(exact) == MAX_BYTES
    loaded(with_episode(tmp_path / "fits", exact))
    ((_, line, column, message),) = told(with_episode(tmp_path / "larger", exact + "#"))
    assert (line, column) == (1, 1) and "plan files go to 4,194,304: split it" in message


def test_problems_stay_short_and_few_enough_to_print(tmp_path: Path) -> None:
    """A file of four million characters of nonsense is told in lines that a terminal can take, and quickly."""
    nonsense = {
        "a word": f"kind: {'n' * 1_000_000}",
        "a key": f"{'n' * 900}: 1",
        "a text": f"time: {'n ' * 500_000}",
        "a number": f"rounds: {'9' * 1_000_000}",
        "lines": "kind: |\n" + "  wled\n" * 100_000,
        "the same key": "\n".join(["note: x"] * 100_000),
        "other keys": "\n".join(f"nedes{n}: x" for n in range(60_000)),
        "commas": "needs: {" + "a," * 500_000 + "}",
    }
    for name, keys in nonsense.items():
        folder = with_step(tmp_path / name.replace(" ", "-"), keys)
        begun = time.process_time()
        found = problems(folder)
        assert time.process_time() - begun < 10, name
        assert len(found) <= 20_001, name
        assert max(len(problem.message) for problem in found) < 500, name
        assert all("\n" not in problem.message for problem in found), name


@pytest.mark.parametrize("key", ["after", "needs"])
def test_thousands_of_misspelt_names_take_no_time(tmp_path: Path, key: str) -> None:
    """The nearest spelling is looked for while that is quick, then the problems go without."""
    words = {"after": "brakcet-{}", "needs": "brakcet-{}.done"}[key]
    steps = "".join(f"      - {{step: bracket-{n}, do: x, {key}: [{words.format(n)}]}}\n" for n in range(5000))
    conditions = "".join(f"  bracket-{n}.done: {{on: side, means: x}}\n" for n in range(5000))
    folder = with_job(tmp_path, conditions)
    write(folder, {EPISODE: SMALL_EPISODE + steps})
    begun = time.process_time()
    found = problems(folder)
    assert time.process_time() - begun < 6
    assert len(found) == 5000
    assert found[0].near == ("bracket-0" if key == "after" else "bracket-0.done")


def test_folders_and_files_that_are_not_there(tmp_path: Path) -> None:
    (problem,) = problems(tmp_path / "nowhere")
    assert problem.path.endswith("nowhere/build.yaml") and "there is no folder" in problem.message
    write(tmp_path / "one", {"episodes/01-trial.yaml": SMALL_EPISODE})
    ((file, line, column, message),) = told(tmp_path / "one")
    assert (file, line, column) == ("build.yaml", 1, 1) and "there is no build.yaml in " in message
    write(tmp_path / "two", {"build.yaml": SMALL["build.yaml"]})
    ((file, _, _, message),) = told(tmp_path / "two")
    assert file == "episodes" and "there is no episodes folder" in message
    (tmp_path / "two" / "episodes").mkdir()
    ((file, _, _, message),) = told(tmp_path / "two")
    assert file == "episodes" and "there is no episode yet" in message
    (tmp_path / "two" / "episodes").rmdir()
    (tmp_path / "two" / "episodes").write_text("x", encoding="utf-8")
    ((file, _, _, message),) = told(tmp_path / "two")
    assert file == "episodes" and "Not a directory" in message


@pytest.mark.parametrize("name", ["build.yaml", EPISODE, "numbers.yaml"])
def test_what_stands_where_a_plan_file_should(tmp_path: Path, name: str) -> None:
    """A folder, a pipe, a loop of links, a link that leads nowhere, an endless device: told, and nothing hangs."""
    folder = write(tmp_path, SMALL)
    path = folder / name
    path.unlink(missing_ok=True)
    expected: list[tuple[Callable[[], object], str]] = [
        (path.mkdir, "this is not a file; plan files are plain files"),
        (lambda: os.mkfifo(path), "this is not a file; plan files are plain files"),
        (lambda: path.symlink_to("/dev/zero"), "this is not a file; plan files are plain files"),
        (lambda: path.symlink_to(path.name), "cannot be read: Too many levels of symbolic links"),
        (lambda: path.symlink_to("nowhere.yaml"), "is a link to a file that is not there"),
    ]
    for make, message in expected:
        make()
        told_of = [(file, line, column) for file, line, column, says in told(folder) if message in says]
        assert told_of == [(name, 1, 1)], message
        if path.is_dir() and not path.is_symlink():
            path.rmdir()
        else:
            path.unlink()


def test_a_loop_of_folders(tmp_path: Path) -> None:
    folder = write(tmp_path, {"build.yaml": SMALL["build.yaml"]})
    (folder / "episodes").symlink_to("episodes")
    ((file, _, _, message),) = told(folder)
    assert file == "episodes" and "Too many levels of symbolic links" in message


def test_what_editors_and_systems_leave_behind_is_not_judged(tmp_path: Path) -> None:
    left = [".01-trial.yaml.swp", "01-trial.yaml~", "#01-trial.yaml#", ".DS_Store", "picture.png", "._01-trial.yaml"]
    loaded(write(tmp_path, {**SMALL, **{f"episodes/{name}": b"\0" for name in left}}))


def test_a_build_that_is_a_file(tmp_path: Path) -> None:
    folder = write(tmp_path, SMALL)
    said = planner("check", str(folder / "build.yaml"), "--json")
    assert said.code == 2
    assert "is not a folder; a build is a folder with a build.yaml in it" in said.json["problems"][0]["message"]
    assert read_build(folder / "build.yaml").problems[0].line == 1


@contextlib.contextmanager
def as_nobody() -> Iterator[Path]:
    """A folder that everybody may enter, and a user to whom permissions apply; root has to become one."""
    with tempfile.TemporaryDirectory(prefix="planner-test-") as name:
        home = Path(name)
        home.chmod(0o755)
        yield home
        for path in [home, *home.rglob("*")]:
            path.chmod(0o755)


@contextlib.contextmanager
def someone_else() -> Iterator[None]:
    """The same process without root's powers."""
    if os.geteuid() != 0:
        yield
        return
    os.seteuid(65534)
    try:
        yield
    finally:
        os.seteuid(0)


@pytest.mark.skipif(not hasattr(os, "seteuid"), reason="permissions are another matter on this system")
@pytest.mark.parametrize("closed", ["build.yaml", EPISODE, "numbers.yaml", "episodes", "."])
def test_what_may_not_be_read(closed: str) -> None:
    """Told with a hint, file or folder, and never a traceback."""
    with as_nobody() as home:
        folder = write(home / "build", {**SMALL, "numbers.yaml": "format: 1\n"})
        with_step(home / "other", "nedes: x")
        refused(home / "other")  # all that is imported on the way is, while it can be read
        planner("steps", str(folder))
        (folder / closed).chmod(0o644 if closed == "." else 0o000)  # a folder that may be listed but not entered
        with someone_else():
            found = problems(folder)
            said = planner("check", str(folder))
        assert said.code == 2
        assert all(problem.line == problem.column == 1 for problem in found)
        assert "cannot be read: Permission denied; check its permissions" in found[0].message
        if closed != ".":
            (problem,) = found
            assert problem.path == str(folder / closed)


@pytest.mark.skipif(not hasattr(os, "seteuid"), reason="permissions are another matter on this system")
def test_a_log_that_may_not_be_written_or_read() -> None:
    with as_nobody() as home:
        folder = write(home / "build", SMALL)
        assert tick(folder, "saw@near", device="phone").code == 0
        log = folder / "log"
        with someone_else():
            said = tick(folder, "saw@far", "--anyway")
            assert said.code == 3 and "Permission denied; nothing was recorded" in said.err
        log.chmod(0o777)
        (log / "phone.jsonl").chmod(0o000)
        with someone_else():
            said = planner("steps", str(folder))
            assert said.code == 0 and f"{log / 'phone.jsonl'}:1: cannot be read: Permission denied" in said.err
            assert tick(folder, "saw@far", "--anyway").code == 0
            assert tick(folder, "saw@far", device="phone").code == 3
        log.chmod(0o000)
        with someone_else():
            assert planner("check", str(folder)).code == 0
            assert tick(folder, "saw@far").code == 3


def test_every_command_that_reads_a_plan_refuses_a_bad_one(tmp_path: Path) -> None:
    folder = with_step(tmp_path, "nedes: [a.flat]")
    refused(folder)
    for argv in (["steps", str(folder)], ["tick", str(folder), "saw@near"]):
        said = planner(*argv)
        assert said.code == 2 and f"{folder / EPISODE}:9:9: the step has no key nedes" in said.err
        assert planner(*argv, "--json").json["problems"][0]["near"] == "needs"
    assert not (folder / "log").exists()
    assert planner("log", str(folder)).code == 0  # the log can be read when the plan cannot
