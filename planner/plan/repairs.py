"""Repairs: single changes to an order, each walked before it is offered.

Only a change that touches an operation which has to do with the failing condition can cure it: the failing
operation itself, those that give or spoil the condition, and the other rounds and sides of such steps. So all
single changes of these are tried, the least disruptive first, and the first that is proved true is taken.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from itertools import permutations
from typing import NamedTuple

from planner.plan.changes import Change, MoveBlock, MoveOperation, MoveStep, Pace, PutIn, Turns
from planner.plan.expand import Operation, Plan, stage_slots
from planner.plan.model import ALL, ALTERNATE, GAP, NOTICE, SIDE_FIRST, STEP_FIRST, Finding, Stage, Step
from planner.plan.names import laps, operation_name
from planner.plan.trial import Fails, Trial, after_pair
from planner.plan.turns import Changed


class Repair(NamedTuple):
    """A change that was proved to cure a finding: ``kind`` is turns, pace, move or rework."""

    kind: str
    says: str
    order: tuple[str, ...]
    change: Change | None = None


class Repairs(NamedTuple):
    """Repairs by finding id; ``stopped`` when time ran out before all were looked for."""

    by_finding: Mapping[str, Repair]
    stopped: bool

    def searched(self, finding: Finding) -> bool:
        """Whether every single change was tried; not said of a gap, which wants something added."""
        return not self.stopped and _wanted(finding) and finding.level != GAP


_EARLIER, _LATER = -1, 1


class _Idea(NamedTuple):
    kind: str
    says: str
    change: Change
    tail: list[str]  # what remains to be done, from the first operation that is not as before
    start: int  # so many operations are as before
    changed: Changed | None = None


def _wanted(finding: Finding) -> bool:
    """Whether a repair is looked for: something fails that another order could hold."""
    fails = finding.condition is not None or finding.rule == "after-broken"
    return fails and not finding.history and finding.level != NOTICE


def find_repairs(
    plan: Plan,
    done: Sequence[Operation],
    rest: Sequence[Operation],
    findings: Sequence[Finding],
    expired: Callable[[], bool],
) -> Repairs:
    """A repair for every finding that a single change can cure, in the order of the findings."""
    wanted = [finding for finding in findings if _wanted(finding)]
    found: dict[str, Repair] = {}
    if not wanted:
        return Repairs(found, False)
    search = _Search(plan, done, rest)
    for finding in wanted:
        for idea in search.ideas(finding):
            if search.trial.cures(idea.tail, search.cured, idea.start, idea.changed):
                order = (*(op.name for op in done), *search.rest[: idea.start], *idea.tail)
                found[finding.id] = Repair(idea.kind, idea.says, order, idea.change)
                break
            if expired():
                return Repairs(found, True)
    return Repairs(found, False)


class _Search:
    """The ideas for one order."""

    def __init__(self, plan: Plan, done: Sequence[Operation], rest: Sequence[Operation]) -> None:
        self.plan = plan
        self.trial = Trial(plan, done, rest)
        self.rest = self.trial.rest
        self.ops = plan.by_name
        self.cured: Fails = {}
        # What is left of each stage, in order; a stage that is over is empty.
        self.stages: list[list[str]] = [[] for _ in plan.stages]
        counted: dict[str, int] = {}
        left: dict[str, int] = {}
        for name in self.rest:
            left[name] = left.get(name, 0) + 1
        stage_of_rework = self._stages_of_rework()
        for name in self.rest:
            op = self.ops[name]
            stage = op.stage
            if op.step.rework:
                seen = counted[name] = counted.get(name, 0) + 1
                places = stage_of_rework.get(name, [stage])
                stage = places[seen - left[name] - 1 if seen - left[name] - 1 >= -len(places) else 0]
            self.stages[stage].append(name)
        self.begins: list[int] = []
        at = 0
        for names in self.stages:
            self.begins.append(at)
            at += len(names)
        self.first_failing = 0
        self.homes = {step.id: index for index, (_, stage) in enumerate(plan.stages) for step in stage.steps}

    def _stages_of_rework(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for index, (_, stage) in enumerate(self.plan.stages):
            for name in stage.sequence or ():
                if name in self.plan.reworks:
                    found.setdefault(name, []).append(index)
        return found

    def ideas(self, finding: Finding) -> Iterator[_Idea]:
        """Everything worth trying against a finding, the least disruptive first."""
        names = [finding.at, *finding.also]
        failing = [index for index, name in enumerate(self.rest) if name in names]
        if not failing:
            return
        self.first_failing = failing[0]
        self.cured = self._pairs(finding, names)
        mine = list(dict.fromkeys(name for name in names if name in self.rest))
        givers = [name for name in self._givers(finding) if name not in mine]
        spoilers = [name for name in self._spoilers(finding) if name not in mine and name not in givers]
        steps = self._steps_of([*mine, *givers, *spoilers])
        # What looks back on other work may not dodge what spoils it: no check ahead of the weld it checks, and no
        # weld put off until after the sign-off.
        dodges = finding.rule != "spoiled" or not any(self._looks_back(self.ops[name]) for name in mine)
        yield from self._reworks(finding, failing)
        for same_stage in (True, False):
            if not same_stage:
                yield from self._direct_moves(finding, self._steps_of(givers))
            yield from self._moves(givers, same_stage, None)
            yield from self._moves(mine, same_stage, _LATER)
            if dodges:
                yield from self._moves(spoilers, same_stage, None)
            if same_stage:
                yield from self._turns(steps)
                yield from self._paces(steps)
            if dodges:
                yield from self._moves(mine, same_stage, _EARLIER)
        if dodges:
            yield from self._block_moves(steps)

    def _looks_back(self, op: Operation) -> bool:
        kind = self.plan.build.kinds.get(op.step.kind or "")
        return kind is not None and kind.looks_back

    def _steps_of(self, names: Sequence[str]) -> list[str]:
        return list(dict.fromkeys(self.ops[name].step.id for name in names))

    def _moves(self, names: Sequence[str], same_stage: bool, way: int | None) -> Iterator[_Idea]:
        """These operations or their whole steps moved, earlier or later or (None) either way."""
        yield from self._step_moves(self._steps_of(names), way, same_stage=same_stage)
        yield from self._op_moves(names, way, same_stage=same_stage)

    def _pairs(self, finding: Finding, names: Sequence[str]) -> Fails:
        pair = finding.condition if finding.condition is not None else after_pair(finding.cause or "")
        return dict.fromkeys(names, frozenset([pair]))

    def _givers(self, finding: Finding) -> list[str]:
        """The operations of steps that give the condition, or of the step that should be complete."""
        if finding.condition is None:
            return self._left_of({finding.cause})
        steps = {op.step.id for op in self.ops.values() if finding.condition in op.gives | op.job_gives | op.at_once}
        return self._left_of(steps)

    def _spoilers(self, finding: Finding) -> list[str]:
        """The operations of steps that spoil the condition."""
        return self._left_of({op.step.id for op in self.ops.values() if finding.condition in op.spoils})

    def _left_of(self, steps: Set[str | None]) -> list[str]:
        return list(dict.fromkeys(name for name in self.rest if self.ops[name].step.id in steps))

    def _order(self, changed: Mapping[int, list[str]]) -> tuple[list[str], int]:
        """What follows the first difference when some stages are changed, and where that is."""
        first = min(changed)
        start = self.begins[first]
        tail: list[str] = []
        for index in range(first, len(self.stages)):
            tail += changed.get(index, self.stages[index])
        same = 0
        for old, new in zip(self.rest[start:], tail, strict=False):
            if old != new:
                break
            same += 1
        return tail[same:], start + same

    def _expanded(self, stage: Stage, keep: set[str]) -> list[str]:
        """A changed stage's operations that are still to be done."""
        slots = list(stage_slots(stage, self.plan.build.sides))
        names = [
            operation_name(step.id, side, number if lap is None else lap)
            for lap in laps(stage.rounds)
            for step, side, number in slots
        ]
        return [name for name in names if name in keep]

    def _step_moves(self, steps: Sequence[str], way: int | None, *, same_stage: bool) -> Iterator[_Idea]:
        for step_id in steps:
            home = self.homes[step_id]
            source = self.plan.stages[home][1]
            if source.sequence is not None or (source.rounds > 1 and not same_stage):
                continue
            index = next(i for i, step in enumerate(source.steps) if step.id == step_id)
            step = source.steps[index]
            if step.rework:
                continue
            without = source._replace(steps=source.steps[:index] + source.steps[index + 1 :])
            targets = [home] if same_stage else sorted(range(len(self.plan.stages)), key=lambda i: abs(i - home))
            for target in targets:
                # What lies wholly behind the first failure cannot undo it.
                if (target == home) == same_stage and self.begins[min(home, target)] <= self.first_failing:
                    yield from self._into(step, home, without, target, index, way)

    def _direct_moves(self, finding: Finding, steps: Sequence[str]) -> Iterator[_Idea]:
        """The moves across stages that mostly help, ahead of all others: what helps, right before what fails."""
        before = self.ops[finding.at].step.id
        for mover in steps:
            home, target = self.homes[mover], self.homes[before]
            source, stage = self.plan.stages[home][1], self.plan.stages[target][1]
            index = next(i for i, step in enumerate(source.steps) if step.id == mover)
            if (
                mover == before
                or home == target
                or source.sequence is not None
                or source.rounds > 1
                or source.steps[index].rework
            ):
                continue
            without = source._replace(steps=source.steps[:index] + source.steps[index + 1 :])
            spot = next(i for i, step in enumerate(stage.steps) if step.id == before)
            yield from self._into(source.steps[index], home, without, target, index, None, only=spot)

    def _into(
        self, step: Step, home: int, without: Stage, target: int, index: int, way: int | None, only: int | None = None
    ) -> Iterator[_Idea]:
        if target != home and way not in (None, _EARLIER if target < home else _LATER):
            return
        stage = without if target == home else self.plan.stages[target][1]
        if target != home and (stage.sequence is not None or stage.rounds > 1 or self._refilmed(step, home, target)):
            return
        spots: list[int] = list(range(len(stage.steps) + 1)) if only is None else [only]
        if target == home:
            spots = [spot for spot in spots if spot != index and way in (None, _EARLIER if spot < index else _LATER)]
            spots.sort(key=lambda spot: abs(spot - index))
        elif target < home:
            spots.reverse()
        mine = set(self.stages[home])
        keep = mine | set(self.stages[target])
        left_behind = {} if target == home else {home: self._expanded(without, mine)}
        for spot in spots:
            changed = stage._replace(steps=(*stage.steps[:spot], step, *stage.steps[spot:]))
            tail, start = self._order({**left_behind, target: self._expanded(changed, keep)})
            if start <= self.first_failing and start + len(tail) == len(self.rest):
                says = self._step_says(step, stage, spot, target == home)
                yield _Idea("move", says, MoveStep(step.id, target, spot), tail, start)

    def _refilmed(self, step: Step, home: int, target: int) -> bool:
        """Whether the step would be filmed otherwise there, where that changes its conditions."""
        if not any(self.plan.build.on_camera) or step.film is not None:
            return False

        def film(index: int) -> str:
            episode, stage = self.plan.stages[index]
            return stage.film or episode.film or self.plan.build.film or ALL

        return film(home) != film(target)

    def _step_says(self, step: Step, stage: Stage, spot: int, same: bool) -> str:
        where = "" if same else f" into the stage “{stage.title}”,"
        if spot < len(stage.steps):
            return f"Move the step {step.id}{where} before {stage.steps[spot].id}."
        if spot > 0:
            return f"Move the step {step.id}{where} after {stage.steps[spot - 1].id}."
        return f"Move the step {step.id} into the stage “{stage.title}”."

    def _turns(self, steps: Sequence[str]) -> Iterator[_Idea]:
        for step_id in steps:
            home = self.homes[step_id]
            stage = self.plan.stages[home][1]
            step = next(each for each in stage.steps if each.id == step_id)
            if stage.sequence is not None or step.once or step.rework:
                continue
            orders = list(permutations(step.sides)) if 1 < len(step.sides) <= 4 else []
            choices: list[str | tuple[str, ...]] = [ALTERNATE, SIDE_FIRST, *orders]
            for turns in choices:
                if turns == step.turns:
                    continue
                fresh = step._replace(turns=turns)
                changed = stage._replace(steps=tuple(fresh if s.id == step_id else s for s in stage.steps))
                tail, start = self._order({home: self._expanded(changed, set(self.stages[home]))})
                if start > self.first_failing:
                    continue
                shown = turns if isinstance(turns, str) else f"[{', '.join(turns)}]"
                says = f"Give the step {step_id} turns: {shown}."
                yield _Idea("turns", says, Turns(step_id, turns), tail, start, {step_id: (fresh, stage.pace)})

    def _paces(self, steps: Sequence[str]) -> Iterator[_Idea]:
        for home in dict.fromkeys(self.homes[step_id] for step_id in steps):
            stage = self.plan.stages[home][1]
            if stage.sequence is not None:
                continue
            pace = SIDE_FIRST if stage.pace == STEP_FIRST else STEP_FIRST
            tail, start = self._order({home: self._expanded(stage._replace(pace=pace), set(self.stages[home]))})
            if start <= self.first_failing:
                changed = {step.id: (step, pace) for step in stage.steps}
                yield _Idea(
                    "pace", f"Give the stage “{stage.title}” pace: {pace}.", Pace(home, pace), tail, start, changed
                )

    def _op_moves(self, movers: Sequence[str], way: int | None, *, same_stage: bool) -> Iterator[_Idea]:
        bounds: dict[int, tuple[int, int]] = {}
        at = 0
        for index, names in enumerate(self.stages):
            bounds[index] = (at, at + len(names))
            at += len(names)
        for name in movers:
            here = self.rest.index(name)
            low, high = bounds[self.ops[name].stage]
            if not low <= here < high:
                low, high = here, here + 1
            inside = range(low, high)
            spots = inside if same_stage else [i for i in range(len(self.rest)) if i not in inside]
            without = self.rest[:here] + self.rest[here + 1 :]
            for spot in sorted(spots, key=lambda spot: abs(spot - here)):
                start = min(spot, here)
                if spot == here or start > self.first_failing or way not in (None, _EARLIER if spot < here else _LATER):
                    continue  # what fails first would stay as it is
                tail = [*without[start:spot], name, *without[spot:]]
                where = f"before {without[spot]}" if spot < here else f"after {without[spot - 1]}"
                by, before = (without[spot], True) if spot < here else (without[spot - 1], False)
                yield _Idea("move", f"Do {name} right {where}.", MoveOperation(name, by, before), tail, start)

    def _reworks(self, finding: Finding, failing: Sequence[int]) -> Iterator[_Idea]:
        if finding.condition is None:
            return
        for name, op in self.plan.reworks.items():
            if finding.condition not in op.gives | op.job_gives | op.at_once:
                continue
            for spot in range(failing[0], -1, -1):
                tail = [name, *self.rest[spot:]]
                yield _Idea(
                    "rework", f"Put {name} in before {self.rest[spot]}.", PutIn(name, self.rest[spot]), tail, spot
                )

    def _block_moves(self, steps: Sequence[str]) -> Iterator[_Idea]:
        for step_id in steps:
            block = [name for name in self.rest if self.ops[name].step.id == step_id]
            if len(block) < 2 or self.ops[block[0]].step.rework:
                continue
            others = [name for name in self.rest if self.ops[name].step.id != step_id]
            for spot in range(len(others) + 1):
                order = [*others[:spot], *block, *others[spot:]]
                where = f"before {others[spot]}" if spot < len(others) else f"after {others[-1]}" if others else "first"
                by = others[min(spot, len(others) - 1)] if others else None
                block_move = MoveBlock(step_id, by, spot < len(others))
                yield _Idea("move", f"Do all of {step_id} right {where}.", block_move, order, 0)
