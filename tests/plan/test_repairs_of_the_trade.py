"""Repairs that walk but no fabricator would make are not offered: common practice, no source."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.plan.builds import findings, write

WELDED = """
  - stage: Weld
    steps:
      - {step: bevel, do: Bevel, kind: bevel, piece: joint}
      - {step: clean, do: Clean, kind: clean, piece: joint}
      - {step: fit, do: Fit, kind: fit-up, piece: joint}
      - {step: tack, do: Tack, kind: tack, piece: joint}
      - {step: weld, do: Weld, kind: weld, piece: joint}
"""


@pytest.mark.parametrize(
    ("more", "at"),
    [
        ("      - {step: size, do: Measure, kind: measure, piece: joint}\n", "size@driver"),
        ("      - {step: look, do: Look, kind: inspect, piece: joint}\n", "look@driver"),
        ("      - {step: over, do: Turn it, kind: turn-over, piece: joint, sides: once}\n", "over"),
    ],
)
def test_no_check_is_moved_ahead_of_the_hot_weld(tmp_path: Path, more: str, at: str) -> None:
    found = [f for f in findings(write(tmp_path, WELDED + more)) if (f["condition"] or "").startswith("joint.cool")]
    assert found and found[0]["at"] == at
    assert all(f["repair"] is None for f in found)
    assert "kind cool" in found[0]["says"]


def test_what_brings_it_back_is_moved_in_between(tmp_path: Path) -> None:
    text = WELDED + (
        "      - {step: look, do: Look, kind: inspect, piece: joint}\n"
        "      - {step: cold, do: Let it cool, kind: cool, piece: joint}\n"
    )
    found = [f for f in findings(write(tmp_path, text)) if (f["condition"] or "").startswith("joint.cool")]
    assert found
    for finding in found:
        order = finding["repair"]["order"]
        side = finding["condition"].partition("@")[2]
        assert order.index(f"weld@{side}") < order.index(f"cold@{side}") < order.index(f"look@{side}")


def test_shafts_are_not_ordered_ahead_of_the_cut_to_cure_an_old_measurement(tmp_path: Path) -> None:
    text = WELDED.replace(
        "    steps:\n", "    steps:\n      - {step: size, do: Measure, kind: measure, piece: joint}\n", 1
    )
    text += (
        "      - {step: cold, do: Let it cool, kind: cool, piece: joint}\n"
        "      - {step: shafts, do: Order, kind: order, piece: joint, sides: once}\n"
    )
    found = [f for f in findings(write(tmp_path, text)) if (f["condition"] or "").startswith("joint.measured")]
    assert found
    for finding in found:
        if finding["repair"] is not None:
            order = finding["repair"]["order"]
            assert order.index("shafts") > order.index("weld@driver")
            assert order.index("shafts") > order.index("weld@passenger")


def test_rework_comes_first_where_there_is_some(tmp_path: Path) -> None:
    text = """
  - stage: One
    steps:
      - {step: weld, do: Weld, spoils: [bed.smooth]}
      - {step: roll, do: Roll, sides: once, needs: [bed.smooth]}
      - {step: dress, do: Dress, rework: true, gives: [bed.smooth]}
"""
    job = "conditions: {bed.smooth: {on: side, means: nothing stands proud}}\nstart: [bed.smooth]\n"
    found = findings(write(tmp_path, text, job=job))
    assert {f["repair"]["kind"] for f in found} == {"rework"}
