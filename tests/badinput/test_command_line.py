"""The command line as programs and people meet it: exit codes, where builds are found, closed pipes, full outputs."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from planner.commands import COMMANDS
from tests.badinput.samples import SMALL, SMALL_EPISODE, write
from tests.files.log.making import environment, planner, tick, write_build

ROOT = Path(__file__).resolve().parents[2]
TRAP = "      - {step: oil, do: Oil it, needs: [a.flat]}\n      - {step: file, do: File it flat, gives: [a.flat]}\n"


def run(*argv: str, out: int | None = subprocess.PIPE, **more: str) -> subprocess.CompletedProcess[str]:
    """The command in a program of its own, its output buffered as a shell's is."""
    env = {name: value for name, value in os.environ.items() if name != "PYTHONUNBUFFERED"}
    return subprocess.run(
        [sys.executable, "-m", "planner", *argv],
        cwd=ROOT,
        env={**env, **more},
        stdout=out,
        stderr=subprocess.PIPE,
        text=True,
        check=False,
    )


@pytest.fixture
def sound(tmp_path: Path) -> Path:
    """A build with nothing wrong."""
    return write(tmp_path / "sound", SMALL)


@pytest.fixture
def trapped(tmp_path: Path) -> Path:
    """A build with a trap."""
    return write(tmp_path / "trapped", {**SMALL, "episodes/01-trial.yaml": SMALL_EPISODE + TRAP})


def test_exit_codes(sound: Path, trapped: Path, tmp_path: Path) -> None:
    gap = "      - {step: oil, do: Oil it, needs: [a.true]}\n"
    gapped = write(tmp_path / "gapped", {**SMALL, "episodes/01-trial.yaml": SMALL_EPISODE + gap})
    assert planner("check", str(sound)).code == 0
    assert planner("check", str(trapped)).code == 1
    assert planner("check", str(trapped), "--no-repairs", "--json").code == 1
    assert planner("check", str(gapped)).code == 0
    assert planner("check", str(gapped), "--strict").code == 1
    assert tick(trapped, "oil@near").code == 1
    assert planner("check", str(tmp_path / "nowhere")).code == 2
    assert planner("check").code == 2
    assert planner("check", str(sound), "--nonsense").code == 2
    assert planner("nonsense", str(sound)).code == 2
    assert planner("--nonsense").code == 2
    (sound / "log").write_bytes(b"")
    assert tick(sound, "saw@near").code == 3
    said = run("check", str(trapped))
    assert said.returncode == 1 and "Traceback" not in said.stderr


def test_history_does_not_fail_a_check_unless_the_plan_alone_is_judged(trapped: Path) -> None:
    for op in ("saw@near", "saw@far", "oil@near", "oil@far"):
        assert tick(trapped, op, "--anyway").code == 0
    said = planner("check", str(trapped), "--json")
    assert said.code == 0
    assert said.json["ticked"] == 4
    assert {(f["rule"], f["history"]) for f in said.json["findings"] if f["level"] == "trap"} == {("given-later", True)}
    assert planner("check", str(trapped), "--plan").code == 1


@pytest.mark.parametrize("command", COMMANDS)
def test_help_has_an_example_that_names_the_command(command: str) -> None:
    said = planner(command, "--help")
    assert said.code == 0 and said.err == ""
    assert "example:" in said.out and f"\n  planner {command} " in said.out
    assert "--json" in said.out and "--builds" in said.out


def test_help_of_all() -> None:
    for word in ("--help", "-h", "help"):
        said = planner(word)
        assert said.code == 0
        for command in COMMANDS:
            assert f"planner {command} " in said.out
    assert planner("--version").out.startswith("planner ")


def test_what_argparse_refuses_is_told_as_everything_else(sound: Path) -> None:
    said = planner("steps", str(sound), "--json", "--episode", "two")
    assert said.code == 2
    (problem,) = said.json["problems"]
    assert "--episode" in problem["message"] and "see planner steps --help" in problem["message"]
    assert said.err.startswith("planner: ")
    said = planner("steps", str(sound), "--side", "left", "--json")
    assert "the sides are near, far" in said.json["problems"][0]["message"]


