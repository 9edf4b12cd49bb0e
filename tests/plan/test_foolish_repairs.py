"""Repairs that would walk and that would hurt somebody, or spoil the work, are never offered: common practice, no
source."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest

from tests.plan.builds import findings, write

AXLE = """pieces:
  axle: {one-body: true}
  tube: {in: axle}
  joint: {in: tube}
  other-joint: {in: tube}
  bracket: {in: tube}
  hub: {in: axle}
  wheel: {in: axle}
"""


def stage(*steps: str) -> str:
    return "\n  - stage: One\n    steps:\n" + "".join(f"      - {{{step}}}\n" for step in steps)


def offered(folder: Path, steps: str, word: str) -> list[tuple[dict[str, Any], dict[str, Any]]]:
    """Every repair of every finding about a word; there must be such a finding."""
    found = [each for each in findings(write(folder, steps, job=AXLE)) if f".{word}" in (each["condition"] or "")]
    assert found
    return [(each, repair) for each in found for repair in (each["repair"], *each["repairs"]) if repair is not None]


def moved(repair: dict[str, Any], step: str) -> bool:
    return step in repair["says"]


@pytest.mark.parametrize("rework", ["", ", rework: true"])
def test_a_wheel_taken_off_does_not_let_bearings_in_a_hub_stand_the_heat(tmp_path: Path, rework: str) -> None:
    steps = stage(
        "step: bearings, do: x, kind: press, piece: hub",
        "step: weld, do: x, kind: weld, piece: joint",
        f"step: wheel-off, do: x, kind: strip, piece: wheel{rework}",
    )
    assert not [repair for _, repair in offered(tmp_path, steps, "heat-safe") if moved(repair, "wheel-off")]


@pytest.mark.parametrize("kind", ["clean", "wipe"])
def test_another_part_made_bright_does_not_let_a_painted_joint_be_welded(tmp_path: Path, kind: str) -> None:
    steps = stage(
        "step: coat, do: x, kind: paint, piece: joint",
        "step: weld, do: x, kind: weld, piece: joint",
        f"step: bright, do: x, kind: {kind}, piece: other-joint",
    )
    assert not [repair for _, repair in offered(tmp_path, steps, "bare") if moved(repair, "bright")]


@pytest.mark.parametrize(
    ("steps", "word"),
    [
        (
            ("step: up, do: x, kind: raise, piece: axle", "step: nuts, do: x, kind: wheel-nuts, piece: wheel"),
            "on-wheels",
        ),
        (("step: off, do: x, kind: strip, piece: wheel", "step: nuts, do: x, kind: torque, piece: wheel"), "together"),
        (("step: open, do: x, kind: open, piece: tube", "step: oil, do: x, kind: fill, piece: axle"), "shut"),
    ],
)
def test_what_was_opened_is_never_got_out_of_the_way(tmp_path: Path, steps: tuple[str, ...], word: str) -> None:
    """Nuts are not made right by raising the car only afterwards, nor by tightening them before the wheel is off."""
    assert not [repair["says"] for _, repair in offered(tmp_path, stage(*steps), word)]


def test_a_bead_is_not_dressed_before_it_is_run(tmp_path: Path) -> None:
    steps = stage(
        "step: grit, do: x, kind: blow-out, piece: axle",
        "step: weld, do: x, kind: weld, piece: joint",
        "step: smooth, do: x, kind: dress, piece: joint, without: [cool]",
        "step: gears, do: x, kind: put-in, piece: hub, without: [cool]",
    )
    assert not [repair for _, repair in offered(tmp_path, steps, "swept") if moved(repair, "smooth")]


def test_parts_are_not_brought_together_once_they_are_tacked(tmp_path: Path) -> None:
    steps = stage(
        "step: bright, do: x, kind: clean, piece: joint",
        "step: level, do: x, kind: align, piece: axle",
        "step: offer, do: x, kind: fit-up, piece: joint, after: [level]",
        "step: tacks, do: x, kind: tack, piece: joint",
    )
    assert not [repair for _, repair in offered(tmp_path, steps, "fixed") if "step offer " in repair["says"]]


def test_no_rework_stands_in_for_a_side_that_was_forgotten(tmp_path: Path) -> None:
    steps = stage(
        "step: bright, do: x, kind: clean, piece: joint",
        "step: grip, do: x, kind: hold, piece: joint",
        "step: tacks, do: x, kind: tack, piece: joint, sides: [driver], why: the other was to follow",
        "step: weld, do: x, kind: weld, piece: joint, without: [trued]",
        "step: watch, do: x, kind: fire-watch, piece: axle",
        "step: string, do: x, kind: check, piece: axle, sides: once",
        "step: retack, do: x, kind: tack, piece: joint, rework: true",
    )
    assert not [repair for _, repair in offered(tmp_path, steps, "tacked") if repair["kind"] == "rework"]


def test_old_brackets_ground_off_do_not_make_a_bead_flush(tmp_path: Path) -> None:
    steps = stage(
        "step: weld, do: x, kind: weld, piece: joint",
        "step: roll, do: x, kind: roll, piece: tube, sides: once",
        "step: grind-brackets, do: x, kind: dress, piece: bracket",
    )
    assert not [repair for _, repair in offered(tmp_path, steps, "flush") if moved(repair, "grind-brackets")]


def test_what_nothing_holds_is_not_tacked_again(tmp_path: Path) -> None:
    steps = stage(
        "step: tack, do: x, kind: tack, piece: joint",
        "step: open-up, do: x, kind: slit, piece: joint",
        "step: weld, do: x, kind: weld, piece: joint",
        "step: retack, do: x, kind: tack, piece: joint, rework: true",
    )
    for _, repair in offered(tmp_path, steps, "tacked"):
        order = repair["order"]
        for index, name in enumerate(order):
            if name.startswith("retack@"):  # held again since it was slit
                side = name.partition("@")[2]
                assert f"open-up@{side}" not in order[:index]


def test_a_joint_that_was_never_tacked_is_not_slit(tmp_path: Path) -> None:
    steps = stage(
        "step: tack, do: x, kind: tack, piece: joint",
        "step: open-up, do: x, kind: slit, piece: joint",
        "step: look, do: x, kind: check, piece: joint",
    )
    for found in findings(write(tmp_path, steps, job=AXLE)):
        for repair in (found["repair"], *found["repairs"]):
            if repair is not None:
                for side in ("driver", "passenger"):
                    assert repair["order"].index(f"tack@{side}") < repair["order"].index(f"open-up@{side}")


def test_a_coat_of_paint_moves_and_not_the_weld(tmp_path: Path) -> None:
    steps = stage(
        "step: coat, do: x, kind: paint, piece: joint, without: [cool, looked-over, wiped]",
        "step: weld, do: x, kind: weld, piece: joint",
        "step: goodbye, do: x, kind: talk, sides: once",
    )
    for found in findings(write(tmp_path, steps, job=AXLE)):
        if (found["condition"] or "").startswith("joint.bare"):
            repair = found["repair"]
            assert repair is not None and "coat" in repair["says"].partition(" before ")[0].partition(" after ")[0]
            order = repair["order"]
            assert order.index("weld@driver") < order.index("goodbye")


def test_a_forgotten_side_is_offered(tmp_path: Path) -> None:
    (found,) = [
        each
        for each in findings(write(tmp_path, stage("step: mark, do: x, sides: [driver]", "step: cut, do: y")))
        if each["rule"] == "side-missed"
    ]
    assert found["repair"]["kind"] == "sides" and "mark@passenger" in found["repair"]["order"]
