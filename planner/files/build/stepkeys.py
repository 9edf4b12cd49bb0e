"""The keys of episodes, stages and steps, and what reads the value of each."""

from __future__ import annotations

from typing import Any

from planner.files.build.fields import (
    Source,
    check_format,
    choice,
    duration,
    name,
    switch,
    text,
    texts,
    whole,
)
from planner.files.yaml.tree import Node
from planner.plan.model import SIDE_FIRST, STEP_FIRST, Hold

MAX_ROUNDS = 99


def _keep(_: Source, node: Node, __: str) -> Node:
    return node  # read once the step's sides and kind are known


def _length(source: Source, node: Node, key: str) -> int | None:
    found = duration(source, node, key)
    if found == 0:
        source.refuse(node, f"{key}: a film of no length is none; write how long it is to run, or leave the key out")
    return found


def read_hold_of(source: Source, node: Node, _: str) -> Hold | None:
    """The limits of a hold point."""
    from planner.files.build.holds import read_hold  # few steps are hold points

    return read_hold(source, node)


STEP_KEYS: dict[str, Any] = {
    "step": name,
    "do": text,
    "kind": text,
    "piece": name,
    "sides": _keep,
    "why": text,
    "rounds": whole(1, MAX_ROUNDS),
    "turns": _keep,
    "first": _keep,
    "needs": _keep,
    "gives": _keep,
    "spoils": _keep,
    "without": _keep,
    "hold": read_hold_of,
    "after": _keep,
    "setup": text,
    "time": duration,
    "wait": _keep,
    "lasts": duration,
    "one-way": switch,
    "rework": switch,
    "where": choice("shop", "desk"),
    "hands": whole(1, 20),
    "reads": _keep,
    "film": _keep,
    "shots": _keep,
    "say": texts,
    "cautions": texts,
    "note": texts,
}
STAGE_KEYS: dict[str, Any] = {
    "stage": text,
    "pace": choice(STEP_FIRST, SIDE_FIRST),
    "rounds": whole(1, MAX_ROUNDS),
    "first": _keep,
    "film": _keep,
    "any-time": switch,
    "steps": _keep,
    "sequence": _keep,
}
EPISODE_KEYS: dict[str, Any] = {
    "format": check_format,
    "episode": whole(1, 9999),
    "title": text,
    "film": _keep,
    "publish": _keep,
    "runtime": _length,
    "edit": duration,
    "refers-to": _keep,
    "promises": _keep,
    "keeps": _keep,
    "corrects": _keep,
    "sponsors": _keep,
    "stages": _keep,
}
