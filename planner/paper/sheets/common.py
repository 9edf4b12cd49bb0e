"""What several papers say in the same words: steps with their numbers, holds, waits, cautions, boxes."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.paper.facts import Facts
from planner.paper.ground.tree import NUMBER, PLAIN, SMALL, STRONG, Blank, Block, Caution, Inline, Para, Text, Tick
from planner.plan.expand import Operation
from planner.plan.fill import JOB, Number, differs, filled, references
from planner.plan.messages import split_grounded
from planner.plan.words import show_duration
from planner.telling.naming import title_of

_OPEN, _CLOSE = "\x02", "\x03"  # around a number while a text is filled; plan files hold neither
_WORDS = ("planned ", "measured ")


def bare(number: Number) -> str:
    """A number as it is shown, without the word in front that says whether it was measured."""
    for word in _WORDS:
        if number[1].startswith(word):
            return number[1].removeprefix(word)
    return number[1]


def short(number: Number) -> str:
    """The one form of a number that the shop uses: ``3 1/2 in`` of ``3 1/2 in (88.90 mm) ± 0.01 in``."""
    return bare(number).partition(" (")[0].partition(" ±")[0]


def exact(number: Number) -> str:
    """All of a number: with its exact value, its ±, and whether it is planned or measured; words are just that."""
    if number[0] is None:
        return bare(number)
    word = "measured" if len(number) == 4 and number[3] else "planned"
    return f"{bare(number)}, {word}"


def step_words(facts: Facts, op: Operation, side: str | None, look: str = PLAIN) -> Para:
    """What a step says is to be done on a side (None: on all of them); no number is broken over two lines.

    A number is large where it is the one number of this step; where each side has another, it is not.
    """
    build = facts.one.plan.build
    text = filled(op.step.do, build.numbers, side, build.sides, lambda each: f"{_OPEN}{short(each)}{_CLOSE}")
    apart = side is None and any(
        differs(build.numbers.get(each.name) or {}, build.sides) for each in references(op.step.do) if not each.side
    )
    parts: list[Inline] = []
    for count, piece in enumerate(text.replace(_OPEN, _CLOSE).split(_CLOSE)):
        if piece:
            whole = Text(piece.replace(" ", "\u00a0"), STRONG) if apart else Text(piece, NUMBER)
            parts.append(whole if count % 2 else Text(piece, look))
    return tuple(parts)


def number_words(facts: Facts, op: Operation, side: str | None) -> list[Para]:
    """Every number of a step in full: of a side, or (None) of the whole job and of all sides alike."""
    build = facts.one.plan.build
    found: dict[Para, None] = {}
    for each in references(op.step.do):
        number = build.numbers.get(each.name) or {}
        if JOB in number:
            mine = number[JOB] if side is None else None
        elif differs(number, build.sides):
            mine = number.get(each.side or side or "")
        else:
            mine = next(iter(number.values()), None) if side is None else None
        if mine is not None:
            found[(Text(f"{title_of(each.name)}: {exact(mine)}", SMALL),)] = None
    return list(found)


def own_numbers(facts: Facts, op: Operation) -> list[Para]:
    """The numbers of a step that are other numbers on another side, large, for the column of this side."""
    build = facts.one.plan.build
    if op.side is None:
        return []
    found: list[Para] = []
    for name in dict.fromkeys(each.name for each in references(op.step.do) if each.side is None):
        number = build.numbers.get(name) or {}
        if differs(number, build.sides) and op.side in number:
            found.append((Text(short(number[op.side]), NUMBER),))
    return [*found, *number_words(facts, op, op.side)]


def boxes(facts: Facts, ops: Sequence[Operation]) -> Para:
    """A box for each operation, ticked where it is done; rounds by their number."""
    live = facts.one.live
    ordered = sorted(ops, key=lambda each: each.round or 0)
    alone = "once" if len(facts.one.plan.build.sides) > 1 else ""
    return tuple(
        Tick(not live.is_open(op), str(op.round) if op.round is not None else alone if op.side is None else "")
        for op in ordered
    )


def hold_words(op: Operation) -> Para:
    """That a step is a hold point, and its limit."""
    return () if op.step.hold is None else (Text(f"HOLD: {op.step.hold.says}", STRONG),)


def wait_words(op: Operation) -> Para:
    """How long a step is waited for."""
    return (Text(f"WAIT {show_duration(op.step.wait)}", STRONG),) if op.step.wait else ()


def blanks(op: Operation) -> tuple[Para, ...]:
    """What is written beside the boxes of a side: its reading at a hold point, and until when it is waited for."""
    reading: Para = (Blank("reading", 15),) if op.step.hold is not None else ()
    return reading, (Blank("until", 16),) if op.step.wait else ()


def caution_blocks(ops: Iterable[Operation]) -> tuple[Block, ...]:
    """The cautions of these operations, each once."""
    return tuple(Caution(text) for text in dict.fromkeys(each for op in ops for each in op.step.cautions))


def debt_words(facts: Facts, names: Iterable[str]) -> list[Para]:
    """Debts in their own words, each said once behind a box, with what it is about and on which sides."""
    known = facts.one.plan.build.conditions
    found: dict[str, dict[str, list[str]]] = {}
    for each in names:
        name, side = split_grounded(each)
        means = known[name].means if name in known else name
        found.setdefault(means, {}).setdefault(name, []).extend([side] if side else [])
    return [
        (Tick(False, means), Text(f" ({'; '.join(_spot(name, sides) for name, sides in about.items())})", SMALL))
        for means, about in found.items()
    ]


def _spot(name: str, sides: Sequence[str]) -> str:
    return f"{name}{': ' if sides else ''}{', '.join(sides)}"
