"""How a piece comes, as a person says it, and what the plan then knows."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.build.reading import read_build
from planner.plan.comes import WAYS, ComesError, read_all, read_comes
from tests.support.commandline import run, run_json

AXLE = Path(__file__).parents[2] / "planner" / "starters" / "axle"


def test_every_way_is_of_words_that_the_kinds_declare_and_that_hold_at_the_start() -> None:
    """A word that starts false needs no saying."""
    build = read_build(AXLE).build
    assert build is not None
    known = {word.name: word for kind in build.kinds.values() for word in kind.words}
    for way in WAYS.values():
        for word in way.words:
            assert known[word].at_start, word


@pytest.mark.parametrize("text", ["housing=oily,painted", "housing oily painted", "housing: oily, painted"])
def test_it_may_be_typed_in_any_of_these_forms(text: str) -> None:
    assert read_comes(text).words == ("dry", "bare")


def test_several_have_semicolons_between_them() -> None:
    assert [(each.piece, each.words) for each in read_all("truck=battery-on,on-wheels; bar=oily;")] == [
        ("truck", ("arc-safe",)),
        ("bar", ("dry",)),
    ]


@pytest.mark.parametrize(
    ("text", "says"), [("housing=oly", "did you mean oily"), ("=oily", "not a name"), ("housing", "how does it come")]
)
def test_what_cannot_be_understood_is_said(text: str, says: str) -> None:
    with pytest.raises(ComesError, match=says):
        read_comes(text)


def test_a_starter_keeps_its_own_and_gains_what_is_said(tmp_path: Path) -> None:
    """Only the line of that piece changes."""
    home = str(tmp_path)
    assert run("new", "mine", "--builds", home, "--from", "axle")[0] == 0
    assert run("new", "oily", "--builds", home, "--from", "axle", "--comes", "brake=oily,bearings-in")[0] == 0
    plain, told = ((tmp_path / name / "build.yaml").read_text("utf-8").splitlines() for name in ("mine", "oily"))
    changed = [(old, new) for old, new in zip(plain, told, strict=True) if old != new]
    assert [new for old, new in changed if not old.startswith("build:")] == [
        "  brake: {in: housing, not-yet: [heat-safe, adjusted, dry]}"
    ]


def test_a_piece_of_a_build_from_nothing_is_written_and_checked(tmp_path: Path) -> None:
    """Oil in it, and nobody drains it: the first arc would be on oil."""
    assert run("new", "mine", "--builds", str(tmp_path), "--comes", "bar=oily")[0] == 0
    build = read_build(tmp_path / "mine").build
    assert build is not None
    assert build.pieces["bar"].not_yet == ("dry",)


@pytest.mark.parametrize(("option", "near"), [("houzing=oily", "housing"), ("housing=oly", "oily")])
def test_a_slip_is_one_line_and_makes_nothing(option: str, near: str, tmp_path: Path) -> None:
    code, out, err = run("new", "mine", "--builds", str(tmp_path), "--from", "axle", "--comes", option)
    assert (code, out) == (2, "")
    assert near in err
    assert err.count("\n") == 1
    assert not (tmp_path / "mine").exists()
    assert run_json("new", "mine", "--builds", str(tmp_path), "--from", "axle")[0] == 0
