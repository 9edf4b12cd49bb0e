"""numbers.yaml and ``planner numbers``."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from tests.numbers.builds import EPISODE, NUMBERS, write
from tests.support.commandline import run, run_json


def problems(folder: Path) -> list[tuple[int, str, str | None]]:
    """What is wrong with a build: line, message, nearest spelling."""
    return [(each.line, each.message, each.near) for each in read_build(folder).problems]


def test_all_numbers(tmp_path: Path) -> None:
    """Calculator by calculator; narrow takes its pads from fit, exactly."""
    code, found = run_json("numbers", str(write(tmp_path)))
    assert code == 0
    results = found["results"]
    assert list(results) == ["fit", "narrow"]
    assert results["fit"]["pads"]["value"] == pytest.approx(48 * 25.4)
    assert results["fit"]["pads"]["plus_minus"] == 0
    assert results["narrow"]["flange-to-flange"]["value"] == pytest.approx(48 * 25.4)
    assert results["narrow"]["flange-to-flange"]["plus_minus"] == 0
    assert any(each.startswith("narrow: THE SIDES DIFFER") for each in found["warnings"])
    assert "planning aids" in found["caution"]


def test_text(tmp_path: Path) -> None:
    """With ± and the reading that dominates it; with --explain the working."""
    folder = write(tmp_path)
    code, out, err = run("numbers", str(folder))
    assert (code, err) == (0, "")
    assert "second-line@driver" in out
    assert "mostly from pinion-to-flange.driver" in out
    assert "planning aids" in out
    assert "[geometry]" not in out
    _, out, _ = run("numbers", str(folder), "--explain")
    assert "second-line@driver = first-line + between = " in out
    assert "[geometry]" in out
    assert "pads = fit.pads = 48 in" in out


def test_what_is_typed_beats_what_is_taken(tmp_path: Path) -> None:
    """A pad width of one's own."""
    _, found = run_json("numbers", str(write(tmp_path, NUMBERS + "  pads: 50 in\n")))
    assert found["results"]["narrow"]["flange-to-flange"]["value"] == pytest.approx(50 * 25.4)


def test_doubt_is_carried_from_one_calculator_into_the_next(tmp_path: Path) -> None:
    """By the reading it came from: the rim's width, read once, in the tyre and so in the fit."""
    text = NUMBERS.replace("  section: 8 1/2 in\n", "") + "tyre:\n  size: 205/55R16\n  rim: 6 1/2 in ± 1/8\n"
    code, found = run_json("numbers", str(write(tmp_path, text)))
    assert code == 0
    assert found["results"]["fit"]["pads-most"]["plus_minus"] > 0.4 * 2 * 25.4 / 8 / 3**0.5
    assert list(found["results"]) == ["fit", "narrow", "tyre"]


@pytest.mark.parametrize(
    ("old", "new", "line", "words", "near"),
    [
        ("narrow:", "narow:", 9, "no calculator narow", "narrow"),
        ("  kerf:", "  kurf:", 15, "narrow has no input kurf", "kerf"),
        ("driver: 4 in,", "diver: 4 in,", 14, "no side diver", "driver"),
        ("  gap: 1/16 in", "  gap: [1 in]", 16, "not a list", None),
        ("  gap: 1/16 in", "  gap: true", 16, "the switch true", None),
        ("  plate-to-plate: 54 1/8 in ± 1/32", "  plate-to-plate: {driver: 1 in}", 13, "not given per side", None),
        ("format: 1", "format: 2", 1, "newer", None),
        ("format: 1\n", "", 1, "lacks the key format", None),
        ("narrow:", "narrow: 5\nwheel:", 9, "must have its inputs", None),
        ("  gap: 1/16 in", "  gap: 1/16 in\n  gap: 1/8 in", 17, "a second time", None),
    ],
)
def test_located_problems(tmp_path: Path, old: str, new: str, line: int, words: str, near: str | None) -> None:
    """With line, nearest spelling, and for every command alike."""
    assert old in NUMBERS
    folder = write(tmp_path, NUMBERS.replace(old, new, 1))
    found = problems(folder)
    assert any(each[0] == line and words in each[1] and each[2] == near for each in found), found
    for command in ("numbers", "check", "steps"):
        code, answer = run_json(command, str(folder))
        assert code == 2
        rows = answer["problems"]
        assert any(row["line"] == line and words in row["message"] for row in rows), command
        assert all(row["path"].endswith("numbers.yaml") for row in rows), rows


