"""From steps to operations: who does what, on which side, in which order."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from planner.plan.model import (
    ALL,
    ALTERNATE,
    SIDE_FIRST,
    Build,
    Episode,
    Ref,
    Stage,
    Step,
)
from planner.plan.names import back_name, failed_name, gone_name, laps, operation_name
from planner.plan.pieces import Grounding, Part

#: What can be complete: a step, a step on one side, and either of them within one pass of its stage.
Key = tuple[object, ...]

_NOTHING: frozenset[str] = frozenset()


class Operation(NamedTuple):
    """One step on one side, one round of it: the thing that is ticked.

    ``gives`` comes when the step's rounds are complete on this side, ``job_gives`` when it is complete on all
    its sides. Where one operation completes both, ``alone`` is true and ``gives`` holds everything.
    """

    needs: frozenset[str]
    spoils: frozenset[str]
    gives: frozenset[str]
    simple: bool  # alone, waits for no step and no step waits for it, and what it does hangs on nothing else
    name: str
    step: Step
    side: str | None
    round: int | None
    lap: int | None  # which pass of a stage with rounds
    stage: int  # index into Plan.stages
    alone: bool
    job_gives: frozenset[str]
    at_once: frozenset[str]  # of an operation that is not alone, but on camera: given whatever else is open
    after: tuple[tuple[Key, str], ...]  # what must be complete, and the step to name when it is not
    keys: tuple[Key, ...]  # what this operation helps to complete; empty when nobody asks
    on_camera: bool
    #: Facts that must hold when the operation begins, or else neither gives nor job_gives come; no need, no finding.
    counts_when: frozenset[str] = _NOTHING
    #: What goes only with the operation that completes the rounds on this side, where gives come; a give wins.
    late_spoils: frozenset[str] = _NOTHING


class Plan(NamedTuple):
    """A build's operations in planned order, and what is needed to walk them."""

    build: Build
    operations: tuple[Operation, ...]
    left_out: tuple[Operation, ...]  # by a sequence that does not list them
    reworks: Mapping[str, Operation]
    stages: tuple[tuple[Episode, Stage], ...]
    by_name: Mapping[str, Operation]  # every operation that may be ticked: planned, left out, rework, an edit
    made: list[Any]  # empty, or the machine that walks this plan (machine.machine_of), so that it lives as long
    kinds_giving: Mapping[str, Sequence[str]] = {}  # a word of kinds -> the kinds that give it
    parts: Mapping[str, Part] = {}  # the facts of conditions kept part by part, and what each is about


def lead(sides: tuple[str, ...], first: str | None) -> tuple[str, ...]:
    """The sides with ``first`` ahead and the rest in order; a first that is not among them is ignored."""
    if first is None or first not in sides:
        return sides
    return (first, *(side for side in sides if side != first))


def side_order(step: Step, stage: Stage) -> tuple[str, ...]:
    """The order in which a step done step-first goes through its sides."""
    if isinstance(step.turns, tuple):
        return step.turns
    first = step.first if step.first in step.sides else stage.first
    return lead(step.sides, first)


def effective_turns(step: Step, pace: str) -> str | tuple[str, ...]:
    """The turns of a step: as stated, else alternate; in a side-first stage rounds stay with their side."""
    if step.turns is not None:
        return step.turns
    return SIDE_FIRST if pace == SIDE_FIRST and not step.once else ALTERNATE


Slot = tuple[Step, str | None, int | None]  # step, side, round of the step


def _step_slots(step: Step, stage: Stage) -> Iterator[Slot]:
    rounds: list[int | None] = [None] if step.rounds == 1 else list(range(1, step.rounds + 1))
    if step.once:
        yield from ((step, None, number) for number in rounds)
        return
    order = side_order(step, stage)
    if step.turns == SIDE_FIRST:
        yield from ((step, side, number) for side in order for number in rounds)
    else:
        yield from ((step, side, number) for number in rounds for side in order)


def _run_slots(run: list[Step], order: tuple[str, ...]) -> Iterator[Slot]:
    for side in order:
        for step in run:
            if side in step.sides:
                if step.rounds == 1:
                    yield step, side, None
                else:
                    for number in range(1, step.rounds + 1):
                        yield step, side, number


def stage_slots(stage: Stage, sides: tuple[str, ...]) -> Iterator[Slot]:
    """One pass of a stage by its pace, as (step, side, round); a rework step expands to nothing."""
    if stage.pace != SIDE_FIRST:
        for step in stage.steps:
            if not step.rework:
                yield from _step_slots(step, stage)
        return
    run: list[Step] = []
    order = lead(sides, stage.first)
    for step in stage.steps:
        if step.rework:
            continue
        if step.once or step.turns is not None:
            yield from _run_slots(run, order)
            run = []
            yield from _step_slots(step, stage)
        else:
            run.append(step)
    yield from _run_slots(run, order)


