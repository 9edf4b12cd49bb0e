"""Steps as rows of a job sheet: what is done, and boxes in the columns of the sides. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.paper.facts import Facts
from planner.paper.ground.tree import SMALL, STRONG, Block, Cell, Column, Para, Row, Text, say, stack
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


def caution_rows(facts: Facts, ops: Sequence[Operation]) -> list[Row]:
    """The cautions that the kinds of work bring, each once, with the kinds that it is for."""
    kinds = facts.one.plan.build.kinds
    found: dict[str, list[str]] = {}
    for name in dict.fromkeys(op.step.kind for op in ops if op.step.kind in kinds):
        for text in kinds[name or ""].cautions:
            if any(text in op.step.cautions for op in ops):
                found.setdefault(text, []).append(name or "")
    paras = [(Text(f"! {text}", STRONG), Text(f" ({', '.join(names)})", SMALL)) for text, names in found.items()]
    return [Row((stack(*paras),), strong=True)] if paras else []


def step_row(facts: Facts, ops: Sequence[Operation], clock: Para = ()) -> Row:
    """One step, what it is and its boxes: in the columns of its sides, or across them where it is done once."""
    op = ops[0]
    what = what_cell(facts, op, clock)
    if op.side is None:
        return Row((what, _boxes_cell(facts, ops)))
    by_side = {side: [each for each in ops if each.side == side] for side in facts.sides}
    return Row((what, *(_boxes_cell(facts, found) if found else _not_here(op) for found in by_side.values())))


def _not_here(op: Operation) -> Cell:
    return ((Text("– not on this side", SMALL),),) if op.step.named else ()


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
        (*head, *common.step_words(facts, op, None)),
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
    return stack(*common.own_numbers(facts, ops[0]), common.boxes(facts, ops), *moved, off)