@pytest.mark.parametrize(
    ("old", "new", "place", "words"),
    [
        ("  gap: 1/16 in", "  gap: 1.5", (16, 8), "narrow: gap: “1.5” has no unit"),
        ("  gap: 1/16 in", "  gap: 9/0 in", (16, 8), "narrow: gap: “9/0 in” divides by nothing"),
        ("  gap: 1/16 in", "  gap: 3 in", (16, 8), "narrow: gap: “3 in” is outside what is allowed"),
        ("passenger: 3 1/2 in", "passenger: 3 1/2", (14, 41), "narrow: first-line.passenger: “3 1/2” has no unit"),
        ("  gap: 1/16 in", "  gap: 1/16 in\n  ends: old", (17, 9), "narrow: ends: “old” is not one of again, new"),
    ],
)
def test_an_input_that_cannot_be_used(tmp_path: Path, old: str, new: str, place: tuple[int, int], words: str) -> None:
    """It is refused with its place, what does not depend on it is shown, and the build can be read."""
    assert old in NUMBERS
    folder = write(tmp_path, NUMBERS.replace(old, new, 1))
    assert problems(folder) == []
    code, found = run_json("numbers", str(folder))
    assert code == 2
    assert list(found["results"]) == ["fit"]
    (row,) = found["problems"]
    assert (row["line"], row["column"]) == place
    assert row["message"].startswith(words)


def test_refused_input_has_a_place_and_no_result(tmp_path: Path) -> None:
    """What does not depend on it is still shown."""
    folder = write(tmp_path, NUMBERS.replace("plate-to-plate: 54 1/8", "plate-to-plate: 54 5/8"))
    code, found = run_json("numbers", str(folder))
    assert code == 2
    assert list(found["results"]) == ["fit"]
    (row,) = found["problems"]
    assert (row["line"], row["column"]) == (13, 19)
    assert "measure plate-to-plate and flange-to-plate again" in row["message"]
    code, out, err = run("numbers", str(folder))
    assert code == 2
    assert "narrow: refused (plate-to-plate)" in out
    assert "second-line" not in out
    assert f"{folder}/numbers.yaml:13:19: narrow: plate-to-plate" in err


def test_refused_is_contagious(tmp_path: Path) -> None:
    """What would be taken from a refused calculator is missing."""
    folder = write(tmp_path, NUMBERS.replace("lip: 30 in", "lip: 24 in"))
    code, found = run_json("numbers", str(folder))
    assert code == 2
    assert found["results"] == {}
    messages = [row["message"] for row in found["problems"]]
    assert any("fit: section: nothing fits" in each for each in messages)
    assert any("narrow: pads: is missing: it is taken from fit.pads, and fit is refused" in each for each in messages)


def test_readings_still_to_be_taken(tmp_path: Path) -> None:
    """A section may be begun; it says what it waits for, and the plan can be worked with."""
    folder = write(tmp_path, "format: 1\nfit:\nnarrow:\n  first-line: {driver: 4 in, passenger: }\n")
    code, out, err = run("numbers", str(folder))
    assert code == 2
    assert "narrow: waiting for readings (" in out
    assert "flange-to-flange: is missing" in err
    code, _, err = run("check", str(folder))
    assert code == 0
    assert "{narrow.first-line} has no number" in err


def test_no_file(tmp_path: Path) -> None:
    """Said, with how to begin one."""
    folder = write(tmp_path, None)
    code, _, err = run("numbers", str(folder))
    assert code == 2
    assert "no numbers.yaml" in err
    assert run("check", str(folder))[0] == 0


def test_a_slip_in_an_episode_does_not_hide_the_numbers(tmp_path: Path) -> None:
    """They are read without the steps."""
    folder = write(tmp_path, NUMBERS, EPISODE.replace("title:", "titel:"))
    assert run("check", str(folder))[0] == 2
    assert run("numbers", str(folder))[0] == 0


def test_a_build_that_cannot_be_read(tmp_path: Path) -> None:
    """Its problems, with their places."""
    folder = write(tmp_path, build="format: 1\nbuild: X\n")
    code, found = run_json("numbers", str(folder))
    assert code == 2
    assert any("sides" in row["message"] for row in found["problems"])


def test_sides_of_any_name(tmp_path: Path) -> None:
    """The build's own."""
    build = "format: 1\nbuild: Trailer\nsides: [near, off]\n"
    numbers = NUMBERS.replace("driver:", "near:").replace("passenger:", "off:")
    code, found = run_json("numbers", str(write(tmp_path, numbers, build=build)))
    assert code == 0
    assert set(found["results"]["narrow"]["shorten"]) == {"near", "off"}


def test_show_in_millimetres(tmp_path: Path) -> None:
    """As the build wants it, or as it was typed."""
    build = "format: 1\nbuild: X\nsides: [driver, passenger]\n"
    _, found = run_json("numbers", str(write(tmp_path, build=build + "show: {lengths: mm}\n")))
    assert found["results"]["fit"]["pads"]["shown"] == "1219.2 mm (1219.200 mm, 48.0000 in)"
    typed = "format: 1\nwheel: {width: 178 mm, offset: 35 mm}\n"
    episode = EPISODE.replace("{narrow.first-line}", "{wheel.offset}")
    _, found = run_json("numbers", str(write(tmp_path, typed, episode, build)))
    assert found["results"]["wheel"]["offset"]["shown"].startswith("35.0 mm")
