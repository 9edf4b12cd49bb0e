"""Writing a repair, or an order that was found, into the plan.

A repair carries its change, and that is what is written: a step's ``turns`` or ``sides``, a stage's ``pace``, a step
moved. A change of single operations has no key of its own: the stage's operations are then listed outright
(``sequence``). Of an order alone nobody knows what changes; for that the smallest change of the text is looked for.
Either way the plan then leads to exactly the order that was proved. What cannot be written so is refused: a stage can
list only its own operations and rework.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import pairwise, permutations
from typing import NamedTuple

from planner.files.editing.sequences import operations
from planner.files.editing.spots import STAGE_KEYS, Edit, Spot, Texts, edit_of, text_at
from planner.files.editing.steps import move_step, set_key
from planner.files.yaml import edit as editing_text
from planner.files.yaml.places import EditError, Value
from planner.plan.changes import AddSides, Change, MoveBlock, MoveOperation, MoveStep, Pace, Turns
from planner.plan.model import ALTERNATE, SIDE_FIRST, STEP_FIRST, Build, Stage, Step
from planner.plan.names import step_of
from planner.plan.repairs import Repair

_MAX_PERMUTED = 4  # sides whose every order is tried


class _Home(NamedTuple):
    """A stage, where it is written, and its operations as planned."""

    stage: Stage
    spot: Spot
    planned: list[str]


class _Search(NamedTuple):
    """What is to be reached: the remaining order wanted, from these stages, with these operations done."""

    sides: tuple[str, ...]
    homes: list[_Home]
    reworks: frozenset[str]  # ids of rework steps
    done: Counter[str]
    wanted: list[str]

    def reaches(self, lists: Sequence[Sequence[str]]) -> bool:
        """Whether stages with these operations leave the wanted order to be done."""
        left: list[str] = []
        for names in self.split(lists):
            left += names
        return left == self.wanted

    def split(self, lists: Sequence[Sequence[str]]) -> list[list[str]]:
        """What is left to do of each stage's operations."""
        seen: Counter[str] = Counter()
        out = []
        for names in lists:
            left = []
            for name in names:
                seen[name] += 1
                if seen[name] > (self.done[name] if step_of(name) in self.reworks else min(self.done[name], 1)):
                    left.append(name)
            out.append(left)
        return out

    def fits(self, names: Sequence[str]) -> bool:
        """Whether what is left to do of one stage's operations stands in a row in the order wanted."""
        left = [name for name in names if not self.done[name]]
        if not left:
            return True
        if left[0] not in self.wanted:
            return False
        at = self.wanted.index(left[0])
        return self.wanted[at : at + len(left)] == left

    def with_stages(self, *changed: tuple[int, list[str]]) -> list[list[str]]:
        """The planned operations of every stage, some of them changed."""
        lists = [home.planned for home in self.homes]
        for index, names in changed:
            lists[index] = names
        return lists


def apply_repair(texts: Texts, build: Build, repair: Repair, done: Sequence[str] = ()) -> Edit:
    """The plan with a repair written into it. ``done``: the operations that ``repair.order`` begins with.

    ``build`` is the build as it was read from these texts. Raises EditError for a repair that a plan cannot say.
    """
    if isinstance(repair.change, AddSides):
        return _with_sides(texts, build, repair.change)
    search = _searching(build, repair.order, done)
    if search.reaches(search.with_stages()):
        return Edit({})
    for edit in _said(texts, search, repair.change):
        return edit
    for edit in _sequences(texts, search):
        return edit
    raise EditError(
        "this repair cannot be written into the plan: it does an operation in the middle of another stage, and a stage"
        " lists only its own. Do it so when the time comes, or split the step"
    )


def apply_order(texts: Texts, build: Build, order: Sequence[str], done: Sequence[str] = ()) -> Edit:
    """The plan with an order written into it by the smallest edit that says it: a pace, turns, a step moved, else a
    sequence. ``order`` begins with the operations of ``done``. Raises EditError for one that a plan cannot say.
    """
    search = _searching(build, order, done)
    if search.reaches(search.with_stages()):
        return Edit({})
    for way in (_pace, _turns, _moves, _sequences):
        for edit in way(texts, search):
            return edit
    raise EditError(
        "this order cannot be written into the plan: it does operations of one stage in the middle of another, and a"
        " stage lists only its own. Order one stage or episode at a time, or move the step to the other stage"
    )


