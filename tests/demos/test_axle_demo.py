"""The demo build of the narrowed axle: large enough to learn on, and with one trap left in to be found.

What the order should be is common practice, no source.
"""

from __future__ import annotations

import shutil
from pathlib import Path
from typing import Any

import pytest

from planner.files.build.reading import read_build
from planner.plan.expand import expand
from planner.plan.machine import machine_of
from tests.support.commandline import run, run_json

DEMO = Path(__file__).parent.parent.parent / "projects" / "dunlin-pickup"
WELDING = "06-all-the-way-round.yaml"

#: What the repair moves, as it stands in the file, and what it is put before.
LATE = """      - step: dress-passenger
        do: Dress the first bead flush where it will bear, {cradle.contact-angle} off straight down
        kind: dress
        piece: first-bead
        sides: [passenger]
        why: not filmed; the driver bead is done on camera, in dress-driver
        film: none           # off camera, wherever in the plan it stands
        needs: [shop.spark-safe]
"""
BEFORE = "      - step: roll-over\n"

#: The steps whose number is not the same on both sides, in the order of the plan.
OTHER_NUMBER = ("scribe-first", "scribe-second", "shaft-length")


def told(*argv: str) -> dict[str, Any]:
    """What a command prints as JSON."""
    answer: dict[str, Any] = run_json(*argv)[1]
    assert "problems" not in answer, answer["problems"]
    return answer


def the_trap(answer: dict[str, Any]) -> dict[str, Any]:
    """The one finding that is no notice."""
    (found,) = [each for each in answer["findings"] if each["level"] != "notice"]
    assert found["level"] == "trap"
    return dict(found)


@pytest.fixture
def copy(tmp_path: Path) -> Path:
    """The plan files alone: whoever plays with the demo may have ticked it."""
    return Path(shutil.copytree(DEMO, tmp_path / DEMO.name, ignore=shutil.ignore_patterns("log")))


def mended(folder: Path) -> Path:
    """The repair done by hand: one step moved, and the stage it leaves empty taken out."""
    file = folder / "episodes" / WELDING
    text = file.read_text("utf-8")
    assert text.count(LATE) == text.count(BEFORE) == 1
    head, _, tail = text.partition("  - stage: Off camera\n")
    emptied, _, rest = tail.partition(LATE)
    assert "step:" not in emptied  # nothing else is lost with the stage
    assert rest.lstrip("\n").startswith("  - stage:")
    file.write_text((head + rest.lstrip("\n")).replace(BEFORE, LATE + BEFORE), encoding="utf-8")
    return folder


def test_it_is_a_whole_series(copy: Path) -> None:
    """Six episodes and more, eighty operations and more, both sides and neither."""
    operations = told("steps", str(copy))["operations"]
    assert len({each["episode"] for each in operations}) >= 6
    assert len(operations) >= 80
    assert {each["side"] for each in operations} == {"driver", "passenger", None}
    assert any(each["round"] == 3 for each in operations)
    assert any(each["side"] == "passenger" and each["on_camera"] for each in operations)


def test_it_comes_without_ticks() -> None:
    """Nothing of the first day is done for the newcomer, and no record is shipped."""
    assert not (DEMO / "log").exists(), "the demo is shipped without ticks; play in a copy"


def test_one_trap_is_left_in_and_nothing_else(copy: Path) -> None:
    """Beads left standing on the passenger joint keep the rolled housing from bedding down."""
    answer = told("check", str(copy))
    assert answer["counts"] == {"trap": 1, "gap": 0, "notice": len(OTHER_NUMBER)}
    finding = the_trap(answer)
    assert finding["rule"] == "spoiled"
    assert finding["at"] == "roll-over"
    assert finding["also"] == ["bed-second"]
    assert finding["condition"] == "housing.flush@passenger"
    assert finding["cause"] == "first-half#1@passenger"
    assert finding["parts"] == ["first-bead"]
    assert run("check", str(copy))[0] == 1


def test_numbers_that_differ_between_the_sides_are_told_at_every_step_that_uses_them(copy: Path) -> None:
    """The only notices; each side's own number stands in its own step."""
    notices = [each for each in told("check", str(copy))["findings"] if each["level"] == "notice"]
    assert [(each["rule"], each["at"]) for each in notices] == [("other-number", step) for step in OTHER_NUMBER]
    said = {each["op"]: each["do"] for each in told("steps", str(copy))["operations"]}
    assert "9 1/2 in (" in said["scribe-first@driver"]
    assert "10 1/4 in (" in said["scribe-first@passenger"]
    assert "{" not in "".join(said.values())


