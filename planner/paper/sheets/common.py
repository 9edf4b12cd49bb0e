"""What several papers say in the same words: steps with their numbers, holds, waits, cautions, boxes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.paper.facts import Facts
from planner.paper.ground.tree import NUMBER, Blank, Block, Caution, Inline, Para, Text, Tick
from planner.plan.expand import Operation
from planner.plan.fill import Number, filled
from planner.plan.words import show_duration

_OPEN, _CLOSE = "\x02", "\x03"  # around a number while a text is filled; plan files hold neither


def told(number: Number) -> str:
    """A number with its ± and whether it was measured."""
    word = "measured" if len(number) == 4 and number[3] else "planned"
    return number[1] if word in number[1] else f"{number[1]} {word}"


def step_words(facts: Facts, op: Operation, side: str | None) -> Para:
    """What a step says is to be done on a side (None: on all), each number large and never broken."""
    build = facts.one.plan.build
    text = filled(op.step.do, build.numbers, side, build.sides, lambda each: f"{_OPEN}{each[1]}{_CLOSE}")
    parts: list[Inline] = []
    for count, piece in enumerate(text.replace(_OPEN, _CLOSE).split(_CLOSE)):
        if piece:
            parts.append(Text(piece, NUMBER) if count % 2 else Text(piece))
    return tuple(parts)


def boxes(facts: Facts, ops: Sequence[Operation]) -> Para:
    """A box for each operation, ticked where it is done; rounds by their number."""
    return tuple(
        Tick(not facts.one.live.is_open(op), "" if op.round is None else str(op.round))
        for op in sorted(ops, key=lambda each: each.round or 0)
    )


def hold_words(op: Operation) -> Para:
    """A hold point: a blank for the reading and the limit beside it."""
    if op.step.hold is None:
        return ()
    return (Blank("HOLD, reading", 24), Text(f"limit {op.step.hold.says}"))


def wait_words(op: Operation) -> Para:
    """A wait: how long, and a blank for the clock."""
    if not op.step.wait:
        return ()
    return (Text(f"WAIT {show_duration(op.step.wait)}"), Blank("until", 18))


def cautions(ops: Iterable[Operation]) -> tuple[Block, ...]:
    """The cautions of these operations, each once."""
    return tuple(Caution(text) for text in dict.fromkeys(each for op in ops for each in op.step.cautions))
