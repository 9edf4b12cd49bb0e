"""The builds to start from: sound as they come, and made into a person's own or not made at all.

The orders of work in the starters are common practice, no source.
"""

from __future__ import annotations

import json
import shutil
from pathlib import Path
from typing import Any

import pytest

from planner.files.build.reading import read_build
from planner.files.layout import STARTERS
from planner.plan.model import Build, Step
from tests.support.commandline import run

NAMES = sorted(folder.name for folder in STARTERS.iterdir() if folder.is_dir())
FREE = [name for name in NAMES if name != "brake-conversion"]  # their steps name no side
TITLES = [
    "Grandma's gate",
    'A "proper" axle: wide, then narrow # again',
    "{braces}, [brackets] & *stars*",
    "Überbreite Hinterachse – größer als nötig",
    "狭い車軸 🚗",
    "back\\slash and \\n",
    "no",
    "1:30",
    "---",
]


def ran(*argv: str) -> tuple[int, dict[str, Any], str]:
    """Exit code, JSON answer and messages of a command."""
    code, out, err = run(*argv, "--json")
    return code, json.loads(out), err


def made(home: Path, starter: str, *options: str, name: str = "mine") -> tuple[int, dict[str, Any]]:
    """``planner new`` in a builds folder of its own."""
    return ran("new", name, "--from", starter, "--builds", str(home), *options)[:2]


def plan(folder: Path) -> Build:
    """The build in a folder."""
    reading = read_build(folder)
    assert reading.build is not None, reading.problems
    return reading.build


def steps(folder: Path) -> list[Step]:
    """All steps of a build."""
    return [step for e in plan(folder).episodes for stage in e.stages for step in stage.steps]


def texts(folder: Path) -> dict[str, str]:
    """Every file of a folder."""
    files = [file for file in folder.rglob("*") if file.is_file()]
    return {str(file.relative_to(folder)): file.read_text("utf-8") for file in files}


# --- as they come -------------------------------------------------------------------------------


def test_there_are_enough_and_one_is_blank() -> None:
    """Eight and more, listed with what they are."""
    code, answer, _ = ran("new", "--list")
    assert code == 0
    assert [row["name"] for row in answer["starters"]] == NAMES
    assert all(row["build"] and len(row["build"]) <= 60 for row in answer["starters"])
    assert len(NAMES) >= 8
    assert {"blank", "axle"} <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_a_starter_has_nothing_to_report(name: str) -> None:
    """No trap, no gap, no notice; its size is a few evenings' work."""
    code, answer, messages = ran("check", str(STARTERS / name), "--strict")
    assert (code, messages) == (0, "")
    assert answer["findings"] == []
    low, high = (2, 8) if name == "blank" else (20, 120)
    assert low <= answer["operations"] <= high


@pytest.mark.parametrize("name", NAMES)
def test_a_starter_is_complete(name: str) -> None:
    """Every step has a time; what the person knows better (dates, zone, camera) is left to them."""
    for step in steps(STARTERS / name):
        assert step.time, step.id
        assert step.film is None, step.id
        # A wait acts on what a step gives and on its next round; anywhere else it would do nothing.
        assert not step.wait or step.gives or step.rounds > 1, step.id
    build = plan(STARTERS / name)
    assert build.shop.timezone is None and build.film is None
    assert all(episode.publish is None for episode in build.episodes)
    assert [episode.number for episode in build.episodes] == list(range(1, len(build.episodes) + 1))


@pytest.mark.parametrize("name", [name for name in NAMES if name != "blank"])
def test_a_starter_keeps_people_safe(name: str) -> None:
    """After the last spark of an arc somebody stays and looks; what was hot is left to cool."""
    kinds = [step.kind for step in steps(STARTERS / name)]
    arcs = {"weld", "fillet-weld", "stitch", "weld-bracket"}
    last = max((at for at, kind in enumerate(kinds) if kind in arcs), default=None)
    if last is not None:
        assert {"fire-watch", "cool"} <= set(kinds[last:])


@pytest.mark.parametrize("name", NAMES)
def test_the_files_are_fit_to_be_edited(name: str) -> None:
    """One title line and one line of sides to replace, what to edit first, short lines."""
    files = texts(STARTERS / name)
    assert set(files) == {"build.yaml", *(key for key in files if key.startswith("episodes"))}
    lines = files["build.yaml"].splitlines()
    assert sum(line.startswith("build:") for line in lines) == 1
    (sides,) = [line for line in lines if line.startswith("sides:")]
    assert sides.startswith("sides: [") and sides.endswith("]")
    assert any("Edit first" in line for line in lines)
    for key, text in files.items():
        assert text.endswith("\n") and text.isascii(), key
        for number, line in enumerate(text.splitlines(), 1):
            assert len(line) <= 100 and line == line.rstrip() and "\t" not in line, (key, number)


# --- made into one's own ------------------------------------------------------------------------


@pytest.mark.parametrize("name", NAMES)
def test_new_makes_a_build_that_checks_clean(name: str, tmp_path: Path) -> None:
    """Only the title differs, taken from the folder's name where none is given."""
    home = tmp_path / "deep" / "builds"
    code, answer = made(home, name)
    assert code == 0
    assert answer["build"] == str(home / "mine")
    code, checked, _ = ran("check", "mine", "--builds", str(home), "--strict")
    assert (code, checked["findings"], checked["build"]) == (0, [], "Mine")
    before, after = texts(STARTERS / name), texts(home / "mine")
    assert before.keys() == after.keys()
    changed = [
        (old, new)
        for key in before
        for old, new in zip(before[key].splitlines(), after[key].splitlines(), strict=True)
        if old != new
    ]
    assert [new for _, new in changed] == ['build: "Mine"']
    assert [entry.name for entry in home.iterdir()] == ["mine"]


