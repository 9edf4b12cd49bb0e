"""The torque table: every step of torque, with a box a side, the value and a blank for what the wrench said. Pure."""

from __future__ import annotations

from planner.paper.facts import Facts, NothingToPrintError
from planner.paper.ground.tree import Blank, Block, Column, Document, Row, Table, say, stack
from planner.paper.sheets import common
from planner.plan.expand import Operation

#: The kinds' words for bolts that wait for no wrench: torque, wheel nuts, bolts drawn down, and once more after a run.
TORQUED = frozenset({"torqued", "settled"})


def document(facts: Facts) -> Document:
    """The paper. Raises NothingToPrintError where nothing is torqued."""
    kinds = {
        name for name, kind in facts.one.plan.build.kinds.items() if any(ref.name in TORQUED for ref in kind.gives)
    }
    ops = [op for op in facts.operations() if op.step.kind in kinds]
    if not ops:
        raise NothingToPrintError("no step of this part of the build is of a kind that torques, such as torque")
    steps = list(dict.fromkeys(op.step.id for op in ops))
    rows = [_row(facts, [op for op in ops if op.step.id == step]) for step in steps]
    columns = (Column("Bolted", 4), *(Column(side, 2) for side in facts.sides))
    blocks: tuple[Block, ...] = (
        say("Tick when the wrench has clicked; write the value it was set to."),
        Table(columns, tuple(rows)),
        *common.caution_blocks(ops),
    )
    return facts.document("torque", "Torque table", blocks)


def _row(facts: Facts, ops: list[Operation]) -> Row:
    first = ops[0]
    side = first.side if facts.asked.side else None
    cells = [stack(common.step_words(facts, first, side), common.hold_words(first))]
    for side in facts.sides:
        mine = [op for op in ops if op.side in (side, None)]
        cells.append(stack(common.boxes(facts, mine), (Blank("set to", 16),), *common.blanks(first)) if mine else ())
    return Row(tuple(cells))
