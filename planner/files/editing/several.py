"""One edit of several steps: each is looked for again, since the one before may have moved it."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from planner.files.editing.spots import Edit, Spot, Texts, applied, edit_of, episode_paths, mentions, steps_in
from planner.files.editing.steps import ids_in, move_step
from planner.files.yaml.places import EditError


def find_step(texts: Texts, step_id: str) -> Spot:
    """Where a step stands in texts. Raises EditError where it is not there."""
    for path in episode_paths(texts):
        if mentions(texts[path], step_id):
            for way, step in steps_in(texts[path]):
                if step.get("step") == step_id:
                    return Spot(path, int(way[1]), int(way[3]))
    raise EditError(f"the step {step_id} is no longer there; look again")


def each_of(texts: Texts, ids: Sequence[str], change: Callable[[Texts, Spot], Edit]) -> Edit:
    """The same change of several steps, one after the other: all of it or nothing."""
    work: Texts = texts
    notes: list[str] = []
    for step_id in ids:
        edit = change(work, find_step(work, step_id))
        work = applied(work, edit.changes)
        notes += edit.notes
    return edit_of(texts, {**dict.fromkeys(texts), **work}, notes)


def move_together(texts: Texts, ids: Sequence[str], to: Spot) -> Edit:
    """Several steps to the end of a stage, in the order they are named in."""

    def change(work: Texts, spot: Spot) -> Edit:
        steps = len(ids_in(work[to.path], to.stage or 0))
        return move_step(work, spot, to, steps - ((spot.path, spot.stage) == (to.path, to.stage)))

    return each_of(texts, ids, change)
