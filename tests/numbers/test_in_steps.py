"""Numbers inside the steps."""

from __future__ import annotations

import subprocess
import sys
from pathlib import Path

import pytest

from planner.files.build.numbers import numbers_for_steps
from planner.files.build.reading import read_build
from planner.numbers.calculator import Show
from planner.numbers.together import StepNumber, Worked, all_numbers, for_steps
from planner.plan.fill import differing, differs, filled, mistakes, references, unfilled
from tests.numbers.builds import EPISODE, NUMBERS, write
from tests.support.commandline import run, run_json

SIDES = ("driver", "passenger")
LINE: dict[str, StepNumber] = {"driver": StepNumber(88.9, "3 1/2 in"), "passenger": StepNumber(101.6, "4 in")}
TABLE: dict[str, dict[str, StepNumber]] = {
    "narrow.first-line": LINE,
    "fit.pads": {"": StepNumber(1219.2, "48 in")},
    "narrow.kerf": {"driver": StepNumber(3.0, "1/8 in"), "passenger": StepNumber(3.0 + 1e-12, "1/8 in")},
    "narrow.shaft-order": {},
    "narrow.half": {"driver": StepNumber(50.8, "2 in")},
    "fit.tightest": {"": StepNumber(None, "lip")},
}


@pytest.mark.parametrize(
    ("text", "side", "wanted"),
    [
        ("Cut at {narrow.first-line}.", "driver", "Cut at 3 1/2 in."),
        ("Cut at {narrow.first-line}.", "passenger", "Cut at 4 in."),
        ("Cut at { narrow.first-line }.", "passenger", "Cut at 4 in."),
        ("Not {narrow.first-line@passenger}", "driver", "Not 4 in"),
        ("Both {narrow.first-line}", None, "Both driver 3 1/2 in, passenger 4 in"),
        ("Both {narrow.kerf}", None, "Both 1/8 in"),
        ("Half {narrow.half}", None, "Half driver 2 in"),
        ("One {narrow.first-line@driver}", None, "One 3 1/2 in"),
        ("Pads {fit.pads}", None, "Pads 48 in"),
        ("Pads {fit.pads} {fit.tightest}", "driver", "Pads 48 in lip"),
        ("Later {narrow.shaft-order}", "driver", "Later {narrow.shaft-order}"),
        ("Weld [A] to {B} and {see the sheet}", "driver", "Weld [A] to {B} and {see the sheet}"),
        ("{{narrow.first-line}}", "driver", "{3 1/2 in}"),
    ],
)
def test_filling(text: str, side: str | None, wanted: str) -> None:
    """The side's own number, another's, or all of them where the operation is done once."""
    assert filled(text, TABLE, side, SIDES) == wanted


def test_without_numbers_braces_stay() -> None:
    """As they are written."""
    assert filled("{narrow.first-line}", {}, "driver", SIDES) == "{narrow.first-line}"


def test_what_differs() -> None:
    """By value, not by the last binary digit; a number that one side lacks differs too."""
    assert differs(LINE, SIDES)
    assert differs({"driver": StepNumber(1.0, "x")}, SIDES)
    assert not differs(TABLE["narrow.kerf"], SIDES)
    assert not differs(TABLE["fit.pads"], SIDES)
    assert not differs({}, SIDES)
    assert differs({"driver": StepNumber(None, "a"), "passenger": StepNumber(None, "b")}, SIDES)
    assert differing("{narrow.first-line} {fit.pads} {narrow.first-line@driver}", TABLE, SIDES) == ["narrow.first-line"]
    assert differing("{narrow.first-line@passenger} {fit.pads}", TABLE, SIDES) == []  # it says whose it is
    assert unfilled("{narrow.shaft-order} {fit.pads}", TABLE) == ["{narrow.shaft-order}"]
    half = {"narrow.first-line": {"driver": LINE["driver"]}}
    assert unfilled("{narrow.first-line@driver} {fit.pads@passenger}", {**half, "fit.pads": TABLE["fit.pads"]}) == []
    assert unfilled("{narrow.first-line@passenger}", half) == ["{narrow.first-line@passenger}"]
    assert filled("{narrow.first-line}", half, "passenger", SIDES) == "{narrow.first-line}"
    assert [each.name for each in references("{a.b@c} {x y}")] == ["a.b"]


def test_mistakes() -> None:
    """Unknown name, unknown side, a side where there is none."""
    known = {"narrow.first-line": True, "fit.pads": False}
    found = [each.says for each in mistakes("{narrow.first} {narrow.first-line@left} {fit.pads@driver}", known, SIDES)]
    assert len(found) == 3
    assert "no number {narrow.first}" in found[0]
    assert "no side left" in found[1]
    assert "the whole job has this number once" in found[2]
    assert [each.says for each in mistakes("{pads} {fit.pad}", known, SIDES)] == [
        "do: there is no number {pads}",
        "do: there is no number {fit.pad}",
    ]


def step(do: str, more: str = "", name: str = "mark") -> str:
    """An episode with one step."""
    return EPISODE[: EPISODE.index("      - step")] + f'      - step: {name}\n        do: "{do}"\n{more}'