def _with_sides(texts: Texts, build: Build, change: AddSides) -> Edit:
    """The sides of a step written anew; all of them need not be listed."""
    for episode in build.episodes:
        for index, stage in enumerate(episode.stages):
            for number, step in enumerate(stage.steps):
                if step.id == change.step:
                    spot = Spot(episode.place.path, index)._replace(step=number)
                    every: Value = None if len(change.sides) == len(build.sides) else list(change.sides)
                    edit = set_key(texts, spot, "sides", every)
                    if not isinstance(step.turns, tuple):
                        return edit
                    work = {**texts, **{path: text for path, text in edit.changes.items() if text is not None}}
                    turned = set_key(work, spot, "turns", [*step.turns, *change.added])
                    return Edit({**edit.changes, **turned.changes}, edit.notes)
    raise EditError(f"the plan has no step {change.step} any more")


def _said(texts: Texts, search: _Search, change: Change) -> Iterator[Edit]:
    """The change that a repair says, where the plan has a key or a place for it."""
    if isinstance(change, Pace):
        yield from _paced(texts, search, change.stage)
    elif isinstance(change, Turns):
        home, number = _home_of(search, change.step)
        yield from _turned(texts, search, home, number, change.turns)
    elif isinstance(change, MoveStep):
        yield from _put(texts, search, *_home_of(search, change.step), change.stage, [change.spot])
    elif isinstance(change, (MoveOperation, MoveBlock)):
        # Where these are all that is left of a step, to move it says the same.
        step = step_of(change.op) if isinstance(change, MoveOperation) else change.step
        home, number = _home_of(search, step)
        if not search.homes[home].stage.steps[number].rework:
            for target in _targets(search, search.homes[home].stage.steps[number], home):
                yield from _put(texts, search, home, number, target)


def _home_of(search: _Search, step_id: str) -> tuple[int, int]:
    """The stage of a step, and its number in it."""
    for index, home in enumerate(search.homes):
        for number, step in enumerate(home.stage.steps):
            if step.id == step_id:
                return index, number
    raise EditError(f"the plan has no step {step_id} any more")


def _searching(build: Build, order: Sequence[str], done: Sequence[str]) -> _Search:
    homes: list[_Home] = []
    reworks: set[str] = set()
    for episode in build.episodes:
        for index, stage in enumerate(episode.stages):
            listed = list(stage.sequence) if stage.sequence is not None else operations(stage, build.sides)
            homes.append(_Home(stage, Spot(episode.place.path, index), listed))
            reworks.update(step.id for step in stage.steps if step.rework)
    return _Search(build.sides, homes, frozenset(reworks), Counter(done), list(order[len(done) :]))


def _differing(search: _Search) -> list[int]:
    """The stages whose operations stand in other places now."""
    at = 0
    found = []
    for index, left in enumerate(search.split(search.with_stages())):
        if search.wanted[at : at + len(left)] != left:
            found.append(index)
        at += len(left)
    return found


def _pace(texts: Texts, search: _Search) -> Iterator[Edit]:
    for index in _differing(search):
        yield from _paced(texts, search, index)


def _paced(texts: Texts, search: _Search, index: int) -> Iterator[Edit]:
    """The other pace for a stage."""
    home = search.homes[index]
    if home.stage.sequence is None:
        pace = SIDE_FIRST if home.stage.pace == STEP_FIRST else STEP_FIRST
        fresh = operations(home.stage._replace(pace=pace), search.sides)
        if search.reaches(search.with_stages((index, fresh))):
            yield set_key(texts, home.spot, "pace", pace)


def _turns(texts: Texts, search: _Search) -> Iterator[Edit]:
    for index in _differing(search):
        for number, step in enumerate(search.homes[index].stage.steps):
            for turns in _other_turns(step):
                yield from _turned(texts, search, index, number, turns)


def _turned(texts: Texts, search: _Search, index: int, number: int, turns: str | tuple[str, ...]) -> Iterator[Edit]:
    """Other turns for a step."""
    home = search.homes[index]
    if home.stage.sequence is not None:
        return
    step = home.stage.steps[number]._replace(turns=turns)
    steps = (*home.stage.steps[:number], step, *home.stage.steps[number + 1 :])
    fresh = operations(home.stage._replace(steps=steps), search.sides)
    if search.reaches(search.with_stages((index, fresh))):
        value: Value = turns if isinstance(turns, str) else list(turns)
        yield set_key(texts, home.spot._replace(step=number), "turns", value)


