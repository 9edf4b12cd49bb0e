"""The papers for the bench and the inspector, made of real facts of builds."""

from __future__ import annotations

import re
import shutil
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.paper.sample import pages, two_shifts
from tests.support.commandline import run, run_json

ROOT = Path(__file__).resolve().parents[2]
DEMOS = ROOT / "projects"
NOW = ("--now", "2027-02-13T19:30Z")


def squeezed(text: str) -> str:
    return re.sub(r"\s+", "", text)


def steps_of(demo: str) -> list[dict[str, Any]]:
    """The steps of a demo by a YAML library, not by the planner."""
    files = sorted((DEMOS / demo / "episodes").glob("*.yaml"))
    read = [yaml.safe_load(each.read_text(encoding="utf-8")) for each in files]
    return [step for each in read for stage in each["stages"] for step in stage["steps"]]


def kinds() -> dict[str, Any]:
    found: dict[str, Any] = yaml.safe_load((ROOT / "planner" / "kinds" / "kinds.yaml").read_text(encoding="utf-8"))
    return dict(found["kinds"])


@pytest.mark.parametrize("size", ["a4", "letter"])
@pytest.mark.parametrize("paper", ["hot-work", "cut-list", "torque", "tags", "as-built"])
def test_every_caution_and_number_is_whole_on_one_page(paper: str, size: str, tmp_path: Path) -> None:
    to = tmp_path / "it.pdf"
    demo = str(DEMOS / "dunlin-pickup")
    code, found = run_json("paper", demo, paper, "--to", str(to), "--size", size, *NOW)
    assert code == 0
    printed = [squeezed(page) for page in pages(to.read_bytes())]
    assert len(printed) == found["pages"] and found["missing"] == []
    for block in found["blocks"]:
        if "caution" in block:
            assert any(squeezed(block["caution"]) in page for page in printed)
        for row in block.get("rows", []):
            for cell in row:
                for part in cell:
                    assert any(squeezed(part.get("text") or part.get("blank") or "") in page for page in printed)


@pytest.mark.parametrize("demo", ["dunlin-pickup", "hay-trailer", "four-corners"])
def test_the_hot_work_card_lists_every_step_that_makes_sparks(demo: str) -> None:
    """Hot is what a watch must follow: by the file of kinds, its spoiling ``watched``; a coupon is welded as well."""
    hot = {name for name, kind in kinds().items() if "watched" in kind.get("spoils", [])} | {"coupon"}
    _, out, _ = run("paper", str(DEMOS / demo), "hot-work", *NOW)
    card = squeezed(out)
    for step in steps_of(demo):
        wanted = step.get("kind") in hot and not step.get("rework")
        assert (f"·{step['step']}" in card) == wanted, step["step"]
        for text in kinds()[step["kind"]].get("cautions", []) if wanted else []:
            assert squeezed(text) in card
    for word in (
        "behind it ____",
        "Tank, fuel and brake lines",
        "Battery off",
        "Extinguisher",
        "ends at ____",
        "Looked again",
    ):
        assert squeezed(word) in card


def test_the_card_says_what_the_plan_wants_to_hold_and_ticks_what_does(tmp_path: Path) -> None:
    demo = str(shutil.copytree(DEMOS / "dunlin-pickup", tmp_path / "dunlin-pickup"))
    before = run("paper", demo, "hot-work", "--episode", "4", *NOW)[1]
    assert "[ ] floor swept, rags and solvents out" in before
    assert run("tick", demo, "sweep-4", "--anyway")[0] == 0
    assert "[x] floor swept, rags and solvents out" in run("paper", demo, "hot-work", "--episode", "4", *NOW)[1]


def test_the_cut_list_is_what_the_numbers_say() -> None:
    demo = str(DEMOS / "dunlin-pickup")
    numbers = run_json("numbers", demo)[1]["results"]
    _, out, _ = run("paper", demo, "cut-list", *NOW)
    text = squeezed(out)
    for key in ("first-line", "saw-first", "saw-second", "second-line", "waste", "stub", "tube-left"):
        for side in ("driver", "passenger"):
            brief, _, rest = numbers["narrow"][key][side]["shown"].partition(" (")
            assert f"{squeezed(brief)}{squeezed(rest.removesuffix(')'))}" in text
    plan = numbers["bars"]["plan"]["value"]
    count = sum(each for row in plan for each, word in pairwise(row) if word == "x")
    cut = out[out.index("Bar 1") :]
    assert cut.count("[ ]") == count + 1  # and the end that is left over


def test_the_torque_table_has_a_box_for_every_operation() -> None:
    _, rows = run_json("steps", str(DEMOS / "dunlin-pickup"))
    _, known = run_json("kinds")
    kinds = {each["kind"] for each in known["kinds"] if {"torqued", "settled"} & set(each["gives"])}
    assert {"torque", "wheel-nuts", "draw-up"} <= kinds
    wanted = [each for each in rows["operations"] if each["kind"] in kinds]
    _, out, _ = run("paper", str(DEMOS / "dunlin-pickup"), "torque", *NOW)
    assert out.count("[ ]") == len(wanted) > 0


