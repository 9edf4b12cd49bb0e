"""Adding, changing, doubling, moving and taking out steps and stages."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

from planner.files.editing.names import rename_in, rename_step
from planner.files.editing.sequences import refit
from planner.files.editing.spots import (
    STAGE_KEYS,
    STEP_KEYS,
    Edit,
    Spot,
    Texts,
    check_new_id,
    edit_of,
    episode_paths,
    fresh_id,
    in_order,
    items_of,
    keys_of,
    mentions,
    sides_of,
    steps_in,
    text_at,
)
from planner.files.yaml import clips as editing_clips
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.names import step_of

_SHAPING = ("sides", "rounds", "rework")  # keys that decide which operations a step has


def add_step(texts: Texts, spot: Spot, index: int, step: Mapping[str, Value]) -> Edit:
    """Put a step into a stage, before that at index."""
    values = in_order(step, STEP_KEYS)
    step_id = check_new_id(texts, values.get("step"))
    if not values.get("do"):
        raise EditError("a step needs do: what is done in it")
    text = editing_text.insert(text_at(texts, spot.path), (*stage_path(spot), "steps"), index, values)
    return edit_of(texts, {spot.path: _refit(texts, text, spot, [step_id])})


def add_stage(texts: Texts, path: str, index: int, stage: Mapping[str, Value]) -> Edit:
    """Put a stage into an episode, before that at index; it need not have steps yet."""
    values = in_order({"steps": [], **stage}, STAGE_KEYS)
    if not values.get("stage"):
        raise EditError("a stage needs stage: its name")
    ids: list[str] = []
    for step in items_of(values["steps"]):
        ids.append(check_new_id(texts, keys_of(step).get("step")))
    if len(set(ids)) < len(ids):
        raise EditError("two steps have one id; choose another")
    values["steps"] = [in_order(keys_of(step), STEP_KEYS) for step in items_of(values["steps"])]
    return edit_of(texts, {path: editing_text.insert(text_at(texts, path), ("stages",), index, values)})


def set_key(texts: Texts, spot: Spot, key: str, value: Value) -> Edit:
    """Set a key of an episode, a stage or a step; None takes it out.

    A step's id is changed everywhere (``rename_step``); the number of an episode is changed by ``renumber``.
    Where the stage lists its operations, that list follows.
    """
    text = text_at(texts, spot.path)
    if key not in spot.keys:
        in_order({key: value}, spot.keys)
    if key == "episode":
        raise EditError("the number of an episode is in its file's name too; renumber it")
    path = (*spot.inside, key)
    old = editing_text.get(text, path)
    if key == "step" and old is not None and old != value:
        return rename_step(texts, str(old), check_new_id(texts, value))
    if value is None:
        if key not in keys_of(editing_text.get(text, spot.inside)):
            return Edit({})
        if key in ("step", "do", "stage", "steps", "stages", "title", "format"):
            raise EditError(f"{key}: is needed and cannot be taken out")
        text = editing_text.remove(text, path)
    else:
        text = editing_text.set_value(text, path, value, spot.keys)
    if spot.stage is not None and key in _SHAPING:
        ids = [str(keys_of(editing_text.get(text, spot.inside)).get("step"))]
        text = _refit(texts, text, spot, ids if spot.step is not None else ids_in(text, spot.stage))
    return edit_of(texts, {spot.path: text})


def duplicate_step(texts: Texts, spot: Spot, new_id: str | None = None) -> Edit:
    """A step once more, behind itself, with its comments and with an id of its own."""
    path, index = list_of(spot)
    text = text_at(texts, spot.path)
    old = _id_at(text, spot)
    step_id = check_new_id(texts, new_id) if new_id is not None else fresh_id(texts, old)
    text = editing_text.duplicate(text, path, index)
    text = editing_text.set_scalars(text, {(*path, index + 1, "step"): step_id})
    return edit_of(texts, {spot.path: _refit(texts, text, spot, [step_id])}, [f"the new step is {step_id}"])


def duplicate_stage(texts: Texts, spot: Spot) -> Edit:
    """A stage once more, behind itself, with its comments; its steps get ids of their own."""
    path, index = list_of(spot)
    text = editing_text.duplicate(text_at(texts, spot.path), path, index)
    renamed = fresh_ids(texts, ids_in(text, index))
    text = rename_in(text, renamed, (*path, index + 1))
    return edit_of(texts, {spot.path: text}, told(renamed))


def fresh_ids(texts: Texts, ids: Iterable[str], taken: Iterable[str] = ()) -> dict[str, str]:
    """A new id for each of the old."""
    used = set(taken)
    out: dict[str, str] = {}
    for old in ids:
        out[old] = fresh_id(texts, old, used)
        used.add(out[old])
    return out


def told(renamed: Mapping[str, str]) -> list[str]:
    """Which steps go by new ids, in words."""
    return [f"the copy of {old} is {new}" for old, new in renamed.items() if old != new]


def delete_step(texts: Texts, spot: Spot) -> Edit:
    """Take a step out, and every ``after`` and ``sequence`` entry that names it."""
    text = text_at(texts, spot.path)
    step_id = _id_at(text, spot)
    work = {**texts, spot.path: editing_text.remove(text, spot.inside)}
    notes = unlink(work, [step_id])
    return edit_of(texts, work, notes)


def delete_stage(texts: Texts, spot: Spot) -> Edit:
    """Take a stage with its steps out, and every ``after`` and ``sequence`` entry that names one of them."""
    text = text_at(texts, spot.path)
    ids = ids_in(text, spot.stage or 0)
    work = {**texts, spot.path: editing_text.remove(text, spot.inside)}
    return edit_of(texts, work, unlink(work, ids))


def unlink(work: dict[str, str], ids: Iterable[str]) -> list[str]:
    """Take every ``after`` and ``sequence`` entry that names one of some steps out of texts; says which."""
    gone = set(ids)
    notes: list[str] = []
    for path in episode_paths(work):
        text = work[path]
        if not any(mentions(text, step_id) for step_id in gone):
            continue
        for at, step in steps_in(text):
            links = items_of(step.get("after"))
            left = [link for link in links if str(link).partition("@")[0] not in gone]
            if len(left) < len(links):
                text = _shorten(text, (*at, "after"), left)
                lost = [str(link) for link in links if link not in left]
                notes.append(f"{step.get('step')} no longer comes after {', '.join(lost)}")
        for index, stage in enumerate(items_of(editing_text.get(text, ("stages",)))):
            listed = items_of(keys_of(stage).get("sequence"))
            left = [name for name in listed if step_of(str(name)) not in gone]
            if len(left) < len(listed):
                text = _shorten(text, ("stages", index, "sequence"), left)
        work[path] = text
    return notes


def _shorten(text: str, path: Path, left: list[Value]) -> str:
    return editing_text.set_value(text, path, left) if left else editing_text.remove(text, path)


def move_step(texts: Texts, spot: Spot, to: Spot, index: int) -> Edit:
    """Move a step to ``index`` in the steps of the stage ``to``, as that list will be; across files too."""
    path, at = list_of(spot)
    text = text_at(texts, spot.path)
    step_id = _id_at(text, spot)
    rework = editing_text.get(text, (*spot.inside, "rework")) is True  # such may be listed in any stage
    target = (*stage_path(to), "steps")
    if (spot.path, path) == (to.path, target):
        return edit_of(texts, {to.path: editing_text.move(texts[to.path], path, at, path, index)})
    work = _moved(texts, spot, to.path, target, index)
    if not rework:
        work[spot.path] = _drop_listed(work[spot.path], spot.stage or 0, step_id)
    work[to.path] = _refit(texts, work[to.path], to, [step_id])
    return edit_of(texts, work)


def move_stage(texts: Texts, spot: Spot, to_path: str, index: int) -> Edit:
    """Move a stage to ``index`` among the stages of an episode, as they will be; across files too."""
    path, at = list_of(spot)
    if spot.path == to_path:
        return edit_of(texts, {to_path: editing_text.move(text_at(texts, to_path), path, at, path, index)})
    return edit_of(texts, _moved(texts, spot, to_path, ("stages",), index))


def _moved(texts: Texts, spot: Spot, to_path: str, target: Path, index: int) -> dict[str, str]:
    """The texts with an item moved to another list."""
    path, at = list_of(spot)
    text = text_at(texts, spot.path)
    if spot.path == to_path:
        return {to_path: editing_text.move(text, path, at, target, index)}
    clip = editing_clips.copy(text, path, at)
    return {
        spot.path: editing_text.remove(text, (*path, at)),
        to_path: editing_text.paste_item(text_at(texts, to_path), target, index, clip),
    }


def _drop_listed(text: str, stage: int, step_id: str) -> str:
    """Take the operations of a step that has left out of a stage's list."""
    path = ("stages", stage, "sequence")
    listed = items_of(editing_text.get(text, path))
    left = [name for name in listed if step_of(str(name)) != step_id]
    return _shorten(text, path, left) if len(left) < len(listed) else text