def _other_turns(step: Step) -> Iterator[str | tuple[str, ...]]:
    if step.once or step.rework:
        return
    orders = permutations(step.sides) if 1 < len(step.sides) <= _MAX_PERMUTED else ()
    for turns in (ALTERNATE, SIDE_FIRST, *orders):
        if turns != step.turns:
            yield turns


def _moves(texts: Texts, search: _Search) -> Iterator[Edit]:
    """One step in another place of its stage or in another stage."""
    window = _window(search)
    for home, number, targets in [*_alone(search, window), *_splitting(search, window)]:
        for target in targets:
            yield from _put(texts, search, home, number, target)


def _put(
    texts: Texts, search: _Search, home: int, number: int, target: int, places: Sequence[int] | None = None
) -> Iterator[Edit]:
    """A step put at a place of a stage; with no ``places``, at any that leads to the order wanted, the last first."""
    stage = search.homes[home].stage
    without = stage._replace(steps=(*stage.steps[:number], *stage.steps[number + 1 :]))
    into = without if target == home else search.homes[target].stage
    if stage.sequence is not None or into.sequence is not None:
        return
    if target != home and (into.rounds > 1 or stage.rounds > 1):
        return
    left = operations(without, search.sides)
    for place in reversed(range(len(into.steps) + 1)) if places is None else places:
        fresh_steps = (*into.steps[:place], stage.steps[number], *into.steps[place:])
        fresh = operations(into._replace(steps=fresh_steps), search.sides)
        changed = [(target, fresh)] if target == home else [(target, fresh), (home, left)]
        if search.fits(fresh) and search.reaches(search.with_stages(*changed)):
            spot = search.homes[home].spot._replace(step=number)
            yield move_step(texts, spot, search.homes[target].spot, place)


def _window(search: _Search) -> frozenset[str]:
    """The operations between the first and the last that stand in another place now."""
    present = [name for left in search.split(search.with_stages()) for name in left]
    changed = [at for at, pair in enumerate(zip(present, search.wanted, strict=False)) if pair[0] != pair[1]]
    if len(present) != len(search.wanted) or not changed:
        return frozenset()
    return frozenset(present[changed[0] : changed[-1] + 1])


def _alone(search: _Search, window: frozenset[str]) -> Iterator[tuple[int, int, list[int]]]:
    """The steps without which the order wanted is the present one: stage, number in it, where they may go."""
    present = [name for left in search.split(search.with_stages()) for name in left]
    concerned = {step_of(name) for name in window}
    for index, home in enumerate(search.homes):
        for number, step in enumerate(home.stage.steps):
            if step.id in concerned and not step.rework:
                rest = [name for name in present if step_of(name) != step.id]
                if rest == [name for name in search.wanted if step_of(name) != step.id]:
                    yield index, number, _targets(search, step, index)


def _splitting(search: _Search, window: frozenset[str]) -> Iterator[tuple[int, int, list[int]]]:
    """The steps that part what is done side by side, so that the order of others changes when they move."""
    stages = [index for index, home in enumerate(search.homes) if not window.isdisjoint(home.planned)]
    concerned = {step_of(name) for name in window}
    for index in stages:
        for number, step in enumerate(search.homes[index].stage.steps):
            if step.id in concerned and (step.once or step.turns is not None) and not step.rework:
                yield index, number, stages


def _targets(search: _Search, step: Step, home: int) -> list[int]:
    """The stages that the place of a step's operations in the order wanted may belong to, its own first."""
    of_step = {each.id: index for index, found in enumerate(search.homes) for each in found.stage.steps}
    found = [home]
    own = [at for at, name in enumerate(search.wanted) if step_of(name) == step.id]
    for first, last in ((own[0], own[0]), (own[-1], own[-1])) if own else ():
        before = of_step.get(step_of(search.wanted[first - 1]), 0) if first else 0
        behind = search.wanted[last + 1 :]
        after = of_step.get(step_of(behind[0]), before) if behind else len(search.homes) - 1
        # A stage between these two is over: what is put into it comes next.
        found += [index for index in (before, after, *range(before, after + 1)) if index not in found]
    return list(dict.fromkeys(found))