class _Maker:
    """Makes operations of one build, grounding each reference once per side."""

    def __init__(self, build: Build, asked: frozenset[str]) -> None:
        self.build = build
        self.extras = any(build.on_camera)
        self.asked = asked  # steps that some other step comes after
        self.steps: dict[str, tuple[Step, int, Stage]] = {}
        self.grounding = Grounding(build)
        self.grounded: dict[tuple[Ref, str | None, str], tuple[str, ...]] = {}
        self.sets: dict[tuple[tuple[Ref, ...], str | None, str], frozenset[str]] = {}
        self.split: dict[tuple[Ref, ...], tuple[tuple[Ref, ...], tuple[Ref, ...]]] = {}

    def set_of(self, refs: tuple[Ref, ...], side: str | None, how: str = "") -> frozenset[str]:
        """The facts that references need, or that they reach as gives (``+``) or spoils (``-``)."""
        if not refs:
            return _NOTHING
        made = self.sets.get((refs, side, how))
        if made is None:
            facts: list[str] = []
            for ref in refs:
                found = self.grounded.get((ref, side, how))
                if found is None:
                    reach = self.grounding.reached(ref, side, spoiled=how == "-") if how else None
                    found = tuple(self.grounding.needed(ref, side) if reach is None else reach)
                    self.grounded[ref, side, how] = found
                facts += found
            made = self.sets[refs, side, how] = frozenset(facts)
        return made

    def by_scope(self, refs: tuple[Ref, ...]) -> tuple[tuple[Ref, ...], tuple[Ref, ...]]:
        """The references to side conditions and those to job conditions."""
        made = self.split.get(refs)
        if made is None:
            on_side = tuple(ref for ref in refs if self.build.conditions[ref.name].on_side)
            job = tuple(ref for ref in refs if not self.build.conditions[ref.name].on_side)
            made = self.split[refs] = (on_side, job)
        return made

    def make(self, slot: Slot, stage_index: int, stage: Stage, episode: Episode, lap: int | None) -> Operation:
        step, side, number = slot
        build = self.build
        film = step.film or stage.film or episode.film or build.film or ALL
        on_camera = film in (ALL, side) or (side is None and film != "none")
        needs, gives, spoils = step.needs, step.gives, step.spoils
        at_once = _NOTHING
        if on_camera and step.shot_needs:
            needs += step.shot_needs
        if on_camera and self.extras:
            extras = build.on_camera
            needs += extras.needs
            spoils += extras.spoils
            at_once = self.set_of(extras.gives, side, "+")
        one_side = side is None or len(step.sides) == 1
        job_gives = _NOTHING
        alone = step.rounds == 1 and one_side
        counts_when = self.set_of(step.counts_when, side) if gives else _NOTHING
        late_spoils = _NOTHING
        if step.used_up and step.rounds == 1:
            spoils += step.used_up
        elif step.used_up:
            late_spoils = self.set_of(step.used_up, side, "-")
        if not gives:
            own_gives = _NOTHING
            alone = alone or not late_spoils
        elif alone:
            own_gives = self.set_of(gives, side, "+")
        else:
            on_side, job = self.by_scope(gives)
            own_gives = self.set_of(on_side, side, "+")
            job_gives = self.set_of(job, side, "+")
            alone = step.rounds == 1 and not job
        if alone and at_once and not counts_when:
            own_gives |= at_once
        after = self.after(step, side, stage_index, stage, lap) if step.after else ()
        keys: tuple[Key, ...] = ()
        if not alone or step.id in self.asked:
            name = step.id
            keys = ((name,), (name, side)) if side is not None else ((name,), (name, None))
            if lap is not None:
                keys += ((name, lap, "lap"), (name, lap, side, "lap"))
        return Operation(
            self.set_of(needs, side),
            self.set_of(spoils, side, "-"),
            own_gives,
            not (keys or after or counts_when or late_spoils),
            operation_name(step.id, side, number if lap is None else lap),
            step,
            side,
            number if lap is None else lap,
            lap,
            stage_index,
            alone,
            job_gives,
            at_once,
            after,
            keys,
            on_camera,
            counts_when,
            late_spoils,
        )

    def after(
        self, step: Step, side: str | None, stage_index: int, stage: Stage, lap: int | None
    ) -> tuple[tuple[Key, str], ...]:
        keys: list[tuple[Key, str]] = []
        for link in step.after:
            target, where, _ = self.steps[link.step]
            if target.rework or (link.own and not target.once and side not in target.sides):
                continue
            same_lap = lap is not None and where == stage_index
            part: tuple[object, ...] = (side,) if link.own and not target.once else ()
            key = (target.id, lap, *part, "lap") if same_lap else (target.id, *part)
            keys.append((key, target.id))
        return tuple(keys)


def side_key(op: Operation) -> Key:
    """What must be complete before the operation's side conditions come true."""
    return op.keys[-1] if op.lap is not None else op.keys[1]


def step_key(op: Operation) -> Key:
    """What must be complete before the operation's job conditions come true."""
    return op.keys[-2] if op.lap is not None else op.keys[0]


