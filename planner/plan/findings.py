"""Everything wrong with an order, missing from it, or worth knowing, each with its cause and what to do."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from typing import NamedTuple
from zlib import crc32

from planner.plan import messages
from planner.plan.balance import idle, lopsided
from planner.plan.cycles import Circles, circles
from planner.plan.debts import open_debts
from planner.plan.expand import Operation, Plan
from planner.plan.fill import differing
from planner.plan.machine import Failure, machine_of
from planner.plan.messages import Said
from planner.plan.model import GAP, NOTICE, TRAP, Finding, Place
from planner.plan.names import is_passing
from planner.plan.stories import Givers, explain
from planner.plan.turns import TurnBreak, broken_turns, has_turns
from planner.plan.uncounted import Conditional, conditional, uncounted

_SIDE = re.compile("@[a-z0-9-]+")

#: Told once a build, however many steps it is about.
ONCE_A_BUILD = frozenset({"other-number"})

_LEVEL = {TRAP: 0, GAP: 1, NOTICE: 2}

LEVELS = {
    "never-given": GAP,
    "other-side": TRAP,
    "given-later": TRAP,
    "spoiled": TRAP,
    "gone-off": TRAP,
    "side-missed": TRAP,
    "turn-broken": TRAP,
    "after-broken": TRAP,
    "cycle": TRAP,
    "too-soon": TRAP,
    "left-open": TRAP,
    "moved-number": TRAP,
    "lopsided": TRAP,
    "ahead": NOTICE,
    "left-behind": NOTICE,
    "loose-piece": NOTICE,
    "no-piece": NOTICE,
    "no-wait": NOTICE,
    "other-number": NOTICE,
    "unused": NOTICE,
}


class LogFact(NamedTuple):
    """Something the ticks themselves show: ``too-soon``, ``ahead``, ``moved-number`` or ``left-behind``."""

    rule: str
    position: int | None  # in the order, where it is about an operation already ticked
    at: str
    condition: str | None
    cause: str | None
    says: Said


class Order(NamedTuple):
    """An order to judge: what was ticked, as it happened, then what remains, as planned."""

    operations: tuple[Operation, ...]
    ticked: int = 0
    facts: tuple[LogFact, ...] = ()


def planned(plan: Plan) -> Order:
    """The plan as written, with no ticks."""
    return Order(plan.operations)


def finding_id(rule: str, at: str, condition: str | None, cause: str | None) -> str:
    """A short name for a finding that stays the same while the rest of the build is edited."""
    text = "\n".join((rule, at, condition or "", cause or ""))
    return f"{crc32(text.encode()):08x}"


def group_of(rule: str, at: str, condition: str | None, cause: str | None) -> str:
    """The id formed with every side taken out: the same for findings that differ only in their side."""
    at, condition, cause = (_SIDE.sub("", each or "") for each in (at, condition, cause))
    return finding_id(rule, at, condition, cause)


def graver_first(findings: Iterable[Finding]) -> list[Finding]:
    """What stands before what is history, what cannot be undone first, then traps, gaps and notices as they come."""
    return sorted(findings, key=_gravity)  # Python's sort is stable: within a level findings stay as the walk met them


def _gravity(finding: Finding) -> tuple[bool, bool, int]:
    return finding.history, not (finding.one_way and finding.level == TRAP), _LEVEL[finding.level]


def check(plan: Plan, order: Order) -> list[Finding]:
    """All findings of an order: what cannot be undone first, then traps, gaps and notices as they come."""
    ops = order.operations
    failures, _ = machine_of(plan).walk(ops)
    knotted = Circles([], frozenset())
    if failures or plan.left_out:
        knotted = circles(plan, {(ops[each.position].name, each.fact or each.step or "") for each in failures})
        if knotted.links:  # what stands in a circle is said once, as that
            failures = [f for f in failures if (ops[f.position].name, f.fact or f.step) not in knotted.links]
    found = _needs(plan, order, failures)
    found = _with_debts(plan, order, found)
    found += _afters(plan, order, failures)
    if ops is not plan.operations or any(stage.sequence is not None for _, stage in plan.stages):
        found += _turns(plan, order, broken_turns(plan, ops))
    found += _sides(plan, order)
    found += _steps(plan)
    found += _circles(plan, knotted)
    found += [
        _finding(
            plan,
            ops,
            [fact.position] if fact.position is not None else [],
            fact.rule,
            fact.condition,
            fact.cause,
            fact.says,
            history=fact.position is not None and fact.position < order.ticked,
            at=fact.at,
        )
        for fact in order.facts
    ]
    if any(fact.rule == "moved-number" for fact in order.facts):
        found = [_cannot_be_redone(plan, rank, each) for rank, each in found]
    if plan.build.numbers:
        found += _numbers(plan, order)
    found += _unused(plan)
    found.sort(key=lambda f: (*_gravity(f[1]), f[0]))
    return _unique([finding for _, finding in found])


Found = tuple[int, Finding]  # where in the order, for sorting
_LAST = 1 << 60


def _unique(findings: list[Finding]) -> list[Finding]:
    """Tell apart the ids of findings alike in all that an id is made of: rework put in more than once."""
    seen: dict[str, int] = {}
    out = []
    for finding in findings:
        count = seen[finding.id] = seen.get(finding.id, 0) + 1
        out.append(finding if count == 1 else finding._replace(id=f"{finding.id}-{count}"))
    return out


def _finding(
    plan: Plan,
    ops: Sequence[Operation],
    indexes: Sequence[int],
    rule: str,
    condition: str | None,
    cause: str | None,
    says: Said,
    *,
    history: bool = False,
    at: str | None = None,
    place: Place | None = None,
) -> Found:
    """A finding about the operations at these indexes, or about ``at`` where there are none."""
    names = list(dict.fromkeys(ops[i].name for i in indexes))
    name = at if at is not None else names[0]
    if place is None:
        place = ops[indexes[0]].step.place if indexes else _place_of(plan, name)
    return (
        indexes[0] if indexes else _LAST,
        Finding(
            finding_id(rule, name, condition, cause),
            rule,
            LEVELS[rule],
            name,
            condition,
            cause,
            tuple(names[1:]),
            any(ops[i].step.one_way for i in indexes),
            history,
            place,
            str(says),
            group=group_of(rule, name, condition, cause),
            todo=says.todo,
        ),
    )


def _cannot_be_redone(plan: Plan, rank: int, finding: Finding) -> Found:
    """A number that moved under work which cannot be undone is one-way, though it fails at no need."""
    op = plan.by_name.get(finding.at) if finding.rule == "moved-number" else None
    return rank, finding._replace(one_way=True) if op is not None and op.step.one_way else finding


def _place_of(plan: Plan, name: str) -> Place | None:
    op = plan.by_name.get(name)
    return op.step.place if op is not None else None


def _needs(plan: Plan, order: Order, failures: Sequence[Failure]) -> list[Found]:
    ops = order.operations
    if not any(failure.fact for failure in failures):
        return []
    stories, givers = explain(plan, ops, failures)
    groups: dict[tuple[str, str, int | None, bool], list[int]] = {}
    for (index, condition), story in stories.items():
        groups.setdefault((condition, story.rule, story.cause, index < order.ticked), []).append(index)
    found = []
    hanging = conditional(ops)
    for (condition, told, undid, history), indexes in groups.items():
        lacking = stories[indexes[0], condition].open_facts
        rule, cause = told, undid
        if undid is not None and is_passing(ops[undid].name):
            rule, cause = "gone-off", _gave(givers, lacking, ops, undid)
        name = None if cause is None else ops[cause].name
        pieces = tuple([plan.parts[fact].piece for fact in lacking if fact in plan.parts])
        giving = sorted({i for fact in lacking for i in givers.get(fact, ())})
        says = messages.need(plan, ops, indexes, condition, rule, cause, giving, lacking)
        says = _not_counted(plan, ops, hanging, says, lacking or (condition,), undid, indexes[0])
        rank, finding = _finding(plan, ops, indexes, rule, condition, name, says, history=history)
        found.append((rank, finding._replace(parts=pieces)))
    return found


def _not_counted(
    plan: Plan, ops: Sequence[Operation], hanging: Conditional, says: Said, facts: Sequence[str], since: int | None,
    until: int,
) -> Said:  # fmt: skip
    """What a finding says, with the operation that was done in between and proved nothing."""
    vain = uncounted(hanging, facts, None if since is None or since >= until else since, until) if hanging else None
    return says if vain is None else messages.not_counted(plan, ops[vain], says)


def _gave(givers: Givers, facts: Sequence[str], ops: Sequence[Operation], gone: int) -> int | None:
    """Who gave what had gone by then."""
    fact = next((each for each in facts if each in ops[gone].spoils), None)
    gave = [i for i in givers.get(fact or "", ()) if i < gone and not is_passing(ops[i].name)]
    return max(gave, default=None)


def _with_debts(plan: Plan, order: Order, found: list[Found]) -> list[Found]:
    """The findings with the debts that are open when due; one that an operation fails for too goes into its also."""
    ops = order.operations
    known = {(finding.condition, finding.cause): index for index, (_, finding) in enumerate(found)}
    hanging: Conditional | None = None
    for debt in open_debts(plan, ops, order.ticked):
        cause = None if debt.cause is None else ops[debt.cause]
        key = (debt.condition, None if cause is None else cause.name)
        if key in known and debt.at.startswith("("):  # an operation in `also` would be one that needs it
            rank, finding = found[known[key]]
            if debt.at not in (finding.at, *finding.also):
                found[known[key]] = (rank, finding._replace(also=(*finding.also, debt.at)))
            continue
        name = debt.condition.partition("@")[0]
        piece = plan.build.pieces.get(name.rpartition(".")[0])
        place = (
            cause.step.place
            if cause is not None
            else plan.build.end.get(debt.condition) or (piece.place if piece is not None else None)
        )
        parts = tuple([plan.parts[fact].piece for fact in debt.facts if fact in plan.parts])
        says = messages.left_open(plan, debt.condition, parts, key[1], debt.at)
        if debt.at.startswith("("):
            hanging = conditional(ops) if hanging is None else hanging
            says = _not_counted(plan, ops, hanging, says, debt.facts, debt.cause, len(ops))
        _, finding = _finding(
            plan, (), [], "left-open", debt.condition, key[1], says, history=debt.history, at=debt.at, place=place
        )
        known.setdefault(key, len(found))
        found.append((debt.position, finding._replace(parts=parts)))
    return found


def _steps(plan: Plan) -> list[Found]:
    found = [
        _finding(plan, (), [], "lopsided", None, None, messages.lopsided(at, step, least), at=at, place=step.place)
        for at, step, least in lopsided(plan)
    ]
    found += [
        _finding(plan, (), [], rule, None, None, messages.idle(plan, rule, step), at=step.id, place=step.place)
        for rule, step in idle(plan)
    ]
    return found


def _afters(plan: Plan, order: Order, failures: Sequence[Failure]) -> list[Found]:
    ops = order.operations
    groups: dict[tuple[str, str, bool], list[int]] = {}
    for index, _, step, _ in failures:
        if step is not None:
            groups.setdefault((ops[index].step.id, step, index < order.ticked), []).append(index)
    return [
        _finding(plan, ops, indexes, "after-broken", None, step, messages.after(ops, indexes, step), history=history)
        for (_, step, history), indexes in groups.items()
    ]


def _turns(plan: Plan, order: Order, breaks: Iterable[TurnBreak]) -> list[Found]:
    ops = order.operations
    groups: dict[tuple[str, str, bool], list[int]] = {}
    for index, cause in breaks:
        groups.setdefault((ops[index].step.id, cause, index < order.ticked), []).append(index)
    return [
        _finding(plan, ops, indexes, "turn-broken", None, cause, messages.turn(ops, indexes, cause), history=history)
        for (_, cause, history), indexes in groups.items()
    ]


def _sides(plan: Plan, order: Order) -> list[Found]:
    found = []
    for _, stage in plan.stages:
        for step in stage.steps:
            if step.named and step.why is None and len(step.sides) < len(plan.build.sides):
                missing = [side for side in plan.build.sides if side not in step.sides]
                says = messages.side_missed(step, missing)
                rank, finding = _finding(plan, (), [], "side-missed", None, None, says, at=step.id, place=step.place)
                found.append((rank, finding._replace(one_way=step.one_way)))
    ticked = {op.name for op in order.operations[: order.ticked]}
    for op in plan.left_out:
        if op.name not in ticked:
            says = messages.left_out(op, plan.stages[op.stage][1].title)
            rank, finding = _finding(plan, (), [], "side-missed", None, None, says, at=op.name, place=op.step.place)
            found.append((rank, finding._replace(one_way=op.step.one_way)))
    return found


def _circles(plan: Plan, knotted: Circles) -> list[Found]:
    if not knotted.found:
        return []
    steps = {step.id: step for _, stage in plan.stages for step in stage.steps}
    found = []
    for circle, by_need in knotted.found:
        at, says = circle[0], messages.circle(circle, by_need=by_need)
        rank, finding = _finding(plan, (), [], "cycle", None, None, says, at=at, place=steps[at].place)
        found.append((rank, finding._replace(one_way=any(steps[each].one_way for each in circle))))
    return found


def _numbers(plan: Plan, order: Order) -> list[Found]:
    """Steps that use a number which differs between the sides; history once the step is done everywhere."""
    numbers, sides = plan.build.numbers, plan.build.sides
    remaining = {op.step.id for op in order.operations[order.ticked :]}
    ticked = {op.step.id for op in order.operations[: order.ticked]}
    found = []
    for _, stage in plan.stages:
        for step in stage.steps:
            names = differing(step.do, numbers, sides) if "{" in step.do else ()
            if names:
                says = messages.other_number(step, names, sides)
                history = step.id in ticked and step.id not in remaining
                found.append(
                    _finding(
                        plan, (), [], "other-number", None, None, says, history=history, at=step.id, place=step.place
                    )
                )
    return found


def _unused(plan: Plan) -> list[Found]:
    build = plan.build
    used = {ref.name for ref in build.on_camera.needs}
    for _, stage in plan.stages:
        for step in stage.steps:
            used.update([ref.name for ref in (*step.needs, *step.shot_needs)])
    return [
        _finding(plan, (), [], "unused", None, None, messages.unused(item), at=name, place=item.place)
        for name, item in build.conditions.items()
        if not item.by_kind and name not in used
    ]


__all__ = ["LogFact", "Order", "check", "finding_id", "has_turns", "planned"]
