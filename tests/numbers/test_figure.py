"""``planner figure``."""

from __future__ import annotations

import json
import subprocess
import sys

import pytest

from planner.numbers.inputs import describe_input
from planner.numbers.registry import CALCULATORS, calculator
from planner.numbers.showing import AID
from tests.numbers.housings import PLAIN
from tests.support.commandline import run, run_json


def arguments(typed: dict[str, object]) -> list[str]:
    """Inputs as they stand on a command line."""
    found = []
    for key, each in typed.items():
        if isinstance(each, dict):
            found += [f"{key}.{side}={value}" for side, value in each.items()]
        else:
            found.append(f"{key}={each}")
    return found


def test_json() -> None:
    """Value, unit, ± and how it is shown."""
    code, found = run_json("figure", "wheel", "width=7 in ± 1/32", "overall=8 in ± 1/32", "offset=35 mm")
    assert code == 0
    cell = found["results"]["backspacing"]
    assert cell["value"] == pytest.approx(136.6)
    assert cell["unit"] == "mm"
    assert cell["plus_minus"] == pytest.approx(2 * 25.4 / 64 / 3**0.5)
    assert cell["shown"] == "5 3/8 in (5.378 in, 136.60 mm)"  # two figures of its ±, 0.46 mm
    assert cell["dominant"] == "overall"
    assert found["warnings"]
    assert found["caution"] == AID


def test_per_side() -> None:
    """Per side under the names of the sides."""
    code, found = run_json("figure", "narrow", *arguments(dict(PLAIN.typed())))
    assert code == 0
    assert set(found["results"]["second-line"]) == {"driver", "passenger"}
    assert set(found["results"]["flange-to-flange"]) == {"value", "unit", "plus_minus", "shown", "measured", "dominant"}
    turned = [each.replace("driver", "left").replace("passenger", "right") for each in arguments(dict(PLAIN.typed()))]
    code, other = run_json("figure", "narrow", *turned, "--sides", "left,right")
    assert code == 0
    assert other["results"]["second-line"]["left"] == found["results"]["second-line"]["driver"]


def test_lengths_are_shown_as_typed_or_as_asked() -> None:
    """In millimetres where all was typed so."""
    _, found = run_json("figure", "wheel", "width=178 mm", "offset=35 mm")
    assert found["results"]["offset"]["shown"] == "35.0 mm (35.000 mm, 1.3780 in)"
    _, found = run_json("figure", "wheel", "width=178 mm", "offset=35 mm", "--lengths", "inch 1/8")
    assert found["results"]["offset"]["shown"] == "1 3/8 in (1.3780 in, 35.000 mm)"
    code, _, err = run("figure", "wheel", "width=178 mm", "offset=35 mm", "--lengths", "inch 1/7")
    assert code == 2
    assert "--lengths" in err


def test_text_and_working() -> None:
    """The aid line always; with --explain every formula and its source."""
    code, out, err = run("figure", "wheel", "width=7 in", "offset=35 mm", "--explain")
    assert code == 0
    assert err == ""
    assert "planning aids" in out
    assert "backspacing = overall / 2 + offset = 5 3/8 in" in out
    assert "[common practice, no source]" in out
    assert "width = “7 in” = 7 in" in out
    _, found = run_json("figure", "wheel", "width=7 in", "offset=35 mm", "--explain")
    assert {line["name"] for line in found["working"]} >= {"width", "overall", "backspacing"}
    assert all(line["source"] for line in found["working"])


@pytest.mark.parametrize(
    ("argv", "words", "near"),
    [
        (["weel", "width=7 in"], "no calculator weel", "wheel"),
        (["wheel", "widht=7 in", "offset=0 mm"], "no input widht", "width"),
        (["wheel", "width=7", "offset=0 mm"], "no unit", None),
        (["wheel", "width", "offset=0 mm"], "write key=value", None),
        (["wheel", "width=", "offset=0 mm"], "no value", None),
        (["wheel", "width=7 in", "width=8 in", "offset=0 mm"], "given twice", None),
        (["wheel", "width.driver=7 in", "offset=0 mm"], "not given per side", None),
        (["narrow", "hat=1 in", "hat.driver=1 in"], "given twice", None),
        (["fit", "lip.left=30 in"], "no side left", None),
        (["wheel", "width=7 in", "--sides", "a b"], "--sides", None),
        (["wheel", "width=7 in", "--sides", "all"], "--sides", None),
        (["wheel", "width=7 in", "--sides", "a,a"], "--sides", None),
        (["narrow", "--sides", "a,b,c"], "2 sides", None),
        (["wheel", "width=7 in ± nan", "offset=0 mm"], "not a length", None),
    ],
)
def test_refused(argv: list[str], words: str, near: str | None) -> None:
    """Exit 2, no result, and the reason on both streams."""
    code, out, err = run("figure", *argv)
    assert code == 2
    assert out == ""
    assert words in err
    code, found = run_json("figure", *argv)
    assert code == 2
    assert set(found) == {"format", "problems"}
    assert any(words in each["message"] for each in found["problems"])
    assert any(each["near"] == near for each in found["problems"])
    assert set(found["problems"][0]) == {"path", "line", "column", "message", "near"}