def test_tags_say_build_side_end_and_what_to_keep() -> None:
    _, found = run_json("paper", str(DEMOS / "dunlin-pickup"), "tags", *NOW)
    cards = [card for block in found["blocks"] for card in block.get("cards", [])]
    joints = [card for card in cards if any(part.get("text") == "end-joint" for part in card["says"])]
    assert [card["title"] for card in joints] == ["DRIVER END", "PASSENGER END"]
    said = [" ".join(part.get("text", "") for part in card["says"]) for card in joints]
    assert "9 1/2 in" in said[0] and "10 1/4 in" in said[1] and "9 1/2 in" not in said[1]
    assert all("KEEP: the piece cut out is stamped" in each and "Dunlin pickup" in each for each in said)
    one = run_json("paper", str(DEMOS / "dunlin-pickup"), "tags", "--side", "driver", *NOW)[1]
    assert {card["title"].split()[0] for block in one["blocks"] for card in block.get("cards", [])} == {"DRIVER"}


BUILD = """format: 1
build: Record
sides: [left, right]
conditions: {true.ends: {kept: side, means: ends are true}}
"""
EPISODE = """format: 1
episode: 1
title: One
stages:
  - stage: All
    steps:
      - {step: join, do: Weld it, kind: fillet-weld}
      - {step: hold, do: Read it, gives: [true.ends], hold: {limit: 0.010 in, plus-minus: 0.002 in}}
      - {step: look, do: Look it over, kind: inspect, sides: once}
"""


def test_the_record_has_readings_verdicts_notes_and_what_is_open(tmp_path: Path) -> None:
    folder = tmp_path / "record"
    (folder / "episodes").mkdir(parents=True)
    (folder / "build.yaml").write_text(BUILD, encoding="utf-8")
    (folder / "episodes" / "01-one.yaml").write_text(EPISODE, encoding="utf-8")
    build = str(folder)
    run("tick", build, "join@left", "--note", "MIG 180 A, wire ER70S-6 <batch 7>", "--anyway")
    assert run("tick", build, "hold@left", "--reading", "0.004 in", "--anyway")[0] == 0
    assert run("tick", build, "hold@right", "--reading", "0.030 in", "--anyway")[0] == 1
    _, out, _ = run("paper", build, "as-built")
    text = " ".join(out.split())
    assert "! RECORD, NOT APPROVAL" in text
    assert "MIG 180 A, wire ER70S-6 <batch 7>" in text
    assert "0.004 in" in text and "inside" in text and "0.030 in" in text and "outside" in text
    assert "ticked anyway" not in text or "hold@left" in text
    assert "not done: join, hold, look" in text
    assert "Who looked: ________" in text
    to = tmp_path / "r.pdf"
    assert run("paper", build, "as-built", "--to", str(to))[0] == 0
    assert all("Record" in page for page in pages(to.read_bytes()))
    assert "RECORD, NOT APPROVAL" in pages(to.read_bytes())[0]


@pytest.mark.parametrize("size", ["a4", "letter"])
def test_a_card_for_work_on_one_piece_is_one_page(size: str, tmp_path: Path) -> None:
    """A card hangs by the work: of a whole episode that cuts or tacks, all of it stands on the front."""
    for episode in ("2", "3", "4", "5"):
        to = tmp_path / f"{episode}.pdf"
        asked = ("--episode", episode, "--to", str(to), "--size", size)
        assert run_json("paper", str(DEMOS / "dunlin-pickup"), "hot-work", *asked, *NOW)[1]["pages"] == 1
        page = squeezed(pages(to.read_bytes())[0])
        assert "behindit" in page and "endsat" in page and "Cautions" in page


def test_a_card_of_a_shift_has_the_hot_work_that_is_booked_in_it(tmp_path: Path) -> None:
    build = two_shifts(tmp_path / "two")
    now = ("--now", "2027-03-01T12:00Z")
    booked = [{part["op"] for part in shift["parts"]} for shift in run_json("calendar", build, *now)[1]["shifts"]]
    assert booked == [{"mark@left", "mark@right"}, {"saw@left", "saw@right", "wipe"}]
    card = squeezed(run("paper", build, "hot-work", "--shift", "2", *now)[1])
    assert "Hot-workcard,Thu2027-03-04" in card and "·saw" in card and "·wipe" not in card
    one = run("paper", build, "hot-work", "--shift", "2", "--side", "left", *now)[1]
    assert "What makes sparks  left\n" in one and "Saw it · saw       [ ]\n" in one
    code, _, says = run("paper", build, "hot-work", "--shift", "1", *now)
    assert code == 2 and "nothing makes sparks in shift 1, Tue 2027-03-02" in says
