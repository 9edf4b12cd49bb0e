"""The drawing that shafts are ordered by: never a number that was not measured as the housing is now."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from planner.paper.facts import Asked, Facts, NothingToPrintError
from planner.paper.ground.sizes import SIZES
from planner.paper.registry import make, paper_named
from planner.paper.sheets.shaftdrawing import NONE
from planner.paper.writing import written
from planner.session.onebuild import OneBuild
from tests.paper.sample import pages
from tests.support.builds import write_files

BUILD = """format: 1
build: Narrowing the Plover's housing
sides: [driver, passenger]
show: {lengths: mm}
pieces:
  housing: {one-body: true}
  shaft: {in: housing, not-yet: [here]}
"""
EPISODE = """format: 1
episode: 1
title: Shafts
stages:
  - stage: Length
    steps:
      - {step: bend, do: Straighten it in the press, spoils: [housing.measured], gives: [housing.straight]}
      - {step: read, do: Measure it cold, kind: measure, piece: housing, reads: narrow.measured-half}
      - {step: order, do: "Order at {narrow.shaft}", kind: order, piece: shaft, sides: once}
      - {step: again, do: Straighten it again, spoils: [housing.measured], needs: [housing.straight]}
"""
#: P 790 and 740, L 760 and 712: c = 30 and 28. A half h' measured gives the shaft h' + e - c, with e = 76.
NUMBERS = """format: 1
narrow:
  flange-to-flange: 1530 mm
  pinion-to-flange: {driver: 790 mm, passenger: 740 mm}
  flange-to-plate: 76 mm
  plate-to-plate: 1378 mm
  shaft: {driver: 760 mm, passenger: 712 mm}
  pads: 1400 mm
  first-line: 150 mm
  kerf: 2 mm
shaft:
  teeth: 28
  pitch: 24/48
  pressure-angle: 30 deg
  diameter: 33 mm
  retention: clip