def test_steps_are_filled(tmp_path: Path) -> None:
    """In JSON and in words, each side its own."""
    folder = write(tmp_path)
    _, found = run_json("steps", str(folder))
    assert [each["do"] for each in found["operations"]] == [
        "Mark the first line 4 in (4.0000 in, 101.600 mm) from the plate face",
        "Mark the first line 3 1/2 in (3.5000 in, 88.900 mm) from the plate face",
    ]
    _, out, _ = run("steps", str(folder))
    assert "Mark the first line 3 1/2 in" in out


def test_a_step_done_once_shows_both(tmp_path: Path) -> None:
    """Named by side."""
    folder = write(tmp_path, episode=step("Cut {narrow.first-line}", "        sides: once\n"))
    _, found = run_json("steps", str(folder))
    (only,) = found["operations"]
    assert only["do"].startswith("Cut driver 4 in (")
    assert ", passenger 3 1/2 in (" in only["do"]


def test_other_number(tmp_path: Path) -> None:
    """A notice at every step that uses a number which differs and does not say whose; at no other."""
    episode = (
        step("Mark {narrow.first-line}", "", "mark")
        + '      - step: tell\n        do: "Tell {narrow.second-line@driver}"\n        sides: once\n'
        + '      - step: both\n        do: "Tell {narrow.second-line}"\n        sides: once\n'
        + '      - step: pads\n        do: "Pads {fit.pads}, shorten {narrow.shorten}"\n'
    )
    folder = write(tmp_path, episode=episode)
    code, found = run_json("check", str(folder), "--strict")
    assert code == 0  # notices fail nothing
    rows = [each for each in found["findings"] if each["rule"] == "other-number"]
    assert [each["at"] for each in rows] == ["mark", "both"]
    assert found["counts"]["notice"] == 2
    for row in rows:
        assert (row["level"], row["condition"], row["cause"], row["history"]) == ("notice", None, None, False)
        assert "do not carry" in row["says"]
    assert rows[0]["where"].endswith("01-lines.yaml:7:9")


def test_numbers_that_are_alike_raise_nothing(tmp_path: Path) -> None:
    """Also when they were reached in different ways."""
    same = NUMBERS.replace("{driver: 4 in, passenger: 3 1/2 in}", "{driver: 4 in, passenger: 101.6 mm}")
    _, found = run_json("check", str(write(tmp_path, same)))
    assert found["findings"] == []


