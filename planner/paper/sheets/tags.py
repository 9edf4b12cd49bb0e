"""Tags for pieces: which build, which side, which end, what to keep. Pure."""

from __future__ import annotations

import re

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import NUMBER, SMALL, STRONG, Blank, Card, Cards, Document, Para, Text, Tick, say, stack
from planner.paper.sheets import common
from planner.plan.expand import Operation
from planner.plan.fill import JOB, references
from planner.telling.naming import title_of

_MOST = 3  # numbers on a tag
_KEEP = re.compile(r"\b(keep|kept)\b", re.IGNORECASE)  # what the build says of a piece that falls off and is not waste


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError where no step says which piece it is done to."""
    pieces: dict[tuple[str, str], list[Operation]] = {}
    for op in facts.operations():
        if op.step.piece:
            sides = (op.side,) if op.side is not None else _sides_of(facts, op.step.piece)
            for side in sides:
                if facts.asked.side in (None, side):
                    pieces.setdefault((op.step.piece, side), []).append(op)
    if not pieces:
        raise NothingToPrintError("no step of this part of the build names a piece")
    order = {name: index for index, name in enumerate(dict.fromkeys(name for name, _ in pieces))}
    sides = facts.one.plan.build.sides
    keys = sorted(pieces, key=lambda key: (order[key[0]], sides.index(key[1])))
    cards = tuple(_card(facts, name, side, pieces[name, side]) for name, side in keys)
    says = "Tie one to every piece as it comes off. Stamp or paint the side as well: paper burns."
    return facts.document("tags", "Tags for pieces", (say(says), Cards(cards, 2)))


def _sides_of(facts: Facts, name: str) -> tuple[str, ...]:
    """The sides on which a piece that is worked on once has a tag: where it exists."""
    piece = facts.one.plan.build.pieces.get(name)
    if piece is not None and piece.sides is not None:
        return piece.sides
    return facts.one.plan.build.sides


def _is_end(facts: Facts, name: str) -> bool:
    """Whether a side of the piece is an end of one body."""
    pieces = facts.one.plan.build.pieces
    at: str | None = name
    while at is not None and at in pieces:
        if pieces[at].one_body:
            return True
        at = pieces[at].inside
    return False


def _card(facts: Facts, name: str, side: str, ops: list[Operation]) -> Card:
    plan = facts.one.plan
    piece = plan.build.pieces.get(name)
    inside = f"part of {piece.inside}" if piece is not None and piece.inside else ""
    where = f"{side} {'end' if _is_end(facts, name) else 'side'}"
    kept = dict.fromkeys(
        condition.means
        for op in ops
        if op.step.one_way
        for ref in op.step.gives
        if (condition := plan.build.conditions.get(ref.name)) is not None and not condition.by_kind
        if _KEEP.search(f"{ref.name} {condition.means}")
    )
    open_now = sum(1 for op in ops if facts.one.live.is_open(op))
    lines: list[Para] = [
        (Text(name, STRONG),),
        (Text(" · ".join(each for each in (plan.build.name, inside) if each), SMALL),),
        *_numbers(facts, side, ops),
        *((Tick(False, f"KEEP: {text}"),) for text in kept),
        (Blank("keep", 50),),
        (Blank("came off", 20), Blank("lies", 25)),
        (Text(f"{open_now} of {len(ops)} operations on it to come", SMALL),),
    ]
    return Card(where.upper(), stack(*lines))


def _numbers(facts: Facts, side: str, ops: list[Operation]) -> list[Para]:
    numbers = facts.one.plan.build.numbers
    names = dict.fromkeys(each.name for op in ops for each in references(op.step.do))
    found: list[Para] = []
    for name in names:
        number = numbers.get(name) or {}
        mine = number.get(side) or number.get(JOB)
        if mine is not None and mine[0] is not None:
            word = common.exact(mine).rpartition(", ")[2]
            found.append((Text(common.short(mine), NUMBER), Text(f" {title_of(name)}, {word}", SMALL)))
    return found[:_MOST]