@pytest.mark.parametrize("title", TITLES)
@pytest.mark.parametrize("name", ["blank", "brake-conversion"])
def test_the_title_is_kept_to_the_letter(name: str, title: str, tmp_path: Path) -> None:
    """Quotes, colons, marks that mean something in YAML, and letters beyond ASCII."""
    assert made(tmp_path, name, f"--title={title}")[0] == 0
    code, checked, _ = ran("check", str(tmp_path / "mine"))
    assert (code, checked["build"]) == (0, title)


@pytest.mark.parametrize("sides", ["near,off", "only", "a, b, c-3", "a,b,c,d,e,f,g,h"])
@pytest.mark.parametrize("name", FREE)
def test_other_sides_check_clean_too(name: str, sides: str, tmp_path: Path) -> None:
    """One side to eight, whatever they are called."""
    code, _ = made(tmp_path, name, "--sides", sides, "--title", "Other: sides")
    assert code == 0
    code, checked, _ = ran("check", str(tmp_path / "mine"), "--strict")
    assert (code, checked["findings"], checked["build"]) == (0, [], "Other: sides")
    wanted = [side.strip() for side in sides.split(",")]
    assert list(plan(tmp_path / "mine").sides) == wanted


def test_the_same_sides_in_another_order_suit_the_one_that_names_them(tmp_path: Path) -> None:
    """The four corners may be put in another order."""
    order = "rear-left,rear-right,front-left,front-right"
    assert made(tmp_path, "brake-conversion", "--sides", order)[0] == 0
    assert ran("check", str(tmp_path / "mine"), "--strict")[0] == 0


# --- refused: one clear answer, nothing left behind ---------------------------------------------


def left(home: Path) -> list[str]:
    """What is in a folder, hidden files too."""
    return sorted(str(entry.relative_to(home)) for entry in home.rglob("*"))


def test_a_starter_written_for_its_own_sides_says_so(tmp_path: Path) -> None:
    """The four-cornered starter names its corners in the order of bleeding."""
    code, answer = made(tmp_path, "brake-conversion", "--sides", "left,right")
    assert code == 2
    (problem,) = answer["problems"]
    assert "sides of its own" in problem["message"] and "leave --sides out" in problem["message"]
    assert left(tmp_path) == []


@pytest.mark.parametrize("sides", ["", "a,,b", "a,a", "Left,Right", "a,all", "front left", "a,b]"])
def test_bad_sides_are_refused(sides: str, tmp_path: Path) -> None:
    """Empty, doubled, reserved, badly written."""
    code, answer = made(tmp_path, "blank", "--sides", sides)
    assert code == 2 and answer["problems"]
    assert left(tmp_path) == []


def test_nine_sides_are_too_many(tmp_path: Path) -> None:
    """One to eight."""
    code, answer = made(tmp_path, "blank", "--sides", "a,b,c,d,e,f,g,h,i")
    assert code == 2 and "eight" in answer["problems"][0]["message"]
    assert left(tmp_path) == []


@pytest.mark.parametrize("name", ["", ".", "..", "My build", "a/b", "../a", "Ä", "a_b", "-"])
def test_a_bad_name_is_refused(name: str, tmp_path: Path) -> None:
    """Lower-case letters, digits and hyphens; never a path."""
    home = tmp_path / "home"
    home.mkdir()
    code, answer, _ = ran("new", "--from", "blank", "--builds", str(home), "--", name)
    assert code == 2 and answer["problems"][0]["message"]
    assert left(tmp_path) == ["home"]


@pytest.mark.parametrize(
    ("starter", "near"),
    [("axel", "axle"), ("trestle", "trestles"), ("gate-pear", "gate-pair"), ("../axle", None)],
)
def test_an_unknown_starter_is_refused(starter: str, near: str | None, tmp_path: Path) -> None:
    """The nearest spelling, and the list of all."""
    code, answer = made(tmp_path, starter)
    assert code == 2
    (problem,) = answer["problems"]
    assert problem["near"] == near or near is None
    assert "blank" in problem["message"]
    assert left(tmp_path) == []


@pytest.mark.parametrize("what", ["build", "empty folder", "file"])
def test_what_is_there_is_never_overwritten(what: str, tmp_path: Path) -> None:
    """A build, an empty folder and a file of that name all stay as they are."""
    target = tmp_path / "mine"
    if what == "build":
        shutil.copytree(STARTERS / "axle", target)
    elif what == "file":
        target.write_text("mine", encoding="utf-8")
    else:
        target.mkdir()
    before = left(tmp_path)
    code, answer = made(tmp_path, "blank")
    assert code == 2 and "there already" in answer["problems"][0]["message"]
    assert left(tmp_path) == before


def test_a_place_that_cannot_be_written(tmp_path: Path) -> None:
    """A file stands where the builds folder should be: exit 3, and nothing was left behind."""
    (tmp_path / "home").write_text("a file", encoding="utf-8")
    for home in (tmp_path / "home", tmp_path / "home" / "deeper"):
        code, answer = made(home, "blank")
        assert code == 3 and "nothing was left behind" in answer["problems"][0]["message"]
    assert left(tmp_path) == ["home"]


def test_a_full_disk_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Half a build is no build."""

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_text", full)
    code, answer = made(tmp_path, "axle")
    assert code == 3 and "No space left" in answer["problems"][0]["message"]
    assert left(tmp_path) == []
