"""The trailer and the four corners: believable, each with one true mistake left in."""

from __future__ import annotations

import re
import shutil
from pathlib import Path
from typing import Any, NamedTuple

import pytest

from planner.files.build.reading import read_build
from planner.plan.model import Build, Stage, Step
from tests.support.commandline import run_json

PROJECTS = Path(__file__).parent.parent.parent / "projects"
TRAILER, CORNERS = PROJECTS / "hay-trailer", PROJECTS / "four-corners"
BOTH = pytest.mark.parametrize("folder", [TRAILER, CORNERS], ids=lambda folder: folder.name)


class Answer(NamedTuple):
    """What ``check`` says."""

    code: int
    counts: dict[str, int]
    findings: list[dict[str, Any]]
    operations: int


def checked(folder: Path) -> Answer:
    """``check`` with its repairs, of the plan as written."""
    code, answer = run_json("check", str(folder), "--plan")
    assert "problems" not in answer, answer["problems"]
    return Answer(code, answer["counts"], answer["findings"], answer["operations"])


def plan(folder: Path) -> Build:
    """The build in a folder."""
    reading = read_build(folder)
    assert reading.build is not None, reading.problems
    return reading.build


def staged(folder: Path) -> list[tuple[Stage, Step]]:
    """All steps of a build with their stages."""
    episodes = plan(folder).episodes
    return [(stage, step) for e in episodes for stage in e.stages for step in stage.steps]


def edited(folder: Path, to: Path, file: str, old: str, new: str) -> Path:
    """A copy with one text replaced in one of its files."""
    copy = shutil.copytree(folder, to / folder.name)
    path = copy / "episodes" / file
    text = path.read_text(encoding="utf-8")
    assert text.count(old) == 1, old
    path.write_text(text.replace(old, new), encoding="utf-8")
    return copy


def block(folder: Path, file: str, step: str) -> str:
    """The lines of one step."""
    text = (folder / "episodes" / file).read_text(encoding="utf-8")
    found = re.search(rf"^      - step: {step}\n(?:        .*\n)+", text, re.MULTILINE)
    assert found is not None
    return found.group()


# --- the one mistake ----------------------------------------------------------------------------


def test_the_axle_is_ordered_from_a_measurement_older_than_the_last_heat() -> None:
    """The gusset, welded on one side only, comes after the measuring; nothing else is wrong."""
    answer = checked(TRAILER)
    assert answer.code == 1
    assert answer.counts == {"trap": 1, "gap": 0, "notice": 0}
    (trap,) = answer.findings
    assert (trap["rule"], trap["at"]) == ("spoiled", "axle-order")
    assert (trap["condition"], trap["cause"]) == ("frame.measured@off", "gusset-weld@off")
    assert trap["also"] == []


def test_measuring_after_the_last_heat_cures_it(tmp_path: Path) -> None:
    """The step put in front of the order, in a copy: nothing is left, and no operation is lost."""
    file = "04-burn-it-in.yaml"
    moved = block(TRAILER, file, "measure-centres")
    copy = edited(TRAILER, tmp_path, file, moved, "")
    path = copy / "episodes" / file
    stage = "  - stage: At the desk\n"
    path.write_text(path.read_text("utf-8").replace(stage, moved + stage), encoding="utf-8")
    cured = checked(copy)
    assert (cured.code, cured.findings) == (0, [])
    assert cured.operations == checked(TRAILER).operations


def test_the_axle_is_ordered_at_a_number_that_rests_on_the_springs() -> None:
    """What the late heat moves is a reading behind the number in the step: the trap costs an axle."""
    said = {row["op"]: row["do"] for row in run_json("steps", str(TRAILER))[1]["operations"]}
    assert "1762" in said["axle-order"]
    fit = run_json("numbers", str(TRAILER))[1]["results"]["fit"]
    assert fit["pads-least"]["value"] < 1762 < fit["pads-most"]["value"]


def test_one_corner_is_forgotten() -> None:
    """Three brackets are torqued, the fourth was in the post that evening: its bolt waits at the sign-off."""
    answer = checked(CORNERS)
    assert answer.code == 1
    assert answer.counts == {"trap": 1, "gap": 0, "notice": 0}
    (trap,) = answer.findings
    assert (trap["rule"], trap["at"], trap["also"]) == ("spoiled", "sign", ["(end)"])
    assert (trap["condition"], trap["cause"]) == ("bracket.torqued@rear-right", "bracket-on@rear-right")


SIDES = "        sides: [front-left, front-right, rear-left]\n"
WHY = "        why: the new bolts for rear-right are still in the post\n"