def _refit(texts: Texts, text: str, spot: Spot, ids: Iterable[str]) -> str:
    """The text with the stage's list of operations, where it has one, true to its steps again."""
    if spot.stage is None:
        return text
    _check_rounds(keys_of(editing_text.get(text, stage_path(spot))))
    return refit(text, spot.stage, ids, sides_of(texts)) if "sequence" in text else text


def _check_rounds(stage: Mapping[str, Value]) -> None:
    """Raises EditError where a stage and a step of it would both have rounds, or a rework step some."""
    for step in items_of(stage.get("steps")):
        rounds = keys_of(step).get("rounds")
        if rounds not in (None, 1) and stage.get("rounds") not in (None, 1):
            name = keys_of(step).get("step")
            raise EditError(f"the stage has rounds, so {name} can have none of its own; take rounds: out of one")
        if rounds not in (None, 1) and keys_of(step).get("rework") is True:
            raise EditError("a rework step has no rounds; it may be put in again")


def stage_path(spot: Spot) -> Path:
    """The way to the stage of a spot."""
    if spot.stage is None:
        raise EditError("a stage must be named for this")
    return ("stages", spot.stage)


def list_of(spot: Spot) -> tuple[Path, int]:
    """The list that a stage or a step is in, and its number there."""
    where = spot.inside
    if not where or not isinstance(where[-1], int):
        raise EditError("a stage or a step must be named for this")
    return where[:-1], where[-1]


def ids_in(text: str, stage: int) -> list[str]:
    """The ids of the steps of a stage."""
    return [str(step.get("step")) for at, step in steps_in(text) if at[1] == stage]


def _id_at(text: str, spot: Spot) -> str:
    found = keys_of(editing_text.get(text, spot.inside)).get("step")
    if spot.step is None or not isinstance(found, str):
        raise EditError("there is no step here")
    return found
