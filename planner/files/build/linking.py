"""What spans steps and files: looked up once every episode has been read."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from yaml.events import ScalarEvent

from planner.files.build.episode import EpisodeReader, Listed
from planner.files.build.fields import Source
from planner.files.yaml.tree import MapNode, Node, scalar
from planner.plan.expand import Slot, stage_slots
from planner.plan.model import ALL, Build, Episode, Place, Ref
from planner.plan.names import laps, operation_name
from planner.plan.pieces import Grounding, given_at_all


def link(reader: EpisodeReader, complete: bool = True) -> None:
    """Check ``after`` links, sequences, and hand-written conditions that kinds bring too.

    Where an episode could not be read (not ``complete``), a step that is not found may stand in it.
    """
    for source, node, found in reader.links:
        if complete and found.step not in reader.ids:
            source.unknown(node, f"after: there is no step {found.step}", found.step, reader.ids)
    for listed in reader.listed:
        _check_sequence(reader, listed, complete)
    for full, condition in reader.job.conditions.items():
        said = reader.vocabulary.clash(full)
        if said is not None and condition.place is not None:
            reader.problems.add(*condition.place, said)


def _check_sequence(reader: EpisodeReader, listed: Listed, complete: bool) -> None:
    source, items, stage = listed
    slots: list[Slot] = list(stage_slots(stage, reader.job.sides))
    own = {
        operation_name(step.id, side, number if lap is None else lap)
        for lap in laps(stage.rounds)
        for step, side, number in slots
    }
    reworks = {
        operation_name(step.id, side, None)
        for step in reader.steps.values()
        if step.rework
        for side in ((None,) if step.once else step.sides)
    }
    known = own | reworks
    seen: set[str] = set()
    for item in items:
        if not isinstance(item, ScalarEvent):
            continue
        written = item.value
        if written in own and written in seen:
            source.refuse(item, f"sequence: {written} stands here twice; only rework may be repeated")
        elif complete and written not in known and isinstance(scalar(item), str):
            said = f"sequence: {written or '(empty)'} is not an operation of this stage, nor rework"
            source.unknown(item, said, written, known)
        seen.add(written)


def with_standing(build: Build, source: Source, start: Iterable[Ref], end: Sequence[tuple[Node, Ref]]) -> Build:
    """The build with what holds at its start and what is owed at its end, in facts and grounded conditions."""
    grounding = Grounding(build)
    build = build._replace(start=build.start | {fact for ref in start for fact in grounding.needed(ref, None)})
    owed: dict[str, Place] = {}
    given: frozenset[str] | None = None
    for node, ref in end:
        names = grounding.named(ref, None)
        owed.update(dict.fromkeys(names, source.place(node)))
        lacking = [fact for fact in grounding.needed(ref, None) if fact not in build.start]
        if lacking and given is None:
            given = given_at_all(build, grounding)
        if given is not None and not given.issuperset(lacking):
            source.refuse(node, f"end: {ref} does not hold at the start and no step gives it; add a step that does")
    return build._replace(end=owed)


def refuse_others_on_camera(source: Source, root: Node, episodes: Iterable[Episode | None], film: str | None) -> None:
    """``@others`` under on-camera means nothing for a step done once on camera; refuse it where there is one."""
    met = any(
        step.once and (step.film or stage.film or episode.film or film or ALL) != "none"
        for episode in episodes
        if episode is not None
        for stage in episode.stages
        for step in stage.steps
    )
    if met:
        node = root.items["on-camera"][1] if isinstance(root, MapNode) else root
        source.refuse(node, "on-camera: @others has no meaning in the steps done once; name the sides")