@pytest.mark.parametrize("new", ["", SIDES.replace("]", ", rear-right]")], ids=["all-sides", "corner-added"])
def test_the_corner_added_cures_it(new: str, tmp_path: Path) -> None:
    """One operation more, and nothing to report."""
    cured = checked(edited(CORNERS, tmp_path, "04-discs-and-calipers.yaml", SIDES + WHY, new))
    assert (cured.code, cured.findings) == (0, [])
    assert cured.operations == checked(CORNERS).operations + 1


def test_without_a_reason_the_forgotten_corner_is_told_too(tmp_path: Path) -> None:
    """The why hides that a side is missing; it does not tighten a bolt."""
    found = checked(edited(CORNERS, tmp_path, "04-discs-and-calipers.yaml", WHY, "")).findings
    assert {each["rule"] for each in found} == {"side-missed", "spoiled"}


def test_every_corner_has_a_thread_of_its_own() -> None:
    """Studs were measured at four corners, and four threads are left: at least a diameter of each."""
    studs = run_json("numbers", str(CORNERS))[1]["results"]["shaft"]["stud-engagement"]
    assert set(studs) == {"front-left", "front-right", "rear-left", "rear-right"}
    assert all(each["value"] > 7 / 16 * 25.4 for each in studs.values())


# --- full and believable ------------------------------------------------------------------------


@BOTH
def test_they_are_builds_of_a_size(folder: Path) -> None:
    """Five episodes and more, operations to match, no ticks of anybody, short lines."""
    assert len(plan(folder).episodes) >= 5
    assert checked(folder).operations >= 60
    assert not (folder / "log").exists()
    for file in folder.rglob("*.yaml"):
        for number, line in enumerate(file.read_text("utf-8").splitlines(), 1):
            assert len(line) <= 100 and line == line.rstrip(), (file, number)


@BOTH
def test_the_series_holds_together(folder: Path) -> None:
    """Dates go on with the episodes, promises are kept later on, references point back."""
    build = plan(folder)
    assert build.shop.timezone and build.shop.hours and build.shop.desk
    dates = [episode.publish[1] if episode.publish else 0 for episode in build.episodes]
    assert dates[0] > 0 and dates == sorted(set(dates))
    promised: dict[str, int] = {}
    kept: dict[str, int] = {}
    for episode in build.episodes:
        assert episode.runtime and episode.edit
        assert all(int(number) < episode.number for number in episode.refers_to)
        promised.update(dict.fromkeys(episode.promises, episode.number))
        kept.update(dict.fromkeys(episode.keeps, episode.number))
    assert promised and promised.keys() == kept.keys()
    assert all(kept[text] > number for text, number in promised.items())


@BOTH
def test_the_wait_for_parts_fits_between_two_dates(folder: Path) -> None:
    """What is ordered in one episode is there before the next that needs it is published."""
    build = plan(folder)
    for episode in build.episodes:
        for step in (step for stage in episode.stages for step in stage.steps):
            if step.kind == "order":
                following = next(e for e in build.episodes if e.number == episode.number + 1)
                assert step.wait and episode.publish and following.publish
                assert following.publish[1] - episode.publish[1] >= step.wait


@BOTH
def test_they_show_what_a_plan_can_say(folder: Path) -> None:
    """Every key that a newcomer may need is in use, and every step has its time."""
    both = staged(folder)
    steps = [step for _, step in both]
    for step in steps:
        assert step.time, step.id
        # A wait acts on what a step gives and on its next round; anywhere else it would do nothing.
        assert not step.wait or step.gives or step.rounds > 1, step.id
    assert any(stage.pace == "side-first" and stage.first for stage, _ in both)
    assert any(step.rework for step in steps)
    assert any(step.wait for step in steps)
    assert any(step.where == "desk" for step in steps)
    assert any(step.hands > 1 for step in steps)
    assert any(step.after for step in steps)
    kinds = {step.kind for step in steps}
    assert {"talk", "set-camera", "sign-off", "order", "fire-watch"} <= kinds
    for want in ("setup", "film", "shots", "say", "note", "cautions", "why"):
        assert any(getattr(step, want) for step in steps), want
    assert any(step.rounds > 1 and step.kind in ("torque", "wheel-nuts") for step in steps)


def test_the_trailer_is_in_millimetres() -> None:
    """And in degrees Celsius."""
    assert plan(TRAILER).show == {"lengths": "mm", "temperature": "C"}


def test_four_corners_are_bled_in_their_order_in_every_pass() -> None:
    """Longest pipe first, twice: common practice for a cylinder at the left front, no source."""
    names = [row["op"] for row in run_json("steps", str(CORNERS))[1]["operations"]]
    order = ["rear-right", "rear-left", "front-right", "front-left"]
    expected = [f"bleed-corner#{turn}@{side}" for turn in (1, 2) for side in order]
    assert [name for name in names if name.startswith("bleed-corner")] == expected
