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
from planner.files.plankeys import (
    DURATION,
    EPISODE_ROWS,
    NAME,
    STAGE_ROWS,
    STEP_ROWS,
    SWITCH,
    TEXT,
    TEXTS,
    Field,
    wanted_in,
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


_BY_SORT: dict[str, Any] = {NAME: name, TEXT: text, TEXTS: texts, DURATION: duration, SWITCH: switch}
#: What reads otherwise than its sort says, or later, once sides and kinds are known.
_STEP: dict[str, Any] = {
    "kind": text,
    "rounds": whole(1, MAX_ROUNDS),
    "hands": whole(1, 20),
    "where": choice("shop", "desk"),
    "hold": read_hold_of,
    "wait": _keep,  # a duration, or a number to wait for
    "reads": _keep,
    "shots": _keep,
}
_STAGE: dict[str, Any] = {"pace": choice(STEP_FIRST, SIDE_FIRST), "rounds": whole(1, MAX_ROUNDS)}
_EPISODE: dict[str, Any] = {
    "format": check_format,
    "episode": whole(1, 9999),
    "publish": _keep,
    "runtime": _length,
    **dict.fromkeys(("promises", "keeps", "corrects", "sponsors"), _keep),
}


def _readers(rows: tuple[Field, ...], own: dict[str, Any]) -> dict[str, Any]:
    return {row.key: own.get(row.key) or _BY_SORT.get(row.sort, _keep) for row in rows}


STEP_KEYS, STAGE_KEYS, EPISODE_KEYS = (
    _readers(STEP_ROWS, _STEP),
    _readers(STAGE_ROWS, _STAGE),
    _readers(EPISODE_ROWS, _EPISODE),
)
#: What must be there.
STEP_WANTED, STAGE_WANTED, EPISODE_WANTED = wanted_in(STEP_ROWS), wanted_in(STAGE_ROWS), wanted_in(EPISODE_ROWS)
