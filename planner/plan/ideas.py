"""Single changes that might cure a finding, those first that a fabricator would make.

Only a change that touches an operation which has to do with the failing facts can cure it: the failing operation
itself, those that give or spoil the facts (of what is kept part by part: the open parts, so that work on another part
is no cure), and the other rounds and sides of such steps. All single changes of these are ideas, in this order:
rework made for it; the failing operation later; what comes too late, earlier; what undoes it, elsewhere; what was
planned for another purpose; turns and pace; the failing operation earlier. Within a stage before across stages, and
what cannot be undone leaves its stage last of all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence, Set
from itertools import permutations
from typing import NamedTuple

from planner.plan.changes import Change, MoveBlock, MoveOperation, MoveStep, Pace, PutIn, Turns, Two
from planner.plan.expand import Operation, Plan, stage_slots
from planner.plan.model import ALL, ALTERNATE, SIDE_FIRST, STEP_FIRST, Finding, Stage, Step
from planner.plan.names import laps, operation_name, step_of
from planner.plan.trial import Fails, Trial, after_pair
from planner.plan.turns import Changed

_EARLIER, _LATER = -1, 1
_MOST_LISTED = 4  # sides whose every order is tried as turns


class TimeIsUpError(Exception):
    """The time for looking is over."""


class Idea(NamedTuple):
    """A change, and the order it leads to."""

    kind: str
    change: Change
    tail: list[str]  # what remains to be done, from the first operation that is not as before
    start: int  # so many operations are as before
    changed: Changed | None = None


class Case(NamedTuple):
    """What a finding is about."""

    finding: Finding
    pairs: Fails
    facts: frozenset[str]
    failing: tuple[int, ...]  # the places of its operations in what remains
    mine: list[str]
    givers: list[str]
    spoilers: list[str]

    @property
    def last(self) -> int:
        """A change that begins behind this place of what remains cures nothing."""
        return self.failing[0] if self.failing else 1 << 60

    @property
    def names(self) -> tuple[str, ...]:
        """The operations that fail, and the ends."""
        return (self.finding.at, *self.finding.also)


def facts_of(plan: Plan, finding: Finding) -> frozenset[str]:
    """The facts that a finding says do not hold: of a condition kept part by part, those of the open parts."""
    if finding.condition is None:
        return frozenset()
    pieces = set(finding.parts)
    found = {
        fact
        for fact, part in plan.parts.items()
        if part.condition == finding.condition and (not pieces or part.piece in pieces)
    }
    return frozenset(found or {finding.condition})


def given_by(op: Operation) -> frozenset[str]:
    """All that an operation may give."""
    return op.gives | op.job_gives | op.at_once if op.job_gives or op.at_once else op.gives


def spoiled_by(op: Operation) -> frozenset[str]:
    """All that an operation may spoil."""
    return op.spoils | op.late_spoils if op.late_spoils else op.spoils


class Search:
    """The ideas for one order. ``expired``: whether the time is up; asked inside every loop."""

    def __init__(
        self, plan: Plan, done: Sequence[Operation], rest: Sequence[Operation], expired: Callable[[], bool]
    ) -> None:
        self.plan = plan
        self.trial = Trial(plan, done, rest)
        self.rest = self.trial.rest
        self.ops = plan.by_name
        self._expired = expired
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
        self.homes = {step.id: index for index, (_, stage) in enumerate(plan.stages) for step in stage.steps}
        self._giving: dict[str, dict[str, None]] | None = None
        self._spoiling: dict[str, dict[str, None]] = {}
        self._by_step: dict[str, list[str]] | None = None

    def tick(self) -> None:
        """Raise TimeIsUpError when it is."""
        if self._expired():
            raise TimeIsUpError

    def _stages_of_rework(self) -> dict[str, list[int]]:
        found: dict[str, list[int]] = {}
        for index, (_, stage) in enumerate(self.plan.stages):
            for name in stage.sequence or ():
                if name in self.plan.reworks:
                    found.setdefault(name, []).append(index)
        return found

    # What a finding is about

    def case(self, finding: Finding) -> Case:
        """What a finding is about, and the operations that have to do with it."""
        facts = facts_of(self.plan, finding)
        names = (finding.at, *finding.also)
        pair = finding.condition if finding.condition is not None else after_pair(finding.cause or "")
        failing = sorted(self.trial.first[name] for name in names if name in self.trial.first)
        mine = [self.rest[index] for index in failing]
        steps = (
            self._steps(facts, giving=True)
            if finding.condition is not None
            else ([finding.cause] if finding.cause else [])
        )
        givers = [name for name in self._left_of(steps) if name not in mine]
        spoilers = [name for name in self._left_of(self._steps(facts, giving=False)) if name not in mine]
        pairs = dict.fromkeys(names, frozenset([pair]))
        return Case(
            finding, pairs, facts, tuple(failing), mine, givers, [name for name in spoilers if name not in givers]
        )

    def _steps(self, facts: Set[str], *, giving: bool) -> list[str]:
        if self._giving is None:
            self._giving = {}
            for op in self.ops.values():
                for fact in given_by(op):
                    self._giving.setdefault(fact, {})[op.step.id] = None
                for fact in spoiled_by(op):
                    self._spoiling.setdefault(fact, {})[op.step.id] = None
        index = self._giving if giving else self._spoiling
        return list(dict.fromkeys(step for fact in sorted(facts) for step in index.get(fact, ())))

    def _left_of(self, steps: Sequence[str]) -> list[str]:
        """The operations of steps that remain, in order."""
        if self._by_step is None:
            self._by_step = {}
            for name in self.trial.first:
                self._by_step.setdefault(self.ops[name].step.id, []).append(name)
        by_step = self._by_step
        return sorted((name for step in steps for name in by_step.get(step, ())), key=self.trial.first.__getitem__)

    def moved(self, change: Change) -> dict[str, int]:
        """The operations that a change puts into another episode, and the index of their stage there."""
        if isinstance(change, Two):
            return self.moved(change.first) | self.moved(change.second)
        if isinstance(change, MoveStep):
            step, target = change.step, change.stage
        elif isinstance(change, MoveOperation | MoveBlock) and change.by is not None:
            step = step_of(change.op) if isinstance(change, MoveOperation) else change.step
            target = self.ops[change.by].stage
        else:
            return {}
        if self.plan.stages[self.homes[step]][0].number == self.plan.stages[target][0].number:
            return {}
        return dict.fromkeys([change.op] if isinstance(change, MoveOperation) else self._left_of([step]), target)

    # The ideas

    def ideas(self, case: Case) -> Iterator[Idea]:
        """Everything worth trying against a finding, the best first."""
        if not case.failing and case.finding.rule != "left-open":
            return
        at = case.failing[0] if case.failing else len(self.rest)
        due = [name for name in case.givers if self.trial.first[name] > at] if case.failing else case.givers
        other = [name for name in case.givers if name not in due]
        steps = self._steps_of([*case.mine, *case.givers, *case.spoilers])
        yield from self._reworks(case)
        for same_stage in (True, False):
            if due and case.failing and (same_stage or not self._final(case.mine)):
                yield from self._moves(case, case.mine, same_stage, _LATER)
            if not same_stage and case.failing:
                yield from self._direct_moves(case, self._steps_of(due))
            yield from self._moves(case, due, same_stage, None)
            yield from self._moves(case, case.spoilers, same_stage, None)
            yield from self._moves(case, other, same_stage, None)
            if same_stage:
                yield from self._turns(case, steps)
                yield from self._paces(case, steps)
            elif due and case.failing and self._final(case.mine):
                yield from self._moves(case, case.mine, same_stage, _LATER)
            yield from self._moves(case, case.mine, same_stage, _EARLIER)
            if not due:
                yield from self._moves(case, case.mine, same_stage, _LATER)
        yield from self._block_moves(steps)

    def _final(self, names: Sequence[str]) -> bool:
        return any(self.ops[name].step.one_way for name in names)

    def _steps_of(self, names: Sequence[str]) -> list[str]:
        return list(dict.fromkeys(self.ops[name].step.id for name in names))

    def _moves(self, case: Case, names: Sequence[str], same_stage: bool, way: int | None) -> Iterator[Idea]:
        """These operations or their whole steps moved, earlier or later or (None) either way."""
        yield from self._step_moves(case, self._steps_of(names), way, same_stage=same_stage)
        yield from self._op_moves(case, names, way, same_stage=same_stage)

    def order(self, changed: Mapping[int, list[str]]) -> tuple[list[str], int]:
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
        return [name for name in self.planned(stage) if name in keep]

    def planned(self, stage: Stage) -> list[str]:
        """A stage's operations by its pace and turns."""
        slots = list(stage_slots(stage, self.plan.build.sides))
        return [
            operation_name(step.id, side, number if lap is None else lap)
            for lap in laps(stage.rounds)
            for step, side, number in slots
        ]

    def _step_moves(self, case: Case, steps: Sequence[str], way: int | None, *, same_stage: bool) -> Iterator[Idea]:
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
                if (target == home) == same_stage and self.begins[min(home, target)] <= case.last:
                    yield from self._into(case, step, home, without, target, index, way)

    def _direct_moves(self, case: Case, steps: Sequence[str]) -> Iterator[Idea]:
        """The moves across stages that mostly help, ahead of all others: what helps, right before what fails."""
        before = self.ops[case.mine[0]].step.id
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
            yield from self._into(case, source.steps[index], home, without, target, index, None, only=spot)

    def _into(
        self,
        case: Case,
        step: Step,
        home: int,
        without: Stage,
        target: int,
        index: int,
        way: int | None,
        only: int | None = None,
    ) -> Iterator[Idea]:
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
            self.tick()
            changed = stage._replace(steps=(*stage.steps[:spot], step, *stage.steps[spot:]))
            tail, start = self.order({**left_behind, target: self._expanded(changed, keep)})
            if start <= case.last and start + len(tail) == len(self.rest):
                yield Idea("move", MoveStep(step.id, target, spot), tail, start)

    def _refilmed(self, step: Step, home: int, target: int) -> bool:
        """Whether the step would be filmed otherwise there, where that changes its conditions."""
        if not any(self.plan.build.on_camera) or step.film is not None:
            return False

        def film(index: int) -> str:
            episode, stage = self.plan.stages[index]
            return stage.film or episode.film or self.plan.build.film or ALL

        return film(home) != film(target)

    def _turns(self, case: Case, steps: Sequence[str]) -> Iterator[Idea]:
        for step_id in steps:
            home = self.homes[step_id]
            stage = self.plan.stages[home][1]
            step = next(each for each in stage.steps if each.id == step_id)
            if stage.sequence is not None or step.once or step.rework:
                continue
            orders = list(permutations(step.sides)) if 1 < len(step.sides) <= _MOST_LISTED else []
            choices: list[str | tuple[str, ...]] = [ALTERNATE, SIDE_FIRST, *orders]
            for turns in choices:
                if turns == step.turns:
                    continue
                self.tick()
                fresh = step._replace(turns=turns)
                changed = stage._replace(steps=tuple(fresh if s.id == step_id else s for s in stage.steps))
                tail, start = self.order({home: self._expanded(changed, set(self.stages[home]))})
                if start <= case.last:
                    yield Idea("turns", Turns(step_id, turns), tail, start, {step_id: (fresh, stage.pace)})

    def _paces(self, case: Case, steps: Sequence[str]) -> Iterator[Idea]:
        for home in dict.fromkeys(self.homes[step_id] for step_id in steps):
            stage = self.plan.stages[home][1]
            if stage.sequence is not None:
                continue
            self.tick()
            pace = SIDE_FIRST if stage.pace == STEP_FIRST else STEP_FIRST
            tail, start = self.order({home: self._expanded(stage._replace(pace=pace), set(self.stages[home]))})
            if start <= case.last:
                changed = {step.id: (step, pace) for step in stage.steps}
                yield Idea("pace", Pace(home, pace), tail, start, changed)

    def _op_moves(self, case: Case, movers: Sequence[str], way: int | None, *, same_stage: bool) -> Iterator[Idea]:
        for name in movers:
            here = self.trial.first[name]
            stage = self.ops[name].stage
            low = self.begins[stage]
            high = low + len(self.stages[stage])
            if not low <= here < high:
                low, high = here, here + 1
            inside = range(low, high)
            spots = inside if same_stage else [i for i in range(len(self.rest)) if i not in inside]
            without = self.rest[:here] + self.rest[here + 1 :]
            for spot in sorted(spots, key=lambda spot: abs(spot - here)):
                start = min(spot, here)
                if spot == here or start > case.last or way not in (None, _EARLIER if spot < here else _LATER):
                    continue  # what fails first would stay as it is
                self.tick()
                tail = [*without[start:spot], name, *without[spot:]]
                by, before = (without[spot], True) if spot < here else (without[spot - 1], False)
                yield Idea("move", MoveOperation(name, by, before), tail, start)

    def _reworks(self, case: Case) -> Iterator[Idea]:
        """Rework that gives what is missing: right before what fails; where nothing fails but is owed, right behind
        the last that opened it."""
        if not case.facts:
            return
        for name, op in self.plan.reworks.items():
            if case.facts.isdisjoint(given_by(op)):
                continue
            if case.failing:
                for spot in range(case.failing[0], -1, -1):
                    self.tick()
                    yield Idea("rework", PutIn(name, self.rest[spot], True), [name, *self.rest[spot:]], spot)
                continue
            opened = self.trial.first.get(case.finding.cause or "", -1)
            for spot in range(opened + 1, len(self.rest) + 1):
                self.tick()
                by, before = (self.rest[spot - 1], False) if spot else (self.rest[0] if self.rest else name, True)
                yield Idea("rework", PutIn(name, by, before), [name, *self.rest[spot:]], spot)

    def _block_moves(self, steps: Sequence[str]) -> Iterator[Idea]:
        for step_id in steps:
            block = [name for name in self.rest if step_of(name) == step_id]
            if len(block) < 2 or self.ops[block[0]].step.rework:
                continue
            others = [name for name in self.rest if step_of(name) != step_id]
            for spot in range(len(others) + 1):
                self.tick()
                by = others[min(spot, len(others) - 1)] if others else None
                order = [*others[:spot], *block, *others[spot:]]
                yield Idea("move", MoveBlock(step_id, by, spot < len(others)), order, 0)
