"""A stage that lists its operations outright (``sequence``), kept true to its steps when these are edited."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from planner.files.editing.spots import items_of, keys_of
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import Value
from planner.plan.expand import stage_slots
from planner.plan.model import ONCE, STEP_FIRST, Place, Stage, Step
from planner.plan.names import laps, operation_name, step_of

_NOWHERE = Place("", 0, 0)


def stage_of(value: Value, sides: tuple[str, ...]) -> Stage:
    """As much of a stage as its operations depend on."""
    keys = keys_of(value)
    steps = tuple(_step(keys_of(step), sides) for step in items_of(keys.get("steps")) if isinstance(step, dict))
    return Stage(
        _text(keys.get("stage")) or "",
        _NOWHERE,
        _text(keys.get("pace")) or STEP_FIRST,
        _count(keys.get("rounds")),
        _text(keys.get("first")),
        None,
        steps,
        None,
    )


def _step(keys: dict[str, Value], sides: tuple[str, ...]) -> Step:
    stated = keys.get("sides")
    covered = tuple(side for side in sides if side in stated) if isinstance(stated, list) else sides
    turns = keys.get("turns")
    order = tuple(str(side) for side in turns) if isinstance(turns, list) else _text(turns)
    step_id = _text(keys.get("step")) or ""
    return Step(
        step_id, "", _NOWHERE, None, None, stated == ONCE, covered or sides, isinstance(stated, list), None,
        _count(keys.get("rounds")), order, _text(keys.get("first")), (), (), (), (), None, None, 0, False,
        keys.get("rework") is True, "shop", 1, None, (), (), (), (),
    )  # fmt: skip


def _text(value: Value) -> str | None:
    return value if isinstance(value, str) else None


def _count(value: Value) -> int:
    return value if isinstance(value, int) and not isinstance(value, bool) and value > 0 else 1


def operations(stage: Stage, sides: tuple[str, ...]) -> list[str]:
    """The names of a stage's operations, as they would be without a sequence."""
    slots = list(stage_slots(stage, sides))
    return [
        operation_name(step.id, side, number if lap is None else lap)
        for lap in laps(stage.rounds)
        for step, side, number in slots
    ]


def rework_names(step: Step) -> list[str]:
    """The operations of a rework step."""
    return [step.id] if step.once else [operation_name(step.id, side, None) for side in step.sides]


def refit(text: str, stage_index: int, step_ids: Iterable[str], sides: tuple[str, ...]) -> str:
    """A text whose stage lists exactly the operations that some of its steps have now.

    Those that are listed and still there stay where they are; a round that has become the first of several, or
    the only one, goes by its new name; new ones come behind the others of their step, or behind the step before.
    """
    stage_path = ("stages", stage_index)
    value = keys_of(editing_text.get(text, stage_path))
    listed = value.get("sequence")
    if not isinstance(listed, list):
        return text
    stage = stage_of(value, sides)
    own = operations(stage, sides)
    known = set(own)
    for step in stage.steps:
        if step.rework:
            known.update(rework_names(step))
    concerned = set(step_ids)
    fresh: list[Value] = []
    for name in listed:
        if not isinstance(name, str) or step_of(name) not in concerned or name in known:
            fresh.append(name)
        else:
            other = _other_name(name)
            if other in known and other not in fresh and other not in listed:
                fresh.append(other)
    order = [step.id for step in stage.steps]
    for name in own:
        if step_of(name) in concerned and name not in fresh:
            fresh.insert(_place(fresh, step_of(name), order), name)
    if not fresh:
        return editing_text.remove(text, (*stage_path, "sequence"))
    return editing_text.set_value(text, (*stage_path, "sequence"), fresh)


def _other_name(name: str) -> str:
    """``step@side`` for ``step#1@side``, and the other way round."""
    step, at, side = name.partition("@")
    bare, hash_, number = step.partition("#")
    if hash_:
        return bare + at + side if number == "1" else ""
    return f"{bare}#1{at}{side}"


def _place(listed: Sequence[Value], step_id: str, order: Sequence[str]) -> int:
    """Where an operation of a step that is not listed goes."""
    steps = [step_of(name) if isinstance(name, str) else "" for name in listed]
    rank = order.index(step_id)
    for before in reversed(order[: rank + 1]):
        if before in steps:
            return len(steps) - steps[::-1].index(before)
    after = [index for index, each in enumerate(steps) if each in order[rank + 1 :]]
    return after[0] if after else len(steps)
