"""Findings as sentences and rows: whatever is wrong with an order, the words are about the work."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from planner.plan.findings import Order, check
from planner.session.onebuild import OneBuild
from planner.session.opened import Opened
from planner.telling.finding import by_word, names_of, place_says, rows_of, sentence, short_do, shown_name
from tests.demos.kindplans import write_build
from tests.support.commandline import run

DEMOS = sorted(path for path in (Path(__file__).parent.parent.parent / "projects").iterdir() if path.is_dir())


@pytest.mark.parametrize("folder", DEMOS, ids=lambda path: path.name)
def test_of_any_order_each_finding_is_in_one_row_and_no_sentence_has_an_id(folder: Path) -> None:
    one = OneBuild(folder)
    steps = {op.step.id for op in one.plan.operations}
    for seed in range(3):
        ops = list(one.plan.operations)
        random.Random(seed).shuffle(ops)
        findings = check(one.plan, Order(tuple(ops)))
        rows = rows_of(findings)
        assert sorted(each.id for row in rows for each in row.findings) == sorted(each.id for each in findings)
        assert len({each.rule for each in findings}) > 3
        for row in rows:
            says = sentence(one.plan, row)
            assert "@" not in says
            assert "#" not in says
            words = set(says.replace(",", " ").replace(":", " ").split())
            assert not {each for each in steps & words if "-" in each}, says
            assert row.first.rule not in says
            assert names_of(row).endswith(row.first.rule)
            assert len({(each.level, each.history) for each in row.findings}) == 1
            assert place_says(one.plan, row.first)


def test_that_sides_differ_is_one_row_and_counted_until_it_was_seen(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    folder = DEMOS[0]
    first = Opened(folder, OneBuild(folder))
    alike = [each for each in first.findings() if each.rule == "other-number"]
    assert len(alike) > 1
    row = next(row for row in rows_of(first.findings()) if row.first.rule == "other-number")
    assert row.findings == tuple(alike)
    before = first.counts()["notice"]
    assert first.see()
    assert not first.see()
    assert first.counts()["notice"] == before - 1
    again = Opened(folder, OneBuild(folder))
    assert again.counts() == first.counts()


#: Plans of twenty steps as a beginner writes them: pieces, kinds, and nothing of what lies between.
BARE = {
    "axle": (
        "{housing: {}, end: {in: housing}, shaft: {}, brake: {}, truck: {}}",
        """\
up raise truck sides: once
wheels strip wheel
brakes strip brake
shafts open shaft
look measure housing
mark mark end
cut cut end
grind bevel end
clean clean end
fit fit-up end
tack tack end
weld weld end rounds: 2
cool cool housing sides: once
order order shaft sides: once
paint paint housing sides: once
bearing press-on shaft
shaft put-back shaft
brake put-back brake
bleed bleed brake sides: once
down lower truck sides: once""",
    ),
    "trailer": (
        "{frame: {one-body: true}, hanger: {in: frame}, spring: {}, axle: {}, wheel: {}, lights: {}}",
        """\
up raise frame sides: once
wheels strip wheel
lights strip lights sides: once
axle-off strip axle sides: once
springs strip spring
old cut-off hanger
grind dress hanger
line mark hanger
put fit-up hanger
hold hold hanger
tack tack hanger
weld fillet-weld hanger
paint paint frame sides: once
spring-on bolt spring
axle-on bolt axle sides: once
u-bolts draw-up axle
wheel-on bolt wheel
lights-on wire lights sides: once
down lower frame sides: once
sign sign-off frame sides: once""",
    ),
    "sill": (
        (
            "{sill: {not-yet: [dry]}, patch: {in: sill}, trim: {in: sill, not-yet: [heat-safe]}, "
            "car: {not-yet: [arc-safe]}}"
        ),
        """\
