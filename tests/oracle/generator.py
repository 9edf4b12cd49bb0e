"""Builds made by chance: one seed, one build, always the same.

Few conditions and few steps, so that things get in each other's way. The `care` of a build says how often a
step asks only for what an earlier step provided: some builds come out sound or nearly so, others thoroughly
broken. Left out on purpose, because their meaning is tested elsewhere: kinds, pieces, times, numbers, ticks.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from random import Random

from tests.oracle.planting import plant, swap_two
from tests.oracle.shapes import Build, Episode, Stage, Step, covered, operation_name

SIDE_NAMES = (
    ("driver", "passenger"),
    ("left", "right"),
    ("front-left", "front-right", "rear-left", "rear-right"),
    ("no", "on", "yes"),  # words that a careless YAML reader turns into true and false
    ("2a", "x1", "b"),
    ("near", "far"),
)
CONDITION_NAMES = (
    "tube.true",
    "tube.smooth",
    "end.clocked",
    "end.tacked",
    "rig.level",
    "clean",
    "jig.set-up",
    "cool",
    "bore.round",
    "marks",
)
LARGEST = 60  # operations in a build
SMALLEST_LARGEST = 14  # operations in a small build


@dataclass(slots=True)
class _Draft:
    """What is known while a build is being made."""

    random: Random
    sides: tuple[str, ...]
    conditions: dict[str, str]
    care: float
    known: list[str]  # condition names that the start or an earlier step provides
    ids: list[str]
    used: int = 0

    def chance(self, share: float) -> bool:
        return self.random.random() < share

    def name(self) -> str:
        """The next step id."""
        self.used += 1
        return self.ids[self.used - 1]


def make(seed: int, small: bool = False) -> Build:
    """The build of this seed; a small one has at most fourteen operations."""
    random = Random(f"{'small ' if small else ''}build {seed}")
    limit = SMALLEST_LARGEST if small else LARGEST
    while True:
        build = _build(random, small, str(seed))
        if small:
            build = plant(build, random) if random.random() < 0.4 else swap_two(build, random)
        if (6 if small else 2) <= len(all_names(build)) <= limit:
            return build


def all_names(build: Build) -> list[str]:
    """The names of all operations the build has, whether or not a sequence leaves them out."""
    return [name for stage in build.stages() for name in _names(stage, build.sides)]


def _names(stage: Stage, sides: tuple[str, ...]) -> list[str]:
    """The operations of a stage: the whole list once a pass, round by round, side by side."""
    found = []
    for turn in range(1, stage.rounds + 1):
        for step in stage.steps:
            for number in range(1, step.rounds + 1):
                label = turn if stage.rounds > 1 else number if step.rounds > 1 else None
                if not step.rework:
                    found += [operation_name(step.name, side, label) for side in covered(step, sides)]
    return found


def _build(random: Random, small: bool, seed: str) -> Build:
    count = random.choice((1, 2, 2, 2, 3) if small else (1, 2, 2, 2, 2, 3, 4))
    sides = tuple(random.sample(random.choice([names for names in SIDE_NAMES if len(names) >= count]), count))
    chosen = random.sample(CONDITION_NAMES, random.randint(4, 8))
    conditions = {name: "side" if random.random() < 0.65 else "job" for name in chosen}
    start_names = random.sample(chosen, random.randint(0, 3))
    start = tuple(_start(name, conditions, sides, random) for name in start_names)
    draft = _Draft(
        random,
        sides,
        conditions,
        random.choice((0.99, 0.97, 0.9) if small else (0.99, 0.9, 0.75, 0.4)),
        list(start_names),
        random.sample([f"{word}-{n}" for word in ("cut", "weld", "fit", "mark") for n in range(1, 12)], 40),
    )
    filming = draft.chance(0.35)
    needs, spoils = _on_camera(draft) if filming else ((), ())
    film = random.choice((None, "all", "none", *sides)) if filming else None
    episodes = tuple(
        Episode(number, _stages(draft, small, filming), _film(draft, filming))
        for number in sorted(random.sample(range(1, 10), random.choice((1, 1, 2) if small else (1, 2, 3))))
    )
    build = Build(sides, conditions, episodes, start, film, needs, spoils, seed)
    return _with_links(build, draft)


def _start(name: str, conditions: dict[str, str], sides: tuple[str, ...], random: Random) -> str:
    if conditions[name] == "job" or random.random() < 0.7:
        return name
    return f"{name}@{random.choice(('all', *sides))}"


def _on_camera(draft: _Draft) -> tuple[tuple[str, ...], tuple[str, ...]]:
    needs = draft.random.choice(draft.known or list(draft.conditions))
    spoils = (draft.random.choice(list(draft.conditions)),) if draft.chance(0.15) else ()
    return (needs,), spoils


def _film(draft: _Draft, filming: bool) -> str | None:
    if not filming or draft.chance(0.7):
        return None
    return draft.random.choice(("all", "none", *draft.sides))


def _stages(draft: _Draft, small: bool, filming: bool) -> tuple[Stage, ...]:
    count = draft.random.choice((1, 2) if small else (1, 1, 2, 2, 3))
    return tuple(_stage(draft, small, filming) for _ in range(count))


def _stage(draft: _Draft, small: bool, filming: bool) -> Stage:
    random = draft.random
    pace = random.choice((None, None, "step-first", "side-first", "side-first"))
    rounds = random.choice((2, 2, 3)) if draft.chance(0.12) else 1
    steps = []
    for _ in range(random.randint(1, 3 if small else 4)):
        step = _step(draft, rounds, pace == "side-first", filming)
        steps.append(step)
        if not step.rework:
            draft.known += [reference.partition("@")[0] for reference in step.gives]
    # What a step gives and another one of the stage spoils is still "known": that is where traps come from.
    stage = Stage(
        f"Stage {draft.used}",
        tuple(steps),
        pace,
        rounds,
        random.choice(draft.sides) if draft.chance(0.2) else None,
        _film(draft, filming),
    )
    # Passes, turns and a stated order at once: whether turns bind the passes too is open.
    if draft.chance(0.25) and (rounds == 1 or all(step.turns is None for step in steps)):
        stage = _with_sequence(stage, draft)
    return stage


def _step(draft: _Draft, passes: int, side_first: bool, filming: bool) -> Step:
    random = draft.random
    rework = passes == 1 and draft.chance(0.14)
    sides = _sides(draft, rework and side_first)
    step = Step(draft.name(), sides, rework=rework, film=_film(draft, filming), one_way=draft.chance(0.1))
    if isinstance(sides, tuple) and draft.chance(0.7):
        step = replace(step, why=True)
    if not rework:
        if passes == 1 and draft.chance(0.25):
            step = replace(step, rounds=random.choice((2, 2, 3, 3, 4)))
        if draft.chance(0.2) and sides != "once":
            order = [side for side in covered(step, draft.sides) if side is not None]
            random.shuffle(order)
            step = replace(step, turns=random.choice(("alternate", "side-first", tuple(order), tuple(order))))
        if draft.chance(0.15):
            step = replace(step, first=random.choice(draft.sides))
    once = sides == "once"
    gives = _references(draft, _wanted(draft, rework), once, 0.8)
    if rework and not once:
        # A job condition comes once a step is complete on all sides: open for a step put in several times.
        gives = tuple(word for word in gives if draft.conditions[word.partition("@")[0]] == "side")
    return replace(
        step,
        needs=_references(draft, _needed(draft), once, 0.6),
        gives=gives,
        spoils=_references(draft, _spoiled(draft), once, 0.6),
    )


def _sides(draft: _Draft, runs: bool) -> str | tuple[str, ...]:
    """Whether a rework step done once ends a run of a side-first stage is open, so there it is never once."""
    roll = draft.random.random()
    if roll < 0.62 or (runs and roll < 0.82):
        return "each"
    if roll < 0.82:
        return "once"
    some = draft.random.sample(draft.sides, draft.random.randint(1, max(1, len(draft.sides) - 1)))
    return tuple(some)


def _needed(draft: _Draft) -> list[str]:
    wanted = []
    for _ in range(draft.random.choice((0, 1, 1, 1, 2, 2))):
        pool = draft.known if draft.known and draft.chance(draft.care) else list(draft.conditions)
        wanted.append(draft.random.choice(pool))
    return wanted


def _wanted(draft: _Draft, rework: bool) -> list[str]:
    """What a step gives: mostly something new; a rework step gives back what was there."""
    count = draft.random.choice((1, 1, 2)) if rework else draft.random.choice((0, 1, 1, 1, 2))
    fresh = [name for name in draft.conditions if name not in draft.known]
    pool = list(draft.conditions)
    if rework and draft.known:
        pool = draft.known
    elif fresh and draft.chance(0.7):
        pool = fresh
    return [draft.random.choice(pool) for _ in range(count)]


def _spoiled(draft: _Draft) -> list[str]:
    share = 0.12 if draft.care > 0.95 else 0.3
    return [draft.random.choice(list(draft.conditions))] if draft.chance(share) else []


def _references(draft: _Draft, names: list[str], once: bool, bare: float) -> tuple[str, ...]:
    """Write condition names as references, each text at most once."""
    written: dict[str, None] = {}
    for name in names:
        if draft.conditions[name] == "job" or draft.chance(bare):
            written[name] = None
            continue
        forms = ["all", draft.random.choice(draft.sides)]
        if not once:
            forms.append("others")
        written[f"{name}@{draft.random.choice(forms)}"] = None
    return tuple(written)


def _with_sequence(stage: Stage, draft: _Draft) -> Stage:
    """State the stage's operations outright: a little or thoroughly mixed, one left out, rework put in."""
    random = draft.random
    names = _names(stage, draft.sides)
    if draft.chance(0.3):
        random.shuffle(names)
    for _ in range(random.randint(0, 3)):
        if len(names) > 1:
            at = random.randrange(len(names) - 1)
            names[at], names[at + 1] = names[at + 1], names[at]
    if len(names) > 1 and draft.chance(0.3):
        names.pop(random.randrange(len(names)))
    if stage.rounds == 1:
        for step in stage.steps:
            if step.rework and draft.chance(0.7):
                for _ in range(random.choice((1, 1, 2))):
                    side = random.choice(covered(step, draft.sides))
                    names.insert(random.randint(0, len(names)), operation_name(step.name, side, None))
    return replace(stage, sequence=tuple(names)) if names else stage


def _with_links(build: Build, draft: _Draft) -> Build:
    """Give some steps an `after`, now that all ids are known; never to rework: it may never be done."""
    order = [step.name for step in build.steps()]
    targets = [step.name for step in build.steps() if not step.rework]
    linked = {}
    for step in build.steps():
        earlier = [name for name in targets if order.index(name) < order.index(step.name)]
        others = [name for name in targets if name != step.name]
        chosen: dict[str, str] = {}
        for _ in range(draft.random.choice((0, 0, 0, 0, 1, 1, 2))):
            pool = earlier if earlier and draft.chance(max(draft.care, 0.8)) else others
            if pool:
                name = draft.random.choice(pool)
                own = step.sides != "once" and draft.chance(0.4)
                chosen[name] = f"{name}@own" if own else name
        linked[step.name] = replace(step, after=tuple(chosen.values()))
    episodes = []
    for episode in build.episodes:
        stages = [replace(stage, steps=tuple(linked[step.name] for step in stage.steps)) for stage in episode.stages]
        episodes.append(replace(episode, stages=tuple(stages)))
    return replace(build, episodes=tuple(episodes))
