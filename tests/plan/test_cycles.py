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
    found = circles(plan_of(tmp_path))
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
