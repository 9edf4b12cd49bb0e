"""What a command loads: a fresh interpreter is asked, since a list of imports misses those made on the way."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.badinput.samples import FULL, write
from tests.files.log.making import write_build

ROOT = Path(__file__).resolve().parents[2]
ASK = """
import json, sys
from planner.commands import main
try:
    main(sys.argv[1:])
except SystemExit:
    pass
print()
print(json.dumps(sorted({name.partition(".")[0] for name in sys.modules} | {n for n in sys.modules if "planner" in n})))
"""


def loaded_by(*argv: str) -> set[str]:
    """The packages that a command has loaded when it is done, and the planner's own modules in full."""
    said = subprocess.run(
        [sys.executable, "-c", ASK, *argv],
        cwd=ROOT,
        env={**os.environ, "PLANNER_DEVICE": "bench"},
        capture_output=True,
        text=True,
        check=True,
    )
    names: list[str] = json.loads(said.stdout.splitlines()[-1])
    return set(names)


SCREEN = {"textual", "rich"}


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> str:
    """A build without dates or hours."""
    return str(write_build(tmp_path_factory.mktemp("build")))


@pytest.mark.parametrize(
    "argv",
    [
        ["check"],
        ["check", "--json"],
        ["check", "--no-repairs"],
        ["steps"],
        ["steps", "--json", "--cautions"],
        ["tick", "brush@left"],
        ["tick", "brush@left", "--note", "fine", "--json"],
        ["log"],
    ],
    ids=" ".join,
)
def test_a_command_loads_neither_the_screen_nor_the_calendar(folder: str, argv: list[str]) -> None:
    loaded = loaded_by(argv[0], folder, *argv[1:])
    assert not loaded & (SCREEN | {"pendulum", "dateutil"})
    assert "planner.app" not in loaded
    if argv[0] == "log":
        assert "yaml" not in loaded  # the log stands on its own


@pytest.mark.parametrize(
    ("argv", "without"),
    [
        ("figure tyre size=255/60R15 rim=15in", "yaml planner.plan.expand planner.session planner.telling"),
        ("where", "yaml planner.plan planner.session planner.files.build planner.numbers"),
        ("kinds", "planner.session planner.files.log planner.numbers planner.telling pendulum"),
        ("tick FOLDER brush@left --anyway", "planner.plan.repairs planner.plan.orders planner.paper"),
        ("steps FOLDER", "planner.plan.repairs planner.plan.orders planner.plan.calendar planner.telling"),
        ("check FOLDER --no-repairs", "planner.plan.orders planner.plan.calendar planner.files.editing planner.paper"),
        ("numbers FOLDER", "planner.plan.repairs planner.files.editing planner.telling planner.paper"),
        ("links FOLDER", "planner.plan.calendar planner.files.editing planner.paper"),
        ("story FOLDER", "planner.plan.orders planner.plan.calendar planner.files.editing planner.paper"),
        ("order FOLDER", "planner.plan.calendar planner.files.editing planner.paper"),
        ("paper --help", "planner.paper planner.plan planner.session planner.telling"),
        ("story --help", "planner.plan planner.session planner.telling"),
        ("calendar --help", "planner.plan planner.session planner.telling"),
    ],
)  # fmt: skip
def test_a_command_loads_what_it_needs_and_no_more(folder: str, argv: str, without: str) -> None:
    loaded = loaded_by(*argv.replace("FOLDER", folder).split())
    rooms = tuple(without.split())
    assert {each for each in loaded if each in rooms or each.startswith(tuple(f"{room}." for room in rooms))} == set()
    assert not loaded & SCREEN


@pytest.mark.parametrize(
    "argv",
    [
        ["steps", "--now", "2027-02-13T10:00Z"],
        ["tick", "brush@right", "--at", "2027-02-13T10:00Z"],
        ["check", "--now", "2027-02-13"],
    ],
    ids=" ".join,
)
def test_the_calendar_comes_with_a_time_that_was_typed(folder: str, argv: list[str]) -> None:
    loaded = loaded_by(argv[0], folder, *argv[1:])
    assert "pendulum" in loaded
    assert not loaded & SCREEN


def test_dates_and_hours_of_a_plan_do_not_load_the_screen(tmp_path: Path) -> None:
    folder = str(write(tmp_path, FULL))
    for command in ("check", "steps"):
        assert not loaded_by(command, folder) & SCREEN


@pytest.mark.parametrize(
    "argv", [["--help"], ["--version"], ["check", "--help"], ["tick", "--help"], ["story", "--help"]], ids=" ".join
)
def test_help_loads_nothing(argv: list[str]) -> None:
    loaded = loaded_by(*argv)
    assert not loaded & (SCREEN | {"yaml", "pendulum", "platformdirs", "zoneinfo"})
    assert not {name for name in loaded if name.startswith(("planner.files.", "planner.app"))}


def test_the_package_itself_costs_nothing() -> None:
    said = subprocess.run(
        [
            sys.executable,
            "-c",
            "import sys; before = set(sys.modules); import planner; print(*set(sys.modules) - before)",
        ],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=True,
    )
    assert set(said.stdout.split()) <= {"planner", "__future__"}


def test_a_plan_that_cannot_be_used_loads_no_more_than_one_that_can(tmp_path: Path) -> None:
    folder = write(tmp_path, {**FULL, "build.yaml": FULL["build.yaml"].replace("film: near", "flim: near")})
    assert not loaded_by("check", str(folder)) & (SCREEN | {"pendulum"})