def test_lists() -> None:
    """Without a name, the calculators; with --inputs, what one takes and yields."""
    code, out, _ = run("figure")
    assert code == 0
    assert all(name in out for name in CALCULATORS)
    _, found = run_json("figure")
    assert [each["name"] for each in found["calculators"]] == list(CALCULATORS)
    code, out, _ = run("figure", "narrow", "--inputs")
    assert "finished-flange-to-plate" in out
    assert "per side" in out
    _, found = run_json("figure", "narrow", "--inputs")
    assert {each["key"] for each in found["outputs"]} >= {"second-line", "shaft"}


@pytest.mark.parametrize(
    "argv",
    [
        ["wheel", "--json", "width=7 in", "offset=35 mm"],
        ["--json", "wheel", "width=7 in", "offset=35 mm"],
        ["wheel", "width=7 in", "--json", "offset=35 mm"],
        ["wheel", "--lengths", "inch 1/32", "width=7 in", "--explain", "offset=35 mm", "--json"],
        ["--sides", "left,right", "wheel", "--json", "width=7 in", "--now", "2027-01-01T10:00Z", "offset=35 mm"],
    ],
)
def test_options_stand_anywhere(argv: list[str]) -> None:
    """Before the name, after it, between the inputs."""
    code, out, err = run("figure", *argv)
    assert (code, err) == (0, "")
    assert json.loads(out)["results"]["backspacing"]["value"] == pytest.approx(136.6)


def test_an_option_that_is_not_there() -> None:
    """Only that is blamed, and not the inputs behind it."""
    code, _, err = run("figure", "wheel", "--width", "width=7 in", "offset=35 mm")
    assert code == 2
    assert "unrecognized arguments: --width;" in err


def test_listed_inputs_say_when_they_are_needed_and_their_range_in_inches() -> None:
    """Ranges go to the safe side of both limits; in millimetres alone unless inches are asked for."""
    _, plain, _ = run("figure", "narrow", "--inputs")
    assert "first-line                 length, 5 mm to 1300 mm, needed unless a new end goes on or" in plain
    assert "kerf                       length, 0.2 mm to 12 mm, needed unless a new end goes on or" in plain
    assert "joint-face                 length, 5 mm to 1300 mm, needed unless the ends go on again" in plain
    _, inches, _ = run("figure", "narrow", "--inputs", "--lengths", "inch 1/16")
    assert "flange-to-flange           length, 400 mm to 2600 mm (15.749 in to 102.362 in), needed" in inches
    _, found = run_json("figure", "narrow", "--lengths", "inch 1/16", "--inputs")
    assert "(15.749 in to 102.362 in)" in found["inputs"][0]["takes"]
    _, metric, _ = run("figure", "narrow", "--inputs", "--lengths", "mm")
    assert metric == plain
    for end in ("15.749 in", "102.362 in"):  # as listed, so allowed
        code, _, err = run("figure", "narrow", f"flange-to-flange={end}")
        assert code == 2
        assert "flange-to-flange: “" not in err
    _, other, _ = run("figure", "shaft", "--inputs", "--lengths", "inch 1/16")
    assert "torque, 0.1 N.m to 100000 N.m, optional" in other


def test_nothing_typed_reaches_the_terminal_as_an_order() -> None:
    """Escape codes are not printed."""
    _, out, err = run("figure", "wheel", "width=\x1b[31m7 in", "of\x1bset=0")
    assert "\x1b" not in out + err


def test_a_fresh_interpreter_imports_little() -> None:
    """Neither textual, rich, yaml nor pendulum."""
    code = (
        "import sys\nfrom planner.commands import main\n"
        "assert main(['figure', 'narrow', 'pads=4']) == 2\n"
        "assert main(['figure', 'wheel', 'width=7 in', 'offset=0 in', '--json']) == 0\n"
        "roots = {name.partition('.')[0] for name in sys.modules}\n"
        "bad = {'textual', 'rich', 'yaml', 'pendulum', 'platformdirs'} & roots\n"
        "sys.exit(f'imports {bad}' if bad else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


def test_the_calculators_import_no_disk_no_clock_no_screen() -> None:
    """In a fresh interpreter, beyond what it starts with."""
    code = (
        "import sys\nbefore = set(sys.modules)\n"
        "from planner.numbers.registry import CALCULATORS, calculator\n"
        "[calculator(name) for name in CALCULATORS]\n"
        "bad = {'pathlib', 'json', 'yaml', 'datetime', 'pendulum', 'planner.plan', 'planner.files', 'numpy'}\n"
        "bad &= set(sys.modules) - before\n"
        "sys.exit(f'imports {bad}' if bad else 0)"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr


@pytest.mark.parametrize("name", CALCULATORS)
def test_help_lists_every_input_with_its_range(name: str) -> None:
    """Made from the declaration, the only list there is."""
    found = calculator(name)
    code, out, _ = run("figure", name, "--help")
    assert code == 0
    said = " ".join(out.split())
    for each in found.inputs:
        assert f"{each.key} {describe_input(each)}: {each.doc}" in said
    assert "Formula" in out
    assert "Source" in out