"""
READ = {"driver": "648.5 mm ± 0.5", "passenger": "600 mm ± 0.5"}
LENGTH = {"driver": "694.5 mm", "passenger": "648.0 mm"}  # 648.5 + 76 - 30, 600 + 76 - 28


def build(folder: Path, numbers: str = NUMBERS, job: str = BUILD) -> OneBuild:
    conditions = "conditions:\n  housing.straight: {kept: side, means: no bend}\n"
    files = {"build.yaml": job + conditions, "episodes/01-shafts.yaml": EPISODE, "numbers.yaml": numbers}
    return OneBuild(write_files(folder, files), "bench", clock=lambda: 1.8e9)


def tick(one: OneBuild, name: str, reading: str | None = None) -> None:
    remarks = () if reading is None else ({"did": "reading", "value": reading},)
    assert one.tick(name, remarks=remarks, anyway=True).__class__.__name__ == "Ticked"


def read(one: OneBuild) -> None:
    """Both sides straightened, then both read: work on one side of one body moves the other."""
    for side in READ:
        tick(one, f"bend@{side}")
    for side, value in READ.items():
        tick(one, f"read@{side}", value)


def said(one: OneBuild, side: str | None = None, ending: str = ".pdf", size: str = "a4") -> list[str]:
    paper = paper_named("shaft-drawing")
    assert paper is not None
    body = written(make(paper, Facts(one, 1.8e9, Asked(side=side, size=SIZES[size]))), ending, SIZES[size]).body
    return pages(body) if ending == ".pdf" else [" ".join(body.decode().split())]


@pytest.mark.parametrize("ending", [".pdf", ".html", ".txt"])
def test_without_a_reading_no_number_is_drawn_and_what_to_do_is_said(tmp_path: Path, ending: str) -> None:
    one = build(tmp_path)
    text = " ".join(said(one, ending=ending))
    assert text.count(NONE) == 2 and "read@driver" in text and "read@passenger" in text
    assert "measured 6" not in text and not any(value in text for value in LENGTH.values())
    assert one.plan.build.numbers is not None  # the planned length is known, and kept back all the same
    assert not re.search(r"\d mm|\d in\b", text)


def test_each_side_is_drawn_from_its_own_reading_on_a_page_of_its_own(tmp_path: Path) -> None:
    one = build(tmp_path)
    read(one)
    found = said(one)
    for side, other in (("driver", "passenger"), ("passenger", "driver")):
        mine = [page for page in found if f"{side.upper()}: axle shaft" in page]
        assert len(mine) == 1 and f"measured {LENGTH[side]}" in mine[0]
        assert LENGTH[other] not in mine[0] and other.upper() not in mine[0]
        assert "± 0.58 mm" in mine[0]  # 2 x 0.5 / sqrt 3
        assert "28 teeth, pitch 24/48" in mine[0] and "by a clip" in mine[0]
    alone = " ".join(said(one, "passenger", size="letter"))
    assert LENGTH["passenger"] in alone and "DRIVER" not in alone


@pytest.mark.parametrize("one_body", [True, False])
def test_later_work_takes_the_number_away_wherever_it_moves_the_metal(tmp_path: Path, one_body: bool) -> None:
    one = build(tmp_path, job=BUILD if one_body else BUILD.replace("{one-body: true}", "{}"))
    read(one)
    tick(one, "again@driver")
    driver, passenger = " ".join(said(one, "driver")), " ".join(said(one, "passenger"))
    assert NONE in driver and LENGTH["driver"] not in driver
    assert "read as 648.5 mm ± 0.5 at read@driver" in driver and "again@driver" in driver
    assert (NONE in passenger, LENGTH["passenger"] in passenger) == (one_body, not one_body)


@pytest.mark.parametrize(
    ("ticked", "why"),
    [
        ((), "housing.measured@driver does not hold"),
        (("bend@driver",), "housing.measured@driver does not hold"),
        (("read@driver", "read@passenger"), "still to come: bend@driver, bend@passenger"),
    ],
)
def test_a_half_in_the_file_does_not_do_before_the_plan_has_it_measured(
    tmp_path: Path, ticked: tuple[str, ...], why: str
) -> None:
    """Typed too early, or what it was typed of has been forced since: nobody can tell from the number."""
    typed = NUMBERS.replace("  kerf: 2 mm\n", "  kerf: 2 mm\n  measured-half: {driver: 648.5 mm, passenger: 600 mm}\n")
    one = build(tmp_path, typed)
    for name in ticked:
        tick(one, name)
    text = " ".join(said(one, "driver"))
    assert NONE in text and why in text and LENGTH["driver"] not in text
    for name in ("bend@driver", "bend@passenger", "read@driver", "read@passenger"):
        one.tick(name, "again" if name in ticked else "done", anyway=True)
    assert LENGTH["driver"] in " ".join(said(one, "driver"))


def test_a_side_without_a_shaft_to_reckon_from_says_what_to_add(tmp_path: Path) -> None:
    one = build(tmp_path, re.sub(r"  shaft: .*\n", "", NUMBERS))
    assert "add shaft: to narrow" in " ".join(said(one))


@pytest.mark.parametrize(
    ("numbers", "says"),
    [
        ("format: 1\nshaft:\n  stud: 1/2 in\n  stud-length: 2 in\n  wheel-pad: 1/2 in\n", "there is none"),
        (NUMBERS.replace("plate-to-plate: 1378 mm", "plate-to-plate: 1300 mm"), "refused"),
    ],
)
def test_without_a_housing_there_is_one_line(tmp_path: Path, numbers: str, says: str) -> None:
    episode = EPISODE.replace("{narrow.shaft}", "length").replace(", reads: narrow.measured-half", "")
    files = {"build.yaml": BUILD + "conditions:\n  housing.straight: {kept: side, means: no bend}\n"}
    files |= {"episodes/01-shafts.yaml": episode, "numbers.yaml": numbers}
    one = OneBuild(write_files(tmp_path, files), "bench", clock=lambda: 1.8e9)
    with pytest.raises(NothingToPrintError, match=says) as caught:
        said(one)
    assert "\n" not in str(caught.value)
