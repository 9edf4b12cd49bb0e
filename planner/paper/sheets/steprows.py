"""Steps as rows of a job sheet: what is done, and boxes in the columns of the sides. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.paper.facts import Facts
from planner.paper.ground.tree import LARGE, SMALL, STRONG, Block, Cell, Column, Para, Row, Text, say, stack
from planner.paper.sheets import common
from planner.plan.expand import Operation
from planner.plan.words import show_duration


def legend(facts: Facts) -> tuple[Block, ...]:
    """How the sheet is read."""
    ways = "a column a side; " if len(facts.sides) > 1 else ""
    says = f"Boxes: {ways}numbers beside them are rounds. OFF CAMERA: nobody films it, and it is owed all the same."
    return (say(says, SMALL),)


def columns(facts: Facts) -> tuple[Column, ...]:
    """What is done, and a column a side."""
    wide = 6 - min(2.5, 0.5 * len(facts.sides))
    return (Column("What", wide), *(Column(side, 1.7) for side in facts.sides))


def by_step(ops: Iterable[Operation]) -> list[list[Operation]]:
    """The operations of each step together, in the order in which the steps first come."""
    found: dict[str, list[Operation]] = {}
    for op in ops:
        found.setdefault(op.step.id, []).append(op)
    return list(found.values())


def caution_rows(facts: Facts, ops: Sequence[Operation], said: set[str]) -> list[Row]:
    """What the kind of a step warns of, as a row to stand above it: what was not ``said`` in this stage before."""
    kind = facts.one.plan.build.kinds.get(ops[0].step.kind or "")
    if kind is None:
        return []
    texts = [text for text in kind.cautions if text in ops[0].step.cautions and text not in said]
    said.update(texts)
    paras = [(Text(f"! {text}", STRONG), Text(f" ({kind.name})", SMALL)) for text in texts]
    return [Row((stack(*paras),), strong=True)] if paras else []


def step_row(facts: Facts, ops: Sequence[Operation], clock: Para = ()) -> Row:
    """One step, what it is and its boxes: in the columns of its sides, or across them where it is done once."""
    op = ops[0]
    what = what_cell(facts, op, clock)
    if op.side is None:
        return Row((what, _boxes_cell(facts, ops)))
    by_side = {side: [each for each in ops if each.side == side] for side in facts.sides}
    return Row(
        (what, *(_boxes_cell(facts, found) if found else _not_here(op, side) for side, found in by_side.items()))
    )


def _not_here(op: Operation, side: str) -> Cell:
    """An empty place says that it is meant: the step is not of this side, or not of this sheet."""
    return ((Text("– not on this sheet" if side in op.step.sides else "– not on this side", SMALL),),)


def what_cell(facts: Facts, op: Operation, clock: Para = ()) -> Cell:
    """What is done, its numbers, what it waits and holds for, who and where; its own cautions."""
    step = op.step
    kind = facts.one.plan.build.kinds.get(step.kind or "")
    own = [text for text in step.cautions if kind is None or text not in kind.cautions]
    head: Para = (Text("ONLY IF NEEDED: ", STRONG),) if step.rework else ()
    about = [
        "one-way: cannot be undone" if step.one_way else "",
        f"set-up {step.setup}" if step.setup else "",
        f"{step.hands} people" if step.hands > 1 else "",
        "at the desk" if step.where == "desk" else "",
        show_duration(step.time) if step.time else "",
        step.id,
    ]
    return stack(
        clock,
        (*head, *common.step_words(facts, op, None, LARGE)),
        *common.number_words(facts, op, None),
        *((Text(f"! {text}", STRONG),) for text in own),
        common.hold_words(op),
        common.wait_words(op),
        *((Text(note, SMALL),) for note in step.note),
        *((Text(f"why: {step.why}", SMALL),) for _ in ([1] if step.why else [])),
        (Text(" · ".join(each for each in about if each), SMALL),),
    )


def _boxes_cell(facts: Facts, ops: Sequence[Operation]) -> Cell:
    camera = {op.on_camera for op in ops}
    off: Para = (Text("OFF CAMERA", STRONG),) if camera == {False} else ()
    if len(camera) == 2:
        rounds = ", ".join(str(op.round) for op in ops if not op.on_camera)
        off = (Text(f"OFF CAMERA: {rounds}", STRONG),)
    moved = [
        (Text(f"▲ done to {each.then.shown}, now {each.now.shown}", SMALL),)
        for op in ops
        for each in facts.one.live.moved().get(op.name, ())
    ]
    return stack(*common.own_numbers(facts, ops[0]), common.boxes(facts, ops), *common.blanks(ops[0]), *moved, off)