def test_a_build_is_a_folder_or_a_name_under_the_builds_folder(
    sound: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    home = sound.parent
    assert planner("check", "sound", "--builds", str(home)).code == 0
    assert planner("check", "sound", f"--builds={home}").code == 0
    with environment(PLANNER_BUILDS=str(home)):
        assert planner("check", "sound").code == 0
        assert planner("check", "sound", "--builds", str(tmp_path / "elsewhere")).code == 2  # what is said counts
    with environment(PLANNER_BUILDS=None, XDG_DATA_HOME=str(tmp_path / "data")):
        work = tmp_path / "work"
        work.mkdir()
        monkeypatch.chdir(work)
        assert planner("check", "sound").code == 2
        write(tmp_path / "data" / "planner" / "builds" / "sound", SMALL)
        assert planner("check", "sound").code == 0
        write(work / "projects" / "other", SMALL)
        assert planner("check", "sound").code == 2  # ./projects comes first
        assert planner("check", "other").code == 0
        write(work / "other", {})
        (work / "other").mkdir()
        assert planner("check", "other").code == 2  # a folder of that name is that folder


def test_an_unknown_build_is_told_with_the_nearest(sound: Path) -> None:
    said = planner("check", "suond", "--builds", str(sound.parent), "--json")
    assert said.code == 2
    (problem,) = said.json["problems"]
    assert problem["near"] == "sound" and "did you mean sound?" in problem["message"]
    assert problem["path"] == str(sound.parent / "suond") and problem["line"] is None
    for name in ("", "\0", "x" * 5000, "../" * 500, "sound/build.yaml"):
        said = planner("check", name, "--builds", str(sound.parent), "--json")
        assert said.code == 2 and said.json["problems"], name


def test_now_sets_the_clock_of_every_command(tmp_path: Path) -> None:
    folder = write_build(tmp_path)
    now = ("--now", "2027-02-13T10:00:00Z")
    assert tick(folder, "brush@left", *now).json["at"] == "2027-02-13T10:00:00.000Z"
    for command in COMMANDS:
        if command in ("new", "figure", "numbers"):
            continue
        for wrong in ("later", "10:00"):
            said = planner(command, str(folder), "--now", wrong, *(["brush@right"] if command == "tick" else []))
            assert said.code == 2 and "--now" in said.err, command
    assert planner("log", str(folder), *now).code == 0


def test_a_pipe_that_is_closed_early(sound: Path) -> None:
    """``planner steps | head``: no noise, and the exit code is the command's own."""
    for argv in (["--help"], ["check", "--help"], ["steps", str(sound)], ["check", str(sound), "--json"]):
        for unbuffered in ({}, {"PYTHONUNBUFFERED": "1"}):
            reader, writer = os.pipe()
            os.close(reader)
            said = run(*argv, out=writer, **unbuffered)
            os.close(writer)
            assert (said.returncode, said.stderr) == (0, ""), argv


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="this system has no device that is always full")
def test_an_output_that_is_full(sound: Path, trapped: Path) -> None:
    with Path("/dev/full").open("wb") as full:
        for unbuffered in ({}, {"PYTHONUNBUFFERED": "1"}):
            said = run("steps", str(sound), out=full.fileno(), **unbuffered)
            assert said.returncode == 2
            assert said.stderr == "planner: the answer could not be written: No space left on device\n"
            said = run("check", str(sound / "nowhere"), "--json", out=full.fileno(), **unbuffered)
            assert said.returncode == 2 and "Traceback" not in said.stderr
            said = run("--help", out=full.fileno(), **unbuffered)
            assert "Traceback" not in said.stderr
        muted = subprocess.run(
            [sys.executable, "-m", "planner", "check", str(trapped)],
            cwd=ROOT,
            stdout=subprocess.DEVNULL,
            stderr=full,
            check=False,
        )
        assert muted.returncode == 1


def test_outputs_that_are_closed(sound: Path) -> None:
    """A program started without stdout or stderr, as some schedulers start it."""
    for closing in (">&-", "2>&-", ">&- 2>&-"):
        said = subprocess.run(
            [
                "sh",
                "-c",
                f'exec "$0" -m planner tick "$1" saw@near --again --anyway {closing}',
                sys.executable,
                str(sound),
            ],
            cwd=ROOT,
            env={**os.environ, "PLANNER_DEVICE": "bench"},
            check=False,
        )
        assert said.returncode == 1, closing  # refused, since it is not done; and the log is untouched
        assert (sound / "log" / "bench.jsonl").read_bytes() == b""


def test_a_terminal_that_cannot_show_all_letters(tmp_path: Path) -> None:
    episode = SMALL_EPISODE.replace("Saw it", "Säge 鋸 🪚 “gerade”")
    folder = write(tmp_path, {**SMALL, "episodes/01-trial.yaml": episode})
    for encoding in ("ascii", "latin-1", "utf-8"):
        said = subprocess.run(
            [sys.executable, "-m", "planner", "steps", str(folder)],
            cwd=ROOT,
            env={**os.environ, "PYTHONIOENCODING": encoding},
            capture_output=True,
            check=False,
        )
        assert said.returncode == 0, said.stderr
        assert "ge" in said.stdout.decode(encoding)
        answer = subprocess.run(
            [sys.executable, "-m", "planner", "steps", str(folder), "--json"],
            cwd=ROOT,
            env={**os.environ, "PYTHONIOENCODING": encoding},
            capture_output=True,
            check=False,
        )
        assert json.loads(answer.stdout)["operations"][0]["do"] == "Säge 鋸 🪚 “gerade”"
