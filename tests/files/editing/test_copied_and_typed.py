"""Stages copied to another build, and steps out of plain text."""

from __future__ import annotations

from pathlib import Path

import pytest

from planner.files.editing.copying import copy_stage
from planner.files.editing.spots import Spot
from planner.files.editing.steps import set_key
from planner.files.editing.typed import Part, Typed, id_of, parts_of, put_in
from planner.files.yaml.places import EditError
from tests.files.editing.building import ONE, TWO
from tests.files.editing.test_steps import Shop

OTHER_JOB = """\
format: 1
build: Field gate
sides: [near, far]
conditions:
    arc.ready: {on: job, means: clamp on}
"""
OTHER = """\
format: 1
episode: 1
title: All of it
stages:
-   stage: Begin
    steps:
    -   step: plumb
        do: Plumb the old post
"""
JOB = """\
format: 1
build: Garden gate
sides: [left, right]
conditions:
  post.plumb: {on: side, means: the post stands plumb}
  rig.square: {on: job, means: the rig is square}
  arc.ready: {on: job, means: earth clamp on and gas open}
start: [arc.ready, post.plumb@left]
pieces:
  hinge: {in: leaf}
  leaf: {in: gate}
kinds:
  sketch: {means: Draw it full size, time: 5 min}
"""
STAGE = """\
format: 1
episode: 1
title: Posts
stages:
  - stage: Set the posts
    steps:
      - step: dig
        do: Dig to {wrap.depth}
      # Both ways.
      - step: plumb
        do: Set the post plumb
        kind: sketch
        piece: hinge
        sides: [left]
        why: the right one stands
        needs: [post.plumb@left, arc.ready]
        after: [dig@own, latch]
"""


def test_a_stage_goes_to_another_build(tmp_path: Path) -> None:
    """With its comments, in the hand of the other file; what it needs there is declared."""
    mine = Shop(tmp_path / "mine", job=JOB, one=STAGE)
    other = Shop(tmp_path / "other", job=OTHER_JOB, one=OTHER, two="format: 1\nepisode: 2\ntitle: T\nstages: []\n")
    edit = copy_stage(mine.texts, Spot(mine.one, 0), other.texts, other.one, 1)
    assert edit.notes == (
        "left is written as near",
        "the copy of plumb is plumb-2",
        "after: of plumb-2 no longer names latch, which this build does not have",
        "the condition post.plumb is declared",
        "post.plumb@left holds at the start, as it did there",
        "the piece hinge is in leaf",
        "the piece leaf is in gate",
        "the kind sketch is added as the other build has it",
        "the steps use numbers of wrap, which numbers.yaml does not have",
    )
    other.texts = {path: text.replace("{wrap.depth}", "two feet") for path, text in other.texts.items()}
    changes = {path: (text or "").replace("{wrap.depth}", "two feet") for path, text in edit.changes.items()}
    assert other.take(edit._replace(changes=changes)) == {
        "01-posts.yaml": OTHER
        + """\
- stage: Set the posts
  steps:
    - step: dig
      do: Dig to two feet
    # Both ways.
    - step: plumb-2
      do: Set the post plumb
      kind: sketch
      piece: hinge
      sides: [near]
      why: the right one stands
      needs: [post.plumb@near, arc.ready]
      after: [dig@own]
""",
        "build.yaml": OTHER_JOB
        + """\
    post.plumb: {on: side, means: the post stands plumb}
start: [post.plumb@near]
pieces:
    hinge: {in: leaf}
    leaf: {in: gate}
kinds:
    sketch: {means: Draw it full size, time: 5 min}
""",
    }


def test_a_copied_stage_among_the_same_names(tmp_path: Path) -> None:
    """A build with the same sides and conditions gets the steps alone."""
    mine, other = Shop(tmp_path / "mine"), Shop(tmp_path / "other")
    edit = copy_stage(mine.texts, Spot(mine.two, 1), other.texts, other.one, 0)
    assert edit.notes == ("the copy of latch is latch-2", "the copy of strike is strike-2")
    latch = TWO[TWO.index("  - stage: Latch") :].replace("latch@", "latch-2@").replace(", strike]", ", strike-2]")
    latch = latch.replace("step: latch", "step: latch-2").replace("step: strike", "step: strike-2")
    assert other.take(edit) == {"01-posts.yaml": ONE.replace("stages:\n", "stages:\n" + latch)}


def test_a_stage_whose_sides_are_not_there(tmp_path: Path) -> None:
    """Named, where they cannot be matched one to one."""
    mine = Shop(tmp_path / "mine", job=JOB, one=STAGE)
    other = Shop(tmp_path / "other", job=OTHER_JOB.replace("[near, far]", "[one, two, three]"), one=OTHER)
    with pytest.raises(EditError, match="the stage names left"):
        copy_stage(mine.texts, Spot(mine.one, 0), other.texts, other.one, 0)


