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


def test_its_repair_measures_after_the_last_heat(tmp_path: Path) -> None:
    """The tool moves the measuring behind the cooling; done by hand in a copy, nothing is left."""
    (trap,) = checked(TRAILER).findings
    repair = trap["repair"]
    assert repair["kind"] == "move"
    order = repair["order"]
    measured = [order.index(f"measure-centres@{side}") for side in ("near", "off")]
    assert order.index("gusset-cool@off") < min(measured)
    assert max(measured) < order.index("axle-order")
    file = "04-burn-it-in.yaml"
    target = re.search(r"measure-centres before ([a-z-]+)\.", repair["says"])
    assert target is not None
    moved, before = block(TRAILER, file, "measure-centres"), block(TRAILER, file, target.group(1))
    copy = edited(TRAILER, tmp_path, file, moved, "")
    path = copy / "episodes" / file
    path.write_text(path.read_text("utf-8").replace(before, moved + before), encoding="utf-8")
    cured = checked(copy)
    assert (cured.code, cured.findings) == (0, [])
    assert cured.operations == checked(TRAILER).operations


def test_one_corner_is_forgotten() -> None:
    """Three brackets are torqued, nobody says why not the fourth; no single change cures that."""
    answer = checked(CORNERS)
    assert answer.code == 1
    assert answer.counts == {"trap": 1, "gap": 0, "notice": 0}
    (trap,) = answer.findings
    assert (trap["rule"], trap["at"], trap["repair"]) == ("side-missed", "bracket-bolts", None)
    assert "nothing is planned on rear-right" in trap["says"]
    assert "Add rear-right" in trap["says"] and "why" in trap["says"]


@pytest.mark.parametrize(
    ("new", "more"),
    [
        ("", 1),
        ("        sides: [front-left, front-right, rear-left, rear-right]\n", 1),
        ("        sides: [front-left, front-right, rear-left]\n        why: welded there\n", 0),
    ],
    ids=["all-sides", "corner-added", "why-said"],
)
def test_both_things_that_its_message_says_cure_it(new: str, more: int, tmp_path: Path) -> None:
    """The corner added, or a why."""
    old = "        sides: [front-left, front-right, rear-left]\n"
    cured = checked(edited(CORNERS, tmp_path, "04-discs-and-calipers.yaml", old, new))
    assert (cured.code, cured.findings) == (0, [])
    assert cured.operations == checked(CORNERS).operations + more


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
    assert any(step.rounds > 1 and step.kind == "torque" for step in steps)


def test_the_trailer_is_in_millimetres() -> None:
    """And in degrees Celsius."""
    assert plan(TRAILER).show == {"lengths": "mm", "temperature": "C"}


def test_four_corners_are_bled_in_their_order_in_every_pass() -> None:
    """Longest pipe first, twice: common practice for a cylinder at the left front, no source."""
    names = [row["op"] for row in run_json("steps", str(CORNERS))[1]["operations"]]
    order = ["rear-right", "rear-left", "front-right", "front-left"]
    expected = [f"bleed-corner#{turn}@{side}" for turn in (1, 2) for side in order]
    assert [name for name in names if name.startswith("bleed-corner")] == expected
