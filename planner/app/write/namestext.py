"""Names of steps and conditions, numbers of episodes: where each is used, and what a new one changes. Pure."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping, Sequence
from typing import NamedTuple

from planner.files.editing.episodes import renumber
from planner.files.editing.names import rename_condition, rename_step
from planner.plan.expand import Plan
from planner.plan.names import renamed_op, step_of
from planner.plan.words import counted, is_condition_name, is_name, nearest
from planner.session.writing.desk import Task
from planner.telling.looks import Line, line

STEP, CONDITION = "step", "condition"


class Name(NamedTuple):
    """Something that can be called otherwise: a step or a condition of the build's own."""

    what: str
    name: str
    says: str
    low: str = ""  # all of it in small letters, to be looked through


def names_of(plan: Plan) -> list[Name]:
    """Every step, then every condition that the build itself declares."""
    steps = [
        _name(STEP, step.id, f"{episode.number}  {stage.title}  {step.do}")
        for episode, stage in plan.stages
        for step in stage.steps
    ]
    own = [c for c in plan.build.conditions.values() if not c.by_kind]
    return [*steps, *(_name(CONDITION, each.name, each.means) for each in own)]


def _name(what: str, name: str, says: str) -> Name:
    return Name(what, name, says, f"{what} {name} {says}".lower())


def matching(names: Sequence[Name], typed: str) -> list[Name]:
    """The names in which every word is found, those that begin with it first."""
    words = typed.lower().split()
    found = list(names)
    for word in words:
        found = [each for each in found if word in each.low]
    if not words:
        return found
    first = words[0]
    return [
        *(each for each in found if each.name.startswith(first)),
        *(each for each in found if not each.name.startswith(first)),
    ]


def uses_of(plan: Plan, name: Name) -> list[str]:
    """Where a name is written, besides where it is made."""
    return list(_step_uses(plan, name.name) if name.what == STEP else _condition_uses(plan, name.name))


def _step_uses(plan: Plan, step_id: str) -> Iterator[str]:
    for episode, stage in plan.stages:
        for step in stage.steps:
            if any(link.step == step_id for link in step.after):
                yield f"after: of {step.id}"
        listed = sum(1 for op in stage.sequence or () if step_of(op) == step_id)
        if listed:
            yield f"sequence: of {stage.title} in episode {episode.number}, {counted(listed, 'time')}"


def _condition_uses(plan: Plan, name: str) -> Iterator[str]:
    build = plan.build
    if any(each.partition("@")[0] == name for each in build.start):
        yield "start: of the build"
    if any(ref.name == name for group in build.on_camera for ref in group):
        yield "on-camera: of the build"
    for _, stage in plan.stages:
        for step in stage.steps:
            for key, refs in (("needs", step.needs), ("gives", step.gives), ("spoils", step.spoils)):
                if any(ref.name == name for ref in refs):
                    yield f"{key}: of {step.id}"


def wrong_name(name: Name, new: str, steps: Collection[str], conditions: Collection[str]) -> str:
    """Why something cannot be called so, given all names that are taken; nothing where it can."""
    if not new or new == name.name:
        return "type the new name"
    if name.what == STEP:
        if not is_name(new):
            return f"“{new}” is not an id for a step; use lower-case letters, digits and hyphens"
        if new in steps:
            return f"there is a step {new} already"
    else:
        if not is_condition_name(new):
            return f"“{new}” is not a name for a condition; lower-case letters, digits, hyphens; dots between words"
        if new in conditions:
            return f"there is a condition {new} already"
    return ""


def rename_task(name: Name, new: str) -> Task:
    """The edit that calls it otherwise everywhere; the ticks of a step follow."""
    says = f"the {name.what} {name.name} is now {new}"
    old = name.name
    if name.what == STEP:
        return Task(says, lambda texts: rename_step(texts, old, new), None, {old: new})
    return Task(says, lambda texts: rename_condition(texts, old, new))


def rename_lines(name: Name, new: str, uses: Sequence[str], ticked: Sequence[str]) -> list[Line]:
    """What a new name changes: where it is written, and the ticks that go over."""
    lines = [line((name.name, "strong"), "  →  ", (new or "…", "strong")), ()]
    lines.append(line(("changes ", "head"), "where it is made" + ("" if uses else "; it is named nowhere else")))
    lines += [line("        ", use) for use in uses]
    if name.what == STEP:
        names = {name.name: new or "…"}
        moved = [op for op in dict.fromkeys(ticked) if renamed_op(op, names) != op]
        if moved:
            lines.append(
                line(
                    ("ticks   ", "head"),
                    f"{counted(len(moved), 'tick')} goes over, by a line in the log"
                    if len(moved) == 1
                    else f"{len(moved)} ticks go over, by a line in the log",
                )
            )
            lines += [line("        ", op, "  →  ", renamed_op(op, names)) for op in moved]
    return lines


# Numbers of episodes


def numbers_after(present: Sequence[int], old: int, new: int) -> dict[int, int]:
    """Which episodes get which numbers when one gets another. Where that is taken it is moved there, and those
    between move up."""
    if old == new or old not in present:
        return {}
    if new not in present:
        return {old: new}
    order = [number for number in sorted(present) if number != old]
    order.insert(sorted(present).index(new), old)
    return {was: now for was, now in zip(order, sorted(present), strict=True) if was != now}


def wrong_number(typed: str, old: int) -> str:
    """Why an episode cannot have a number; nothing where it can."""
    if not (typed.isascii() and typed.isdigit() and 1 <= int(typed) <= 9999):
        return "type the new number, from 1 to 9999"
    return "type another number" if int(typed) == old else ""


def renumber_task(numbers: Mapping[int, int]) -> Task:
    """The edit that gives episodes other numbers, with every reference following."""
    says = "episodes renumbered: " + ", ".join(f"{old} is now {new}" for old, new in sorted(numbers.items()))
    return Task(says, lambda texts: renumber(texts, numbers))


def renumber_lines(plan: Plan, numbers: Mapping[int, int]) -> list[Line]:
    """What other numbers change."""
    lines: list[Line] = []
    for episode in plan.build.episodes:
        if episode.number in numbers:
            to = numbers[episode.number]
            lines.append(line((f"{episode.number} → {to}", "strong"), f"  {episode.title}"))
    for episode in plan.build.episodes:
        named = [int(n) for n in episode.refers_to if str(n).isdigit() and int(n) in numbers]
        if named:
            shown = ", ".join(f"{n} → {numbers[n]}" for n in named)
            lines.append(line(("follows ", "head"), f"refers-to: of {episode.title}: {shown}"))
    if lines:
        lines.append(line(("The number in the file's name follows too; ticks stay, since they name steps.", "dim")))
    return lines


def near_name(names: Sequence[Name], typed: str) -> str:
    """The nearest spelling of what was looked for."""
    near = nearest(typed, [each.name for each in names])
    return f"; did you mean {near}?" if near else ""