def test_every_calculator_that_applies_has_its_numbers_and_none_is_refused(copy: Path) -> None:
    """Readings that contradict one another would be refused, and so would a line in a keep-out."""
    answer = told("numbers", str(copy))
    asked = {"tyre", "wheel", "fit", "narrow", "cradle", "bars", "wrap", "tube", "shaft", "driveline"}
    asked |= {"tacks", "beads", "cool"}
    assert set(answer["results"]) == asked
    narrow = answer["results"]["narrow"]
    # Rebuilt from its saw lines (by definition of the readings): what is cut out and pulled together is what is lost.
    for side in ("driver", "passenger"):
        cut = narrow["second-line"][side]["value"] - narrow["first-line"][side]["value"]
        gap, shrinkage = 3 / 32 * 25.4, 0.050 * 25.4
        assert cut - gap + shrinkage == pytest.approx(narrow["shorten"][side]["value"], abs=1e-9)
    assert answer["results"]["cradle"]["length"]["value"] < narrow["plate-to-plate"]["value"]


def test_the_cradle_makes_the_trap_a_real_one(copy: Path) -> None:
    """A window round the joint would keep every bead off the legs: the calculator says that there is none."""
    cradle = told("numbers", str(copy))["results"]["cradle"]
    assert "window-from" not in cradle
    warned = run("numbers", str(copy))[1]
    assert "its bead stands proud in the V" in warned
    said = {each["op"]: each["do"] for each in told("steps", str(copy))["operations"]}
    assert "45 deg off straight down" in said["dress-passenger@passenger"]


def test_the_beads_dressed_in_time_leave_no_failing_pair(copy: Path) -> None:
    """One operation moved ahead of the roll; walked again, nothing fails."""
    build = read_build(copy).build
    assert build is not None
    plan = expand(build)
    order = [op.name for op in plan.operations]
    order.remove("dress-passenger@passenger")
    order.insert(order.index("roll-over"), "dress-passenger@passenger")
    failures, _ = machine_of(plan).walk([plan.by_name[name] for name in order])
    assert failures == []


def test_the_repair_done_by_hand_leaves_nothing_to_report(copy: Path) -> None:
    """The edited plan is clean; only the numbers that differ are told."""
    mended(copy)
    answer = told("check", str(copy))
    assert {each["rule"] for each in answer["findings"]} == {"other-number"}
    assert answer["counts"] == {"trap": 0, "gap": 0, "notice": len(OTHER_NUMBER)}
    assert run("check", str(copy), "--strict")[0] == 0


# --- what must not be quiet: the mistakes of the trade, made in the mended plan -------------------------------


@pytest.mark.parametrize(
    ("file", "change", "rule", "at", "condition"),
    [
        (
            "04-no-way-back.yaml",
            ("        kind: clock-mark\n", ""),
            "never-given",
            "cut-first@driver",
            "end-joint.clocked@driver",
        ),
        (
            "03-the-cradle.yaml",
            ("        gives: [cradle.true]\n        say", "        say"),
            "never-given",
            "bed-whole",
            "cradle.true",
        ),
        (
            "07-the-number-that-counts.yaml",
            ("        kind: mock-up\n", ""),
            "never-given",
            "perch-weld#1@driver",
            "perch.proved@driver",
        ),
        (
            "08-on-its-own-wheels.yaml",
            ("        kind: retainer\n", ""),
            "never-given",
            "bearing@driver",
            "shaft.retainer-on@driver",
        ),
        ("08-on-its-own-wheels.yaml", ("        kind: bleed\n", ""), "spoiled", "pedal", "housing.bled@driver"),
        (
            "08-on-its-own-wheels.yaml",
            ("        kind: put-back\n        piece: prop-shaft\n", ""),
            "left-open",
            "(end)",
            "prop-shaft.together@driver",
        ),
        (
            "08-on-its-own-wheels.yaml",
            ("        kind: battery-on\n", ""),
            "left-open",
            "(end)",
            "truck.live@driver",
        ),
        (
            "08-on-its-own-wheels.yaml",
            ("        kind: wipe\n", ""),
            "never-given",
            "paint",
            "housing.wiped@driver",
        ),
    ],
)
def test_other_mistakes_would_be_told(
    copy: Path, file: str, change: tuple[str, str], rule: str, at: str, condition: str
) -> None:
    """Quiet is not deaf: take one thing out of the mended plan and it is missed."""
    path = mended(copy) / "episodes" / file
    text = path.read_text("utf-8")
    assert text.count(change[0]) == 1
    path.write_text(text.replace(*change), encoding="utf-8")
    found = {(each["rule"], each["at"], each["condition"]) for each in told("check", str(copy))["findings"]}
    assert (rule, at, condition) in found
