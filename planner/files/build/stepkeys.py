"""The keys of episodes, stages and steps, and what reads the value of each."""

from __future__ import annotations

from typing import Any

from yaml.events import ScalarEvent

from planner.files.build.fields import (
    Source,
    check_format,
    choice,
    duration,
    name,
    sequence,
    switch,
    text,
    texts,
    whole,
)
from planner.files.yaml.tree import Node, scalar
from planner.plan.model import SIDE_FIRST, STEP_FIRST

MAX_ROUNDS = 99


def _keep(_: Source, node: Node, __: str) -> Node:
    return node  # read once the step's sides and kind are known


def _numbers_or_texts(source: Source, node: Node, key: str) -> tuple[str, ...]:
    """A list of episode numbers or texts."""
    out = []
    for item in sequence(source, node, key):
        value = scalar(item) if isinstance(item, ScalarEvent) else None
        if isinstance(value, int) and not isinstance(value, bool):
            out.append(str(value))
        else:
            found = text(source, item, key)
            out += [found] if found is not None else []
    return tuple(out)


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
    "after": _keep,
    "setup": text,
    "time": duration,
    "wait": _keep,
    "one-way": switch,
    "rework": switch,
    "where": choice("shop", "desk"),
    "hands": whole(1, 20),
    "film": _keep,
    "shots": texts,
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
    "runtime": duration,
    "edit": duration,
    "refers-to": _numbers_or_texts,
    "promises": texts,
    "keeps": texts,
    "stages": _keep,
}
