"""The hot-work card: what to see to before the first spark, and until when somebody watches after the last. Pure.

Practice of hot-work permits as 29 CFR 1910.252 and NFPA 51B have it; what a site or an insurer asks for comes first.
"""

from __future__ import annotations

from collections.abc import Iterable

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import (
    SMALL,
    STRONG,
    Blank,
    Block,
    Caution,
    Column,
    Document,
    Heading,
    Para,
    Row,
    Table,
    Text,
    Tick,
    stack,
)
from planner.paper.sheets import common
from planner.plan.expand import Operation
from planner.plan.messages import split_grounded
from planner.plan.model import Kind
from planner.plan.stories import condition_of
from planner.plan.words import show_duration

#: What the card asks whatever the plan says: a box, what is seen to, and what is written beside it.
BEFORE: tuple[tuple[str, str], ...] = (
    ("Looked behind, below and inside: what is there?", "behind it"),
    ("Combustibles 35 ft (11 m) away or covered; floor swept", "covered with"),
    ("Tank, fuel and brake lines, hoses: moved, emptied and vented, or shielded", "how"),
    ("Battery off, electronics unplugged", "by"),
    ("Earth clamp by the weld, never through a bearing", "clamped at"),
    ("Extinguisher at hand, its gauge read", "kind, place"),
    ("Water or sand, way out free, somebody within call", "who"),
    ("Fresh air, fume drawn off; screens for whoever stands by", "how"),
)
WATCHED, COUPON = "watched", "coupon-good"


def is_hot(kind: Kind | None) -> bool:
    """Whether work of a kind makes sparks or flame, by what it spoils: somebody must watch after it."""
    if kind is None:
        return False
    return any(ref.name == WATCHED for ref in kind.spoils) or any(ref.name == COUPON for ref in kind.gives)


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError where nothing makes sparks."""
    plan = facts.one.plan
    kinds = plan.build.kinds
    ops = [op for op in facts.operations() if is_hot(kinds.get(op.step.kind or ""))]
    if not ops:
        raise NothingToPrintError("no step of this part of the build cuts, grinds, welds or heats")
    watches = [kinds[name].time for name in plan.kinds_giving.get(WATCHED, ()) if name in kinds]
    watch = next((each for each in watches if each), 3600)
    blocks: list[Block] = [
        Caution(
            "No spark before every box of the first list is ticked. This card is no permit: the site's rules count."
        ),
        Heading("Before", 2),
        _before(facts, ops),
        Heading("Work", 2),
        _work(facts, ops),
        Heading("After the last spark", 2),
        _after(watch),
        Heading("Cautions", 2),
        *common.caution_blocks(ops),
    ]
    which = "" if facts.asked.episode is None else f", episode {facts.asked.episode}"
    return facts.document("hot-work", f"Hot-work card{which}", tuple(blocks))


def _before(facts: Facts, ops: Iterable[Operation]) -> Table:
    rows = [Row((stack((Tick(False, says),)), stack((Blank(asks, 34),)))) for says, asks in BEFORE]
    for para in _conditions(facts, ops):
        rows.append(Row((stack(para),)))
    return Table((Column("See to", 3), Column("Write", 2)), tuple(rows))


def _conditions(facts: Facts, ops: Iterable[Operation]) -> list[Para]:
    """What the plan wants to hold before this work, ticked where it holds now on every side that is asked for."""
    one = facts.one
    filmed = {ref.name for ref in one.plan.build.on_camera.needs}
    found: dict[str, set[str]] = {}
    for op in ops:
        if one.live.is_open(op):
            for need in op.needs:
                name, side = split_grounded(condition_of(one.plan, need))
                if name in one.plan.build.conditions and name not in filmed:
                    found.setdefault(name, set()).add(side or "")
    made: list[Para] = []
    for name, where in found.items():
        condition = one.plan.build.conditions[name]
        word = condition.word.name if condition.word is not None else ""
        if word and word not in ("heat-safe", "dry", "vented", "arc-safe", "bare", COUPON):
            continue
        if not word and condition.piece is not None:
            continue
        holds = all(one.live.holds(f"{name}@{side}" if side else name) for side in where)
        sides = ", ".join(side for side in one.plan.build.sides if side in where)
        about = f" ({name}{': ' if sides else ''}{sides})"
        made.append((Tick(holds, condition.means), Text(about, SMALL)))
    return sorted(made, key=str)


def _work(facts: Facts, ops: list[Operation]) -> Table:
    rows: list[Row] = []
    steps = dict.fromkeys(op.step.id for op in ops)
    for step in steps:
        mine = [op for op in ops if op.step.id == step]
        what = stack(common.step_words(facts, mine[0], None), (Text(_about(mine[0]), SMALL),))
        boxes = []
        for side in facts.sides:
            here = [op for op in mine if op.side == side]
            boxes.append(stack(common.boxes(facts, here)))
        once = [op for op in mine if op.side is None]
        rows.append(Row((what, stack(common.boxes(facts, once))) if once else (what, *boxes)))
    return Table((Column("What makes sparks", 4), *(Column(side, 1.4) for side in facts.sides)), tuple(rows))


def _about(op: Operation) -> str:
    parts = [op.step.kind or "", f"on {op.step.piece}" if op.step.piece else "", op.step.id]
    return " · ".join(part for part in parts if part)


def _after(watch: int) -> Table:
    long = show_duration(watch)
    rows = (
        Row((stack((Blank("Last spark at", 24),)), stack((Blank("by", 40),)))),
        Row((stack((Text(f"Watch {long}", STRONG), Blank("ends at", 24))), stack((Blank("watched by", 40),)))),
        Row((stack((Tick(False, "Behind, below and inside looked at with a lamp"),)), stack((Blank("at", 24),)))),
        Row((stack((Tick(False, "Looked again before locking up"),)), stack((Blank("at", 24),)))),
        Row(
            (stack((Tick(False, "Gas shut off and vented, machine off, stubs in the tin"),)), stack((Blank("at", 24),)))
        ),
    )
    return Table((Column("", 3), Column("", 2)), rows)
