"""Builds made by chance whose steps have kinds and pieces: one seed, one build, always the same.

The kinds and their words are made by chance too, so that what is tried is the meaning of the keys and not the trade.
Left out on purpose, since their meaning is tried elsewhere: references to sides, rework, sequences, the camera.
"""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from pathlib import Path
from random import Random

from tests.oracle.planned import planned_order
from tests.oracle.shapes import Build, Episode, Stage, Step

SIDES = (("driver", "passenger"), ("left", "right"), ("near", "far"), ("front", "middle", "rear"), ("only",))
PIECES = ("housing", "end", "joint", "upper", "lower", "hub", "seal", "frame")


@dataclass(frozen=True, slots=True)
class Word:
    """What a kind's word says of itself."""

    start: bool = True
    whole: bool = False
    alone: bool = False
    over_sides: bool = False
    job: bool = False
    owed: str | None = None
    where_given: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind brings: words, some of them with `@all`."""

    needs: tuple[str, ...]
    gives: tuple[str, ...]
    spoils: tuple[str, ...]
    counts_when: tuple[str, ...] = ()
    used_up: tuple[str, ...] = ()
    least_rounds: int | None = None
    beside: str | None = None


@dataclass(frozen=True, slots=True)
class Piece:
    """How a piece comes, and what it is part of."""

    inside: str | None = None
    one_body: bool = False
    made_of: bool = False
    sides: tuple[str, ...] | None = None
    not_yet: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Trade:
    """A whole build. `shape` has the steps without their kinds, each with the sides that it comes to cover."""

    shape: Build
    words: dict[str, Word]
    kinds: dict[str, Kind]
    pieces: dict[str, Piece]
    work: dict[str, tuple[str, str]]  # step -> kind and piece
    waits: dict[str, int]  # step -> hours
    ticks: tuple[str, ...]


def make(seed: int) -> Trade:
    """The build of this seed."""
    random = Random(f"trade {seed}")
    while True:
        made = _made(random, str(seed))
        if 2 <= len(planned_order(made.shape)) <= 60:
            return made


def _made(random: Random, seed: str) -> Trade:
    sides = random.choice(SIDES)
    words = {f"w{number}": _word(random) for number in range(random.randint(3, 7))}
    kinds = {f"k{number}": _kind(random, words) for number in range(random.randint(3, 6))}
    pieces = _pieces(random, words, sides)
    work: dict[str, tuple[str, str]] = {}
    waits: dict[str, int] = {}
    episodes = []
    for number in range(1, random.randint(1, 2) + 1):
        stages = []
        for _ in range(random.randint(1, 2)):
            steps = []
            rounds = random.choice((1, 1, 1, 2))
            for _ in range(random.randint(1, 4)):
                name = f"step-{len(work)}"
                piece = random.choice(list(pieces))
                work[name] = (random.choice(list(kinds)), piece)
                if random.random() < 0.1:
                    waits[name] = random.choice((1, 6, 9))
                steps.append(_step(random, name, sides_of(pieces, piece, sides), rounds))
            pace = random.choice((None, "step-first", "side-first"))
            stages.append(Stage(f"Stage {len(work)}", tuple(steps), pace, rounds))
        episodes.append(Episode(number, tuple(stages)))
    trade = Trade(Build(sides, {}, tuple(episodes), seed=seed), words, kinds, pieces, work, waits, ())
    if random.random() < 0.5:
        return trade
    order = planned_order(trade.shape)
    count = random.randint(1, len(order))
    ticks = order[:count] if random.random() < 0.3 else random.sample(order, count)
    return replace(trade, ticks=tuple(ticks))


def _word(random: Random) -> Word:
    whole = random.random() < 0.45
    start = random.random() < 0.7
    owed = random.choice(("build", "episode", "shift")) if start and random.random() < 0.35 else None
    return Word(
        start,
        whole,
        not whole and random.random() < 0.3,
        # An owed word that reaches to another side of a piece inside, where no step names it: left out too.
        (whole or owed is None) and random.random() < 0.3,
        not whole and random.random() < 0.1,
        owed,
        not whole and owed is None and random.random() < 0.3,
    )


def _kind(random: Random, words: dict[str, Word]) -> Kind:
    names = list(words)

    def some(most: int, pool: list[str]) -> list[str]:
        return random.sample(pool, min(len(pool), random.randint(0, most)))

    def written(chosen: list[str]) -> tuple[str, ...]:
        return tuple(f"{name}@all" if not words[name].job and random.random() < 0.15 else name for name in chosen)

    needs = some(2, names)
    used_up = [name for name in needs if random.random() < 0.2]
    least = random.choice((2, 3)) if random.random() < 0.3 else None
    return Kind(
        tuple(name if name in used_up else written([name])[0] for name in needs),
        written(some(2, [name for name in names if name not in used_up])),
        written(some(2, [name for name in names if name not in needs])),
        tuple(some(1, names)) if random.random() < 0.25 else (),
        tuple(used_up),
        least,
        random.choice(("k0", "k1", "k2")) if least and random.random() < 0.4 else None,
    )


def _pieces(random: Random, words: dict[str, Word], sides: tuple[str, ...]) -> dict[str, Piece]:
    found: dict[str, Piece] = {}
    for name in PIECES[: random.randint(2, len(PIECES))]:
        inside = random.choice(list(found)) if found and random.random() < 0.65 else None
        found[name] = Piece(inside, one_body=random.random() < 0.4)
    holding = {piece.inside for piece in found.values()}
    for name in list(found):
        if found[name].inside is not None and name in holding and random.random() < 0.3:
            found[name] = replace(found[name], made_of=True)
        if name not in holding and random.random() < 0.2:
            found[name] = replace(found[name], sides=(random.choice(sides),))
        piece = found[name]
        # What comes open and reaches what is inside, and is owed too, may be named on either: left out.
        apt = [
            word
            for word, each in words.items()
            if each.start and not (piece.made_of and each.whole) and (not each.owed or each.whole or each.alone)
        ]
        if random.random() < 0.3 and apt:
            found[name] = replace(piece, not_yet=tuple(random.sample(apt, min(len(apt), random.randint(1, 2)))))
    return found


def _step(random: Random, name: str, sides: tuple[str, ...], passes: int) -> Step:
    if random.random() < 0.15:
        return Step(name, "once")
    step = Step(name, sides, rounds=random.choice((1, 1, 2, 3)) if passes == 1 else 1)
    if random.random() < 0.2:
        order = list(sides)
        random.shuffle(order)
        step = replace(step, turns=random.choice(("alternate", "side-first", tuple(order))))
    return step


def sides_of(pieces: dict[str, Piece], piece: str, sides: tuple[str, ...]) -> tuple[str, ...]:
    """The sides on which a piece is."""
    return pieces[piece].sides or sides


# Writing


def _braces(**keys: object) -> str:
    """A flow mapping; what is false or empty is not written."""
    shown = []
    for key, value in keys.items():
        if value is None or value is False or value == ():
            continue
        text = "true" if value is True else f"[{', '.join(value)}]" if isinstance(value, tuple) else value
        shown.append(f"{key.replace('_', '-')}: {text}")
    return "{" + ", ".join(shown) + "}"


def files(trade: Trade) -> dict[str, str]:
    """Every file of the build, as a person would write it."""
    lines = ["format: 1", "build: Made by chance", f"sides: [{', '.join(trade.shape.sides)}]", "pieces:"]
    for name, piece in trade.pieces.items():
        keys = {"in": piece.inside, "one-body": piece.one_body, "made-of": piece.made_of}
        lines.append(f"  {name}: {_braces(**keys, sides=piece.sides, not_yet=piece.not_yet)}")
    lines.append("kinds:")
    declared = False
    for name, kind in trade.kinds.items():
        lines += [f"  {name}:", "    means: made by chance"]
        for key in ("needs", "gives", "spoils", "counts_when", "used_up"):
            value = getattr(kind, key)
            if value:
                lines.append(f"    {key.replace('_', '-')}: [{', '.join(value)}]")
        if kind.least_rounds is not None:
            beside = kind.beside if kind.beside in trade.kinds else None
            plain = str(kind.least_rounds)
            shown = _braces(**{"rounds": plain, "with": beside}) if beside else plain
            lines.append(f"    least-rounds: {shown}")
        if not declared:
            declared = True
            lines.append("    words:")
            for word, each in trade.words.items():
                keys = {"kept": "job" if each.job else "side", "means": f"{word} holds", "start": each.start}
                flags = {"whole": each.whole, "alone": each.alone, "over-sides": each.over_sides, "owed": each.owed}
                flags["where-given"] = each.where_given
                lines.append(f"      {word}: {_braces(**keys, **flags)}")
    found = {"build.yaml": "\n".join(lines) + "\n"}
    for episode in trade.shape.episodes:
        found[f"episodes/{episode.number:02d}-part.yaml"] = _episode(trade, episode)
    if trade.ticks:
        found["log/shop.jsonl"] = "".join(_tick(number, op) for number, op in enumerate(trade.ticks, 1))
    return found


def _episode(trade: Trade, episode: Episode) -> str:
    lines = ["format: 1", f"episode: {episode.number}", "title: A part", "stages:"]
    for stage in episode.stages:
        lines.append(f"  - stage: {stage.name}")
        lines += [f"    pace: {stage.pace}"] if stage.pace else []
        lines += [f"    rounds: {stage.rounds}"] if stage.rounds > 1 else []
        lines.append("    steps:")
        for step in stage.steps:
            kind, piece = trade.work[step.name]
            lines += [
                f"      - step: {step.name}",
                "        do: Work",
                f"        kind: {kind}",
                f"        piece: {piece}",
            ]
            lines += ["        sides: once"] if step.sides == "once" else []
            lines += [f"        rounds: {step.rounds}"] if step.rounds > 1 else []
            if step.turns is not None:
                shown = step.turns if isinstance(step.turns, str) else f"[{', '.join(step.turns)}]"
                lines.append(f"        turns: {shown}")
            if step.name in trade.waits:
                lines.append(f"        wait: {trade.waits[step.name]} h")
    return "\n".join(lines) + "\n"


def _tick(number: int, op: str) -> str:
    """A tick a day, so that no wait is cut short."""
    at = f"2026-{1 + number // 28:02d}-{1 + number % 28:02d}T10:00:00Z"
    return json.dumps({"v": 1, "n": number, "at": at, "by": "shop", "op": op, "did": "done"}) + "\n"


def write(trade: Trade, folder: Path) -> Path:
    """Write every file of the build into `folder` and return it."""
    for name, text in files(trade).items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return folder


def as_text(trade: Trade) -> str:
    """All files as one text, for the message of a failing test."""
    return "\n".join(f"# {name}\n{text}" for name, text in files(trade).items())