def edit_name(episode: int) -> str:
    """The name of the operation that an episode's ``edit:`` stands for; no step can be called so."""
    return f"(edit {episode})"


def _edits(build: Build, stages: Sequence[tuple[Episode, Stage]]) -> dict[str, Operation]:
    """The edit of every episode that states its time: ticked like others, in no order, needed by nothing."""
    last = {episode.number: index for index, (episode, _) in enumerate(stages)}
    found = {}
    for episode in build.episodes:
        if episode.edit is not None and episode.number in last:
            name = edit_name(episode.number)
            step = Step(
                name, f"Edit episode {episode.number}", episode.place, None, None, True, build.sides, False, None, 1,
                None, None, (), (), (), (), None, episode.edit, 0, False, False, "desk", 1, "none", (), (), (), (),
            )  # fmt: skip
            nothing = _NOTHING
            found[name] = Operation(
                nothing, nothing, nothing, True, name, step, None, None, None, last[episode.number], True, nothing,
                nothing, (), (), False,
            )  # fmt: skip
    return found


def _with_failed(plan: Plan) -> Plan:
    """The plan, with what each hold point comes to whose reading did not lie within its limits.

    Its spoils apply, and what it would have given is undone; it completes nothing, and is in no order.
    """
    failed = {}
    for op in [op for op in plan.by_name.values() if op.step.hold is not None]:
        name = failed_name(op.name)
        step = op.step._replace(rework=True, rounds=1, turns=None, hold=None, after=(), wait=0)
        failed[name] = op._replace(
            needs=_NOTHING, spoils=op.spoils | op.gives | op.job_gives | op.at_once, gives=_NOTHING, simple=True,
            name=name, step=step, round=None, alone=True, job_gives=_NOTHING, at_once=_NOTHING, after=(), keys=(),
            counts_when=_NOTHING, late_spoils=_NOTHING,
        )  # fmt: skip
    return plan._replace(by_name={**plan.by_name, **failed}) if failed else plan


def _with_passing(plan: Plan) -> Plan:
    """The plan, with the going of each fact that lasts only so long, and its being there again for work done earlier.

    They are in no order: the live state puts them between what was done, as the clock has it.
    """
    found: dict[str, Operation] = {}
    for op in [op for op in plan.by_name.values() if op.step.lasts is not None]:
        step = op.step._replace(rework=True, rounds=1, turns=None, hold=None, reads=None, after=(), wait=0, lasts=None)
        for fact in op.gives | op.job_gives | op.at_once:
            bare = op._replace(
                needs=_NOTHING, spoils=_NOTHING, gives=_NOTHING, simple=True, step=step, round=None, alone=True,
                job_gives=_NOTHING, at_once=_NOTHING, after=(), keys=(), counts_when=_NOTHING, late_spoils=_NOTHING,
            )  # fmt: skip
            found[gone_name(fact)] = bare._replace(name=gone_name(fact), spoils=frozenset((fact,)))
            found[back_name(fact)] = bare._replace(name=back_name(fact), gives=frozenset((fact,)))
    return plan._replace(by_name={**plan.by_name, **found}) if found else plan


def _kinds_giving(build: Build) -> dict[str, list[str]]:
    found: dict[str, list[str]] = {}
    for kind in build.kinds.values():
        for word in dict.fromkeys(ref.name for ref in kind.gives):
            found.setdefault(word, []).append(kind.name)
    return found


def expand(build: Build) -> Plan:
    """All operations of a build, in planned order."""
    stages = tuple((episode, stage) for episode in build.episodes for stage in episode.stages)
    asked = frozenset(link.step for _, stage in stages for step in stage.steps for link in step.after)
    maker = _Maker(build, asked)
    for index, (_, stage) in enumerate(stages):
        for step in stage.steps:
            maker.steps[step.id] = (step, index, stage)
    operations: list[Operation] = []
    left_out: list[Operation] = []
    reworks: dict[str, Operation] = {}
    for index, (episode, stage) in enumerate(stages):
        for step in stage.steps:
            if step.rework:
                for side in (None,) if step.once else step.sides:
                    op = maker.make((step, side, None), index, stage, episode, None)
                    reworks[op.name] = op
    for index, (episode, stage) in enumerate(stages):
        made: list[Operation] = []
        slots = list(stage_slots(stage, build.sides))
        for lap in laps(stage.rounds):
            made += [maker.make(slot, index, stage, episode, lap) for slot in slots]
        if stage.sequence is None:
            operations += made
        else:
            listed = {op.name: op for op in made}
            operations += [listed.get(name) or reworks[name] for name in stage.sequence]
            inside = set(stage.sequence)
            left_out += [op for op in made if op.name not in inside]
    named = {**reworks, **{op.name: op for op in (*operations, *left_out)}, **_edits(build, stages)}
    made_plan = _with_failed(
        Plan(
            build,
            tuple(operations),
            tuple(left_out),
            reworks,
            stages,
            named,
            [],
            _kinds_giving(build),
            maker.grounding.parts,
        )
    )
    return _with_passing(made_plan)
