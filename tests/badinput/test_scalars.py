"""What a plain word in a plan file is: only what looks like one on purpose is a number, a switch or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from yaml.events import ScalarEvent

from planner.files.yaml.tree import MapNode, Problems, parse, scalar
from tests.badinput.asking import EPISODE, loaded, problems, with_step
from tests.badinput.samples import SMALL_EPISODE, write

#: As written, and what it is. YAML 1.1 would read most of the texts as something else.
TYPES: list[tuple[str, object]] = [
    ("no", "no"),
    ("No", "No"),
    ("yes", "yes"),
    ("on", "on"),
    ("off", "off"),
    ("y", "y"),
    ("1:30", "1:30"),
    ("12:30:45", "12:30:45"),
    ("012", "012"),
    ("00", "00"),
    ("-012", "-012"),
    ("2027-02-13", "2027-02-13"),
    ("2027-02-13 17:00", "2027-02-13 17:00"),
    ("2027-02-13T17:00:00Z", "2027-02-13T17:00:00Z"),
    (".5", ".5"),
    ("5.", "5."),
    ("+.5", "+.5"),
    ("1e3", "1e3"),
    ("1.5e3", "1.5e3"),
    ("1_000", "1_000"),
    ("1,000", "1,000"),
    ("0x10", "0x10"),
    ("0o14", "0o14"),
    ("0b1", "0b1"),
    (".inf", ".inf"),
    ("-.inf", "-.inf"),
    (".nan", ".nan"),
    ("Null", "Null"),
    ("NULL", "NULL"),
    ("None", "None"),
    ("True", "True"),
    ("TRUE", "TRUE"),
    ("False", "False"),
    ("+", "+"),
    ("=", "="),
    ("1 2", "1 2"),
    ("1.2.3", "1.2.3"),
    ("1/2", "1/2"),
    ("54-7/8", "54-7/8"),
    ("٣", "٣"),
    ("'12'", "12"),
    ('"true"', "true"),
    ("''", ""),
    ("'~'", "~"),
    ("|\n  12", "12\n"),
    ("0", 0),
    ("7", 7),
    ("+1", 1),
    ("-1", -1),
    ("-0", 0),
    ("120", 120),
    ("12345678901234567890", 12345678901234567890),
    ("1.5", 1.5),
    ("-1.5", -1.5),
    ("+0.25", 0.25),
    ("0.0", 0.0),
    ("10.10", 10.10),
    ("0." + "3" * 60, 1 / 3),
    ("true", True),
    ("false", False),
    ("null", None),
    ("~", None),
    ("", None),
    ("# a remark", None),
]


@pytest.mark.parametrize(("written", "value"), TYPES, ids=[written[:20] or "(nothing)" for written, _ in TYPES])
def test_a_scalar_is_what_it_looks_like(written: str, value: object) -> None:
    for text in (f"key: {written}\n", f"- {written}\n"):
        found = Problems()
        tree = parse(text, "x", found)
        assert found.found == [] and tree is not None and not isinstance(tree, ScalarEvent)
        (event,) = [pair[1] for pair in tree.items.values()] if isinstance(tree, MapNode) else tree.items
        assert isinstance(event, ScalarEvent)
        got = scalar(event)
        assert type(got) is type(value)
        assert got == value


@pytest.mark.parametrize(
    "written", [written for written, value in TYPES if isinstance(value, str) and value and "\n" not in written]
)
def test_texts_need_no_quotes(tmp_path: Path, written: str) -> None:
    step = loaded(with_step(tmp_path, f"setup: {written}")).episodes[0].stages[0].steps[0]
    assert step.setup == written.strip("'\"")


@pytest.mark.parametrize("written", ["12", "1.5", "+1", "true", "false", "0"])
def test_a_number_or_a_switch_is_no_text(tmp_path: Path, written: str) -> None:
    (problem,) = problems(with_step(tmp_path, f"setup: {written}"))
    assert "setup: must be text, not the " in problem.message and problem.message.endswith("; put it in quotes")


@pytest.mark.parametrize("written", ["null", "~"])
def test_nothing_said_out_loud_is_no_text(tmp_path: Path, written: str) -> None:
    (problem,) = problems(with_step(tmp_path, f"setup: {written}"))
    assert problem.message == "setup: must be text, not nothing"


def test_a_key_with_nothing_behind_it_counts_as_absent(tmp_path: Path) -> None:
    keys = "\n".join(f"{key}:" for key in ("kind", "needs", "rounds", "time", "wait", "film", "sides", "turns", "note"))
    step = loaded(with_step(tmp_path, keys)).episodes[0].stages[0].steps[0]
    plain = loaded(
        write(tmp_path / "plain", {"build.yaml": (tmp_path / "build.yaml").read_bytes(), EPISODE: SMALL_EPISODE})
    )
    assert step._replace(place=None) == plain.episodes[0].stages[0].steps[0]._replace(place=None)  # type: ignore[arg-type]


@pytest.mark.parametrize("digits", ["9" * 19, "9" * 400, "9" * 5000, "-" + "1" * 5000, "9" * 5000 + ".5"])
def test_numbers_beyond_all_use_are_refused_and_not_choked_on(tmp_path: Path, digits: str) -> None:
    (problem,) = problems(with_step(tmp_path, f"rounds: {digits}"))
    assert problem.message.startswith("rounds: must be a whole number from 1 to 99, not the ")


def test_keys_are_texts_whatever_they_look_like(tmp_path: Path) -> None:
    found = [problem.message for problem in problems(with_step(tmp_path, "no: 1\n12: 1\ntrue: 1\n~: 1"))]
    assert [message.split("; did")[0] for message in found] == [
        "the step has no key no",
        "the step has no key 12",
        "the step has no key true",
        "the step has no key ~",
    ]
