"""What a form shows of a value and takes back unchanged is the value; choices say what they bring. No screen."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from planner.app.editors.line import braced, lowered, matching
from planner.files.build.reading import read_build
from planner.files.plankeys import (
    BUILD_FIELDS,
    EPISODE_FIELDS,
    LISTED,
    PAIRS,
    STAGE_FIELDS,
    STEP_FIELDS,
    TEXT,
    TEXTS,
    WHOLE,
    Field,
)
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import Value
from planner.numbers.together import StepNumber
from planner.session.writing.choices import choices, kind_facts, number_choices
from planner.session.writing.fields import as_typed, from_typed, shown, value_at
from planner.session.writing.targets import Target, stage_index
from planner.telling.edit import file_lines
from planner.telling.looks import plain
from tests.app.support import ROOT

FOLDERS = sorted(
    each for home in (ROOT / "projects", ROOT / "planner" / "starters") for each in home.iterdir() if each.is_dir()
)
TYPED = (TEXT, TEXTS, LISTED, PAIRS, WHOLE, "name", "duration")


def _same(field: Field, value: Value) -> None:
    if value is not None and field.sort in TYPED:
        assert from_typed(field, as_typed(field, value), value) == value, field.key


@pytest.mark.parametrize("folder", FOLDERS, ids=lambda each: each.name)
def test_what_nobody_changes_stays(folder: Path) -> None:
    job = editing_text.get((folder / "build.yaml").read_text("utf-8"))
    for field in BUILD_FIELDS:
        _same(field, value_at(job, field.path))
    for path in sorted((folder / "episodes").glob("*.yaml")):
        episode = editing_text.get(path.read_text("utf-8"))
        for field in EPISODE_FIELDS:
            _same(field, value_at(episode, field.path))
        stages = value_at(episode, ("stages",))
        for stage in stages if isinstance(stages, list) else []:
            for field in STAGE_FIELDS:
                _same(field, value_at(stage, field.path))
            steps = value_at(stage, ("steps",))
            for step in steps if isinstance(steps, list) else []:
                for field in STEP_FIELDS:
                    _same(field, value_at(step, field.path))


LINES = st.text(st.characters(categories=("L", "N", "P"), include_characters=" "), min_size=1, max_size=20)


def _line(text: str) -> bool:
    return bool(text.strip()) and text == text.strip()


@given(st.lists(st.lists(LINES.filter(_line), min_size=1, max_size=3).map("\n".join), min_size=1, max_size=4))
def test_texts_of_several_lines_are_kept(texts: list[str]) -> None:
    note = next(field for field in STEP_FIELDS if field.key == "note")
    value: Value = list(texts)
    assert from_typed(note, as_typed(note, value), value) == value
    block: Value = texts[0] + "\n"
    assert from_typed(note, as_typed(note, block), block) == block
    assert from_typed(note, as_typed(note, value), None) in (value, texts[0])


def test_values_are_what_they_are_meant_as() -> None:
    by_key = {field.key: field for field in (*STEP_FIELDS, *EPISODE_FIELDS, *BUILD_FIELDS)}
    assert from_typed(by_key["rounds"], " 3 ", None) == 3
    assert from_typed(by_key["rounds"], "three", None) == "three"  # the reader says what is wrong with it
    assert from_typed(by_key["do"], "  ", "old") is None
    assert from_typed(by_key["refers-to"], "1\nthe pilot", None) == [1, "the pilot"]
    assert from_typed(by_key["pieces"], "joint in housing\nshaft: axle", None) == {
        "joint": {"in": "housing"},
        "shaft": {"in": "axle"},
    }
    assert from_typed(by_key["shop hours"], "wed 19:00-22:00", None) == {"wed": "19:00-22:00"}
    assert shown(True) == "yes" and shown(["a b", "c"]) == "a b · c"
    assert shown({"joint": {"in": "axle"}}) == "joint in axle"


def test_choices_say_what_they_bring() -> None:
    build = read_build(ROOT / "projects" / "dunlin-pickup").build
    assert build is not None
    kind = next(field for field in STEP_FIELDS if field.key == "kind")
    target = Target("step", "", (), "clock")
    assert {choice.value for choice in choices(build, target, kind, {})} == {None, *build.kinds}
    facts = dict(kind_facts(build, "weld", "end-joint"))
    assert "one-way" in facts and "caution" in facts
    assert any("housing." in says for key, says in kind_facts(build, "measure", "end-joint") if key == "gives")
    assert ("", "only with a piece: without one it brings time and cautions alone") in kind_facts(build, "weld", "")
    after = next(field for field in STEP_FIELDS if field.key == "after")
    assert "clock" not in {choice.value for choice in choices(build, target, after, {})}
    turns = next(field for field in STEP_FIELDS if field.key == "turns")
    values = {str(choice.value) for choice in choices(build, target, turns, {"rounds": 2})}
    assert "['passenger', 'driver']" in values
    first = {"driver": StepNumber(1.0, "1 in"), "passenger": StepNumber(2.0, "2 in")}
    numbers = number_choices({"narrow.first": first, "late.one": {}})
    assert [each.says for each in numbers] == ["driver 1 in, passenger 2 in", "no value yet"]


def test_looking_for_something() -> None:
    build = read_build(ROOT / "projects" / "dunlin-pickup").build
    assert build is not None
    kind = next(field for field in STEP_FIELDS if field.key == "kind")
    offers = lowered(choices(build, Target("step", ""), kind, {}))
    assert matching(offers, "WEL")[0].choice.value == "weld"
    assert not matching(offers, "no such thing at all")
    assert braced("at {narrow.fi and", 13) == "{narrow.fi"[:10] and braced("at {x} and", 8) is None


def test_a_stage_is_known_again_by_its_title() -> None:
    assert stage_index(["a", "b"], 1, "b") == 1
    assert stage_index(["b", "a"], 1, "b") == 0
    assert stage_index(["b", "a", "b"], 1, "b") is None
    assert stage_index(["a"], 3, "c") is None


def test_changes_of_a_file_are_shown_with_what_stands_beside_them() -> None:
    before = "".join(f"line {n}\n" for n in range(9))
    text = plain(file_lines("a.yaml", before, before.replace("line 4\n", "line four\nand more\n")))
    assert text == ("a.yaml  from line 4\n    line 3\n  - line 4\n  + line four\n  + and more\n    line 5")
    assert plain(file_lines("a.yaml", None, "x")) == "a.yaml  is made"


@pytest.mark.parametrize("typed", ["cool-to 45 C", "cool-to: touch", " cool-to  measure "])
def test_a_wait_may_come_from_numbers(typed: str) -> None:
    """Typed as it stands in the plan, whatever stood there before."""
    (wait,) = [field for field in STEP_FIELDS if field.key == "wait"]
    expected = {"cool-to": typed.replace("cool-to", "").strip(" :")}
    assert from_typed(wait, typed, "20 min") == from_typed(wait, typed, None) == expected
    assert from_typed(wait, "cool.to-touch", None) == "cool.to-touch"
    assert from_typed(wait, "20 min", {"cool-to": "touch"}) == "20 min"