def test_kinds_and_scopes_that_differ(tmp_path: Path) -> None:
    """Said, and left to the person."""
    mine = Shop(tmp_path / "mine", job=JOB, one=STAGE.replace(", latch]", "]").replace("{wrap.depth}", "two feet"))
    job = (
        OTHER_JOB.replace("near, far", "left, right").replace("on: job", "on: side")
        + "kinds: {sketch: {means: Trace it}}\n"
    )
    other = Shop(tmp_path / "other", job=job, one=OTHER, two="format: 1\nepisode: 2\ntitle: T\nstages: []\n")
    notes = copy_stage(mine.texts, Spot(mine.one, 0), other.texts, other.one, 0).notes
    assert "arc.ready is kept by side in this build; check the copied steps" in notes
    assert "the kind sketch differs between the two builds; check what it brings" in notes
    dropped = {path: text.replace("{means: Trace it}", "null") for path, text in other.texts.items()}
    notes = copy_stage(mine.texts, Spot(mine.one, 0), dropped, other.one, 0).notes
    assert "this build drops the kind sketch; give the copied steps another" in notes


PASTED = """\
- Measure twice

Fit-up:
\t1. Clamp the ends into the cradle
\t2. Tack in opposite pairs, 3 min apart
\t     let it cool between
\t     and turn it
Weld out
    [ ] Weld a quarter
    [x] It’s cool: check the run-out
"""


def test_lines_become_stages_and_steps() -> None:
    """Marks of lists go; deeper lines are notes."""
    assert parts_of(PASTED) == [
        Part("", (Typed("Measure twice"),)),
        Part(
            "Fit-up",
            (
                Typed("Clamp the ends into the cradle"),
                Typed("Tack in opposite pairs, 3 min apart", "", ("let it cool between", "and turn it")),
            ),
        ),
        Part("Weld out", (Typed("Weld a quarter"), Typed("It’s cool: check the run-out"))),
    ]
    assert parts_of(" \n\n") == []
    assert parts_of("a\r\nb\x07\rc") == [Part("", (Typed("a"), Typed("b"), Typed("c")))]
    assert parts_of("4.5 mm drill\n-20 C outside\n10) ten") == [
        Part("", (Typed("4.5 mm drill"), Typed("-20 C outside"), Typed("ten")))
    ]
    with pytest.raises(EditError, match="too many at once"):
        parts_of("x\n" * 2001)


@pytest.mark.parametrize(
    ("do", "made"),
    [
        ("Clamp the ends into the cradle", "clamp-ends-cradle"),
        ("Tack in opposite pairs", "tack-opposite-pairs"),
        ("Dig the hole", "dig-hole"),
        ("The", "the"),
        ("Schweißen über Kopf", "schweissen-uber-kopf"),
        ("焊接", "step-1"),
        ("It’s cool: check", "cool-check"),
        ("Internationalisation-of-everything now", "internationalisation-everything"),
    ],
)
def test_ids_from_words(do: str, made: str) -> None:
    """The telling words, three at most."""
    assert id_of(do) == made


def test_typed_lines_become_part_of_a_plan(tmp_path: Path) -> None:
    """Lines without a heading in the stage, others in stages behind it."""
    shop = Shop(tmp_path)
    assert shop.take(put_in(shop.texts, Spot(shop.one, 0), 1, parts_of(PASTED))) == {
        "01-posts.yaml": ONE.replace(
            "      - step: plumb\n", "      - step: measure-twice\n        do: Measure twice\n      - step: plumb\n"
        )
        + """\
  - stage: Fit-up
    steps:
      - step: clamp-ends-cradle
        do: Clamp the ends into the cradle
      - step: tack-opposite-pairs
        do: Tack in opposite pairs, 3 min apart
        note: [let it cool between, and turn it]
  - stage: Weld out
    steps:
      - step: weld-quarter
        do: Weld a quarter
      - step: cool-check-run
        do: "It’s cool: check the run-out"
"""
    }
    new = shop.take(put_in(shop.texts, Spot(shop.two, 1), 2, parts_of("Fit the latch again")))
    assert (
        "    sequence: [latch@left, latch@right, strike, fit-latch@left, fit-latch@right]\n" in new["02-hang-it.yaml"]
    )
    with pytest.raises(EditError, match="stand under no stage"):
        put_in(shop.texts, Spot(shop.one), 0, parts_of("Lonely line"))
    with pytest.raises(EditError, match="no step"):
        put_in(shop.texts, Spot(shop.one, 0), 0, parts_of("  \n"))
    new = shop.take(put_in(shop.texts, Spot(shop.one), 0, parts_of("Before:\n  Sweep\n")))
    assert (
        "stages:\n  - stage: Before\n    steps:\n      - step: sweep\n        do: Sweep\n  - stage: Set"
        in new["01-posts.yaml"]
    )


def test_a_step_on_one_side_only(tmp_path: Path) -> None:
    """Two keys, one after the other."""
    shop = Shop(tmp_path)
    spot = Spot(shop.one, 0, 0)
    shop.take(set_key(shop.texts, spot, "why", "the other hole is there"))
    new = shop.take(set_key(shop.texts, spot, "sides", ["left"]))
    assert new == {
        "01-posts.yaml": ONE.replace(
            "Dig the hole\n", "Dig the hole\n        sides: [left]\n        why: the other hole is there\n"
        )
    }
