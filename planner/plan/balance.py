"""Work that pulls, shared out between the sides; and steps whose kind, piece or wait comes to nothing."""

from __future__ import annotations

from collections.abc import Iterator

from planner.plan.expand import Plan
from planner.plan.model import Step
from planner.plan.pieces import Tree


def lopsided(plan: Plan) -> Iterator[tuple[str, Step, int | None]]:
    """Where work that pulls gets ahead on one side: operation or step, the step, and the rounds it should have."""
    build = plan.build
    tree = Tree(build.pieces, build.sides)
    worked: dict[str, set[str]] = {}
    for _, stage in plan.stages:
        for step in stage.steps:
            if step.kind is not None and step.piece is not None:
                worked.setdefault(step.kind, set()).add(step.piece)
    judged: dict[str, Step] = {}
    for _, stage in plan.stages:
        for step in stage.steps:
            kind = build.kinds.get(step.kind or "")
            least = None if kind is None else kind.least_rounds
            if least is None or step.piece is None or step.rework or step.once or not step.balanced:
                continue
            if len(step.sides) < 2 or (step.piece in build.pieces and not tree.one_body(step.piece)):
                continue
            if least.beside is not None and worked.get(least.beside, set()).isdisjoint(tree.within(step.piece)):
                continue
            if step.rounds * stage.rounds < least.rounds:
                yield step.id, step, least.rounds
            else:
                judged[step.id] = step
    counts: dict[str, dict[str, int]] = {}
    for op in plan.operations if judged else ():
        if op.step.id in judged and op.side is not None:
            mine = counts.setdefault(op.step.id, dict.fromkeys(op.step.sides, 0))
            mine[op.side] += 1
            if mine[op.side] - min(mine.values()) > 1:
                yield op.name, judged.pop(op.step.id), None


def idle(plan: Plan) -> Iterator[tuple[str, Step]]:
    """Steps that name an unknown piece, close nothing for want of a piece, or wait for nothing: rule and step."""
    build = plan.build
    asked = {link.step for _, stage in plan.stages for step in stage.steps for link in step.after}
    owed = {word.name for kind in build.kinds.values() for word in kind.words if word.owed}
    seen: set[str] = set()
    for _, stage in plan.stages:
        for step in stage.steps:
            if build.pieces and step.piece is not None and step.piece not in build.pieces and step.piece not in seen:
                seen.add(step.piece)
                yield "loose-piece", step
            kind = build.kinds.get(step.kind or "")
            if kind is not None and step.piece is None and any(ref.name in owed for ref in kind.gives):
                yield "no-piece", step
            if step.wait and not step.gives and step.rounds * stage.rounds == 1 and step.id not in asked:
                yield "no-wait", step