def _sequences(texts: Texts, search: _Search) -> Iterator[Edit]:
    """The operations of stages listed outright; a step may change its stage for that."""
    of_step = {step.id: index for index, home in enumerate(search.homes) for step in home.stage.steps}
    for later in (True, False):
        changed = _listed(search, of_step, later)
        if changed is not None:
            yield edit_of(texts, _written(texts, search, changed), _told(search, changed))
    for home, number, targets in _alone(search, _window(search)):
        step = search.homes[home].stage.steps[number]
        for target in targets:
            if target != home and search.homes[home].stage.rounds == search.homes[target].stage.rounds == 1:
                moved = _rehomed(search, home, number, target)
                changed = _listed(moved, {**of_step, step.id: target}, True, target)
                if changed is not None:
                    spot = search.homes[home].spot._replace(step=number)
                    place = _place_in(moved, target, step.id)
                    edit = move_step(texts, spot, search.homes[target].spot, place)
                    work = {**texts, **{path: text for path, text in edit.changes.items() if text is not None}}
                    yield edit_of(texts, {**work, **_written(work, moved, changed)}, _told(moved, changed))


def _rehomed(search: _Search, home: int, number: int, target: int) -> _Search:
    """The search with a step in another stage."""
    homes = list(search.homes)
    step = homes[home].stage.steps[number]
    stage = homes[home].stage
    without = stage._replace(steps=(*stage.steps[:number], *stage.steps[number + 1 :]))
    own = [name for name in homes[home].planned if step_of(name) == step.id]
    left = [name for name in homes[home].planned if step_of(name) != step.id]
    left = left if stage.sequence is not None else operations(without, search.sides)
    homes[home] = homes[home]._replace(planned=left, stage=without)
    into = homes[target]
    homes[target] = into._replace(
        planned=[*into.planned, *own], stage=into.stage._replace(steps=(*into.stage.steps, step))
    )
    return search._replace(homes=homes)


def _place_in(search: _Search, target: int, step_id: str) -> int:
    """Where among the steps of its new stage a step is written: behind that whose operation comes before it."""
    order = [step.id for step in search.homes[target].stage.steps if step.id != step_id]
    first = next(at for at, name in enumerate(search.wanted) if step_of(name) == step_id)
    before = [step_of(name) for name in search.wanted[:first] if step_of(name) in order]
    return order.index(before[-1]) + 1 if before else 0


def _listed(search: _Search, of_step: dict[str, int], later: bool, always: int = -1) -> dict[int, list[str]] | None:
    """For every stage that changes, and ``always``, its operations in full; None where stages are not kept apart.

    A rework operation goes to the stage of what comes after it, or (not ``later``) before it.
    """
    own = [of_step[step_of(name)] if step_of(name) not in search.reworks else -1 for name in search.wanted]
    stages = _filled(own, later)
    if stages is None or any(a > b for a, b in pairwise(stages)):
        return None
    lists = search.with_stages()
    left = search.split(lists)
    fresh: list[list[str]] = []
    for index, names in enumerate(lists):
        segment = [name for name, stage in zip(search.wanted, stages, strict=True) if stage == index]
        behind = list(names)
        for name in left[index]:
            behind.reverse()
            behind.remove(name)
            behind.reverse()
        fresh.append(names if segment == left[index] else [*behind, *segment])
    counted = Counter(name for names in lists for name in names)
    for index, names in enumerate(fresh):
        for name in dict.fromkeys(name for name in names if step_of(name) in search.reworks):
            extra = search.done[name] - counted[name]
            if names != lists[index] and extra > 0:  # done oftener than planned: those count as the first ones
                fresh[index] = [*[name] * extra, *fresh[index]]
    if not search.reaches(fresh):
        return None
    return {index: names for index, names in enumerate(fresh) if names != lists[index] or index == always}


def _filled(own: list[int], later: bool) -> list[int] | None:
    """The stage of every operation; rework, marked -1, goes with its neighbour."""
    out = list(own)
    order = range(len(out) - 1, -1, -1) if later else range(len(out))
    for again in (order, range(len(out) - 1, -1, -1), range(len(out))):
        near = -1
        for at in again:
            if out[at] < 0:
                out[at] = near
            near = out[at]
    return None if -1 in out else out


def _written(texts: Texts, search: _Search, changed: dict[int, list[str]]) -> dict[str, str]:
    work: dict[str, str] = {}
    for index, names in changed.items():
        spot = search.homes[index].spot
        text = work.get(spot.path) or text_at(texts, spot.path)
        listed: list[Value] = list(names)
        work[spot.path] = editing_text.set_value(text, (*spot.inside, "sequence"), listed, STAGE_KEYS)
    return work


def _told(search: _Search, changed: dict[int, list[str]]) -> list[str]:
    return [f"the stage “{search.homes[index].stage.title}” lists its operations now (sequence)" for index in changed]
