"""What ticks show, said a second time: work ahead of whole stages, turns from the first tick on, and waits not over.

Written from the meaning alone; builds made by chance, ticked in an order and at times made by chance.
"""

from __future__ import annotations

import re
from itertools import pairwise
from pathlib import Path
from random import Random
from typing import NamedTuple

import pytest

from planner.session.onebuild import OneBuild, Ticked
from tests.oracle import generator, writing
from tests.oracle.plain import Ground, Operation, ground
from tests.oracle.shapes import covered

BUILDS, CHUNK = 600, 100
BEGIN = 1_800_000_000.0


class Work(NamedTuple):
    """A build with waits and stages for any time, neither of which the other oracles know."""

    known: Ground
    stage_of: dict[str, int]  # step -> its stage
    any_time: frozenset[int]
    waits: dict[str, int]  # step -> seconds

    def stage(self, name: str) -> int:
        return self.stage_of[self.known.operations[name].step]

    def wait(self, name: str) -> int:
        return self.waits.get(self.known.operations[name].step, 0)


def made(seed: int, folder: Path) -> Work:
    """Write the build of this seed, with waits and stages for any time put in."""
    random = Random(f"ticked {seed}")
    build = generator.make(seed, small=True)
    writing.write(build, folder)
    names = [stage.name for stage in build.stages()]
    free = frozenset(i for i in range(len(names)) if random.random() < 0.2)
    waits = {step.name: random.randrange(3, 90) * 60 for step in build.steps() if random.random() < 0.5}
    for path in (folder / "episodes").iterdir():
        text = path.read_text(encoding="utf-8")
        for index in free:
            text = re.sub(rf"(  - stage: {names[index]}\n)", r"\1    any-time: true\n", text)
        for step, seconds in waits.items():
            text = re.sub(rf"(      - step: {step}\n)", rf"\1        wait: {seconds // 60} min\n", text)
        path.write_text(text, encoding="utf-8")
    stage_of = {step.name: index for index, stage in enumerate(build.stages()) for step in stage.steps}
    return Work(ground(build), stage_of, free, waits)


def ahead_of(work: Work, done: list[str], name: str) -> str | None:
    """The first open operation of an earlier stage, where nothing of the stage of ``name`` is ticked yet."""
    mine = work.stage(name)
    if mine in work.any_time or work.known.operations[name].rework:
        return None
    if any(work.stage(each) == mine and not work.known.operations[each].rework for each in done):
        return None
    for each in work.known.planned:
        where = work.stage(each)
        waits = where < mine and where not in work.any_time and not work.known.operations[each].rework
        if waits and each not in done:
            return each
    return None


def in_turn(work: Work, done: list[str], name: str) -> bool:
    """Whether the turns of its step let it be done now, from the first tick on."""
    ops = work.known.operations
    op = ops[name]
    build = work.known.build
    stage = build.stages()[work.stage(name)]
    step = next(each for each in stage.steps if each.name == op.step)
    sides = covered(step, build.sides)
    if step.rework or (step.rounds == 1 and step.turns is None):
        return True
    by_side = stage.pace == "side-first" and step.sides != "once"
    turns = step.turns or ("side-first" if by_side else "alternate")
    # In a stage that is done several times over, each pass has its turns; there a step has one round.
    mates = [ops[each] for each in done if ops[each].step == op.step]
    if stage.rounds > 1:
        mates = [each for each in mates if each.number == op.number]
    number = 1 if stage.rounds > 1 else op.number
    rounds = {side: {1 if stage.rounds > 1 else each.number for each in mates if each.side == side} for side in sides}
    if turns == "alternate":
        return number == 1 or all(number - 1 in rounds[side] for side in sides)
    if turns == "side-first":
        begun = list(dict.fromkeys(each.side for each in mates))
        before = begun[: begun.index(op.side)] if op.side in begun else begun
        return all(len(rounds[side]) == step.rounds for side in before)
    ahead = list(turns)[: list(turns).index(str(op.side))]
    return all(number in rounds[side] for side in ahead)


