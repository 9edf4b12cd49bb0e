"""Findings as sentences and rows: whatever is wrong with an order, the words are about the work."""

from __future__ import annotations

import random
from pathlib import Path

import pytest

from planner.plan.findings import Order, check
from planner.session.onebuild import OneBuild
from planner.session.opened import Opened
from planner.telling.finding import names_of, pieces_of, place_says, rows_of, sentence, short_do, shown_name
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
            assert len({(each.rule, each.level, each.history) for each in row.findings}) == 1
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


#: A weekend's plan as a beginner writes it: kinds, and nothing of what lies between.
BARE = """up raise car sides: once
off strip pipe
mark mark joint
cut cut joint
fit fit-up joint
tack tack joint
weld weld joint
hold hold hanger
hanger-tack tack hanger
hanger-weld weld-bracket hanger
wire wire sensor
down lower car sides: once"""


def test_of_a_bare_plan_one_word_with_one_cure_is_one_row(tmp_path: Path) -> None:
    """A dozen steps want a dozen lines at most, though each piece and side has findings of its own."""
    one = OneBuild(
        write_build(tmp_path / "bare", BARE, pieces="{joint: {}, hanger: {}, sensor: {}, pipe: {}, car: {}}")
    )
    findings = [each for each in one.findings() if each.level != "notice"]
    rows = rows_of(findings)
    assert len(findings) > 24
    assert len(rows) <= 13
    cleaned = [row for row in rows if (row.first.condition or "").partition("@")[0].endswith(".cleaned")]
    assert [pieces_of(row) for row in cleaned] == [["joint", "hanger"]]
    debts = [row for row in rows if row.first.rule == "left-open"]
    due = [(row.first.at, (row.first.condition or "").rpartition(".")[2].partition("@")[0]) for row in debts]
    assert len(due) == len(set(due))
    _, said, _ = run("check", str(tmp_path / "bare"), "--no-repairs")
    assert sum(line.startswith(("TRAP", "GAP")) for line in said.splitlines()) == len(rows)
    assert all(each.id in said for each in findings)


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
