"""What a form is about, and the edit that a key of it comes to. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from planner.files.editing.episodes import number_of, renumber
from planner.files.editing.names import rename_condition
from planner.files.editing.spots import Edit, Spot, Texts, applied, edit_of, remove_at, set_at, spot_of
from planner.files.editing.steps import set_key
from planner.files.plankeys import (
    BUILD,
    CONDITION,
    CONDITIONS,
    ENTRIES,
    EPISODE,
    FIELDS,
    KIND,
    KINDS,
    STAGE,
    STEP,
    WORD,
    WORDS,
    Field,
)
from planner.files.yaml.places import EditError, Path, Value
from planner.plan.model import Build
from planner.session.writing.fields import value_at


class Target(NamedTuple):
    """What holds the keys: in which file, and where in it. A step goes by its id, since its place changes."""

    level: str
    path: str
    inside: Path = ()
    step: str = ""
    title: str = ""  # of a stage, which has no id: by it a stage is known again

    @property
    def name(self) -> str:
        """The last part of the way: the name of an entry."""
        return str(self.inside[-1]) if self.inside else ""

    def within(self, level: str, *parts: str | int) -> Target:
        """Something inside this."""
        return Target(level, self.path, (*self.inside, *parts))


def located(target: Target, build: Build) -> Target | None:
    """A target where it stands now; None for what is there no more."""
    if target.level == STEP:
        spot = spot_of(build, target.step)
        return None if spot is None else target._replace(path=spot.path, inside=spot.inside)
    if target.level in (STAGE, EPISODE):
        episode = next((each for each in build.episodes if each.place.path == target.path), None)
        if episode is None or target.level == EPISODE:
            return None if episode is None else target
        index = stage_index([stage.title for stage in episode.stages], spot_at(target).stage, target.title)
        return None if index is None else target._replace(inside=("stages", index))
    return target


def stage_index(titles: Sequence[str], index: int | None, title: str) -> int | None:
    """Where the stage of a title is: at index still, or in the only other place."""
    if index is not None and index < len(titles) and titles[index] == title:
        return index
    found = [at for at, each in enumerate(titles) if each == title]
    return found[0] if len(found) == 1 else None


def is_same(target: Target, holder: Value) -> bool:
    """Whether what stands at the place of a target is what it is about."""
    if target.level == STEP:
        return value_at(holder, ("step",)) == target.step
    return target.level != STAGE or value_at(holder, ("stage",)) == target.title


def spot_at(target: Target) -> Spot:
    """The spot of an episode, a stage or a step."""
    numbers = [part for part in target.inside if isinstance(part, int)]
    return Spot(target.path, *numbers)


def fields_of(target: Target, values: Value) -> Sequence[Field]:
    """The keys that a form has; of entries one a name."""
    inner = {CONDITIONS: CONDITION, KINDS: KIND, WORDS: WORD}.get(target.level)
    if inner is None:
        return FIELDS[target.level]
    names = values if isinstance(values, dict) else {}
    return [Field((str(name),), ENTRIES, f"the {inner} {name}") for name in names]


def inner_level(target: Target, field: Field) -> str:
    """What a field of entries opens: the list of them, or one of them."""
    return {CONDITIONS: CONDITION, KINDS: KIND, WORDS: WORD}.get(target.level, field.key)


_OLDER = "on"  # of kept


def value_of(target: Target, field: Field, values: Value) -> Value:
    """The value of a field; the name of a condition is where it stands."""
    if target.level == CONDITION and field.key == "name":
        return target.name
    found = value_at(values, field.path)
    if found is None and field.path[-1] == "kept":
        return value_at(values, (*field.path[:-1], _OLDER))
    return found


def edit_key(texts: Texts, target: Target, field: Field, value: Value) -> Edit:
    """Set a key, or take it out (None)."""
    if value is None and field.wanted:
        raise EditError(f"{field.key}: is needed and cannot be taken out")
    if target.level in (STEP, STAGE, EPISODE):
        if field.key == "episode":
            if not isinstance(value, int):
                raise EditError("the number of an episode is a whole number from 1 to 9999")
            return renumber(texts, {number_of(target.path): value})
        return set_key(texts, spot_at(target), field.key, value)
    if target.level == CONDITION and field.key == "name":
        return rename_condition(texts, target.name, str(value or ""))
    way = (*target.inside, *field.path)
    if way[-1] == "kept" and not _absent(texts, target.path, (*way[:-1], _OLDER)):
        way = (*way[:-1], _OLDER)  # it stays as the person spelt it
    if value is None:
        return Edit({}) if _absent(texts, target.path, way) else remove_at(texts, target.path, way)
    return set_at(texts, target.path, way, value)


def edit_keys(texts: Texts, target: Target, values: Mapping[Field, Value]) -> Edit:
    """Set several keys of one thing in one edit."""
    work: Texts = texts
    notes: tuple[str, ...] = ()
    for field, value in values.items():
        edit = edit_key(work, target, field, value)
        work, notes = applied(work, edit.changes), (*notes, *edit.notes)
    return edit_of(texts, work, notes)


def edit_each(texts: Texts, targets: Sequence[Target], values: Mapping[Field, Value]) -> Edit:
    """Set the same keys of several things in one edit; none of them moves by it."""
    work: Texts = texts
    notes: tuple[str, ...] = ()
    for target in targets:
        edit = edit_keys(work, target, values)
        work, notes = applied(work, edit.changes), (*notes, *edit.notes)
    return edit_of(texts, work, notes)


def _absent(texts: Texts, path: str, way: Path) -> bool:
    from planner.files.yaml import edit as editing_text

    return value_at(editing_text.get(texts[path]), way) is None


def after_edit(target: Target, field: Field, value: Value) -> Target:
    """Where the target is once a key of it was set."""
    if target.level == STEP and field.key == "step":
        return target._replace(step=str(value))
    if target.level == CONDITION and field.key == "name":
        return target._replace(inside=(*target.inside[:-1], str(value)))
    if target.level == STAGE and field.key == "stage":
        return target._replace(title=str(value))
    return target


def title_of(target: Target, values: Value) -> str:
    """What a form is about, in words."""
    if target.level == STEP:
        return target.step
    if target.level == EPISODE:
        return f"{value_at(values, ('episode',))}  {value_at(values, ('title',))}"
    if target.level in (STAGE, BUILD):
        return str(value_at(values, (target.level,)) or "")
    return target.name if target.level not in (CONDITIONS, KINDS, WORDS) else ""