def too_soon(work: Work, ticks: list[tuple[str, float]]) -> set[tuple[str, str]]:
    """The operations ticked before a wait was over that they depend on, with the one whose wait ended last."""
    there: dict[str, tuple[float, str]] = {}  # fact -> since when it may be relied on, and on whom
    truth = set(work.known.start)
    at: dict[str, float] = {}
    last: dict[tuple[str, str | None], Operation] = {}
    found = set()
    for name, now in ticks:
        op = work.known.operations[name]
        running = [there[fact] for fact in op.needs & truth if fact in there]
        for _, targets in op.after:
            running += [(at[each] + work.wait(each), each) for each in targets if each in at]
        earlier = last.get((op.step, op.side))
        if earlier is not None and earlier.number < op.number and in_rounds(work, op):
            running.append((at[earlier.name] + work.wait(earlier.name), earlier.name))
        running = [each for each in running if each[0] > now]
        if running:
            found.add((name, max(running)[1]))
        at[name] = now
        if in_rounds(work, op):
            last[op.step, op.side] = op
        given: set[str] = set()
        if op.rounds_here <= at.keys():
            given |= op.gives_on_side
        if op.rounds_everywhere <= at.keys():
            given |= op.gives_on_job
        for fact in op.spoils:
            truth.discard(fact)
            there.pop(fact, None)
        for fact in given:
            ends = (now + work.wait(name), name)
            if fact not in truth or (fact in there and there[fact][0] >= ends[0]):
                there[fact] = ends
            truth.add(fact)
    return found


def in_rounds(work: Work, op: Operation) -> bool:
    """Whether the operation is one of several rounds of its step, or passes of its stage."""
    stage = work.known.build.stages()[work.stage_of[op.step]]
    return stage.rounds > 1 or next(each for each in stage.steps if each.name == op.step).rounds > 1


def order_of(planned: tuple[str, ...], random: Random) -> list[str]:
    """The planned order with some of it changed about, or any order at all."""
    order = list(planned)
    if random.random() < 0.3:
        random.shuffle(order)
    for _ in range(random.randrange(4)):
        if len(order) > 1:
            place = random.randrange(len(order) - 1)
            order.insert(random.randrange(len(order)), order.pop(place))
    return order[: random.randint(1, len(order))]


@pytest.mark.parametrize("first", range(0, BUILDS, CHUNK))
def test_ticks_show_what_a_second_reading_of_the_meaning_says(first: int, tmp_path: Path) -> None:
    ahead = turned = hurried = 0
    for seed in range(first, first + CHUNK):
        folder = tmp_path / str(seed)
        work = made(seed, folder)
        random = Random(f"order {seed}")
        now = [BEGIN]
        one = OneBuild(folder, "shop", lambda now=now: now[0])  # type: ignore[misc]
        ticks: list[tuple[str, float]] = []
        done: list[str] = []
        for name in order_of(work.known.planned, random):
            op = one.live.by_name[name]
            found, wanted = one.live.ahead_of(op), ahead_of(work, done, name)
            assert (found.name if found else None) == wanted, (seed, name)
            turn = in_turn(work, done, name)
            assert one.live.out_of_turn(op) is not turn, (seed, name, done)
            assert isinstance(one.tick(name, anyway=True), Ticked), (seed, name)
            ahead += wanted is not None
            turned += not turn
            ticks.append((name, now[0]))
            done.append(name)
            now[0] += random.randrange(60, 3600) + 0.001 * len(done)
        says = {(each.at, each.cause) for each in one.findings() if each.rule == "too-soon"}
        meant = too_soon(work, ticks)
        assert says == meant, (seed, ticks)
        hurried += len(meant)
        one.log.close()
        assert all(early < late for (_, early), (_, late) in pairwise(ticks))
    assert min(ahead, turned, hurried) > CHUNK // 20, (ahead, turned, hurried)
