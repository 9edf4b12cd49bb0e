"""The number that the reading of a step is."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from planner.files.build.fields import Source, text
from planner.files.yaml.tree import Node
from planner.plan.model import Reads


def reads_in_hold(
    source: Source,
    node: Node,
    stated: Reads | None,
    once: bool,
    known: Mapping[str, bool] | None,
    sides: Sequence[str],
) -> Reads | None:
    """The number that a hold's reading is (``reads:`` within ``hold:``), which is that of its step."""
    found = reads_of(source, node, once, known, sides)
    if stated is not None and found is not None and found != stated:
        source.refuse(node, f"hold: reads: the step reads {stated.name}; one reading is one number, so write it once")
    return stated or found


def reads_of(
    source: Source, node: Node, once: bool, known: Mapping[str, bool] | None, sides: Sequence[str]
) -> Reads | None:
    """The number that a step reads: known, and one for each doing of the step.

    ``known`` says of every number whether it has sides; None: there is no numbers.yaml.
    """
    written = text(source, node, "reads")
    if written is None:
        return None
    name, at, side = written.partition("@")
    if known is None:
        source.refuse(node, f"reads: there is no number {name}, since the build has no numbers.yaml")
    elif name not in known:
        source.unknown(node, f"reads: there is no number {name} in numbers.yaml", name, known)
    elif at and side not in sides:
        source.unknown(node, f"reads: there is no side “{side}”", side, sides)
    elif at and not once:
        source.refuse(node, f"reads: a step done on each side reads its own number; write {name}")
    elif once and known[name] and not at:
        source.refuse(node, f"reads: {name} is another number on each side; write {name}@{sides[0]}")
    elif not known[name] and (at or not once):
        says = f"reads: the whole job has {name} once; write {name}, in a step with sides: once"
        source.refuse(node, says)
    else:
        return Reads(name, side or None)
    return None