def test_once_done_it_is_history(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """It is shown still, and no longer counted."""
    monkeypatch.setenv("PLANNER_DEVICE", "bench")
    folder = write(tmp_path)
    assert run("tick", str(folder), "mark@driver")[0] == 0
    assert run_json("check", str(folder))[1]["counts"]["notice"] == 1
    assert run("tick", str(folder), "mark@passenger")[0] == 0
    found = run_json("check", str(folder))[1]
    assert found["counts"]["notice"] == 0
    assert [each["history"] for each in found["findings"]] == [True]
    assert run_json("check", str(folder), "--plan")[1]["counts"]["notice"] == 1


@pytest.mark.parametrize(
    ("do", "words", "near"),
    [
        ("Cut {narrow.frist-line}", "there is no number {narrow.frist-line}", "narrow.first-line"),
        ("Cut {narow.first-line}", "there is no number", "narrow.first-line"),
        ("Cut {wheel.offset}", "numbers.yaml has no section wheel", "narrow.offset"),
        ("Cut {narrow.first-line@diver}", "there is no side diver", "driver"),
        ("Pads {fit.pads@driver}", "whole job has this number once", None),
    ],
)
def test_unknown_names_are_located_problems(tmp_path: Path, do: str, words: str, near: str | None) -> None:
    """At the text that names them."""
    folder = write(tmp_path, episode=step(do))
    code, found = run_json("check", str(folder))
    assert code == 2
    (row,) = found["problems"]
    assert words in row["message"]
    assert (row["line"], row["column"], row["near"]) == (8, 13, near)
    assert run("steps", str(write(tmp_path / "without", None, step(do))))[0] == 0


def test_a_broken_file_of_numbers_blames_no_step(tmp_path: Path) -> None:
    """Only what is wrong in it is told."""
    folder = write(tmp_path, NUMBERS.replace("narrow:", "narow:"))
    _, found = run_json("check", str(folder))
    assert [row["path"].endswith("numbers.yaml") for row in found["problems"]] == [True]


def test_no_number_from_refused_input(tmp_path: Path) -> None:
    """The braces stay, and it is said where."""
    folder = write(tmp_path, NUMBERS.replace("plate-to-plate: 54 1/8", "plate-to-plate: 54 5/8"))
    code, out, err = run("steps", str(folder))
    assert code == 0
    assert "Mark the first line {narrow.first-line} from" in out
    assert "01-lines.yaml:7:9: mark: {narrow.first-line} has no number, because" in err
    two = step("Mark {narrow.first-line} and {narrow.second-line}, and again {narrow.first-line}")
    (folder / "episodes" / "01-lines.yaml").write_text(two, encoding="utf-8")
    _, _, err = run("steps", str(folder))
    assert "mark: {narrow.first-line}, {narrow.second-line} have no number, because" in err


@pytest.mark.parametrize(
    ("old", "new"),
    [
        ("gap: 1/16 in", "gap: 1/16"),  # a forgotten unit
        ("gap: 1/16 in", "gap: 58 in"),  # out of range
        ("gap: 1/16 in", "gap: nan in"),
        ("passenger: 3 1/2 in}", "passenger: 3 1/2}"),
        ("passenger: 3 1/2 in}", "passenger: }"),
        ("plate-to-plate: 54 1/8", "plate-to-plate: 55"),  # a contradiction
        ("  lip: 30 in ± 1/16  ", "  lip: 30 ± 1/16  "),  # in what it takes its pads from
        ("  offset: 0 in", "  offset: 0 in\n  solve: pad"),
    ],
)
def test_a_slip_in_the_numbers_does_not_stop_the_shoot(
    tmp_path: Path, old: str, new: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Checking and ticking go on without the number, and every time it is said which one is not there."""
    monkeypatch.setenv("PLANNER_DEVICE", "bench")
    assert old in NUMBERS
    folder = write(tmp_path, NUMBERS.replace(old, new, 1))
    for argv in (["check"], ["steps"], ["tick", "mark@driver"]):
        code, out, err = run(argv[0], str(folder), *argv[1:])
        assert code == 0, err
        assert "mark: {narrow.first-line} has no number" in err
        assert " in from the plate" not in out
    assert run_json("steps", str(folder))[1]["operations"][0]["done"]
    assert run_json("numbers", str(folder))[0] == 2


def test_a_calculator_runs_when_one_of_its_numbers_is_looked_up(tmp_path: Path) -> None:
    """With those that it takes from, and with no other."""
    bars = "bars: {stock: 6 m, pieces: 1 m x 4}\nwrap: {diameter: 3 in}\n"
    folder = write(tmp_path, NUMBERS + bars)
    numbers = read_build(folder).numbers
    assert numbers is not None
    outcomes = Worked(numbers.sections, SIDES, Show())
    table = for_steps(tuple(numbers.sections), outcomes, Show())
    assert {each.value for each in table["narrow.shaft-order"].values()} == {None}
    assert "bars.bars" in table
    assert "bars.none" not in table
    assert "tube.area" not in table
    assert table.get("tube.area") is None
    assert len(outcomes) == 4
    assert set(outcomes._done) == {"narrow", "fit"}
    with pytest.raises(KeyError):
        outcomes["tube"]
    eager = for_steps(tuple(numbers.sections), all_numbers(numbers.sections, SIDES, Show()), Show())
    assert dict(table) == dict(eager)
    assert dict(outcomes) == all_numbers(numbers.sections, SIDES, Show())
    assert dict(numbers_for_steps(numbers, SIDES, "inch 1/32")) == dict(eager)
    assert len(table) == len(list(table)) == len(dict(eager))


def test_reading_and_looking_up_import_no_other_calculator(tmp_path: Path) -> None:
    """In a fresh interpreter: the file is read without any, and one number brings what it is taken from."""
    folder = write(tmp_path, NUMBERS + "bars: {stock: 6 m, pieces: 1 m x 4}\nwrap: {diameter: 3 in}\n")
    code = (
        "import sys\nfrom pathlib import Path\n"
        "from planner.files.build.numbers import numbers_for_steps, read_numbers\n"
        "from planner.files.build.load import load\nfrom planner.files.yaml.tree import Problems\n"
        "path, problems, sides = Path(sys.argv[1]), Problems(), ('driver', 'passenger')\n"
        "file = read_numbers(path, load(path, problems), sides, problems)\n"
        "assert not problems.found\n"
        "mine = lambda: {name.rpartition('.')[2] for name in sys.modules if name.startswith('planner.numbers.')}\n"
        "assert mine() == {'keys', 'keytable', 'registry'}, mine()\n"
        "table = numbers_for_steps(file, sides, 'inch 1/32')\n"
        "assert not mine() & {'narrow', 'fit', 'bars', 'wrap'}, mine()\n"
        "assert table['narrow.first-line']['passenger'][1].startswith('3 1/2 in')\n"
        "assert {'narrow', 'fit'} <= mine() and not mine() & {'bars', 'barplan', 'wrap', 'cradle'}, mine()\n"
    )
    argv = [sys.executable, "-c", code, str(folder / "numbers.yaml")]
    done = subprocess.run(argv, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_a_plan_without_braces_runs_no_calculator(tmp_path: Path) -> None:
    """And a build without numbers does not even import them."""
    code = (
        "import sys\nfrom planner.commands import main\n"
        "assert main(['check', sys.argv[1]]) == 0\n"
        "found = [name for name in sys.modules if name.startswith('planner.numbers.')]\n"
        "sys.exit(f'imports {found}' if found else 0)"
    )
    folder = write(tmp_path, None)
    done = subprocess.run([sys.executable, "-c", code, str(folder)], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
