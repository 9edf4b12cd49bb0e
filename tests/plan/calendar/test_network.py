"""The critical path against networkx, on a thousand random networks."""

from __future__ import annotations

import random

import networkx as nx

from planner.plan.calendar.network import network
from planner.plan.calendar.values import Job, Task


def test_lengths_and_floats_equal_the_longest_paths_of_networkx() -> None:
    """library: networkx dag_longest_path_length, through each task and over all."""
    chance = random.Random(6)
    for _ in range(1000):
        size = chance.randrange(1, 25)
        tasks = tuple(Task(f"t{i}", chance.randrange(0, 90), "shop", False, 1) for i in range(size))
        before = tuple(
            tuple((j, chance.choice([0, 0, 7, 500])) for j in range(i) if chance.random() < 0.15) for i in range(size)
        )
        found = network(Job(tasks, before))
        graph = nx.DiGraph()
        for index, task in enumerate(tasks):
            graph.add_edge(("in", index), ("out", index), weight=task.minutes)
            graph.add_edge("begin", ("in", index), weight=0)
            graph.add_edge(("out", index), "end", weight=0)
            for earlier, lag in before[index]:
                graph.add_edge(("out", earlier), ("in", index), weight=lag)
        assert found.length == nx.dag_longest_path_length(graph)
        index = chance.randrange(size)
        ahead = graph.subgraph(nx.ancestors(graph, ("in", index)) | {("in", index)})
        behind = graph.subgraph(nx.descendants(graph, ("in", index)) | {("in", index)})
        early, rest = nx.dag_longest_path_length(ahead), nx.dag_longest_path_length(behind)
        assert found.earliest[index] == early
        assert found.floats()[index] == found.length - early - rest
