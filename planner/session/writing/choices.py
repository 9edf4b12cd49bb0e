"""What may stand in a field: every choice with what it means in words. Pure."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from itertools import permutations
from typing import NamedTuple

from planner.files.editing.typed import SMALL
from planner.files.plankeys import AFTER, CHOICE, NAME, REFS, STEP, SWITCH, TEXT, TURNS, WITHOUT, Field
from planner.files.yaml.places import Value
from planner.plan.fill import JOB, Numbers
from planner.plan.model import Build, Kind, Step
from planner.plan.words import show_duration
from planner.session.writing.fields import value_at
from planner.session.writing.targets import Target

_WORD = re.compile(r"[a-z0-9]+")
_NO_THING = frozenset(("what", "which", "that", "this", "where", "when", "how", "if", "whether", "cold", "hot"))
_TELLING = 24  # words of what is done that may name its piece; whoever pastes a page does not wait for more
#: Words of work that is named where it ends: let it cool, grind it clean.
_TO_AN_END = frozenset(("let", "leave", "grind", "brush", "scrub"))
_ARTICLES = frozenset(("a", "an", "the", "both", "each", "every", "all"))


class Choice(NamedTuple):
    """A value that may be chosen, how it is shown, and what it means. ``value`` None takes the key out."""

    value: Value
    text: str
    says: str


def all_steps(build: Build) -> Iterator[Step]:
    """Every step, in the order of the plan."""
    for episode in build.episodes:
        for stage in episode.stages:
            yield from stage.steps


def choices(build: Build, target: Target, field: Field, values: Value) -> list[Choice]:
    """What may stand in a field; for what is typed freely, what is used elsewhere already."""
    if field.sort == SWITCH:
        return _switch(build, target, field, values)
    if field.sort == CHOICE:
        return _choice(build, target, field)
    if field.sort == TURNS:
        return _turns(build, values)
    if field.sort == REFS:
        return conditions(build)
    if field.sort == AFTER:
        own = target.step
        return [Choice(step.id, step.id, step.do) for step in all_steps(build) if step.id != own]
    if field.sort == WITHOUT:
        return _brought(build, values)
    if field.sort in (TEXT, NAME):
        return [Choice(text, text, says) for text, says in _used(build, target, field)]
    return []


def _switch(build: Build, target: Target, field: Field, values: Value) -> list[Choice]:
    says = "no"
    if target.level == STEP and field.key == "one-way":
        kind = build.kinds.get(str(value_at(values, ("kind",))))
        says = f"as the kind {kind.name} says: {'yes' if kind.one_way else 'no'}" if kind is not None else "no"
    return [Choice(None, "not written", says), Choice(True, "yes", ""), Choice(False, "no", "")]


def _choice(build: Build, target: Target, field: Field) -> list[Choice]:
    unset = [] if field.wanted else [Choice(None, "not written", _unset(target, field))]
    return unset + [Choice(value, text, says) for value, text, says in _options(build, field)]


_UNSET = {
    "film": {
        "build": "all: the camera sees every side",
        "episode": "as the build says",
        "stage": "as the episode says",
        "step": "as the stage says",
    },
    "first": {"stage": "the build's order of sides", "step": "as the stage says"},
    "pace": {"stage": "step-first"},
    "where": {"step": "in the shop"},
    "kind": {"step": "no kind: it brings nothing"},
}


def _unset(target: Target, field: Field) -> str:
    return _UNSET.get(field.key, {}).get(target.level, "")


def _options(build: Build, field: Field) -> Iterable[tuple[Value, str, str]]:
    key = field.key
    if key == "kind":
        return [(kind.name, kind.name, kind_line(kind)) for kind in build.kinds.values()]
    if key == "film":
        return [(side, side, f"the camera sees the {side} side") for side in build.sides] + [
            ("all", "all", "the camera sees every side"),
            ("none", "none", "nothing of it is on camera"),
        ]
    if key == "first":
        return [(side, side, f"the {side} side starts") for side in build.sides]
    if key == "pace":
        return [
            ("step-first", "step-first", "each step in turn, on all its sides"),
            ("side-first", "side-first", "all of it on one side, then all of it on the next"),
        ]
    if key == "where":
        return [("shop", "shop", "in the shop"), ("desk", "desk", "at the desk")]
    if key == "kept":
        return [("side", "side", "kept for each side"), ("job", "job", "one fact for the whole build")]
    if key == "show temperature":
        return [("C", "C", "degrees Celsius"), ("F", "F", "degrees Fahrenheit")]
    if key == "show lengths":
        inches = [f"inch 1/{n}" for n in (2, 4, 8, 16, 32, 64, 128)]
        return [("mm", "mm", "millimetres"), *((each, each, "inches to that fraction") for each in inches)]
    return []


def _turns(build: Build, values: Value) -> list[Choice]:
    listed = value_at(values, ("sides",))
    sides = [side for side in build.sides if not isinstance(listed, list) or side in listed]
    rounds = value_at(values, ("rounds",))
    unset = "alternate" if isinstance(rounds, int) and rounds > 1 else "no turns of its own"
    found = [
        Choice(None, "not written", unset),
        Choice("alternate", "alternate", "round 1 on every side, then round 2 on every side, and so on"),
        Choice("side-first", "side-first", "all rounds on one side, then all on the next"),
    ]
    if 1 < len(sides) <= 4:
        for order in permutations(sides):
            found.append(Choice(list(order), ", ".join(order), "the sides in this order in each round"))
    return found


def kind_line(kind: Kind) -> str:
    """A kind in one line."""
    return kind.means


def offered(build: Build, do: str) -> tuple[str, str]:
    """The kind that what is done in a step begins with, and the piece that it names; empty where it does not.

    The longest name counts, of a kind one that leaves a word for its piece. A kind named further on is not the work
    itself: “Clamp the end where it is welded”; but “Let the frame cool” ends with it. A piece that no step names yet
    is what the kind is done to, in one or two words: “Weld the bracket foot on”.
    """
    words = _WORD.findall(do.lower())
    pieces = {step.piece for step in all_steps(build) if step.piece} | set(build.pieces)
    begun = sorted((name for name in build.kinds if _stands(name.split("-"), words, 0)), key=len)
    leaving = [name for name in begun if _object(words[len(name.split("-")) :])]
    kind = (leaving or begun or [""])[-1]
    if not kind and len(words) > 2 and words[0] in _TO_AN_END and words[-1] in build.kinds:
        kind, words = words[-1], [words[-1], *words[1:-1]]
    if not kind:
        return "", ""  # without a kind a piece says nothing
    known = sorted((name for name in pieces if _within(name, words[:_TELLING])), key=len)
    return kind, known[-1] if known else _object(words[len(kind.split("-")) :])


def _object(words: list[str]) -> str:
    """What a verb is done to, where one or two words say it; else nothing."""
    while words and words[0] in _ARTICLES:
        words = words[1:]
    end = next((at for at, word in enumerate(words) if word in SMALL or word in _NO_THING), len(words))
    return "-".join(words[:end]) if 1 <= end <= 2 else ""


def _within(name: str, words: list[str]) -> bool:
    """Whether a name stands among words, as it is or in the plural."""
    parts = name.split("-")
    return any(_stands(parts, words, at) for at in range(len(words) - len(parts) + 1))


def _stands(parts: list[str], words: list[str], at: int) -> bool:
    """Whether the parts of a name stand at a place among words."""
    return at + len(parts) <= len(words) and all(_same(part, words[at + n]) for n, part in enumerate(parts))


def _same(part: str, word: str) -> bool:
    """Whether a word is that of a name, or its plural."""
    return word in (part, f"{part}s", f"{part}es")


def kind_facts(build: Build, name: str, piece: str) -> list[tuple[str, str]]:
    """What a kind brings to a step on a piece: the word before it, and the thing in words."""
    kind = build.kinds.get(name)
    if kind is None:
        return []
    facts = [("means", kind.means)]
    words = {word.name: word for each in build.kinds.values() for word in each.words}
    for key, refs in (("needs", kind.needs), ("gives", kind.gives), ("spoils", kind.spoils)):
        for ref in refs:
            word = words.get(ref.name)
            means = word.means if word is not None else ref.name
            label = f"{_piece_of(build, piece, word is not None and word.whole)}.{ref}"
            facts.append((key, f"{means}  {label}"))
    if piece == "" and (kind.needs or kind.gives or kind.spoils):
        facts.append(("", "only with a piece: without one it brings time and cautions alone"))
    if kind.one_way:
        facts.append(("one-way", "it cannot be undone"))
    if kind.time:
        facts.append(("time", show_duration(kind.time)))
    facts += [("caution", text) for text in kind.cautions]
    return facts


def _piece_of(build: Build, piece: str, whole: bool) -> str:
    while whole and piece in build.pieces:
        larger = build.pieces[piece].inside
        if larger is None:
            break
        piece = larger
    return piece or "piece"


def conditions(build: Build) -> list[Choice]:
    """Every condition, those written by hand first."""
    known = sorted(build.conditions.values(), key=lambda each: (each.by_kind, each.name))
    return [Choice(each.name, each.name, f"{each.means}{'' if each.on_side else '; on the job'}") for each in known]


def _brought(build: Build, values: Value) -> list[Choice]:
    kind = build.kinds.get(str(value_at(values, ("kind",))))
    words = {word.name: word.means for each in build.kinds.values() for word in each.words}
    if kind is None:
        return []
    found: dict[str, str] = {}
    for key, refs in (("needs", kind.needs), ("gives", kind.gives), ("spoils", kind.spoils)):
        for ref in refs:
            found[ref.name] = f"{found[ref.name]}, {key}" if ref.name in found else key
    return [Choice(name, name, f"{keys}: {words.get(name, name)}") for name, keys in found.items()]


def _used(build: Build, target: Target, field: Field) -> list[tuple[str, str]]:
    """What stands in this field elsewhere."""
    if field.key == "shop timezone":
        from planner.files.times.zones import all_zones

        return [(zone, "") for zone in sorted(all_zones())]
    if target.level != STEP or field.key not in ("piece", "setup"):
        return []
    found: dict[str, list[str]] = {}
    for step in all_steps(build):
        used = step.piece if field.key == "piece" else step.setup
        if used:
            found.setdefault(used, []).append(step.id)
    if field.key == "piece":
        for part in build.pieces:
            found.setdefault(part, [])
    return [(text, _where(build, text, steps)) for text, steps in sorted(found.items())]


def _where(build: Build, piece: str, steps: list[str]) -> str:
    known = build.pieces.get(piece)
    part = f"part of {known.inside}; " if known is not None and known.inside is not None else ""
    more = f" and {len(steps) - 2} more" if len(steps) > 2 else ""
    return f"{part}in {', '.join(steps[:2])}{more}" if steps else part.removesuffix("; ")


def number_choices(numbers: Numbers) -> list[Choice]:
    """Every number that a step may name, with its present value a side."""
    found = []
    for name, sides in numbers.items():
        if JOB in sides:
            says = sides[JOB][1]
        else:
            says = ", ".join(f"{side} {number[1]}" for side, number in sides.items()) or "no value yet"
        found.append(Choice("{" + name + "}", "{" + name + "}", says))
    return found
