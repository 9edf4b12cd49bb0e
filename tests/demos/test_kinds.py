"""The kinds of work catch what goes wrong in the trade, with no condition written by hand.

Each case is a wrong plan, with everything that must be found in it and nothing else, and a right plan, in
which nothing may be found.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from planner.files.build.kinds import shipped_kinds
from planner.files.layout import KINDS_FILE
from tests.demos.kindcases import CASES
from tests.demos.kindlines import BRACKET, CUT, PIECES, PREP, WELD, Case, gap, less, trap
from tests.demos.kindplans import TWO, Row, judged, write_build
from tests.demos.kindplans import rows as all_rows

KINDS = shipped_kinds()
WORDS = {word.name: word for kind in KINDS.values() for word in kind.words}


def rows(answer: dict[str, Any]) -> set[Row]:
    """The findings about needs: these are stretches of a plan, which close no debt and share out no work."""
    return {row for row in all_rows(answer) if row[0] != "notice" and row[1] not in ("left-open", "lopsided")}


def spread(expected: tuple[Row, ...]) -> set[Row]:
    """Expected rows, once for every side where they say ``{s}``."""
    out = set()
    for level, rule, at, condition, cause in expected:
        for side in TWO:
            out.add(
                (
                    level,
                    rule,
                    at.format(s=side),
                    (condition or "").format(s=side) or None,
                    None if cause is None else cause.format(s=side),
                )
            )
    return out


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_wrong_order_is_found_where_it_fails(case: Case, tmp_path: Path) -> None:
    """What is expected is found: the operation, the condition and the cause."""
    found = rows(judged(write_build(tmp_path / "wrong", case.wrong, PIECES, pace=case.pace)))
    assert spread(case.expected) <= found


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_the_right_order_is_quiet(case: Case, tmp_path: Path) -> None:
    """In a sound order nothing of what went wrong is found any more, on two sides, on one, and on four."""
    wrong = {(row[3] or "").partition("@")[0] for row in case.expected}
    for sides in (TWO, ("only",), ("front-left", "front-right", "rear-left", "rear-right")):
        right = case.right
        found = rows(judged(write_build(tmp_path / sides[-1], right, PIECES, sides, case.pace)))
        assert not {(row[3] or "").partition("@")[0] for row in found} & wrong, found


def test_both_ends_bedded_down_before_either_is_welded(tmp_path: Path) -> None:
    """The plan that fails side by side is sound step by step, with nothing else changed."""
    plan = next(case.wrong for case in CASES if case.pace == "side-first")
    assert rows(judged(write_build(tmp_path, plan))) == set()


# --- what is left out on purpose -------------------------------------------------------------------------


@pytest.mark.parametrize(
    "plan",
    [
        "bright clean leg\n nip hold leg\n tacks tack leg\n run fillet-weld leg",
        "saw cut-out blank\n hole drill blank\n edge dress blank",
        "stock cut-out rail\n ends machine rail\n fold bend rail",
        "bright clean patch\n fit fit-up patch\n pins hold patch\n tacks tack patch\n run stitch patch",
        "knuckle-out strip knuckle\n beads blast knuckle\n air wash knuckle\n coat paint knuckle\n bush press knuckle",
        "edge deburr plate\n prep bevel plate\n dust wipe plate\n coat prime plate\n coat-2 paint plate",
        "nuts bolt wheel\n tight torque wheel\n up lift car\n out release wheel",
        CUT + "\n stub measure joint without: [held]\n slug-length measure slug",
        "size measure strap\n buy order strap sides: once\n hot flame housing",
        "rod fetch housing sides: once\n hot flame housing",
        "size measure housing\n buy order joint sides: once, without: [unordered]"
        + BRACKET.replace("perch", "joint")
        + "\n run fillet-weld joint",
        "run-out check wheel\n end sign-off wheel",
    ],
    ids=[
        "fillets-need-no-bevel",
        "stock-needs-no-tacks",
        "stock-needs-no-marks",
        "sheet-needs-no-bevel",
        "blasting-is-cleaning",
        "grit-outside-is-nothing",
        "bolted-is-held",
        "cut-off-end-is-measured-on-the-bench",
        "heat-on-another-piece-than-the-part-ordered",
        "stock-is-fetched-whenever",
        "ordered-part-is-itself-welded-in",
        "no-weld-no-looking-over",
    ],
)
def test_what_a_job_does_not_need_is_not_asked_for(plan: str, tmp_path: Path) -> None:
    """A need that a picky fabricator would not share stays out."""
    assert rows(judged(write_build(tmp_path, plan))) == set()


def test_heat_reaches_across_joints_but_not_across_sides(tmp_path: Path) -> None:
    """Words kept for the whole piece are named after the outermost one, whatever part the heat is on."""
    plan = PREP + "\n run weld joint sides: [driver], why: trial\n size measure tube"
    found = rows(judged(write_build(tmp_path, plan, PIECES)))
    assert found == {trap("spoiled", "size@driver", "housing.cool@driver", "run@driver")}


def test_joints_of_one_piece_do_not_mask_each_other(tmp_path: Path) -> None:
    """A bevel on the inner joint does not make the outer one ready."""
    inner = PREP + WELD
    outer = "\n".join(
        " ".join(["o-" + word[0], word[1], "outer"])
        for word in (line.split() for line in less("prep").splitlines())
        if word
    )
    pieces = "{joint: {in: housing}, outer: {in: housing}}"
    found = rows(judged(write_build(tmp_path, inner + "\n" + outer + "\n o-run weld outer", pieces)))
    assert spread((gap("o-run@{s}", "outer.bevelled@{s}"),)) <= found
    assert not [row for row in found if row[3] and row[3].startswith("joint.")]


def test_one_weld_without_a_bevel_may_say_so(tmp_path: Path) -> None:
    """``without`` takes a word off one step, and off that step only."""
    plan = less("prep") + "\n run weld joint without: [bevelled]\n second weld joint"
    found = rows(judged(write_build(tmp_path, plan)))
    assert found == spread((gap("second@{s}", "joint.bevelled@{s}"),))


def test_a_kind_without_a_piece_brings_time_and_cautions_only(tmp_path: Path) -> None:
    """Nothing is needed, given or spoiled when the plan does not say what the work is done on."""
    assert rows(judged(write_build(tmp_path, "run weld -\n size measure -\n saw cut -"))) == set()


# --- the file itself -------------------------------------------------------------------------------------


def test_there_are_kinds_enough_and_all_say_what_they_are() -> None:
    """Every kind has a meaning and a usual time."""
    assert len(KINDS) >= 30
    for kind in KINDS.values():
        assert kind.means and kind.means[0].isupper(), kind.name
        assert not kind.means.endswith("."), kind.name
        assert kind.time is not None and 60 <= kind.time <= 4 * 3600, kind.name


#: Words that no work ends, there for what a piece lacks when it comes: `not-yet: [decided]`.
HOW_IT_COMES = {"adjusted", "decided", "here", "tight", "coupon-good", "placed", "warm"}


def test_no_kind_spoils_what_it_needs_and_no_word_is_idle() -> None:
    """Every word is needed by some kind and given by some kind; one that holds at the start can be lost.

    Nothing gives `unordered` or `unmachined` back: once a part is ordered, or a bore at its size, a later cut or
    heat is too late by nature.
    """
    needed = {ref.name for kind in KINDS.values() for ref in kind.needs}
    given = {ref.name for kind in KINDS.values() for ref in kind.gives}
    spoiled = {ref.name for kind in KINDS.values() for ref in (*kind.spoils, *kind.used_up)}
    for kind in KINDS.values():
        assert not {ref.name for ref in kind.needs} & {ref.name for ref in kind.spoils}, kind.name
    for word in WORDS.values():
        assert word.name in needed or word.owed or word.name in {"coated", "signed"}, word.name  # the last for `end:`
        assert word.name in given | {"unordered", "unmachined"}, word.name
        assert word.name in spoiled or not word.at_start or word.name in HOW_IT_COMES, word.name
    assert len(WORDS) == sum(len(kind.words) for kind in KINDS.values()), "a word is declared twice"


def test_whatever_makes_a_size_stale_comes_before_the_order() -> None:
    """What spoils a measurement needs that nothing is on order: the two go together."""
    stale = {kind.name for kind in KINDS.values() if any(ref.name == "measured" for ref in kind.spoils)}
    stale -= {
        "machine",
        "finish-machine",
        "send-out",
        "galvanise",
    }  # a seat is finished to the bearing that came; zinc moves a size by its own thickness
    assert stale == {kind.name for kind in KINDS.values() if any(ref.name == "unordered" for ref in kind.needs)}
    assert {"cut", "weld", "fillet-weld", "stitch", "weld-bracket", "flame"} <= stale


def test_what_cannot_be_undone_is_said_so() -> None:
    """Metal cut, ground or melted does not come back; a tack can be ground out and a bolt undone."""
    one_way = {kind.name for kind in KINDS.values() if kind.one_way}
    assert one_way == {
        "cut", "cut-away", "cut-off", "cut-out", "drill", "machine", "face", "bevel", "dress", "slit",
        "weld", "fillet-weld", "weld-frame", "stitch", "weld-bracket", "weld-crack", "send-out",
            "gouge", "finish-machine", "relieve", "galvanise",
    }  # fmt: skip


def test_the_file_stays_small() -> None:
    """Every command reads it, so that it is paid for at every start."""
    assert KINDS_FILE.stat().st_size < 40_000


def test_a_weld_is_never_proposed_ahead_of_its_tacks(tmp_path: Path) -> None:
    """It would bring back what the fit-up let go, and relies on the very tacks that fail."""
    plan = "fit fit-up joint\n dots tack joint\n run fillet-weld joint"
    answer = judged(write_build(tmp_path, plan, job="kinds: {tack: {also-needs: [held]}}\n"))
    said = [each["says"] for each in answer["findings"] if each["at"].startswith("dots@")]
    assert said
    assert not [each for each in said if "run@" in each and "brings it back" in each]
