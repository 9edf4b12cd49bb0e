"""Copying a stage to another build, with what it needs there."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping

from planner.files.editing.job import add_to_list
from planner.files.editing.sequences import refit
from planner.files.editing.spots import (
    BUILD_KEYS,
    Edit,
    Spot,
    Texts,
    edit_of,
    episode_paths,
    fresh_id,
    items_of,
    job_path,
    keys_of,
    mentions,
    sides_of,
    steps_in,
    text_at,
)
from planner.files.editing.steps import ids_in, list_of, told
from planner.files.yaml import clips as editing_clips
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.names import renamed_op, step_of

_LISTS = ("needs", "gives", "spoils")
_FIGURE = re.compile(r"\{([a-z0-9-]+)\.[a-z0-9-]+(?:@[a-z0-9-]+)?\}")


def copy_stage(texts: Texts, spot: Spot, target: Texts, to_path: str, index: int) -> Edit:
    """A stage of one build into an episode of another, before the stage at index; the edit is of the other build.

    Conditions, pieces and kinds that the other build lacks are added to its build.yaml. Steps whose id is taken
    there get another. Sides go by name, or by their place in the order where the names differ. ``after`` links
    to steps that are not there go. The notes say all that.
    """
    path, at = list_of(spot)
    if spot.step is not None:
        raise EditError("a stage must be named for this")
    source = text_at(texts, spot.path)
    clip = editing_clips.copy(source, path, at)
    sides, notes = _sides(keys_of(clip.value), sides_of(texts), sides_of(target))
    ids: dict[str, str] = {}
    for old in ids_in(source, at):
        taken = any(mentions(text, old) for text in target.values())
        ids[old] = fresh_id(target, old, set(ids.values())) if taken or old in ids.values() else old
    notes += told(ids)
    text = editing_text.paste_item(text_at(target, to_path), ("stages",), index, clip)
    here: Path = ("stages", index)
    text = editing_text.set_scalars(text, _renamed(keys_of(clip.value), here, ids, sides))
    text = _unlinked(text, here, set(ids.values()), target, notes)
    if sides_of(texts) != sides_of(target):
        text = refit(text, index, ids.values(), sides_of(target))
    work = {**target, to_path: text}
    job = job_path(target)
    work[job] = _declared(text_at(texts, job_path(texts)), work[job], keys_of(clip.value), sides, notes)
    notes += _figures(clip.value, target)
    return edit_of(target, work, notes)


def _steps(stage: dict[str, Value]) -> list[dict[str, Value]]:
    return [keys_of(step) for step in items_of(stage.get("steps"))]


def _places(stage: dict[str, Value]) -> Iterator[tuple[Path, str, str]]:
    """Every text of a stage that may name a side or a step: where, under which key, what."""
    for key in ("first", "film"):
        if isinstance(stage.get(key), str):
            yield (key,), key, str(stage[key])
    for at, name in enumerate(items_of(stage.get("sequence"))):
        if isinstance(name, str):
            yield ("sequence", at), "sequence", name
    for number, step in enumerate(_steps(stage)):
        for key in ("step", "first", "film"):
            if isinstance(step.get(key), str):
                yield ("steps", number, key), key, str(step[key])
        for key in ("sides", "turns", "after", *_LISTS):
            for at, name in enumerate(items_of(step.get(key))):
                if isinstance(name, str):
                    yield ("steps", number, key, at), key, name


def _sides(
    stage: dict[str, Value], source: tuple[str, ...], target: tuple[str, ...]
) -> tuple[Mapping[str, str], list[str]]:
    """The sides that a stage names, as the other build names them."""
    used: set[str] = set()
    for _, key, name in _places(stage):
        if key in ("first", "film", "sides", "turns"):
            used.add(name)
        elif "@" in name:
            used.add(name.partition("@")[2])
    used &= set(source)
    if used <= set(target):
        return {}, []
    if len(source) != len(target):
        missing = ", ".join(sorted(used - set(target)))
        raise EditError(f"the stage names {missing}, and the other build has no such side; rename its sides first")
    sides = dict(zip(source, target, strict=True))
    return sides, [f"{old} is written as {new}" for old, new in sides.items() if old in used and old != new]


def _renamed(stage: dict[str, Value], here: Path, ids: Mapping[str, str], sides: Mapping[str, str]) -> dict[Path, str]:
    """The texts of a copied stage that change, by path."""

    def at_side(name: str) -> str:
        base, at, side = name.partition("@")
        return base + at + sides.get(side, side)

    rules: dict[str, Callable[[str], str]] = {
        "step": lambda name: ids.get(name, name),
        "after": lambda name: renamed_op(name, ids),
        "sequence": lambda name: at_side(renamed_op(name, ids)),
        **dict.fromkeys(_LISTS, at_side),
    }
    out: dict[Path, str] = {}
    for path, key, name in _places(stage):
        fresh = rules[key](name) if key in rules else sides.get(name, name)
        if fresh != name:
            out[(*here, *path)] = fresh
    return out


def _unlinked(text: str, here: Path, own: set[str], target: Texts, notes: list[str]) -> str:
    """The text without ``after`` links and listed rework of steps that the other build does not have."""

    def known(name: str) -> bool:
        if name in own:
            return True
        return any(
            mentions(target[path], name) and any(step.get("step") == name for _, step in steps_in(target[path]))
            for path in episode_paths(target)
        )

    lists: list[tuple[Path, str]] = [((*here, "sequence"), "its sequence")]
    for number, step in enumerate(_steps(keys_of(editing_text.get(text, here)))):
        lists.append(((*here, "steps", number, "after"), f"after: of {step.get('step')}"))
    for path, what in lists:
        items = items_of(editing_text.get(text, path))
        left = [name for name in items if known(step_of(str(name)))]
        if len(left) < len(items):
            lost = ", ".join(str(name) for name in items if name not in left)
            notes.append(f"{what} no longer names {lost}, which this build does not have")
            text = editing_text.set_value(text, path, left) if left else editing_text.remove(text, path)
    return text


def _kept(declared: Value) -> Value:
    """What a condition is kept by; ``on`` is the older spelling."""
    keys = keys_of(declared)
    return keys.get("kept") or keys.get("on")


def _declared(source: str, job: str, stage: dict[str, Value], sides: Mapping[str, str], notes: list[str]) -> str:
    """The other build's build.yaml with the conditions, pieces and kinds that a stage needs."""
    theirs, ours = keys_of(editing_text.get(source)), keys_of(editing_text.get(job))
    named = [name for step in _steps(stage) for key in _LISTS for name in items_of(step.get(key))]
    names = {str(name).partition("@")[0] for name in named}
    for name, declared in keys_of(theirs.get("conditions")).items():
        if name not in names:
            continue
        mine = keys_of(ours.get("conditions")).get(name)
        if mine is None:
            job = _with_key(job, "conditions", name, declared)
            notes.append(f"the condition {name} is declared")
            job = _started(job, items_of(theirs.get("start")), name, sides, notes)
        elif _kept(mine) != _kept(declared):
            notes.append(f"{name} is kept by {_kept(mine)} in this build; check the copied steps")
    pieces = keys_of(theirs.get("pieces"))
    for step in _steps(stage):
        piece = step.get("piece")
        while isinstance(piece, str) and piece in pieces:
            if piece not in keys_of(editing_text.get(job, ("pieces",))):
                job = _with_key(job, "pieces", piece, pieces[piece])
                notes.append(f"the piece {piece} is in {keys_of(pieces[piece]).get('in')}")
            piece = keys_of(pieces[piece]).get("in")
    kinds = keys_of(theirs.get("kinds"))
    for kind in dict.fromkeys(str(step["kind"]) for step in _steps(stage) if "kind" in step):
        mine = keys_of(ours.get("kinds"))
        if kind in mine and mine[kind] is None:
            notes.append(f"this build drops the kind {kind}; give the copied steps another")
        elif kind in kinds and kind not in mine and kinds[kind] is not None:
            job = _with_key(job, "kinds", kind, kinds[kind])
            notes.append(f"the kind {kind} is added as the other build has it")
        elif kind in kinds and mine.get(kind) != kinds[kind]:
            notes.append(f"the kind {kind} differs between the two builds; check what it brings")
    return job


def _with_key(job: str, around: str, name: str, value: Value) -> str:
    """build.yaml with one more key in one of its mappings."""
    keys = {**keys_of(editing_text.get(job, (around,))), name: value}
    return editing_text.set_value(job, (around,), keys, BUILD_KEYS)


def _started(job: str, start: list[Value], name: str, sides: Mapping[str, str], notes: list[str]) -> str:
    """build.yaml with a new condition at the start, where it holds at the start of the other build."""
    for item in start:
        base, at, side = str(item).partition("@")
        if base == name:
            job = add_to_list(job, ("start",), base + at + sides.get(side, side))
            notes.append(f"{item} holds at the start, as it did there")
    return job


def _figures(stage: Value, target: Texts) -> list[str]:
    """Numbers in the copied steps that the other build does not work out."""
    wanted = dict.fromkeys(
        found for step in _steps(keys_of(stage)) for found in _FIGURE.findall(str(step.get("do", "")))
    )
    have: dict[str, Value] = {}
    for path, text in target.items():
        if path.endswith("numbers.yaml"):
            have = keys_of(editing_text.get(text))
    return [f"the steps use numbers of {name}, which numbers.yaml does not have" for name in wanted if name not in have]
