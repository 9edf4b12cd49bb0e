"""What is wrong with pieces, debts and a build's own kinds is one located line each, with the nearest known name."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.plan.builds import write
from tests.support.commandline import run_json

STEP = "  - stage: One\n    steps:\n      - {step: weld, do: x, kind: weld, piece: joint}\n"


@pytest.mark.parametrize(
    ("job", "line", "says"),
    [
        ("pieces:\n  joint: {in: tube}\n  tube: {in: joint}\n", 5, "runs in a circle"),
        ("pieces:\n  joint: {in: joint}\n", 5, "runs in a circle"),
        ("pieces:\n  joint: {not-yet: [drye]}\n", 5, "no kind declares the word drye; did you mean dry?"),
        ("pieces:\n  joint: {sides: [drivr]}\n", 5, "there is no side drivr; did you mean driver?"),
        ("pieces:\n  joint: {one-body: yes}\n", 5, "one-body: must be true or false"),
        ("pieces:\n  joint: {onebody: true}\n", 5, "onebody"),
        ("conditions: {a.ok: {kept: job, means: x}}\nend: [a.ok]\n", 5, "no step gives it"),
        ("end: [a.okk]\n", 4, "no condition a.okk"),
        ("kinds: {tack: {also-spoils: [fixed]}}\n", 4, "spoils fixed, which it needs itself"),
        ("kinds: {weld: {also-needs: [joint.nothing]}}\n", 4, "no condition joint.nothing is declared"),
        ("kinds: {weld: {least-rounds: 0}}\n", 4, "least-rounds: must be a whole number from 1 to 99"),
        ("kinds: {weld: {least-rounds: {rounds: 2, with: wled}}}\n", 4, "there is no kind wled; did you mean weld?"),
        ("kinds: {weld: {counts-when: [colld]}}\n", 4, "no kind declares the word colld; did you mean cool?"),
        ("pieces:\n  seal: {in: join}\n", 5, "no step works on a piece join; did you mean joint?"),
        (
            "kinds: {weld: {words: {x: {kept: side, means: x, whole: true, where-given: true}}}}\n",
            4,
            "where-given goes with neither whole nor owed",
        ),
        ("kinds: {weld: {used-up: [nope]}}\n", 4, "no kind declares the word nope"),
    ],
)
def test_each_is_one_located_line(tmp_path: Path, job: str, line: int, says: str) -> None:
    code, answer = run_json("check", str(write(tmp_path, STEP, job=job)))
    assert code == 2
    found = [each for each in answer["problems"] if says in each["message"]]
    assert len(found) == 1 and len(answer["problems"]) == 1, answer["problems"]
    assert found[0]["path"].endswith("build.yaml") and found[0]["line"] == line and found[0]["column"] >= 3
    assert "\n" not in found[0]["message"]


def test_a_side_on_which_a_piece_is_not(tmp_path: Path) -> None:
    steps = STEP.replace("piece: joint", "piece: joint, sides: [passenger], why: y")
    folder = write(tmp_path, steps, job="pieces: {joint: {sides: [driver]}}\n")
    code, answer = run_json("check", str(folder))
    assert code == 2
    (problem,) = answer["problems"]
    assert "joint is on driver only" in problem["message"] and problem["path"].endswith("01-part.yaml")


def test_a_zone_that_does_not_exist_is_told_once(tmp_path: Path) -> None:
    folder = write(tmp_path / "zone", STEP, job="shop: {timezone: Europe/Lisbn}\n")
    episode = next((folder / "episodes").iterdir())
    episode.write_text(episode.read_text().replace("stages:", "publish: 2027-03-01 18:00\nstages:", 1))
    code, out = run_json("check", str(folder))
    assert code == 2
    assert [problem["message"].partition(";")[0] for problem in out["problems"]] == [
        "timezone: there is no zone “Europe/Lisbn”"
    ]