up raise car sides: once
seats strip trim
line mark patch
cut cut-away patch
make cut-out patch
bend bend patch
fit fit-up patch
hold hold patch
tack tack patch
weld stitch patch
grind dress patch
prime prime sill
paint paint sill
wax close sill
trim-in put-back trim
down lower car sides: once
battery battery-on car sides: once
look inspect sill
lamps try car sides: once
drive road-test car sides: once""",
    ),
    "exhaust": (
        "{pipe: {}, joint: {in: pipe}, hanger: {in: pipe}, sensor: {in: pipe, not-yet: [heat-safe]}, car: {}}",
        """\
up raise car sides: once
off strip pipe
sensor strip sensor
mark mark joint
cut cut joint
bend bend joint
fit fit-up joint
tack tack joint
try mock-up pipe
weld weld joint
hanger cut-out hanger
hanger-on hold hanger
hanger-tack tack hanger
hanger-weld weld-bracket hanger
paint paint pipe
on bolt pipe
tight torque pipe
sensor-in put-back sensor
down lower car sides: once
drive road-test car sides: once""",
    ),
    "brakes": (
        (
            "{corner: {}, disc: {in: corner}, caliper: {in: corner}, line: {in: corner}, "
            "tab: {in: corner}, wheel: {}, truck: {not-yet: [arc-safe]}}"
        ),
        """\
up raise truck sides: once
wheel strip wheel
line line-open line
drum strip corner
hub clean disc
tab hold tab
tack tack tab
weld weld-bracket tab
paint paint tab
disc-on bolt disc
caliper-on bolt caliper
hose brake-line line
bleed bleed corner
wheel-on bolt wheel
nuts torque wheel
down lower truck sides: once
try try corner sides: once
sign sign-off corner sides: once
drive road-test corner sides: once
again re-torque wheel""",
    ),
}


@pytest.mark.parametrize("name", BARE)
def test_of_a_bare_plan_what_one_act_cures_is_one_row(tmp_path: Path, name: str) -> None:
    """Twenty steps want a dozen lines at most, though each piece, side and time has findings of its own."""
    pieces, steps = BARE[name]
    one = OneBuild(write_build(tmp_path / "bare", steps, pieces=pieces))
    findings = [each for each in one.findings() if each.level != "notice"]
    rows = rows_of(findings)
    assert len(findings) > 20 and len(rows) <= 12
    assert sorted(each.id for row in rows for each in row.findings) == sorted(each.id for each in findings)
    levels = [row.first.level for row in rows]
    assert levels == sorted(levels, reverse=True)  # traps, then gaps
    words = [
        (part.first.level, (part.first.condition or "").rpartition(".")[2].partition("@")[0])
        for row in rows
        for part in by_word(row)
    ]
    assert len(words) == len(set(words))  # no act is asked for twice
    _, said, _ = run("check", str(tmp_path / "bare"), "--no-repairs")
    assert sum(line.startswith(("TRAP", "GAP")) for line in said.splitlines()) == len(rows)
    assert all(each.id in said for each in findings)
    told = " ".join(said.split())
    for each in (part.first for row in rows for part in by_word(row)):
        assert each.todo in told  # each cure in words, also where a row has several
        assert all(
            word in sentence(one.plan, row)
            for row in rows
            if each in row.findings
            for word in [one.plan.build.conditions[(each.condition or "").partition("@")[0]].means]
        )


@pytest.mark.parametrize(
    ("text", "short"),
    [
        ("Weld", "Weld"),
        ("Tack, in pairs", "Tack, in pairs"),  # a clause too short to say anything
        ("Clamp the bracket, marks matched", "Clamp the bracket"),
        ("x" * 20 + " " + "y" * 80, "x" * 20 + "…"),
    ],
)
def test_what_a_step_does_in_short(text: str, short: str) -> None:
    assert short_do(text) == short


def test_operations_are_shown_in_words() -> None:
    assert shown_name("tacks#2@driver") == "tacks 2, driver"
    assert shown_name("tacks#2") == "tacks 2"
    assert shown_name("weld@rear-left") == "weld, rear-left"
