"""Traps put into small builds on purpose: of kinds that chance seldom makes and a single change can cure."""

from __future__ import annotations

from dataclasses import replace
from random import Random

from tests.oracle.shapes import Build, Stage, Step

PLANTED = "planted"  # the condition the trap is about


def swap_two(build: Build, random: Random) -> Build:
    """Two steps of one stage change places."""
    long = [stage for stage in build.stages() if len(stage.steps) > 1]
    if not long:
        return build
    chosen = random.choice(long)
    steps = list(chosen.steps)
    a, b = random.sample(range(len(steps)), 2)
    steps[a], steps[b] = steps[b], steps[a]
    return _with_stages(build, {chosen.name: replace(chosen, steps=tuple(steps))})


def plant(build: Build, random: Random) -> Build:
    """A stage more, with a trap in it that wants another pace, other turns, or rework."""
    made = random.choice((_wants_steps, _wants_sides, _wants_turns, _wants_rework))(build, random)
    scope, stage = made
    last = build.episodes[-1]
    at = random.randint(0, len(last.stages))
    stages = (*last.stages[:at], stage, *last.stages[at:])
    return replace(
        build,
        conditions={**build.conditions, PLANTED: scope},
        start=(*build.start, PLANTED),
        episodes=(*build.episodes[:-1], replace(last, stages=stages)),
    )


def _with_stages(build: Build, changed: dict[str, Stage]) -> Build:
    episodes = []
    for episode in build.episodes:
        stages = tuple(changed.get(stage.name, stage) for stage in episode.stages)
        episodes.append(replace(episode, stages=stages))
    return replace(build, episodes=tuple(episodes))


def _wants_steps(build: Build, random: Random) -> tuple[str, Stage]:
    """Side by side, the first side spoils what the second still needs: step by step it is sound."""
    needs = f"{PLANTED}@{random.choice(('all', 'others'))}"
    steps = (Step("needs-both", needs=(needs,)), Step("ends-it", spoils=(PLANTED,)))
    return "side", Stage("Planted stage", steps, pace="side-first")


def _wants_sides(build: Build, random: Random) -> tuple[str, Stage]:
    """Step by step, the first side takes what the second needs and gives it back too late."""
    steps = (Step("takes", needs=(PLANTED,), spoils=(PLANTED,)), Step("gives-back", gives=(PLANTED,)))
    if random.random() < 0.5:
        return "job", Stage("Planted stage", steps)
    words = (f"{PLANTED}@all",)
    steps = (Step("takes", needs=words, spoils=words), Step("gives-back", gives=words))
    return "side", Stage("Planted stage", steps, random.choice((None, "step-first")))


def _wants_turns(build: Build, random: Random) -> tuple[str, Stage]:
    """One side must come last."""
    last = f"{PLANTED}@{random.choice(build.sides)}"
    return "side", Stage("Planted stage", (Step("one-last", needs=(last,), spoils=(PLANTED,)),))


def _wants_rework(build: Build, random: Random) -> tuple[str, Stage]:
    """A step done once spoils what a later one needs; a rework step gives it back."""
    scope = random.choice(("side", "job"))
    where = random.choice(build.sides)
    spoils, needs = Step("spoils", "once", spoils=(PLANTED,)), Step("needs", "once", needs=(PLANTED,))
    back = Step("back", "once", gives=(PLANTED,), rework=True)
    if scope == "side" and random.random() < 0.5:
        back = replace(back, sides="each")
        needs = Step("needs", (where,), why=True, needs=(PLANTED,))
    third = Step("asks-first", needs=(PLANTED,), after=("needs",)) if random.random() < 0.3 else None
    steps = (spoils, needs, back) if third is None else (spoils, needs, third, back)
    # Moving a step would cure it too: links keep the two in their order.
    return scope, Stage("Planted stage", (steps[0], replace(needs, after=("spoils",)), *steps[2:]))
