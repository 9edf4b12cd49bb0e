"""A key in full: what it is for, its whole value, what it brings and what its names mean. Pure."""

from __future__ import annotations

from planner.files.plankeys import AFTER, REFS, TEXTS, Field
from planner.files.yaml.places import Value
from planner.plan.expand import Plan
from planner.plan.fill import filled, references
from planner.session.writing.choices import kind_facts
from planner.session.writing.fields import as_typed, names_of, value_at
from planner.session.writing.targets import Target, value_of
from planner.telling.looks import Line, line


def detail(plan: Plan, target: Target, field: Field, values: Value) -> list[Line]:
    """Everything there is to say about a key."""
    value = value_of(target, field, values)
    lines = [line((field.key, "title"), "  ", (field.says, "dim"))]
    if value is None:
        return [*lines, *_brought(plan, field, values), line(("nothing is written; Enter writes it", "dim"))]
    if field.key == "kind":
        piece = str(value_at(values, ("piece",)) or "")
        lines += [line((f"{word:<8}", "head"), says) for word, says in kind_facts(plan.build, str(value), piece)]
    elif field.sort == REFS:
        lines += [_meaning(plan, name) for name in names_of(value)]
    elif field.sort == AFTER:
        does = {step.id: step.do for _, stage in plan.stages for step in stage.steps}
        for name in names_of(value):
            lines.append(line((name, "strong"), f"  {does.get(name.partition('@')[0], '')}"))
    elif field.key == "do":
        lines += [line(str(value)), *_numbers(plan, str(value))]
    elif field.sort == TEXTS:
        lines += [line(text) for text in as_typed(field, value).split("\n")]
    else:
        lines += [line(text) for text in as_typed(field, value).split("\n")]
    return lines + _brought(plan, field, values)


def _meaning(plan: Plan, name: str) -> Line:
    base, _, where = name.partition("@")
    known = plan.build.conditions.get(base)
    sides = {"all": "on every side", "others": "on the other sides"}.get(where, f"on the {where} side" if where else "")
    return line((name, "strong"), f"  {known.means if known else 'not known'}", (f"  {sides}" if sides else "", "dim"))


def _numbers(plan: Plan, text: str) -> list[Line]:
    """The numbers that a text names, with their present value."""
    numbers, sides = plan.build.numbers, plan.build.sides
    if not numbers or not references(text):
        return []
    return [line((f"{side} ", "head"), filled(text, numbers, side, sides)) for side in sides]


def _brought(plan: Plan, field: Field, values: Value) -> list[Line]:
    """What the kind of a step brings to this key."""
    if field.key not in ("needs", "gives", "spoils", "time", "cautions", "one-way"):
        return []
    kind = value_at(values, ("kind",))
    if not isinstance(kind, str):
        return []
    piece = value_at(values, ("piece",))
    word = "caution" if field.key == "cautions" else field.key
    facts = kind_facts(plan.build, kind, str(piece or "")) if piece or word in ("time", "caution", "one-way") else []
    return [line((f"the kind {kind} brings  ", "dim"), says) for key, says in facts if key == word]
