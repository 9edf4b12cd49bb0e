"""Circles of ``after`` links, against networkx (its simple_cycles on the same graph)."""

from __future__ import annotations

import random
from pathlib import Path

import networkx as nx
import pytest

from planner.plan.cycles import circles
from tests.plan.builds import findings, plan_of, write


@pytest.mark.parametrize("seed", range(40))
def test_circles_are_those_of_networkx(tmp_path: Path, seed: int) -> None:
    rng = random.Random(seed)
    ids = [f"s{number}" for number in range(rng.randint(2, 7))]
    graph = nx.DiGraph()
    lines = ["  - stage: One", "    steps:"]
    for name in ids:
        links = rng.sample(ids, rng.choice((0, 0, 1, 1, 2)) if len(ids) > 1 else 0)
        graph.add_edges_from((name, link) for link in links)
        lines.append(f"      - {{step: {name}, do: x, after: [{', '.join(links)}]}}")
    write(tmp_path, "\n".join(lines) + "\n")
    found = [circle.steps for circle in circles(plan_of(tmp_path)).found]
    expected = {frozenset(cycle) for cycle in nx.simple_cycles(graph)}
    assert {frozenset(circle) for circle in found} <= expected
    knots = [part for part in nx.strongly_connected_components(graph)
             if len(part) > 1 or graph.has_edge(*(list(part) * 2))]  # fmt: skip
    for knot in knots:  # every knot of circles is named by at least one of its circles
        assert any(set(circle) <= knot for circle in found)
    for circle in found:  # each link named is really there
        assert all(graph.has_edge(one, other) for one, other in zip(circle, circle[1:] + circle[:1], strict=True))


def test_a_circle_is_named_in_the_finding(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: cut, do: x, after: [weld]}
      - {step: fit, do: x, after: [cut]}
      - {step: weld, do: x, after: [fit]}
""",
    )
    circle = next(f for f in findings(tmp_path) if f["rule"] == "cycle")
    assert circle["at"] == "cut"
    assert circle["level"] == "trap"
    assert "cut, which comes after weld, which comes after fit, which comes after cut" in circle["says"]


def test_own_links_between_steps_that_share_no_side_make_no_circle(tmp_path: Path) -> None:
    write(
        tmp_path,
        """
  - stage: One
    steps:
      - {step: a, do: x, sides: [driver], why: y, after: [b@own]}
      - {step: b, do: x, sides: [passenger], why: y, after: [a@own]}
""",
    )
    assert findings(tmp_path) == []


NEEDS = """
  - stage: One
    steps:
      - {step: cut, do: x, needs: [b.ok], gives: [a.ok]}
      - {step: fit, do: x, needs: [a.ok], gives: [c.ok]}
      - {step: weld, do: x, needs: [c.ok], gives: [b.ok]MORE}
"""
OKS = "conditions: {a.ok: {kept: side, means: x}, b.ok: {kept: side, means: y}, c.ok: {kept: side, means: z}}\n"


def test_needs_that_only_the_next_can_give_are_a_circle_named_once(tmp_path: Path) -> None:
    found = findings(write(tmp_path, NEEDS.replace("MORE", ""), job=OKS))
    (circle,) = found  # and no need of it is said again
    assert (circle["rule"], circle["level"], circle["at"]) == ("cycle", "trap", "cut")
    assert circle["condition"] is None and circle["cause"] is None and circle["repair"] is None
    assert "cut, which waits for weld, which waits for fit, which waits for cut" in circle["says"]


@pytest.mark.parametrize(
    ("job", "more", "extra"),
    [
        (OKS + "start: [b.ok]\n", "", ""),  # it holds when the build begins
        (OKS, "", "      - {step: other, do: x, gives: [b.ok]}\n"),  # another step gives it too
        (OKS.replace("start", ""), ", sides: [driver], why: z", ""),  # on the passenger side nothing waits
    ],
)
def test_what_is_no_circle_of_needs(tmp_path: Path, job: str, more: str, extra: str) -> None:
    found = findings(write(tmp_path, NEEDS.replace("MORE", more) + extra, job=job))
    on_passenger = [f for f in found if f["rule"] != "cycle" and f["at"] == "cut@passenger"]
    assert (not [f for f in found if f["rule"] == "cycle"]) or (more and on_passenger)


def test_a_circle_of_one_and_rework_apart(tmp_path: Path) -> None:
    alone = """
  - stage: One
    steps:
      - {step: fit, do: x, needs: [a.ok], gives: [a.ok]}
      - {step: mend, do: x, rework: true, gives: [a.ok]}
"""
    job = "conditions: {a.ok: {kept: side, means: x}}\n"
    (circle,) = findings(write(tmp_path, alone, job=job))
    assert (circle["rule"], circle["at"]) == ("cycle", "fit")
    assert "fit needs what only fit itself gives" in circle["says"]
    put_in = alone + "    sequence: [mend@driver, mend@passenger, fit@driver, fit@passenger]\n"
    assert findings(write(tmp_path / "in", put_in, job=job)) == []


def test_a_circle_through_a_step_that_is_complete_only_with_all_its_rounds(tmp_path: Path) -> None:
    text = """
  - stage: One
    steps:
      - {step: tack, do: x, rounds: 2, sides: once, gives: [a.ok]}
      - {step: check, do: x, sides: once, needs: [a.ok], gives: [b.ok]}
      - {step: more, do: x, sides: once, after: [check], gives: [c.ok]}
      - {step: last, do: x, sides: once, needs: [c.ok]}
"""
    job = OKS.replace("kept: side", "kept: job")
    assert not [f for f in findings(write(tmp_path, text, job=job)) if f["rule"] == "cycle"]
    knotted = text.replace("rounds: 2, sides: once,", "rounds: 2, sides: once, needs: [c.ok],")
    (circle,) = [f for f in findings(write(tmp_path / "knot", knotted, job=job)) if f["level"] == "trap"]
    assert circle["rule"] == "cycle" and circle["at"] == "tack"
