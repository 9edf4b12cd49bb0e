"""Sound plans of different jobs, written as a person would, stay quiet: no trap and no gap.

Each folder of ``soundplans`` is a build with no condition of its own (or one that is natural to the job):
everything that is needed, given and spoiled comes with the kinds of work. A finding here means that a kind
asks for what a careful fabricator would not. The orders are common practice, no source.
"""

from __future__ import annotations

import shutil
from collections import Counter
from pathlib import Path

import pytest

from planner.files.build.kinds import shipped_kinds
from tests.demos.kindplans import judged, rows, told, write_build

HOME = Path(__file__).parent / "soundplans"
PLANS = sorted(folder for folder in HOME.iterdir() if folder.is_dir())


#: Kinds that none of these jobs has a use for.
RARE = frozenset({"deburr", "slit", "sweep", "shrink-fit", "mark-edge", "torque-loaded", "face"})


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
def test_a_sound_plan_has_nothing_to_report(plan: Path, tmp_path: Path) -> None:
    """No trap, no gap and no notice."""
    answer = judged(shutil.copytree(plan, tmp_path / plan.name))
    assert rows(answer) == set()
    assert 12 <= answer["operations"] <= 80


def test_there_are_enough_of_them_and_they_differ() -> None:
    """A dozen jobs and more, one side to four, both paces, and nearly every kind at work somewhere."""
    text = {plan.name: "".join(file.read_text("utf-8") for file in plan.rglob("*.yaml")) for plan in PLANS}
    assert len(PLANS) >= 12
    assert sum("pace: side-first" in each for each in text.values()) >= 4
    used = Counter(name for name in shipped_kinds() for each in text.values() if f"kind: {name}," in each)
    others = [file.read_text("utf-8").split() for file in (HOME.parent.parent / "mistakes" / "plans").glob("*.plan")]
    used += Counter(name for name in shipped_kinds() for each in others if name in each)
    never = set(shipped_kinds()) - set(used)
    assert never <= {"vent", "flame", "machine", "roll"} | RARE, never


@pytest.mark.parametrize("plan", PLANS, ids=lambda plan: plan.name)
def test_the_same_plan_backwards_is_not_quiet(plan: Path, tmp_path: Path) -> None:
    """Quiet is not deaf: with its steps in reverse, every one of these plans fails."""
    folder = shutil.copytree(plan, tmp_path / plan.name)
    for file in (folder / "episodes").iterdir():
        lines = file.read_text("utf-8").splitlines()
        steps = [at for at, line in enumerate(lines) if line.lstrip().startswith("- {step:")]
        kept = [lines[at] for at in steps]
        for at, line in zip(steps, reversed(kept), strict=True):
            lines[at] = line
        file.write_text("\n".join(lines) + "\n", encoding="utf-8")
    assert any(level == "trap" for level, *_ in rows(judged(folder)))


# --- a build's own kinds ---------------------------------------------------------------------------------

OWN = """kinds:
  cut: {time: 30 min, needs: [marked, drawn]}
  braze:
    means: Braze with a low-fuming rod
    needs: [cleaned, bare]
    gives: [brazed]
    spoils: [cool, measured]
    one-way: true
    time: 25 min
    cautions: ["Fluoride flux fume: fresh air, and no cadmium rod."]
    words:
      brazed: {on: side, means: brazed all round}
  sketch:
    means: Draw it full size
    gives: [drawn]
    words:
      drawn: {on: job, means: drawn full size}
"""


def test_a_build_changes_and_adds_kinds(tmp_path: Path) -> None:
    """Only the keys it writes change; a new kind works as those that came, in both directions."""
    plan = "lay-out mark joint\n saw cut joint\n grip hold joint\n run braze joint\n size measure housing"
    found = rows(judged(write_build(tmp_path, plan, sides=("left", "right"), job=OWN)))
    # What it opens and does not close is said besides.
    assert {each for each in found if each[1] != "left-open"} == {
        (
            "gap",
            "never-given",
            "saw@left",
            "joint.drawn",
            None,
        ),  # needs changed: drawn is new, clocked is gone
        *(("gap", "never-given", f"run@{side}", f"joint.cleaned@{side}", None) for side in ("left", "right")),
        *(("trap", "spoiled", f"size@{side}", f"housing.cool@{side}", f"run@{side}") for side in ("left", "right")),
    }
    bright = plan.rpartition("\n")[0].replace("\n grip", "\n bright clean joint\n grip")
    sound = "full sketch joint sides: once\n" + bright
    after = rows(judged(write_build(tmp_path, sound, sides=("left", "right"), job=OWN)))
    assert not [each for each in after if each[3] and each[3].split("@")[0] in ("joint.drawn", "joint.cleaned")]


def test_keys_not_written_stay_as_they_came(tmp_path: Path) -> None:
    """A build that changes the time of a cut keeps its cautions and what it spoils."""
    job = "kinds: {cut: {time: 30 min}}\n"
    plan = "lay-out mark joint\n clock clock-mark joint\n saw cut joint\n lid close joint"
    folder = write_build(tmp_path, plan, sides=("left", "right"), job=job)
    assert ("trap", "spoiled", "lid@left", "housing.swept@left", "saw@left") in rows(judged(folder))
    steps = told("steps", folder)["operations"]
    cautions = next(each["cautions"] for each in steps if each["op"] == "saw@left")
    assert list(cautions) == list(shipped_kinds()["cut"].cautions)


@pytest.mark.parametrize("null", ["~", "null", ""])
def test_a_dropped_kind_is_not_known_any_more(null: str, tmp_path: Path) -> None:
    """Using it is told at its place, with the nearest name that is left."""
    plan = "bright clean joint\n coat paint joint"
    folder = write_build(tmp_path, plan, job=f"kinds:\n  paint: {null}\n  coat: {{means: Coat}}\n")
    (problem,) = judged(folder)["problems"]
    assert problem["path"].endswith("01-shop-day.yaml")
    assert problem["line"] == 9
    assert "paint" in problem["message"]


@pytest.mark.parametrize(
    ("kinds", "words"),
    [
        ("{cut: {sharp: true}}", "sharp"),
        ("{glue: {time: 5 min}}", "means"),
        ("{glue: {means: Glue, needs: [clened]}}", "cleaned"),
        ("{glue: {means: Glue, needs: [cool], spoils: [cool]}}", "cool"),
        ("{clamp: {spoils: [flush]}}", "flush"),
        ("{glue: {means: Glue, time: soon}}", "time"),
        ("{glew: ~}", "glew"),
    ],
)
def test_a_fault_in_a_builds_kinds_is_told_at_its_place(kinds: str, words: str, tmp_path: Path) -> None:
    """An unknown key or word, a kind without a meaning, a kind that spoils what it needs."""
    folder = write_build(tmp_path, "bright clean joint", job=f"kinds: {kinds}\n")
    problems = judged(folder)["problems"]
    assert problems, kinds
    assert all(each["path"].endswith("build.yaml") and each["line"] == 5 for each in problems)
    assert any(words in f"{each['message']} {each['near']}" for each in problems)


def test_dropping_a_kind_leaves_its_words_to_the_others(tmp_path: Path) -> None:
    """``dress`` or ``tack`` may go; what they declared is still spoken of by other kinds."""
    job = "kinds: {clamp: ~, cool: ~, cut: ~}\n"
    folder = write_build(tmp_path, "bright clean joint\n size measure joint\n run check joint", job=job)
    assert rows(judged(folder)) == set()
